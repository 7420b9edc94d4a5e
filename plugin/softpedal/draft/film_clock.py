"""Where a ride was at each second of its clock: the line by time, with its waits and its gaps."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from softpedal.draft.ride import Ride

    Floats = NDArray[np.float64]

#: Slower than this for so long is a wait, even where cleaning found no stop.
SLOW_M_S, SLOW_S = 0.6, 6.0
#: Waits so near to each other in time are one.
_ONE_WAIT_S = 3.0
#: A film may run so much past an end of the recording before it is off the line.
END_S = 4.0


@dataclass(frozen=True, slots=True)
class Wait:
    """A wait of the ride: from when to when by its clock, and metres along the line."""

    from_s: float
    to_s: float
    at_m: float

    @property
    def seconds(self) -> float:
        """How long it lasted."""
        return self.to_s - self.from_s


@dataclass(frozen=True, eq=False)
class RideClock:
    """The line of a ride by its own clock.

    Attributes:
        time_s: POSIX seconds, ascending, (k,): a stop has two.
        at_m: chainage at each, metres, never falling, (k,).
        gaps: (from, to) in POSIX seconds between parts, of which nothing is known or published.
        waits: in riding order.
    """

    time_s: Floats
    at_m: Floats
    gaps: tuple[tuple[float, float], ...]
    waits: tuple[Wait, ...]

    @property
    def start_s(self) -> float:
        """When the line begins."""
        return float(self.time_s[0])

    @property
    def end_s(self) -> float:
        """When it ends."""
        return float(self.time_s[-1])

    def at(self, ride_s: float) -> float:
        """Return the chainage at a time, clamped to the ends."""
        return float(np.interp(ride_s, self.time_s, self.at_m))

    def is_known(self, ride_s: float) -> bool:
        """Whether the ride was on the published line at a time."""
        if not self.start_s - END_S <= ride_s <= self.end_s + END_S:
            return False
        return not any(begin < ride_s < end for begin, end in self.gaps)

    def times(self, from_m: float, to_m: float) -> tuple[float, float]:
        """Return the first time at one chainage and the last at another that is no smaller."""
        return self._time(from_m, "left"), self._time(to_m, "right")

    def _time(self, at_m: float, side: Literal["left", "right"]) -> float:
        index = int(np.searchsorted(self.at_m, at_m, side=side))
        if index == 0:
            return self.start_s
        if index == len(self.at_m):
            return self.end_s
        here, there = self.at_m[index - 1], self.at_m[index]
        share = (at_m - here) / (there - here)
        return float(self.time_s[index - 1] + share * (self.time_s[index] - self.time_s[index - 1]))


def ride_clock(ride: Ride) -> RideClock | None:
    """Return the line of a ride by its clock; None where it has none."""
    if ride.time_s is None:
        return None
    chainage = ride.track.chainage_m
    stood = np.zeros(len(ride.lat)) if ride.stood_s is None else ride.stood_s
    leaves = ride.time_s + stood
    leaves[:-1] = np.clip(leaves[:-1], ride.time_s[:-1], ride.time_s[1:])
    time_s = np.maximum.accumulate(np.column_stack([ride.time_s, leaves]).ravel())
    at_m = np.repeat(chainage, 2)
    torn = np.flatnonzero(np.diff(ride.part) != 0)
    gaps = tuple((float(leaves[i]), float(ride.time_s[i + 1])) for i in torn)
    return RideClock(time_s, at_m, gaps, _waits(time_s, at_m, gaps))


def _waits(time_s: Floats, at_m: Floats, gaps: tuple[tuple[float, float], ...]) -> tuple[Wait, ...]:
    seconds, metres = np.diff(time_s), np.diff(at_m)
    slow = (seconds > 0) & (metres <= SLOW_M_S * seconds)
    found: list[Wait] = []
    for i in np.flatnonzero(slow):
        begin, end = float(time_s[i]), float(time_s[i + 1])
        if any(begin < to and end > since for since, to in gaps):
            continue
        if found and begin - found[-1].to_s <= _ONE_WAIT_S:
            found[-1] = Wait(found[-1].from_s, end, found[-1].at_m)
        else:
            found.append(Wait(begin, end, float(at_m[i])))
    return tuple(wait for wait in found if wait.seconds >= SLOW_S)
