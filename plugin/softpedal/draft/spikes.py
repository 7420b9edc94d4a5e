"""Which points of a recording lie where nobody was: faults of the receiver, and reflections."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: Between two fixes: faster than this is a fault of the receiver.
SPIKE_M_S = 20.0
#: A reflection lasts so many fixes at the most.
MOST_IN_A_ROW = 3
#: There and back at more than this speed and so many times the usual one, so far from the way past
#: it, and turning round by more than 120 degrees: a spike too.
TURN_M_S, TURN_TIMES, TURN_OFF_M, TURN_COSINE = 9.0, 2.5, 12.0, -0.5
#: Beside a pause one of the two hops takes long: so far off, and straight back, is a spike as well.
PAUSE_OFF_M = 25.0
#: The usual speed is the median over so many hops before and after.
USUAL_HOPS = 15
#: Without times: so far off the median of so many points, reached and left by hops so many times
#: the usual one, and the way past is at most so many times what is usual.
UNTIMED_OFF_M, UNTIMED_POINTS, UNTIMED_TIMES, UNTIMED_PAST_TIMES = 25.0, 11, 3.0, 2.0
#: A line without times is a recording if its hops are short and much alike: the median at most so
#: long, nine of ten at most so many times the median. A drawn line has real corners.
DENSE_M, ALIKE_TIMES = 15.0, 2.5
_SHORTEST_S = 1e-3


def is_recorded(xy: NDArray[np.float64], part: NDArray[np.intp]) -> bool:
    """Return whether a line without times has the short, even hops of a recording."""
    hops = _hops(xy)[(np.diff(part) == 0)]
    hops = hops[hops > 0]
    if len(hops) < UNTIMED_POINTS:
        return False
    middle, most = np.percentile(hops, [50, 90])
    return bool(middle <= DENSE_M and most <= ALIKE_TIMES * middle)


def spikes(
    xy: NDArray[np.float64], part: NDArray[np.intp], time_s: NDArray[np.float64] | None
) -> NDArray[np.bool_]:
    """Return which points are spikes.

    With times a point is one, or up to three in a row are, if they are reached and left faster
    than anyone rides and the way past them is not; or if the line goes far out and straight back
    there at a multiple of the usual speed. Without times a point is one if it lies far off the
    median of those about it and is reached and left by a long hop, in a dense recording only.

    Args:
        xy: metres, (n, 2).
        part: the uninterrupted stretches, ascending, (n,).
        time_s: seconds, ascending, (n,), or None.

    Returns:
        (n,) booleans.
    """
    found = np.zeros(len(xy), dtype=bool)
    if time_s is None and not is_recorded(xy, part):
        return found
    for number in np.unique(part):
        (inside,) = np.nonzero(part == number)
        if time_s is None:
            found[inside] = _untimed(xy[inside])
        else:
            found[inside] = _timed(xy[inside], time_s[inside])
    return found


def _timed(xy: NDArray[np.float64], time_s: NDArray[np.float64]) -> NDArray[np.bool_]:
    found = np.zeros(len(xy), dtype=bool)
    if len(xy) < 3:
        return found
    usual = _usual(_hops(xy) / _lasting(np.diff(time_s)))
    found |= _bad_ends(xy, time_s, usual)
    for length in (*range(1, MOST_IN_A_ROW + 1), 1):
        while len(left := np.flatnonzero(~found)) > length + 1:
            detour = _detours(xy[left], time_s[left], usual[left], length)
            best = _highest(detour, length)
            if not len(best):
                break
            for first in best.tolist():
                found[left[first + 1 : first + 1 + length]] = True
    return found


def _detours(
    xy: NDArray[np.float64], time_s: NDArray[np.float64], usual: NDArray[np.float64], length: int
) -> NDArray[np.float64]:
    """Return the metres that each run of so many points adds, 0 where it is no spike."""
    before, first = xy[: -length - 1], xy[1:-length]
    last, after = xy[length:-1], xy[length + 1 :]
    into, out, past = (np.hypot(*v.T) for v in (first - before, after - last, after - before))
    lasts = np.diff(time_s)
    fast_in = into / _lasting(lasts[: len(into)])
    fast_out = out / _lasting(lasts[length:])
    fast_past = past / _lasting(time_s[length + 1 :] - time_s[: -length - 1])
    by_speed = (fast_in > SPIKE_M_S) & (fast_out > SPIKE_M_S) & (fast_past <= SPIKE_M_S)
    limit = np.maximum(TURN_M_S, TURN_TIMES * usual[1:-length])
    product = np.einsum("ij,ij->i", first - before, after - last)
    turns = product < TURN_COSINE * into * out
    off = np.min(
        [_off(xy[1 + k : len(xy) - length + k], before, after) for k in range(length)], axis=0
    )
    by_turn = (fast_in > limit) & (fast_out > limit) & turns & (off > TURN_OFF_M)
    by_turn &= fast_past <= SPIKE_M_S
    by_pause = ((fast_in > SPIKE_M_S) | (fast_out > SPIKE_M_S)) & turns & (off > PAUSE_OFF_M)
    by_pause &= past < off
    return np.where(by_speed | by_turn | by_pause, into + out - past, 0.0)


def _off(
    point: NDArray[np.float64], start: NDArray[np.float64], end: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return the metres from each point to the straight line from start to end."""
    way = end - start
    squared = np.maximum(np.einsum("ij,ij->i", way, way), 1e-9)
    along = np.clip(np.einsum("ij,ij->i", point - start, way) / squared, 0.0, 1.0)
    metres: NDArray[np.float64] = np.hypot(*(point - start - along[:, None] * way).T)
    return metres


def _highest(detour: NDArray[np.float64], length: int) -> NDArray[np.intp]:
    """Return the runs that add the most, of those that share or touch points.

    Beside a spike the good point looks like one too, seen from the next spike.
    """
    (runs,) = np.nonzero(detour)
    taken: list[int] = []
    for run in runs[np.argsort(-detour[runs], kind="stable")].tolist():
        if all(abs(run - other) > length for other in taken):
            taken.append(run)
    return np.array(sorted(taken), dtype=np.intp)


def _bad_ends(
    xy: NDArray[np.float64], time_s: NDArray[np.float64], usual: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Return which points lie before a hop too fast at the start, or after one at the end."""
    found = np.zeros(len(xy), dtype=bool)
    speed = _hops(xy) / _lasting(np.diff(time_s))
    fast = speed > np.maximum(SPIKE_M_S, TURN_TIMES * usual[1:])
    edge = MOST_IN_A_ROW
    if len(xy) <= 4 * edge:
        return found
    if (at_start := np.flatnonzero(fast[:edge])).size:
        found[: at_start[-1] + 1] = not fast[edge : 2 * edge].any()
    if (at_end := np.flatnonzero(fast[::-1][:edge])).size:
        found[len(xy) - at_end[-1] - 1 :] = not fast[::-1][edge : 2 * edge].any()
    return found


def _untimed(xy: NDArray[np.float64]) -> NDArray[np.bool_]:
    found = np.zeros(len(xy), dtype=bool)
    if len(xy) < UNTIMED_POINTS:
        return found
    half = UNTIMED_POINTS // 2
    wide = np.pad(xy, ((half, half), (0, 0)), mode="edge")
    middle = np.median(np.lib.stride_tricks.sliding_window_view(wide, UNTIMED_POINTS, 0), axis=-1)
    far = np.hypot(*(xy - middle).T) > UNTIMED_OFF_M
    hops = _hops(xy)
    usual = float(np.median(hops[hops > 0]))
    long = hops > UNTIMED_TIMES * usual
    starts = np.flatnonzero(np.diff(far.astype(int), prepend=0) == 1)
    ends = np.flatnonzero(np.diff(far.astype(int), append=0) == -1)
    for first, last in zip(starts.tolist(), ends.tolist(), strict=True):
        count = last - first + 1
        if first == 0 or last == len(xy) - 1 or count > MOST_IN_A_ROW:
            continue
        past = float(np.hypot(*(xy[last + 1] - xy[first - 1])))
        back = past <= UNTIMED_PAST_TIMES * usual * (count + 1)
        found[first : last + 1] = back and long[first - 1] and long[last]
    return found


def _usual(speed: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the median speed about each point, (n,), of the speeds between them."""
    wide = np.pad(
        speed, (USUAL_HOPS, USUAL_HOPS - 1), mode="reflect" if len(speed) > 30 else "edge"
    )
    windows = np.lib.stride_tricks.sliding_window_view(wide, 2 * USUAL_HOPS)
    middle: NDArray[np.float64] = np.median(windows, axis=-1)
    return np.append(middle, middle[-1])[: len(speed) + 1]


def _hops(xy: NDArray[np.float64]) -> NDArray[np.float64]:
    metres: NDArray[np.float64] = np.hypot(*np.diff(xy, axis=0).T)
    return metres


def _lasting(seconds: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.maximum(seconds, _SHORTEST_S)
