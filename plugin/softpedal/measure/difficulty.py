"""Two grades and their worse one, with the reason in words.

The limits of effort are this project's own and are settings. Gap width: Active Travel England.
"""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, get_args

from softpedal.measure.stress import LEVEL_WORDS
from softpedal.measure.units import distance, small

if TYPE_CHECKING:
    from softpedal.measure.direction import DirectionMeasures, StateMeasures
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
        reason: in words, beginning with the grade.
        qualified: under what conditions it holds, like "by day"; may be empty.
    """

    overall: Grade
    traffic: Grade
    effort: Grade
    reason: str
    qualified: tuple[str, ...]


Reason = tuple[int, str]


def difficulty(measures: DirectionMeasures, settings: Settings, closed: bool) -> Difficulty:
    """Return the grade of one direction in its leading state; `closed` if it is shut at times."""
    state = measures.leading
    traffic = _traffic(state, settings)
    effort = _effort(measures, state, settings)
    worst_traffic = max((grade for grade, _ in traffic), default=0)
    worst_effort = max((grade for grade, _ in effort), default=0)
    overall = max(worst_traffic, worst_effort)
    why = [text for grade, text in [*traffic, *effort] if grade == overall and overall > 0]
    if not why and state.figures:
        level = state.figures.level
        nowhere = f"nothing above level {level}" + (f" ({LEVEL_WORDS[level]})" if level > 1 else "")
        why = [nowhere, distance(measures.length_m, settings.units)]
    if measures.heights is None:
        why.append("climbing not recorded and not graded")
    return Difficulty(
        GRADES[overall],
        GRADES[worst_traffic],
        GRADES[worst_effort],
        f"{GRADES[overall]}: {'; '.join(why)}",
        _qualified(state, closed=closed),
    )


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


def _traffic(state: StateMeasures, settings: Settings) -> list[Reason]:
    reasons: list[Reason] = []
    by_street: dict[tuple[int, str, str], float] = defaultdict(float)
    for stretch, level in state.legs:
        by_street[level.level, stretch.kind, stretch.leg.street] += stretch.length_m
    for (stress, kind, street), metres in by_street.items():
        text = f"{distance(metres, settings.units)} of {kind} on {street} at level {stress}"
        reasons.append((max(0, stress - 2), text))
    for met in state.crossings:
        road = met.crossing.road
        text = f"crossing {road} at level {met.level.level}"
        reasons.append((max(0, met.level.level - 2), text))
        easy = met.crossing.control in EASY_BUSY
        easy |= met.crossing.control == "zebra" and not met.crossing.is_ridden
        if met.busy and not easy:
            how = "ridden over a zebra" if met.controlled else "without signals or zebra"
            reasons.append((1, f"crossing busy {road} {how}"))
        if met.is_open and met.wait_s is not None and met.wait_s > LONG_WAIT_S:
            reasons.append((2, f"a mean wait of {met.wait_s:.0f} s to cross {road}"))
    return _once(reasons)


def _effort(measures: DirectionMeasures, state: StateMeasures, settings: Settings) -> list[Reason]:
    reasons = [
        *_beyond(1, measures, state, settings.easy, settings),
        *_beyond(2, measures, state, settings.moderate, settings),
    ]
    rough: dict[str, float] = defaultdict(float)
    for stretch, _ in state.legs:
        surface = stretch.leg.surface and stretch.leg.surface.get(measures.direction)
        if surface in ROUGH:
            words = surface if surface == "cobbles" else f"{surface} surface"
            rough[f"{words} on {stretch.leg.street}"] += stretch.length_m
    reasons += [(1, f"{distance(m, settings.units)} of {text}") for text, m in rough.items()]
    gap = narrowest_gap_m(measures)
    if gap is not None and gap < WIDE_GAP_M:
        reasons.append((1, f"a gap of {small(gap, settings.units)}"))
    return _once(reasons)


def _beyond(
    grade: int,
    measures: DirectionMeasures,
    state: StateMeasures,
    limits: EffortLimits,
    settings: Settings,
) -> list[Reason]:
    """Return what goes beyond the limits of the grade before."""
    units, figures = settings.units, state.figures
    found: list[Reason] = []
    if measures.length_m > limits.km * 1000:
        found.append((grade, f"{distance(measures.length_m, units)} long"))
    if measures.heights and measures.heights.ascent_m > limits.climb_m:
        found.append((grade, f"{measures.heights.ascent_m:.0f} m climbed"))
    if measures.steepest and measures.steepest.gradient * 100 > limits.gradient_percent + 1e-9:
        percent = measures.steepest.gradient * 100
        found.append((grade, f"{percent:.0f} % uphill over {measures.steepest.metres:.0f} m"))
    if figures and limits.dismounts is not None and figures.dismounts > limits.dismounts:
        found.append((grade, f"{figures.dismounts} dismounts"))
    if figures and limits.pushed_m is not None and figures.pushed_m > limits.pushed_m:
        found.append((grade, f"{distance(figures.pushed_m, units)} pushed"))
    return found


def _once(reasons: list[Reason]) -> list[Reason]:
    """Keep each reason at its worse grade only."""
    worst: dict[str, int] = {}
    for grade, text in reasons:
        worst[text] = max(grade, worst.get(text, 0))
    return [(grade, text) for text, grade in worst.items()]


def _qualified(state: StateMeasures, *, closed: bool) -> tuple[str, ...]:
    legs = [stretch.leg for stretch, _ in state.legs]
    words = []
    if any(leg.lit in ("no", "partly") for leg in legs):
        words.append("by day")
    if any(leg.wet for leg in legs):
        words.append("when dry")
    if closed:
        words.append("when open")
    return tuple(words)
