"""Where a ride lost time and where it gained some: each leg against the page, or an older ride."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Self

import numpy as np

from softpedal.draft.cleaning import steps_s
from softpedal.measure.riding_time import moving_s

if TYPE_CHECKING:
    from softpedal.draft.ride import Ride
    from softpedal.library.track import Floats
    from softpedal.measure.direction import DirectionMeasures, StateMeasures
    from softpedal.settings import Settings
    from softpedal.upkeep.reriding.line_cover import Cover

#: A leg of which a smaller share was ridden is not compared.
LEAST_SHARE = 0.5
#: One stands this much before a crossing, metres: the wait belongs to the leg that leads there.
_STANDS_BEFORE_M = 20.0


@dataclass(frozen=True, eq=False, slots=True)
class Clock:
    """How a ride's time runs along it; n points.

    Attributes:
        along_m: metres along the ride, in the order of the line that it is held against, (n,).
        moving_s, standing_s: seconds that it had moved and stood until there, either both
            ascending or, on a ride that is turned round, both descending, (n,).
    """

    along_m: Floats
    moving_s: Floats
    standing_s: Floats

    @classmethod
    def of(cls, ride: Ride, *, is_turned: bool) -> Self | None:
        """Return the clock of a ride, None where it has none."""
        if ride.time_s is None:
            return None
        moving, standing = (
            np.concatenate([[0.0], np.cumsum(seconds)]) for seconds in steps_s(ride, ride.time_s)
        )
        along = ride.track.chainage_m
        if is_turned:
            return cls((along[-1] - along)[::-1], moving[::-1], standing[::-1])
        return cls(along, moving, standing)

    def between(self, from_m: float, to_m: float) -> tuple[float, float]:
        """Return the seconds moved and stood between two places along the ride."""
        ends = np.array([from_m, to_m])
        moved, stood = (
            float(abs(np.diff(np.interp(ends, self.along_m, values))[0]))
            for values in (self.moving_s, self.standing_s)
        )
        return moved, stood


@dataclass(frozen=True, slots=True)
class LegTime:
    """A leg in riding order, and its time.

    Attributes:
        street: its name.
        from_m, to_m: along the published file's line, from_m < to_m.
        moving_s, standing_s: as ridden.
        expected_moving_s, expected_standing_s: as the page reckons, or as the older ride took.
        differs: whether part of it was ridden by another way.
    """

    street: str
    from_m: float
    to_m: float
    moving_s: float
    standing_s: float
    expected_moving_s: float
    expected_standing_s: float
    differs: bool

    @property
    def lost_s(self) -> float:
        """Seconds more than expected; negative where time was gained."""
        return self.moving_s + self.standing_s - self.expected_moving_s - self.expected_standing_s


def leg_times(
    measured: DirectionMeasures,
    settings: Settings,
    ridden: tuple[Cover, Clock],
    older: tuple[Cover, Clock] | None,
    minute: int | None,
) -> list[LegTime]:
    """Return the legs of a direction that were ridden and recorded, in riding order.

    Args:
        measured: the direction; its legs are those of the state of the week at the ride's start.
        settings: of the library.
        ridden: how the ride covers the file's line, and its clock.
        older: the same of a ride to compare with; the page where it is None.
        minute: of the week at which the ride began, None where that is not known.
    """
    state = _state(measured, minute)
    length_m = measured.length_m
    is_turned = measured.line.is_turned
    found = []
    for stretch, _ in state.legs:
        a, b = stretch.from_m, stretch.to_m
        ends = (max(0.0, length_m - b), length_m - a) if is_turned else (a, b)
        taken = _taken(ridden, *ends)
        expected = _taken(older, *ends) if older else None
        if taken is None or (older and expected is None):
            continue
        if expected is None:
            waits = [
                c.wait_s or 0.0
                for c in state.crossings
                if a <= max(0.0, c.at_m - _STANDS_BEFORE_M) < b
            ]
            expected = moving_s([stretch], measured.profile, settings), sum(waits)
        differs = any(s.from_m < ends[1] and s.to_m > ends[0] for s in ridden[0].stretches)
        found.append(LegTime(stretch.leg.street, *ends, *taken, *expected, differs))
    return found


def _taken(ridden: tuple[Cover, Clock], from_m: float, to_m: float) -> tuple[float, float] | None:
    covered, clock = ridden
    inside = min(to_m, covered.to_m) - max(from_m, covered.from_m)
    if inside < LEAST_SHARE * (to_m - from_m) or not len(covered.knots):
        return None
    if any(not s.is_recorded and s.from_m < to_m and s.to_m > from_m for s in covered.stretches):
        return None
    a, b = covered.along_ride(np.array([from_m, to_m]))
    return clock.between(float(a), float(b))


def _state(measured: DirectionMeasures, minute: int | None) -> StateMeasures:
    if minute is not None:
        for state in measured.states:
            if any(a <= minute < b for a, b in state.spans):
                return state
    return measured.leading
