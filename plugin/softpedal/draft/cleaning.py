"""A raw recording → a clean one: what is no riding is taken out, and each step says what it did.

The order of the file is the truth: nothing is ever sorted. Everything is decided in metres about
the middle of the ride; what is told are counts, never places.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from softpedal.draft.observed import Stop
from softpedal.draft.spikes import SPIKE_M_S, spikes
from softpedal.draft.stops import rests
from softpedal.draft.thinning import kept, smoothed
from softpedal.library.gpx_writer import DEGREE_DECIMALS
from softpedal.library.plain_text import counted
from softpedal.library.track import MAX_GAP_M, local_metres

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from softpedal.draft.ride import Ride

#: A step longer than this may be a jump.
JUMP_M = 100.0
#: It is one if it is so many times longer than nine of ten steps, in distance and in time, or
#: faster than a spike's limit and so many times faster than the steps before and after. One fix in
#: 30 s makes steps of 150 m, and a device that records bends alone long steps on the straight: no
#: jumps.
JUMP_TIMES, JUMP_SPEED_TIMES = 4.0, 2.0
#: At most this share of the points may lack a time, and so many in a row.
MOST_UNTIMED, MOST_UNTIMED_RUN = 0.02, 5
#: A clock by which nine of ten steps are faster than this stands still.
CLOCK_M_S = 60.0
#: Slower than this is standing.
STANDING_M_S = 0.6


def clean(ride: Ride) -> Ride:
    """Return a recording cleaned, with what was done among its remarks.

    A ride whose stops were looked for before is taken to be clean: it is only rounded.
    """
    ride = rounded(ride)
    if ride.stood_s is not None:
        return ride
    for step in (_one_clock, _without_repeats, _joined, _without_spikes, _split, _stood):
        ride = step(ride)
    return _told_gaps(_thinned(_smooth(ride)))


def rounded(ride: Ride) -> Ride:
    """Return a ride whose line is to the digit the one that its published file will hold."""
    lat, lon = (np.round(values, DEGREE_DECIMALS) for values in (ride.lat, ride.lon))
    return replace(ride, lat=lat, lon=lon)


def spikes_of(ride: Ride) -> NDArray[np.bool_]:
    """Return which points of a raw ride cleaning takes for spikes, (n,)."""
    ride = _joined(_one_clock(rounded(ride)))
    return spikes(_metres(ride), ride.part, ride.time_s)


def stops_of(ride: Ride) -> tuple[Stop, ...]:
    """Return where a cleaned ride stood and for how long, in riding order."""
    if ride.stood_s is None:
        return ()
    at_m = ride.track.chainage_m
    return tuple(
        Stop(round(float(at_m[i]), 1), float(round(ride.stood_s[i])))
        for i in np.flatnonzero(ride.stood_s > 0)
    )


def moving_standing(ride: Ride) -> tuple[float, float]:
    """Return the seconds that a ride moved and stood; both 0 without times.

    Their sum is the time from the first point to the last. Stops are standing, and so is what is
    slower than `STANDING_M_S` on the way or over a gap in the recording.
    """
    if ride.time_s is None:
        return 0.0, 0.0
    stood_s = 0.0 if ride.stood_s is None else ride.stood_s[-1]
    moving = float(steps_s(ride, ride.time_s)[0].sum())
    return moving, float(ride.time_s[-1] - ride.time_s[0] + stood_s) - moving


def steps_s(ride: Ride, time_s: NDArray[np.float64]) -> tuple[NDArray[np.float64], ...]:
    """Return the seconds of each step of a ride that it moved and that it stood, (n - 1,) each.

    Args:
        ride: n points.
        time_s: its clock, (n,).
    """
    stood = np.zeros(len(ride.lat)) if ride.stood_s is None else ride.stood_s
    under_way = np.maximum(np.diff(time_s) - stood[:-1], 0.0)
    moves = ride.track.steps_m >= STANDING_M_S * np.maximum(under_way, 1e-9)
    return np.where(moves, under_way, 0.0), stood[:-1] + np.where(moves, 0.0, under_way)


def _one_clock(ride: Ride) -> Ride:
    """Take a clock that is wrong away; put a few times that are missing between the others."""
    if ride.time_s is None:
        return ride
    time_s, missing = ride.time_s, np.isnan(ride.time_s)
    run = _longest_run(missing)
    few = missing.mean() <= MOST_UNTIMED and run <= MOST_UNTIMED_RUN
    if missing.any() and few and not missing[[0, -1]].any():
        along = np.concatenate([[0.0], np.cumsum(ride.track.steps_m)])
        time_s = time_s.copy()
        time_s[missing] = np.interp(along[missing], along[~missing], time_s[~missing])
        words = f"{_points(missing)} without a time: taken between their neighbours"
        ride = _saying(replace(ride, time_s=time_s), words)
    if np.isnan(time_s).any() or (np.diff(time_s) < 0).any():
        why = "times are missing or run backwards: the clock of the ride is not used"
    elif _stands(ride, time_s):
        why = "times stand still while the ride goes on: the clock of the ride is not used"
    else:
        return ride
    return _saying(replace(ride, time_s=None), why)


def _stands(ride: Ride, time_s: NDArray[np.float64]) -> bool:
    return bool(np.quantile(ride.track.steps_m - CLOCK_M_S * np.diff(time_s), 0.1) > 0)


def _without_repeats(ride: Ride) -> Ride:
    """Take points away that say the same as the one before: the place, and the time if any.

    At the same place later one stands: that is for the stops.
    """
    again = (np.diff(ride.lat) == 0) & (np.diff(ride.lon) == 0) & (np.diff(ride.part) == 0)
    if ride.time_s is not None:
        again &= np.diff(ride.time_s) == 0
    keep = np.concatenate([[True], ~again])
    return _only(ride, keep, f"{_points(again)} on the one before left out")


def _joined(ride: Ride) -> Ride:
    """Join parts that end where the next begins: a device that pauses begins a new one."""
    new = np.diff(ride.part) != 0
    near = new & (ride.track.steps_m <= MAX_GAP_M)
    if ride.time_s is not None:
        near &= ride.track.steps_m <= np.maximum(SPIKE_M_S * np.diff(ride.time_s), 1.0)
    if not near.any():
        return ride
    part = np.concatenate([[0], np.cumsum(new & ~near)]).astype(np.intp)
    words = f"{_counted(near, 'gap')} of at most {MAX_GAP_M:.0f} m closed between parts"
    return _saying(replace(ride, part=part), words)


def _without_spikes(ride: Ride) -> Ride:
    found = spikes(_metres(ride), ride.part, ride.time_s)
    return _only(ride, ~found, f"{_points(found)} far out of the line left out")


def _split(ride: Ride) -> Ride:
    """Begin a new part after each jump of a timed recording; leave out points then alone."""
    if ride.time_s is None or len(ride.lat) < 2:
        return ride
    inside = np.diff(ride.part) == 0
    steps = ride.track.steps_m
    seconds = np.diff(ride.time_s)
    speed = steps / np.maximum(seconds, 1e-3)
    if not inside.any():
        return ride
    long, late = (np.quantile(values[inside], 0.9) for values in (steps, seconds))
    jump = (steps > JUMP_TIMES * long) & (seconds > JUMP_TIMES * late)
    beside = np.maximum(np.append(0.0, speed[:-1]), np.append(speed[1:], 0.0))
    jump |= (speed > SPIKE_M_S) & (speed > JUMP_SPEED_TIMES * beside)
    jump &= inside & (steps > JUMP_M)
    if not jump.any():
        return ride
    part = np.concatenate([[0], np.cumsum(~inside | jump)]).astype(np.intp)
    words = f"{_counted(jump, 'jump')} of more than {JUMP_M:.0f} m: a new part begins there"
    ride = _saying(replace(ride, part=part), words)
    alone = np.bincount(part)[part] < 2
    return _only(ride, ~alone, f"{_points(alone)} alone between jumps left out")


def _stood(ride: Ride) -> Ride:
    """Put one point for each stop, at its mean, with the seconds stood there."""
    if ride.time_s is None:
        return ride
    xy, n = _metres(ride), len(ride.lat)
    keep, stood = np.ones(n, dtype=bool), np.zeros(n)
    lat, lon, height = ride.lat.copy(), ride.lon.copy(), ride.height.copy()
    for number in np.unique(ride.part):
        first = int(np.searchsorted(ride.part, number))
        after = int(np.searchsorted(ride.part, number, side="right"))
        for rest in rests(xy[first:after], ride.time_s[first:after]):
            at, all_of_it = first + rest.first, slice(first + rest.first, first + rest.last + 1)
            keep[all_of_it] = False
            keep[at], stood[at] = True, rest.seconds
            lat[at], lon[at] = ride.lat[all_of_it].mean(), ride.lon[all_of_it].mean()
            if rest.seconds > ride.time_s[first + rest.last] - ride.time_s[at] + 1.0:
                after_it = first + rest.last + 1  # a pause: as likely where it goes on from
                lat[at] = (lat[at] + ride.lat[after_it]) / 2
                lon[at] = (lon[at] + ride.lon[after_it]) / 2
            known = ride.height[all_of_it]
            height[at] = known[~np.isnan(known)].mean() if (~np.isnan(known)).any() else np.nan
    ride = replace(ride, lat=lat, lon=lon, height=height, stood_s=stood)
    if not stood.any():
        return ride
    count = _counted(stood > 0, "stop")
    words = f"{count} of {stood.sum():.0f} s in all: {_points(~keep)} there left out"
    return _only(ride, keep, words, always=True)


def _smooth(ride: Ride) -> Ride:
    if ride.time_s is None or ride.stood_s is None:
        return ride
    xy = _metres(ride)
    waited = np.cumsum(ride.stood_s) - ride.stood_s
    moved = smoothed(xy, ride.part, ride.time_s - waited)
    by = moved - xy
    if not by.any():
        return ride
    north, east = _degrees_a_metre(ride)
    lat, lon = ride.lat + by[:, 1] * north, ride.lon + by[:, 0] * east
    metres = np.hypot(*by.T)
    words = f"{_points(metres > 0)} smoothed, moved by at most {metres.max():.1f} m"
    return _saying(replace(ride, lat=lat, lon=lon), words)


def _thinned(ride: Ride) -> Ride:
    """Leave points out that the line does not need: of a drawn one only those on the one before."""
    ride = rounded(ride)
    if ride.time_s is None or len(ride.lat) < 3:
        return ride
    stood = np.zeros(len(ride.lat)) if ride.stood_s is None else ride.stood_s
    keep = kept(_metres(ride), ride.part, ride.time_s, stood > 0)
    return _only(ride, keep, f"{_points(~keep)} left out that the line does not need")


def _told_gaps(ride: Ride) -> Ride:
    gaps = ride.track.gaps_m
    gaps = gaps[gaps > MAX_GAP_M]
    if not len(gaps):
        return ride
    metres = " and ".join(f"{gap:,.0f} m" for gap in gaps[:3]) + (
        " and more" if len(gaps) > 3 else ""
    )
    words = f"{counted(len(gaps), 'gap')} in the recording, of {metres}: the way between is unknown"
    return _saying(ride, words)


def _metres(ride: Ride) -> NDArray[np.float64]:
    """Return metres east and north of the middle of the ride, (n, 2)."""
    east, north = local_metres(ride.lat, ride.lon, *_middle(ride))
    return np.column_stack([east, north])


def _middle(ride: Ride) -> tuple[float, float]:
    lat, lon = ((values.min() + values.max()) / 2 for values in (ride.lat, ride.lon))
    return float(lat), float(lon)


def _degrees_a_metre(ride: Ride) -> tuple[float, float]:
    """Return the degrees of latitude and of longitude in a metre north and east."""
    lat, lon = _middle(ride)
    one = np.array([1.0])
    east, north = local_metres(lat + one, lon + one, lat, lon)
    return float(1 / north[0]), float(1 / east[0])


def _only(ride: Ride, keep: NDArray[np.bool_], words: str, *, always: bool = False) -> Ride:
    if keep.all():
        return _saying(ride, words) if always else ride
    return _saying(ride.only(keep), words)


def _saying(ride: Ride, words: str) -> Ride:
    return replace(ride, remarks=(*ride.remarks, words))


def _counted(which: NDArray[np.bool_], what: str) -> str:
    return counted(int(which.sum()), what)


def _points(which: NDArray[np.bool_]) -> str:
    return _counted(which, "point")


def _longest_run(which: NDArray[np.bool_]) -> int:
    ends = np.flatnonzero(np.diff(np.concatenate([[0], which.astype(int), [0]])))
    return int((ends[1::2] - ends[::2]).max(initial=0))
