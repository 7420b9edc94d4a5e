"""Rides cut into pieces, and put together again."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from softpedal.library.gpx_writer import DEGREE_DECIMALS
from softpedal.library.track import MAX_GAP_M, WGS84

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.draft.ride import Ride
    from softpedal.library.track import Floats, Ints

#: A cut this near to a point is made at it, in metres.
_SNAP_M = 0.05
#: Points this near to each other are one, in metres.
_SAME_M = 0.01


def between(ride: Ride, from_m: float, to_m: float) -> Ride | None:
    """Return the stretch of a ride between two chainages, None where it has no length.

    Points inside stay as they are; where it is cut between two, a point is set there.
    """
    at = ride.track.chainage_m
    from_m, to_m = (_snapped(at, metres) for metres in (from_m, to_m))
    first = int(np.searchsorted(at, from_m, "right")) - 1
    last = int(np.searchsorted(at, to_m, "left"))
    inner = np.arange(max(first, 0), min(last, len(at) - 1) + 1)
    if len(inner) < 2 or to_m <= from_m:
        return None
    marks = np.clip(at[inner], from_m, to_m)
    # At a gap between parts two points share a chainage: those at hand stay, others are set anew.
    moved = marks != at[inner]

    def along(values: Floats, decimals: int | None = None) -> Floats:
        set_anew = np.interp(marks, at[inner], values[inner])
        if decimals is not None:
            set_anew = np.round(set_anew, decimals)
        return np.where(moved, set_anew, values[inner])

    part = ride.part[inner]
    times = None
    if ride.time_s is not None:
        times = along(ride.time_s)
        if moved[0] and ride.stood_s is not None:
            # Where one stood at the point before, the way on was shorter than its time.
            left_s = ride.time_s[first] + ride.stood_s[first]
            share = (marks[0] - at[first]) / (at[first + 1] - at[first])
            times[0] = left_s + share * (ride.time_s[first + 1] - left_s)
    stood = None if ride.stood_s is None else np.where(moved, 0.0, ride.stood_s[inner])
    return replace(
        ride,
        lat=along(ride.lat, DEGREE_DECIMALS),
        lon=along(ride.lon, DEGREE_DECIMALS),
        height=along(ride.height),
        part=part - part[0],
        time_s=times,
        stood_s=stood,
    )


def pieced(pieces: Sequence[Ride]) -> Ride:
    """Return pieces one after the other; ends more than 50 m apart begin a new part.

    A piece that begins where the one before ends shares that point. The name, waypoints and
    remarks are the first one's. Without all of their times, or of their stops, there are none.
    """
    parts: list[Ride] = []
    numbers: list[Ints] = []
    begin = 0
    for piece in pieces:
        following = piece
        if parts:
            apart = apart_m(parts[-1], -1, piece, 0)
            if apart < _SAME_M and len(piece.lat) > 1:
                following = piece.only(slice(1, None))
            begin += apart > MAX_GAP_M
        parts.append(following)
        numbers.append(following.part - following.part[0] + begin)
        begin = int(numbers[-1][-1])
    times = [piece.time_s for piece in parts if piece.time_s is not None]
    stood = [piece.stood_s for piece in parts if piece.stood_s is not None]
    return replace(
        parts[0],
        lat=np.concatenate([piece.lat for piece in parts]),
        lon=np.concatenate([piece.lon for piece in parts]),
        height=np.concatenate([piece.height for piece in parts]),
        part=np.concatenate(numbers).astype(np.intp),
        time_s=np.concatenate(times) if len(times) == len(parts) else None,
        stood_s=np.concatenate(stood) if len(stood) == len(parts) else None,
    )


def apart_m(one: Ride, i: int, other: Ride, j: int) -> float:
    """Return metres from a point of one ride to a point of another, by their indices."""
    _, _, metres = WGS84.inv(one.lon[i], one.lat[i], other.lon[j], other.lat[j])
    return float(metres)


def _snapped(chainage_m: Floats, metres: float) -> float:
    """Return the chainage of a point that is as good as there, else the metres as they are."""
    nearest = float(chainage_m[np.abs(chainage_m - metres).argmin()])
    return nearest if abs(nearest - metres) <= _SNAP_M else metres
