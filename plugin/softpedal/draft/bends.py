"""Where a line bends clearly: at corners, not along curves, and not where a recording wavers."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from softpedal.library.track import MAX_GAP_M, local_metres

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from softpedal.library.track import Track

    Floats = NDArray[np.float64]

#: Two bends are about so far apart at the least.
APART_M = 30.0
#: The line is looked at every so many metres.
_STEP_M = 2.0
#: A corner turns at least so much within `_NEAR_M` before and after it …
_BEND_DEGREES, _NEAR_M = 50.0, 25.0
#: … and the turn holds: seen from `_FAR_M` it is at least so much, and not much more. A line that
#: wavers turns back, and a curve turns on and on: 25 m and 40 m see it as 1 to 1.6.
_HELD_DEGREES, _FAR_M, _MOST_MORE = 45.0, 40.0, 1.35
#: Turns that differ by less are the same one.
_SAME_DEGREES = 0.5
#: Nearer to an end, no direction can be seen.
_LEAST_M = 20.0


@dataclass(frozen=True, slots=True)
class Bend:
    """A clear bend: metres along the line, and degrees turned, to the right positive."""

    at_m: float
    turn_degrees: float


def bends(track: Track) -> tuple[Bend, ...]:
    """Return the clear bends of a line in riding order, some 30 m apart at least.

    The direction over the 25 m before differs from that over the 25 m after by 50° or more, and
    seen from 40 m still does. A step over a gap between parts is taken as ridden if it is no
    longer than 50 m. The lengths are our own choice, fitted to corners, curves and noise whose
    geometry is known.
    """
    torn = (np.diff(track.part) != 0) & (track.steps_m > MAX_GAP_M)
    cuts = [0, *(np.flatnonzero(torn) + 1).tolist(), len(track.lat)]
    east, north = local_metres(track.lat, track.lon, float(track.lat[0]), float(track.lon[0]))
    xy = np.column_stack([east, north])
    found: list[Bend] = []
    for start, end in pairwise(cuts):
        found += _bends(xy[start:end], track.chainage_m[start:end])
    return tuple(found)


def _bends(xy: Floats, chainage_m: Floats) -> list[Bend]:
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(xy, axis=0).T))])
    if run[-1] < 2 * _LEAST_M:
        return []
    marks = np.arange(_LEAST_M, run[-1] - _LEAST_M + 1e-6, _STEP_M)
    marks = np.unique(np.concatenate([marks, run[(run > _LEAST_M) & (run < run[-1] - _LEAST_M)]]))
    near, far = _turns(xy, run, marks, _NEAR_M), _turns(xy, run, marks, _FAR_M)
    size = np.abs(near)
    held = (np.abs(far) >= _HELD_DEGREES) & (np.abs(far) <= _MOST_MORE * size)
    left = np.flatnonzero((size >= _BEND_DEGREES) & held)
    taken: list[int] = []
    for index in left[np.argsort(-np.round(size[left], 3), kind="stable")].tolist():
        if all(abs(marks[index] - marks[other]) >= APART_M for other in taken):
            taken.append(index)
    at = [np.interp(_middle(marks, size, index), run, chainage_m) for index in sorted(taken)]
    return [Bend(float(m), float(near[i])) for m, i in zip(at, sorted(taken), strict=True)]


def _middle(marks: Floats, size: Floats, index: int) -> float:
    """Return the middle of the marks about one that see the same turn as it, in metres."""
    same = np.abs(size - size[index]) < _SAME_DEGREES
    first, last = index, index
    while first > 0 and same[first - 1]:
        first -= 1
    while last < len(same) - 1 and same[last + 1]:
        last += 1
    return float(marks[first] + marks[last]) / 2


def _turns(xy: Floats, run: Floats, marks: Floats, metres: float) -> Floats:
    """Return degrees between the directions before and after each mark, (n,), right positive."""
    here, before, after = (
        np.column_stack([np.interp(at, run, xy[:, k]) for k in (0, 1)])
        for at in (marks, np.maximum(marks - metres, 0), np.minimum(marks + metres, run[-1]))
    )
    into, out = here - before, after - here
    cross = into[:, 0] * out[:, 1] - into[:, 1] * out[:, 0]
    return np.asarray(-np.degrees(np.arctan2(cross, (into * out).sum(axis=1))), dtype=np.float64)
