"""What a route's page says, in words: everything that its templates print."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from softpedal.library.notes import KINDS
from softpedal.measure.difficulty import WIDE_GAP_M, is_step_free, narrowest_gap_m
from softpedal.measure.directness import direct_m
from softpedal.measure.quietness import whole_percent
from softpedal.measure.stress import LEVEL_WORDS, leg_words
from softpedal.measure.week import hours_text
from softpedal.site import wording
from softpedal.site.language import date, tr, trn
from softpedal.site.quantities import chainage, distance, minutes, small
from softpedal.site.text import inline

if TYPE_CHECKING:
    from markupsafe import Markup

    from softpedal.library.route import Route
    from softpedal.measure.direction import DirectionMeasures, Figures, StateMeasures
    from softpedal.measure.route_measures import Measures
    from softpedal.measure.units import Units


@dataclass(frozen=True, slots=True)
class BigFigure:
    """One of the three figures set large, with the words under it."""

    figure: str
    words: str

    def __str__(self) -> str:
        return f"{self.figure} {self.words}"


def big_figures(
    direction: DirectionMeasures, state: StateMeasures, units: Units
) -> list[BigFigure]:
    """Return quiet share, busy crossings and dismounts."""
    figures = state.figures
    if figures is None:
        return []
    return [
        BigFigure(*wording.quiet_words(figures, direction.length_m, units)),
        BigFigure(str(figures.busy), wording.busy_words(figures)),
        BigFigure(str(figures.dismounts), wording.dismount_words(figures, units)),
    ]


def hardest_bit(
    direction: DirectionMeasures, units: Units, state: StateMeasures | None = None
) -> Markup:
    """Return the worst leg or crossing of a state in a sentence, with the author's word on it."""
    state = state or direction.leading
    leg, crossing = state.worst_leg, state.worst_crossing
    parts: list[str] = []
    if leg and not state.worst_is_crossing:
        stretch, level = leg
        length = distance(stretch.length_m, units)
        parts.append(
            tr(
                "{length} of {kind} on {street}, {level}",
                length=length,
                kind=tr(stretch.kind),
                street=stretch.leg.street,
                level=tr(leg_words(level.level, stretch.kind)),
            )
        )
    elif crossing:
        parts.append(
            tr(
                "crossing {road} ({control}), {level}",
                road=crossing.crossing.road,
                control=tr(wording.CONTROL_WORDS[crossing.crossing.control]),
                level=tr(crossing.words),
            )
        )
    parts += _harder_at_times(direction, state)
    hardest = direction.line.hardest
    if hardest and direction.direction == "outbound":
        where = tr("at {chainage}", chainage=chainage(hardest.at_m, units))
        parts.append(f"{hardest.item.text.rstrip('.')} ({where})")
    return inline(". ".join(parts) + ".")


def _harder_at_times(direction: DirectionMeasures, state: StateMeasures) -> list[str]:
    """What is worse at other times of the week."""
    now = state.figures
    return [
        tr(
            "At other times ({hours}) it is worse: {level}",
            hours=wording.hours_words(hours_text(other.spans)),
            level=tr(LEVEL_WORDS[other.figures.level]),
        )
        for other in direction.states
        if other.figures and (now is None or other.figures.level > now.level)
    ]


def kinds_words(state: StateMeasures, units: Units) -> str:
    """Return the metres by kind in words, the longest first."""
    if state.figures is None:
        return ""
    metres = state.figures.metres_by_kind
    kinds = sorted((k for k in KINDS if metres[k] >= 1), key=lambda k: -metres[k])
    return ", ".join(f"{distance(metres[kind], units)} {tr(kind)}" for kind in kinds)


def facts(
    route: Route,
    measures: Measures,
    direction: DirectionMeasures,
    units: Units,
    state: StateMeasures | None = None,
) -> list[tuple[str, Markup]]:
    """Return the further figures of one direction in a state as terms and words."""
    state, notes = state or direction.leading, route.notes
    figures = state.figures
    found: list[tuple[str, Any]] = []
    if figures:
        found.append((tr("Quiet"), wording.share_words(figures, direction.length_m, units)))
        found.append((tr("Time, estimated"), _time(figures)))
    ridden = tr("Time, as ridden")
    found += [(ridden, words) for words in _ridden_minutes(route, direction)]
    found.append((tr("Length"), distance(direction.length_m, units)))
    climb = wording.climb_words(direction, units)
    steep = wording.steepest_words(direction, units)
    found.append((tr("Climbing"), f"{climb}; {steep}" if steep else climb))
    direct = wording.directness_words(direction)
    if notes.direct and notes.direct.minutes:
        took = f"{notes.direct.minutes:.0f}"
        direct.append(tr("the main-road way takes {minutes} min", minutes=took))
    if route.direct_line is not None:
        long = distance(direct_m(notes.direct, route.direct_line) or 0.0, units)
        text = "the direct road, {length} long, is the grey dashed line on the map"
        direct.append(tr(text, length=long))
    found.append((tr("Directness"), "; ".join(direct)))
    if direction.direction == "outbound":
        grade = measures.difficulty
        which = tr(" (of the way back)") if measures.graded == "return" else ""
        reason = wording.reason_words(grade, units)
        found.append((tr("Difficulty"), f"{wording.grade_words(grade)}{which}: {reason}"))
        apart = tr(
            "by traffic {traffic}, by effort {effort}",
            traffic=tr(grade.traffic),
            effort=tr(grade.effort),
        )
        found.append((tr("Graded apart"), apart))
    found += _worst(state, units)
    found.append((tr("By kind"), kinds_words(state, units)))
    found.append((tr("Who can ride it"), who_words(route, direction, units)))
    return [(term, inline(words)) for term, words in found if words]


def _time(figures: Figures) -> str:
    words = minutes(figures.ride_s)
    if figures.wait_s >= 1:
        words = tr("{time} with {wait} of waiting", time=words, wait=minutes(figures.wait_s))
    if figures.waits_unknown:
        words += "; " + trn(
            "the wait at {count} crossing is not known and not counted",
            "the wait at {count} crossings is not known and not counted",
            figures.waits_unknown,
        )
    return words


def who_words(route: Route, direction: DirectionMeasures, units: Units) -> str:
    """Return who can ride it: steps and gaps from the data, child and cargo as the author says."""
    words = [tr("no steps noted") if is_step_free(direction) else tr("there are steps")]
    gap = narrowest_gap_m(direction)
    if gap is not None:
        wide = tr("narrowest gap {width}, wide enough for most cycles", width=small(gap, units))
        narrow = tr("narrowest gap {width}, too narrow for some cycles", width=small(gap, units))
        words.append(wide if gap >= WIDE_GAP_M else narrow)
    elif any(p.item.gap is None for p in direction.line.barriers):
        words.append(tr("a gap is not measured"))
    who = route.notes.who
    if who and who.child:
        words.append(tr("child: {word} (the author’s word)", word=tr(who.child)))
    if who and who.cargo:
        words.append(tr("cargo bike: {word} (the author’s word)", word=tr(who.cargo)))
    return "; ".join(words)


def confirmed_words(direction: DirectionMeasures, *, is_ridden_at_all: bool = True) -> str:
    """Return how much of a direction was ridden, and when."""
    percent = whole_percent(direction.confirmed_share)
    which = tr(wording.DIRECTION_WORDS[direction.direction])
    if direction.ridden_on is None:
        text = "{direction}: not ridden; what stands here is from the map and from the other way."
        if not is_ridden_at_all:
            text = "{direction}: not ridden; what stands here is from the map."
        return tr(text, direction=which)
    text = "{direction}: {percent} % of the distance confirmed by riding."
    return tr(text, direction=which, percent=percent)


def special_words(route: Route, measures: Measures, units: Units) -> str:
    """Return what is special about a route, for a row in a list."""
    figures = measures.outbound.leading.figures
    words = []
    if figures is None:
        words.append(tr("shut"))
    else:
        if figures.dismounts:
            words.append(trn("{count} dismount", "{count} dismounts", figures.dismounts))
        if figures.busy:
            words.append(trn("{count} busy crossing", "{count} busy crossings", figures.busy))
    words += [tr("shut {hours}", hours=wording.hours_words(hours)) for hours in route.notes.closed]
    if not is_step_free(measures.outbound):
        words.append(tr("steps"))
    gap = narrowest_gap_m(measures.outbound)
    if gap is not None and gap < WIDE_GAP_M:
        words.append(tr("gap of {width}", width=small(gap, units)))
    return ", ".join(words) or tr("no dismount, no busy crossing")


def _ridden_minutes(route: Route, direction: DirectionMeasures) -> list[str]:
    timed = [r for r in route.notes.ridden if r.moving is not None]
    one_way = [r for r in timed if r.direction == direction.direction]
    rides = one_way or [r for r in timed if r.direction == "both"]
    if not rides:
        return []
    last = max(rides, key=lambda r: r.on)
    words = tr("{minutes} min moving", minutes=f"{last.moving:.0f}")
    if last.standing:
        words += tr(", {minutes} min standing", minutes=f"{last.standing:.0f}")
    when = f", {last.when}" if last.when else ""
    both = "" if one_way else tr(", out and back together")
    return [f"{words}{both} ({date(last.on)}{when})"]


def _worst(state: StateMeasures, units: Units) -> list[tuple[str, str]]:
    found = []
    if state.worst_leg:
        stretch, level = state.worst_leg
        words = tr(
            "{street}, {kind}, {length} from {chainage}: {level}",
            street=stretch.leg.street,
            kind=tr(stretch.kind),
            length=distance(stretch.length_m, units),
            chainage=chainage(stretch.from_m, units),
            level=tr(leg_words(level.level, stretch.kind)),
        )
        words += tr(", assumed from the kind of street") if level.assumed else ""
        found.append((tr("Worst leg"), words))
    if met := state.worst_crossing:
        words = tr(
            "{road}, {control}, at {chainage}: {level}",
            road=met.crossing.road,
            control=tr(wording.CONTROL_WORDS[met.crossing.control]),
            chainage=chainage(met.at_m, units),
            level=tr(met.words),
        )
        words += tr(", assumed") if met.level.assumed else ""
        found.append((tr("Worst crossing"), words))
    return found
