"""Two grades and their worse one, with the reason in words.

The limits of effort are this project's own and are settings. Gap width: Active Travel England.
"""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, get_args

from softpedal.measure.stress import LEVEL_WORDS
from softpedal.measure.units import distance, height, small

if TYPE_CHECKING:
    from softpedal.measure.crossings import MetCrossing
    from softpedal.measure.direction import DirectionMeasures, StateMeasures
    from softpedal.measure.units import Units
    from softpedal.settings import EffortLimits, Settings

Grade = Literal["easy", "moderate", "demanding"]
GRADES: tuple[Grade, ...] = get_args(Grade)

#: Every gap this wide lets a wide cycle pass (Active Travel England).
WIDE_GAP_M = 1.5
#: Mean wait at a crossing without signals or zebra, above which a route is demanding.
LONG_WAIT_S = 45.0
_STEPS = re.compile(r"\b(steps?|stairs?|staircase)\b", re.IGNORECASE)
ROUGH = frozenset({"rough", "loose", "cobbles"})
EASY_BUSY = frozenset(
    {
        "cycle signals",
        "toucan",
        "signals",
        "pedestrian signals",
        "parallel",
        "bridge",
        "underpass",
    }
)


@dataclass(frozen=True, slots=True)
class Difficulty:
    """The grade of a direction, and why it is not an easier one.

    Attributes:
        overall: the worse of the two.
        traffic: by levels and crossings.
        effort: by length, climbing and getting off.
        reason: in English, beginning with the grade.
        reasons: the same in parts.
        qualified: under what conditions it holds, like "by day"; may be empty.
    """

    overall: Grade
    traffic: Grade
    effort: Grade
    reason: str
    reasons: tuple[Reason, ...]
    qualified: tuple[str, ...]


class Word(str):
    """A word of ours in a reason, such as a kind of street, that a page may translate."""

    __slots__ = ()


@dataclass(frozen=True, slots=True)
class Length:
    """A length in a reason, in metres, and how it is told."""

    metres: float
    form: Literal["distance", "width", "height"] = "distance"


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a route is of a grade.

    Attributes:
        grade: 0 easy, 1 moderate, 2 demanding.
        text: English, with braces for the values.
        values: what goes into the braces.
    """

    grade: int
    text: str
    values: tuple[tuple[str, Length | str], ...] = ()

    def english(self, units: Units) -> str:
        """Return the reason in English."""
        return self.text.format(**{name: _english(value, units) for name, value in self.values})


def _english(value: Length | str, units: Units) -> str:
    if not isinstance(value, Length):
        return value
    told = {"distance": distance, "width": small, "height": height}[value.form]
    return told(value.metres, units)


def _why(grade: int, text: str, **values: Length | str) -> Reason:
    return Reason(grade, text, tuple(values.items()))


def difficulty(measures: DirectionMeasures, settings: Settings, closed: bool) -> Difficulty:
    """Return the grade of one direction in its leading state; `closed` if it is shut at times."""
    state = measures.leading
    traffic = _traffic(state)
    effort = _effort(measures, state, settings)
    worst_traffic = max((reason.grade for reason in traffic), default=0)
    worst_effort = max((reason.grade for reason in effort), default=0)
    overall = max(worst_traffic, worst_effort)
    reasons = [reason for reason in [*traffic, *effort] if reason.grade == overall > 0]
    if not reasons and state.figures:
        reasons = [
            *_nothing_above(state.figures.level),
            _why(0, "{length}", length=Length(measures.length_m)),
        ]
    if measures.heights is None:
        reasons.append(_why(0, "climbing not recorded and not graded"))
    words = "; ".join(reason.english(settings.units) for reason in reasons)
    return Difficulty(
        GRADES[overall],
        GRADES[worst_traffic],
        GRADES[worst_effort],
        f"{GRADES[overall]}: {words}",
        tuple(reasons),
        _qualified(measures, closed=closed),
    )


def _nothing_above(level: int) -> list[Reason]:
    if level == 1:
        return [_why(0, "nothing above level 1")]
    words = Word(LEVEL_WORDS[level])
    return [_why(0, "nothing above level {level} ({words})", level=str(level), words=words)]


def rank(grade: Grade) -> int:
    """Return 0 for easy, 1 for moderate, 2 for demanding."""
    return GRADES.index(grade)


def is_step_free(measures: DirectionMeasures) -> bool:
    """Whether no step is noted in the leading state; from the data alone."""
    said = [(p.item.why, p.item.steps) for p in measures.line.dismounts]
    said += [(p.item.what, p.item.steps) for p in measures.line.barriers]
    return not (
        any(stretch.leg.steps for stretch, _ in measures.leading.legs)
        or any(steps or _STEPS.search(text) for text, steps in said)
    )


def narrowest_gap_m(measures: DirectionMeasures) -> float | None:
    """Return the narrowest gap noted at a barrier that is there in the leading state, metres."""
    opened = measures.leading.open
    gaps = [
        p.item.gap
        for p in measures.line.barriers
        if p.item.gap is not None and (p.item.hours is None or p.item.hours in opened)
    ]
    return min(gaps, default=None)


def _traffic(state: StateMeasures) -> list[Reason]:
    reasons: list[Reason] = []
    by_street: dict[tuple[int, str, str], float] = defaultdict(float)
    for stretch, level in state.legs:
        by_street[level.level, stretch.kind, stretch.leg.street] += stretch.length_m
    for (stress, kind, street), metres in by_street.items():
        reasons.append(
            _why(
                max(0, stress - 2),
                "{length} of {kind} on {street} at level {level}",
                length=Length(metres),
                kind=Word(kind),
                street=street,
                level=str(stress),
            )
        )
    for met in state.crossings:
        reasons += _crossing(met)
    return _once(reasons)


def _crossing(met: MetCrossing) -> list[Reason]:
    road, level = met.crossing.road, met.level.level
    reasons = [
        _why(max(0, level - 2), "crossing {road} at level {level}", road=road, level=str(level))
    ]
    easy = met.crossing.control in EASY_BUSY
    easy |= met.crossing.control == "zebra" and not met.crossing.is_ridden
    if met.busy and not easy:
        over_zebra, without = (
            "crossing busy {road} ridden over a zebra",
            "crossing busy {road} without signals or zebra",
        )
        reasons.append(_why(1, over_zebra if met.controlled else without, road=road))
    if met.is_open and met.wait_s is not None and met.wait_s > LONG_WAIT_S:
        text = "a mean wait of {seconds} s to cross {road}"
        reasons.append(_why(2, text, seconds=f"{met.wait_s:.0f}", road=road))
    return reasons


def _effort(measures: DirectionMeasures, state: StateMeasures, settings: Settings) -> list[Reason]:
    reasons = [
        *_beyond(1, measures, state, settings.easy),
        *_beyond(2, measures, state, settings.moderate),
    ]
    rough: dict[tuple[str, str], float] = defaultdict(float)
    for stretch, _ in state.legs:
        surface = stretch.leg.surface and stretch.leg.surface.get(measures.direction)
        if surface in ROUGH:
            words = surface if surface == "cobbles" else f"{surface} surface"
            rough[words, stretch.leg.street] += stretch.length_m
    for (words, street), metres in rough.items():
        text = "{length} of {surface} on {street}"
        reasons.append(_why(1, text, length=Length(metres), surface=Word(words), street=street))
    gap = narrowest_gap_m(measures)
    if gap is not None and gap < WIDE_GAP_M:
        reasons.append(_why(1, "a gap of {width}", width=Length(gap, "width")))
    return _once(reasons)


def _beyond(
    grade: int, measures: DirectionMeasures, state: StateMeasures, limits: EffortLimits
) -> list[Reason]:
    """Return what goes beyond the limits of the grade before."""
    figures = state.figures
    found: list[Reason] = []
    if measures.length_m > limits.km * 1000:
        found.append(_why(grade, "{length} long", length=Length(measures.length_m)))
    if measures.heights and measures.heights.ascent_m > limits.climb_m:
        metres = Length(measures.heights.ascent_m, "height")
        found.append(_why(grade, "{height} climbed", height=metres))
    steep = measures.steepest
    if steep and steep.gradient * 100 > limits.gradient_percent + 1e-9:
        text = "{percent} % uphill over {length}"
        percent = f"{steep.gradient * 100:.0f}"
        found.append(_why(grade, text, percent=percent, length=Length(steep.metres)))
    if figures and limits.dismounts is not None and figures.dismounts > limits.dismounts:
        found.append(_why(grade, "{count} dismounts", count=str(figures.dismounts)))
    if figures and limits.pushed_m is not None and figures.pushed_m > limits.pushed_m:
        found.append(_why(grade, "{length} pushed", length=Length(figures.pushed_m)))
    return found


def _once(reasons: list[Reason]) -> list[Reason]:
    """Keep each reason at its worse grade only."""
    worst: dict[tuple[str, object], Reason] = {}
    for reason in reasons:
        before = worst.get((reason.text, reason.values))
        if before is None or reason.grade > before.grade:
            worst[reason.text, reason.values] = reason
    return list(worst.values())


def _qualified(measures: DirectionMeasures, *, closed: bool) -> tuple[str, ...]:
    state = measures.leading
    legs = [stretch.leg for stretch, _ in state.legs]
    words = []
    if any(leg.lit in ("no", "partly") for leg in legs):
        words.append("by day")
    if any(leg.wet for leg in legs):
        words.append("when dry")
    if closed:
        words.append("when open")
    levels = [s.figures.level for s in measures.states if s.figures]
    if state.figures and max(levels) > state.figures.level:
        words.append("harder at times")
    return tuple(words)
