"""Route → Measures: both directions, every state, and the grade; a pure function."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.library.notes import DIRECTIONS, Direction
from softpedal.measure.claims import claim_problems
from softpedal.measure.difficulty import Difficulty, difficulty, rank
from softpedal.measure.direction import DirectionMeasures, measure_direction
from softpedal.problems import Problem, sort_problems

if TYPE_CHECKING:
    from softpedal.library.load import Loaded
    from softpedal.library.route import Route
    from softpedal.settings import Settings


@dataclass(frozen=True, eq=False, slots=True)
class Measures:
    """Everything measured of a route."""

    outbound: DirectionMeasures
    way_back: DirectionMeasures
    difficulty: Difficulty
    graded: Direction

    def of(self, direction: Direction) -> DirectionMeasures:
        """Return what was measured in one direction."""
        return self.outbound if direction == "outbound" else self.way_back

    @property
    def ridden_on(self) -> str | None:
        """The date of the latest ride in any direction."""
        dates = [self.of(d).ridden_on for d in DIRECTIONS]
        return max((d for d in dates if d), default=None)


@dataclass(frozen=True, slots=True)
class Measured:
    """What became of one route folder: a route with its measures, or the reasons why not."""

    id: str
    route: Route | None
    measures: Measures | None
    problems: tuple[Problem, ...]


def measure(route: Route, settings: Settings) -> Measures:
    """Measure a route; the grade is that of the worse direction in its leading state."""
    outbound = measure_direction(route, "outbound", settings)
    way_back = measure_direction(route, "return", settings)
    closed = bool(route.notes.closed)
    out, back = (difficulty(d, settings, closed) for d in (outbound, way_back))
    back_is_worse = _order(back) > _order(out)
    return Measures(
        outbound,
        way_back,
        back if back_is_worse else out,
        "return" if back_is_worse else "outbound",
    )


def measure_loaded(loaded: Loaded, settings: Settings) -> Measured:
    """Measure a loaded route and check what its notes claim; an error leaves the route out."""
    if loaded.route is None:
        return Measured(loaded.id, None, None, loaded.problems)
    measures = measure(loaded.route, settings)
    claims = claim_problems(loaded.route, measures.outbound, measures.way_back)
    problems = tuple(sort_problems((*loaded.problems, *claims)))
    if any(p.is_error for p in claims):
        return Measured(loaded.id, None, None, problems)
    return Measured(loaded.id, loaded.route, measures, problems)


def _order(grade: Difficulty) -> tuple[int, int, int]:
    return rank(grade.overall), rank(grade.traffic), rank(grade.effort)
