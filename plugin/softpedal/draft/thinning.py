"""Smoothing and thinning of a recorded line: how far it may be moved, and what is kept of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: Smoothing moves no point by more than this.
SMOOTH_M = 2.0
#: Points left out lie within this of the line that is kept.
THIN_M = 0.5
#: No point of a recording, spikes and stops aside, is farther from the published line than this,
#: and no point of the published line is farther from the recording: metres.
SHAPE_TOLERANCE_M = SMOOTH_M + THIN_M + 0.02  # the last for the digits of the coordinates
#: Of a ride with times so much at most lies between two points: the pace is read from them.
APART_M, APART_S = 15.0, 5.0
#: A point is smoothed if both its neighbours are as near as this: on a sparse line it is a corner.
NEAR_M, NEAR_S = 12.0, 3.0
#: How often all are smoothed, and how often more where the pace over some seconds is a walk's.
TIMES, TIMES_MORE = 2, 4
WALK_M_S, PACE_S = 2.5, 4.0


def smoothed(
    xy: NDArray[np.float64], part: NDArray[np.intp], time_s: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return a recorded line with each point moved to the mean of itself and its two neighbours.

    Noise makes a recorded line longer than the way. It is done twice, and more often where one
    walks, since there the noise is large beside the steps. Ends of parts stay where they are.

    Args:
        xy: metres, (n, 2).
        part: the uninterrupted stretches, ascending, (n,).
        time_s: seconds under way, stops not counted, (n,).

    Returns:
        Metres, (n, 2), each within `SMOOTH_M` of where it was.
    """
    if len(xy) < 3:
        return xy
    near = (np.hypot(*np.diff(xy, axis=0).T) <= NEAR_M) & (np.diff(time_s) <= NEAR_S)
    near &= np.diff(part) == 0
    moves = np.zeros(len(xy), dtype=bool)
    moves[1:-1] = near[:-1] & near[1:]
    walks = moves & (_pace(xy, time_s) < WALK_M_S)
    found = xy
    for which in [moves] * TIMES + [walks] * TIMES_MORE:
        shift = np.zeros_like(xy)
        shift[1:-1] = (found[:-2] + found[1:-1] + found[2:]) / 3 - xy[1:-1]
        by = np.maximum(np.hypot(*shift.T), 1e-9)
        moved = xy + np.minimum(1.0, SMOOTH_M / by)[:, None] * shift
        found = np.where(which[:, None], moved, found)
    return found


def kept(
    xy: NDArray[np.float64],
    part: NDArray[np.intp],
    time_s: NDArray[np.float64] | None,
    must: NDArray[np.bool_],
) -> NDArray[np.bool_]:
    """Return which points of a line are kept, so that the others lie within `THIN_M` of it.

    After Douglas and Peucker (1973), by GEOS. Ends of parts are kept, and the points that must be;
    with times, as many more as leave at most `APART_M` and `APART_S` between two, where the
    recording has them.

    Args:
        xy: metres, (n, 2).
        part: the uninterrupted stretches, ascending, (n,).
        time_s: seconds, (n,), or None.
        must: points that are kept, (n,).
    """
    keep = must.copy()
    torn = np.diff(part) != 0
    keep[:-1] |= torn
    keep[1:] |= torn
    keep[[0, -1]] = True
    ends = np.flatnonzero(keep)
    for first, last in zip(ends[:-1].tolist(), ends[1:].tolist(), strict=True):
        if last - first > 1:
            numbered = np.column_stack([xy[first : last + 1], np.arange(first, last + 1)])
            line = shapely.simplify(shapely.linestrings(numbered), THIN_M, preserve_topology=False)
            corners = shapely.get_coordinates(line, include_z=True)[:, 2]
            keep[corners.astype(np.intp)] = True
    return keep if time_s is None else _filled(xy, time_s, keep)


def _filled(
    xy: NDArray[np.float64], time_s: NDArray[np.float64], keep: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    """Keep the last point before the next would be too far from the one kept before."""
    found = keep.copy()
    at = 0
    for index in range(1, len(xy)):
        too_far = np.hypot(*(xy[index] - xy[at])) > APART_M or time_s[index] - time_s[at] > APART_S
        if too_far and index - 1 > at:
            found[index - 1] = True
            at = index - 1
        if found[index]:
            at = index
    return found


def _pace(xy: NDArray[np.float64], time_s: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the net speed over some seconds before and after each point, m/s, (n,)."""
    early, late = (np.clip(time_s + sign * PACE_S, time_s[0], time_s[-1]) for sign in (-1.0, 1.0))
    way = [np.interp(late, time_s, v) - np.interp(early, time_s, v) for v in xy.T]
    metres: NDArray[np.float64] = np.hypot(*way)
    return metres / np.maximum(late - early, 1e-9)
