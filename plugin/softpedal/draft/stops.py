"""Where a recording stands: how a rest is told from a slow push, though a receiver wanders at rest.

A receiver at rest draws a line of its own: its error has a standard deviation of some 4 m and
forgets itself over some 25 s, so that from one second to the next it moves at a walker's speed.
What tells a rest from a push is the progress over the whole of it. The likeliest row of three
states is looked for, standing, walking and riding, where each change costs something (Viterbi
1967); noise and speeds are common practice, not measured.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: A stop lasts at least so long, and all of it lies within so many metres of its mean.
STOP_S, STOP_M = 15.0, 15.0
#: Beside a slow push, a rest is looked for within so many metres.
STILL_M = 3.5
#: Error of a receiver on each axis, and the time in which it forgets itself.
NOISE_M, MEMORY_S = 4.0, 25.0
#: A rest is seen up to so much shorter than it was.
_UNSEEN_S = 1.5
#: Points within so many seconds are averaged first: their error of their own is none of the above.
_BLUR_S = 2.5
#: Heading of a walk and speed of a ride are taken over so many seconds before and after.
_HEADING_S, _SPEED_S = 20.0, 3.0
_WALK_M_S, _RIDE_M_S, _CREEP_M_S = 1.05, 2.5, 0.5
#: Cost of a change of state, and how much likelier a rest is than a creep up steps, and than a
#: walk of which nothing was recorded (logarithms).
_CHANGE, _REST_BEFORE_CREEP, _REST_BEFORE_LOSS = 4.0, 2.0, 4.0
#: A pause of the recording is so long, and so many times the usual interval; a device that pauses
#: by itself wakes up so many metres late.
_PAUSE_S, _PAUSE_TIMES, _LATE_M = 10.0, 3.0, 8.0
_STAND, _WALK, _RIDE = range(3)


@dataclass(frozen=True, slots=True)
class Rest:
    """A stop of a recording.

    Attributes:
        first, last: the points at which it was stood, both included.
        seconds: for how long; more than between the two points where the recording paused.
    """

    first: int
    last: int
    seconds: float


def rests(xy: NDArray[np.float64], time_s: NDArray[np.float64]) -> list[Rest]:
    """Return the stops of one uninterrupted part, in riding order.

    Args:
        xy: metres, (n, 2).
        time_s: seconds, ascending, (n,).
    """
    if len(xy) < 2 or time_s[-1] - time_s[0] < STOP_S - _UNSEEN_S:
        return []
    blurred = _blurred(xy, time_s)
    pause = _pauses(time_s)
    state = _likeliest(_costs(blurred, time_s, pause))
    standing = np.concatenate([[False], state == _STAND, [False]]).astype(int)
    starts, ends = (np.flatnonzero(np.diff(standing) == sign) for sign in (1, -1))
    found = []
    for start, end in zip(starts.tolist(), ends.tolist(), strict=True):
        first, last = start, end
        if _creeps(blurred, time_s, pause, first, last):
            first, last = _still(blurred, time_s, first, last)
            if first == last or _creeps(blurred, time_s, pause, first, last):
                continue
        rest = _trimmed(xy, time_s, pause, first, last)
        if rest is not None:
            found.append(rest)
    return found


def _still(
    xy: NDArray[np.float64], time_s: NDArray[np.float64], start: int, end: int
) -> tuple[int, int]:
    """Return the longest rest within a slow stretch that gets on: one stood, then pushed on.

    The two are the same where there is none long enough.
    """
    best, first = (start, start), start
    for last in range(start + 1, end + 1):
        while np.hypot(*(xy[first : last + 1] - xy[first : last + 1].mean(0)).T).max() > STILL_M:
            first += 1
        lasts = time_s[last] - time_s[first]
        if lasts >= STOP_S - _UNSEEN_S and lasts > time_s[best[1]] - time_s[best[0]]:
            best = first, last
    return best


def _pauses(time_s: NDArray[np.float64]) -> NDArray[np.bool_]:
    seconds = np.diff(time_s)
    return seconds >= max(_PAUSE_S, _PAUSE_TIMES * float(np.median(seconds)))


def _trimmed(
    xy: NDArray[np.float64],
    time_s: NDArray[np.float64],
    pause: NDArray[np.bool_],
    start: int,
    end: int,
) -> Rest | None:
    """Return the stop between two points, with the seconds that the blur hid, None if too short."""
    middle = np.median(xy[start : end + 1], axis=0)
    off = np.hypot(*(xy - middle).T)
    spread = float(np.median(off[start : end + 1]))
    near = min(STOP_M, max(3.0, 2.0 * spread))
    begin, stop = time_s[start] - _BLUR_S, time_s[end] + _BLUR_S
    while start > 0 and time_s[start - 1] >= begin and off[start - 1] <= near:
        start -= 1
    while end < len(xy) - 1 and time_s[end + 1] <= stop and off[end + 1] <= near:
        end += 1
    last = end
    if pause[last - 1]:
        last -= 1  # the next fix comes from where the ride goes on
    while start < last and off[start] > STOP_M:
        start += 1
    while start < last and off[last] > STOP_M and not pause[last]:
        last -= 1
        end = last
    seconds = float(time_s[end] - time_s[start])
    return Rest(start, last, seconds) if seconds >= STOP_S - _UNSEEN_S else None


def _creeps(
    xy: NDArray[np.float64],
    time_s: NDArray[np.float64],
    pause: NDArray[np.bool_],
    start: int,
    end: int,
) -> bool:
    """Return whether a slow stretch gets on, in the direction of travel, as one does on steps.

    Most of it unrecorded, it gets on as one walks: who climbs steps is recorded.
    """
    seconds = np.diff(time_s[start : end + 1])
    lasts = float(seconds.sum())
    is_pause = seconds[pause[start:end]].sum() > lasts / 2
    pace = _WALK_M_S if is_pause else _CREEP_M_S
    prior = _REST_BEFORE_LOSS if is_pause else _REST_BEFORE_CREEP
    ends = np.array([time_s[start] - _HEADING_S / 2, time_s[end] + _HEADING_S / 2])
    chord = np.diff(_at(xy, time_s, ends), axis=0)[0]
    length = float(np.hypot(*chord))
    if length < 1.0:
        return False
    progress = float((xy[end] - xy[start]) @ chord) / length
    spread = 2 * NOISE_M**2 * (1 - np.exp(-lasts / MEMORY_S))
    metres = pace * lasts
    return bool(progress > metres / 2 + prior * spread / metres)


def _costs(
    xy: NDArray[np.float64], time_s: NDArray[np.float64], pause: NDArray[np.bool_]
) -> NDArray[np.float64]:
    """Return what each state costs in each interval, (n − 1, 3): negative log likelihoods."""
    seconds, step = np.diff(time_s), np.diff(xy, axis=0)
    middle = (time_s[:-1] + time_s[1:]) / 2
    spread = 2 * NOISE_M**2 * (1 - np.exp(-seconds / MEMORY_S)) + 0.1

    def about(half_s: float) -> NDArray[np.float64]:
        half = np.maximum(half_s, seconds / 2)
        early, late = (np.clip(t, time_s[0], time_s[-1]) for t in (middle - half, middle + half))
        way = _at(xy, time_s, late) - _at(xy, time_s, early)
        velocity: NDArray[np.float64] = way / np.maximum(late - early, 1e-9)[:, None]
        return velocity

    wide, here = about(_HEADING_S), about(_SPEED_S)
    walk = wide / np.maximum(np.hypot(*wide.T), 1e-9)[:, None] * _WALK_M_S
    pace = np.maximum(np.hypot(*here.T), 1e-9)
    ride = here * (np.maximum(pace, _RIDE_M_S) / pace)[:, None]
    loose = spread + np.where(pause, _LATE_M**2, 0.0)
    costs = np.empty((len(seconds), 3))
    costs[:, _STAND] = (step**2).sum(1) / (2 * loose)
    costs[:, _STAND] -= np.where(pause, _REST_BEFORE_LOSS, 0.0)
    for state, velocity in ((_WALK, walk), (_RIDE, ride)):
        costs[:, state] = ((step - velocity * seconds[:, None]) ** 2).sum(1) / (2 * spread)
    return costs


def _likeliest(costs: NDArray[np.float64]) -> NDArray[np.intp]:
    """Return the cheapest row of states, (n,), of what each costs, (n, states)."""
    count = costs.shape[1]
    change = _CHANGE * (1 - np.eye(count))
    came = np.zeros(costs.shape, dtype=np.intp)
    total = costs[0]
    for index in range(1, len(costs)):
        ways = total[:, None] + change
        came[index] = ways.argmin(axis=0)
        total = ways[came[index], np.arange(count)] + costs[index]
    row = np.empty(len(costs), dtype=np.intp)
    row[-1] = total.argmin()
    for index in range(len(costs) - 1, 0, -1):
        row[index - 1] = came[index, row[index]]
    return row


def _blurred(xy: NDArray[np.float64], time_s: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the mean of the points within a few seconds of each, (n, 2)."""
    sums = np.concatenate([np.zeros((1, 2)), np.cumsum(xy, axis=0)])
    i = np.arange(len(xy))
    first = np.searchsorted(time_s, time_s - _BLUR_S, side="left")
    after = np.searchsorted(time_s, time_s + _BLUR_S, side="right")
    half = np.minimum(i - first, after - 1 - i)  # as many before as after, so that nothing is moved
    low, high = i - half, i + half + 1
    mean: NDArray[np.float64] = (sums[high] - sums[low]) / (high - low)[:, None]
    return mean


def _at(
    xy: NDArray[np.float64], time_s: NDArray[np.float64], when: NDArray[np.float64]
) -> NDArray[np.float64]:
    return np.column_stack([np.interp(when, time_s, xy[:, axis]) for axis in (0, 1)])
