"""What a route's page says, in words: everything that its templates print."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from softpedal.library.notes import KINDS
from softpedal.measure.difficulty import WIDE_GAP_M, is_step_free, narrowest_gap_m
from softpedal.measure.quietness import whole_percent
from softpedal.measure.stress import crossing_words, leg_words
from softpedal.measure.week import hours_text
from softpedal.site import wording
from softpedal.site.quantities import chainage, distance, small
from softpedal.site.text import inline

if TYPE_CHECKING:
    from markupsafe import Markup

    from softpedal.library.route import Route
    from softpedal.measure.direction import DirectionMeasures, StateMeasures
    from softpedal.measure.route_measures import Measures
    from softpedal.measure.units import Units


@dataclass(frozen=True, slots=True)
class BigFigure:
    """One of the three figures set large, with the words under it."""

    figure: str
    words: str


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


def hardest_bit(direction: DirectionMeasures, units: Units) -> Markup:
    """Return the worst leg or crossing in one sentence, with the author's word on it."""
    state = direction.leading
    leg, crossing = state.worst_leg, state.worst_crossing
    parts: list[str] = []
    if leg and not state.worst_is_crossing:
        stretch, level = leg
        length = distance(stretch.length_m, units)
        parts.append(
            f"{length} of {stretch.kind} on {stretch.leg.street}, "
            f"{leg_words(level.level, stretch.kind)}"
        )
    elif crossing:
        how = wording.CONTROL_WORDS[crossing.crossing.control]
        words = crossing_words(crossing.level.level)
        parts.append(f"crossing {crossing.crossing.road} ({how}), {words}")
    hardest = direction.line.hardest
    if hardest and direction.direction == "outbound":
        parts.append(f"{hardest.item.text.rstrip('.')} (at {chainage(hardest.at_m, units)})")
    return inline(". ".join(parts) + ".")


def kinds_words(state: StateMeasures, units: Units) -> str:
    """Return the metres by kind in words, the longest first."""
    if state.figures is None:
        return ""
    metres = state.figures.metres_by_kind
    kinds = sorted((k for k in KINDS if metres[k] >= 1), key=lambda k: -metres[k])
    return ", ".join(f"{distance(metres[kind], units)} {kind}" for kind in kinds)


def facts(
    route: Route, measures: Measures, direction: DirectionMeasures, units: Units
) -> list[tuple[str, Markup]]:
    """Return the further figures of one direction in its leading state as terms and words."""
    state, notes = direction.leading, route.notes
    figures = state.figures
    found: list[tuple[str, Any]] = []
    if figures:
        found.append(("Quiet", wording.share_words(figures, direction.length_m, units)))
        time = (
            f"{wording.minutes(figures.ride_s)} with {wording.minutes(figures.wait_s)} of waiting"
        )
        if figures.wait_s < 1:
            time = wording.minutes(figures.ride_s)
        if figures.waits_unknown:
            count = wording.plural(figures.waits_unknown, "crossing")
            time += f"; the wait at {count} is not known and not counted"
        found.append(("Time, estimated", time))
    found += [("Time, as ridden", words) for words in _ridden_minutes(route, direction)]
    found.append(("Length", distance(direction.length_m, units)))
    climb = wording.climb_words(direction, units)
    steep = wording.steepest_words(direction, units)
    found.append(("Climbing", f"{climb}; {steep}" if steep else climb))
    direct = wording.directness_words(direction)
    if notes.direct and notes.direct.minutes:
        direct.append(f"the main-road way takes {notes.direct.minutes:.0f} min")
    found.append(("Directness", "; ".join(direct)))
    if direction.direction == "outbound":
        grade = measures.difficulty
        which = " (of the way back)" if measures.graded == "return" else ""
        reason = grade.reason.partition(": ")[2]
        found.append(("Difficulty", f"{wording.grade_words(grade)}{which}: {reason}"))
        found.append(("Graded apart", f"by traffic {grade.traffic}, by effort {grade.effort}"))
    found += _worst(state, units)
    found.append(("By kind", kinds_words(state, units)))
    found.append(("Who can ride it", who_words(route, direction, units)))
    return [(term, inline(words)) for term, words in found if words]


def who_words(route: Route, direction: DirectionMeasures, units: Units) -> str:
    """Return who can ride it: steps and gaps from the data, child and cargo as the author says."""
    words = ["no steps noted" if is_step_free(direction) else "there are steps"]
    gap = narrowest_gap_m(direction)
    if gap is not None:
        wide = "wide enough for most cycles" if gap >= WIDE_GAP_M else "too narrow for some cycles"
        words.append(f"narrowest gap {small(gap, units)}, {wide}")
    elif any(p.item.gap is None for p in direction.line.barriers):
        words.append("a gap is not measured")
    who = route.notes.who
    if who and who.child:
        words.append(f"child: {who.child} (the author’s word)")
    if who and who.cargo:
        words.append(f"cargo bike: {who.cargo} (the author’s word)")
    return "; ".join(words)


def week_rows(measures: Measures, units: Units) -> list[dict[str, str]]:
    """Return one row for each state of each direction, the leading one first."""
    rows = []
    for direction in (measures.outbound, measures.way_back):
        texts = [hours_text(state.spans) for state in direction.states]
        for state, when in zip(direction.states, texts, strict=True):
            figures = state.figures
            row = {
                "direction": wording.DIRECTION_WORDS[direction.direction],
                "when": _when(when, texts),
            }
            if figures is None:
                row |= {"quiet": "shut: not passable", "busy": "", "dismounts": "", "time": ""}
            else:
                row |= {
                    "quiet": wording.quiet_words(figures, direction.length_m, units)[0],
                    "busy": str(figures.busy),
                    "dismounts": str(figures.dismounts),
                    "time": wording.minutes(figures.ride_s),
                }
            rows.append(row)
    return rows


def confirmed_words(direction: DirectionMeasures) -> str:
    """Return how much of a direction was ridden, and when."""
    percent = whole_percent(direction.confirmed_share)
    which = wording.DIRECTION_WORDS[direction.direction]
    if direction.ridden_on is None:
        return f"{which}: not ridden; what stands here is from the map and from the other way."
    return f"{which}: {percent} % of the distance confirmed by riding."


def special_words(route: Route, measures: Measures, units: Units) -> str:
    """Return what is special about a route, for a row in a list."""
    figures = measures.outbound.leading.figures
    words = []
    if figures is None:
        words.append("shut")
    else:
        if figures.dismounts:
            words.append(wording.plural(figures.dismounts, "dismount"))
        if figures.busy:
            words.append(wording.plural(figures.busy, "busy crossing"))
    words += [f"shut {wording.hours_words(hours)}" for hours in route.notes.closed]
    if not is_step_free(measures.outbound):
        words.append("steps")
    gap = narrowest_gap_m(measures.outbound)
    if gap is not None and gap < WIDE_GAP_M:
        words.append(f"gap of {small(gap, units)}")
    return ", ".join(words) or "no dismount, no busy crossing"


def _ridden_minutes(route: Route, direction: DirectionMeasures) -> list[str]:
    rides = [
        r
        for r in route.notes.ridden
        if r.moving is not None and r.direction in (direction.direction, "both")
    ]
    if not rides:
        return []
    last = max(rides, key=lambda r: r.on)
    standing = f", {last.standing:.0f} min standing" if last.standing else ""
    when = f", {last.when}" if last.when else ""
    date = wording.date_words(last.on)
    return [f"{last.moving:.0f} min moving{standing} ({date}{when})"]


def _worst(state: StateMeasures, units: Units) -> list[tuple[str, str]]:
    found = []
    if state.worst_leg:
        stretch, level = state.worst_leg
        assumed = ", assumed from the kind of street" if level.assumed else ""
        found.append(
            (
                "Worst leg",
                (
                    f"{stretch.leg.street}, {stretch.kind}, "
                    f"{distance(stretch.length_m, units)} from "
                    f"{chainage(stretch.from_m, units)}: "
                    f"{leg_words(level.level, stretch.kind)}{assumed}"
                ),
            )
        )
    met = state.worst_crossing
    if met:
        assumed = ", assumed" if met.level.assumed else ""
        found.append(
            (
                "Worst crossing",
                (
                    f"{met.crossing.road}, {wording.CONTROL_WORDS[met.crossing.control]}, at "
                    f"{chainage(met.at_m, units)}: {crossing_words(met.level.level)}{assumed}"
                ),
            )
        )
    return found


def _when(text: str, texts: list[str]) -> str:
    """The longest of several descriptions is told as the rest of the week."""
    if len(texts) > 1 and len(text) > 40 and text == max(texts, key=len):
        return "at other times"
    return wording.hours_words(text)
