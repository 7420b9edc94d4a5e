"""Takes out of a ride all that lies in a private zone, before anything else is known of it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from softpedal.draft.ride import Ride, RideError
from softpedal.library.plain_text import counted
from softpedal.library.track import local_metres
from softpedal.problems import CannotDoError

if TYPE_CHECKING:
    from softpedal.library.gpx_reader import Waypoint
    from softpedal.library.private_zones import Zones

#: The cut reaches this much past the circle, so that rounding a point never brings it back in.
MARGIN_M = 1.0
#: What is left of a line beside a cut is dropped if it is shorter than this many radii: such
#: pieces, in and out of the circle again, would trace it.
SHORTEST_PIECE = 2.0
#: Beside a cut the line is left out as far as the next turn, if there is one within the radius:
#: the first direction that is published then leads to a corner, and not back to the door.
TURN_DEGREES = 50.0
#: Directions are taken over this many metres, which evens out a receiver's noise.
_HEADING_M = 30.0
#: No end of a piece takes more than this share of it.
_MOST_OF_PIECE = 1 / 3

Floats = npt.NDArray[np.float64]
Bools = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.intp]


class PrivateLineError(CannotDoError):
    """A line that enters a private zone and must not be written."""


@dataclass(frozen=True, slots=True)
class Taken:
    """What was cut out of one part of a ride."""

    points: int = 0
    metres: float = 0.0


@dataclass(frozen=True, slots=True)
class Cut:
    """What the private zones took out of a ride: for the author's eyes, never to be published.

    Attributes:
        start, middle, finish: points, and metres of line, at each.
        waypoints: how many marked places were left out.
        spans_s: (from, to) in POSIX seconds of what was cut, ascending; none without times. They
            are open (infinite) before a start and after a finish that was cut. What was said or
            done in them must be dropped too.
    """

    start: Taken = Taken()
    middle: Taken = Taken()
    finish: Taken = Taken()
    waypoints: int = 0
    spans_s: tuple[tuple[float, float], ...] = ()

    def __bool__(self) -> bool:
        return bool(self.waypoints) or any(t.metres for t in (self.start, self.middle, self.finish))

    def words(self) -> list[str]:
        """Return what was cut, in plain words that say nothing of where."""
        said = [
            f"private zones: {taken.metres:,.0f} m ({counted(taken.points, 'point')}) {where}"
            for taken, where in (
                (self.start, "cut off at the start"),
                (self.middle, "cut out on the way"),
                (self.finish, "cut off at the finish"),
            )
            if taken.metres or taken.points
        ]
        if self.waypoints:
            said.append(f"private zones: {counted(self.waypoints, 'marked place')} left out")
        return said


def without_private(ride: Ride, zones: Zones) -> tuple[Ride, Cut]:
    """Return a ride without its passes through private zones, and what was cut.

    Every pass is cut, not only those at the ends, and where a line is cut, a new part begins.

    Raises:
        RideError: nothing is left.
    """
    if not zones:
        return ride, Cut()
    keep, broken = _kept(ride, zones)
    outside = tuple(
        w
        for w in ride.waypoints
        if not zones.holds(w.lat, w.lon) and keep[_nearest(ride, w.lat, w.lon)]
    )
    return _cut(ride, keep, broken, outside)


def refuse_private(
    lat: Floats, lon: Floats, part: Ints, zones: Zones, waypoints: tuple[Waypoint, ...] = ()
) -> None:
    """Refuse a line that is about to be written, if any of it lies in a private zone.

    Raises:
        PrivateLineError: it does.
    """
    inside, through = zones.enter(lat, lon)
    through &= np.diff(part) == 0
    if inside.any() or through.any() or any(zones.holds(w.lat, w.lon) for w in waypoints):
        raise PrivateLineError(
            "The line enters a private zone, and is not written.",
            "`softpedal bare` cuts private zones out of a recording.",
        )


def _kept(ride: Ride, zones: Zones) -> tuple[Bools, Bools]:
    """Return which points stay, (n,), and at which steps the line breaks off, (n-1,)."""
    joined = np.diff(ride.part) == 0
    inside, through = zones.enter(ride.lat, ride.lon, MARGIN_M)
    keep, broken = ~inside, through | ~joined
    radius_m = _radius_beside(ride, zones, joined)
    chainage = ride.track.chainage_m
    for first, last in _runs(keep, broken):
        metres = chainage[last] - chainage[first]
        if first == last or metres < SHORTEST_PIECE * max(radius_m[first], radius_m[last]):
            keep[first : last + 1] = False
            continue
        outwards = np.arange(first, last + 1)
        for way in (outwards, outwards[::-1]):
            most = min(radius_m[way[0]], metres * _MOST_OF_PIECE)
            keep[way[: _turn(ride, way, most)]] = False
    return keep, broken


def _radius_beside(ride: Ride, zones: Zones, joined: Bools) -> Floats:
    """Return the radius of the circle that a step to or from each point touches, else 0, (n,)."""
    found = np.zeros(len(ride.lat))
    for circle in zones.circles():
        _, steps = circle.cuts(ride.lat, ride.lon, MARGIN_M)
        for ends in (found[:-1], found[1:]):  # views: what is written there stays
            np.maximum(ends, np.where(steps & joined, circle.radius_m, 0.0), out=ends)
    return found


def _turn(ride: Ride, way: Ints, most_m: float) -> int:
    """Return how many points of a way out of a circle come before its first turn is done.

    0 where there is no turn within `most_m`.
    """
    if most_m <= 0:
        return 0
    east, north = local_metres(ride.lat[way], ride.lon[way], ride.lat[way[0]], ride.lon[way[0]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(east), np.diff(north)))])
    ahead = np.searchsorted(along, along + _HEADING_M)
    ahead = ahead[ahead < len(along)]
    heading = np.arctan2(east[ahead] - east[: len(ahead)], north[ahead] - north[: len(ahead)])[
        : np.searchsorted(along, most_m)
    ]
    turned = np.abs(np.angle(np.exp(1j * (heading - heading[:1])))) > np.radians(TURN_DEGREES)
    if not turned.any():
        return 0
    corner = along[turned.argmax()]
    return int(np.searchsorted(along, corner + _HEADING_M, side="right")) - 1


def _nearest(ride: Ride, lat: float, lon: float) -> int:
    """Return which point of a ride is nearest to a place: it goes where the place goes."""
    return int(np.hypot(*local_metres(ride.lat, ride.lon, lat, lon)).argmin())


def _cut(
    ride: Ride, keep: Bools, broken: Bools, waypoints: tuple[Waypoint, ...]
) -> tuple[Ride, Cut]:
    if not keep.any():
        raise RideError(
            "All of this ride lies in or beside your private zones: nothing of it is left.",
            "Take a longer ride; a zone stays as it is, for a smaller one gives more away.",
        )
    part = np.cumsum(np.concatenate([[True], broken | ~keep[1:] | ~keep[:-1]]))[keep]
    part = np.unique(part, return_inverse=True)[1].astype(np.intp).reshape(-1)
    found = replace(ride.only(keep), part=part, waypoints=waypoints)
    return found, _summary(ride, keep, broken, len(ride.waypoints) - len(waypoints))


def _summary(ride: Ride, keep: Bools, broken: Bools, waypoints: int) -> Cut:
    """Return points and metres that are gone at the ends and between, and when that was."""
    left = np.flatnonzero(keep)
    first, last = int(left[0]), int(left[-1])
    metres = np.where(np.diff(ride.part) == 0, ride.track.steps_m, 0.0)
    gone = ~(keep[1:] & keep[:-1] & ~broken)
    gone_m = np.where(gone, metres, 0.0)
    return Cut(
        Taken(first, float(gone_m[:first].sum())),
        Taken(int((~keep[first:last]).sum()), float(gone_m[first:last].sum())),
        Taken(len(keep) - 1 - last, float(gone_m[last:].sum())),
        waypoints,
        _spans(ride, gone & (metres > 0) | ~keep[1:] | ~keep[:-1]),
    )


def _spans(ride: Ride, gone: Bools) -> tuple[tuple[float, float], ...]:
    """Return from when to when the steps that are gone were ridden, with the stops at each end."""
    if ride.time_s is None:
        return ()
    stood = np.zeros(len(ride.lat)) if ride.stood_s is None else ride.stood_s
    edges = np.flatnonzero(np.diff(np.concatenate([[False], gone, [False]]).astype(np.int8)))
    return tuple(
        (
            float(ride.time_s[first]) if first else -math.inf,
            float(ride.time_s[last] + stood[last]) if last < len(gone) else math.inf,
        )
        for first, last in edges.reshape(-1, 2)
    )


def _runs(keep: Bools, broken: Bools) -> list[tuple[int, int]]:
    """Return first and last index of each run of points that stay and hang together."""
    kept = np.flatnonzero(keep)
    if not len(kept):
        return []
    apart = (np.diff(kept) > 1) | broken[kept[:-1]]
    begins = kept[np.concatenate([[True], apart])]
    ends = kept[np.concatenate([apart, [True]])]
    return list(zip(begins.tolist(), ends.tolist(), strict=True))
