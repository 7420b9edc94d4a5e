"""A ride → the fixes that are matched: few enough to be quick, and how fast each was passed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely

from softpedal.library.track import MAX_GAP_M

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from softpedal.draft.ride import Ride
    from softpedal.streets.network import Network

#: Speed is the mean over so many seconds before and after a fix.
SPEED_WINDOW_S = 8.0
#: The noise of a recording forgets itself over so many seconds, or metres where it has no times.
CORRELATION_S, CORRELATION_M = 20.0, 80.0


@dataclass(frozen=True, eq=False)
class Fixes:
    """The fixes to match, n of them.

    Attributes:
        xy: metres in the network's plane, (n, 2).
        at_m: chainage along the ride's track, (n,).
        straight_m: straight distance from each to the next, (n − 1,).
        covers_m: metres of the ride that each stands for, (n,).
        speed_m_s: how fast the ride goes there, nan without times, (n,).
        torn: whether the recording has a gap after each that leaves the way unknown, (n − 1,).
        time_s: POSIX seconds, (n,), None without times.
    """

    xy: NDArray[np.float64]
    at_m: NDArray[np.float64]
    straight_m: NDArray[np.float64]
    covers_m: NDArray[np.float64]
    speed_m_s: NDArray[np.float64]
    torn: NDArray[np.bool_]
    time_s: NDArray[np.float64] | None

    @property
    def keeps(self) -> NDArray[np.float64]:
        """How much of the noise at each is still there at the next, 0 to 1, (n − 1,)."""
        if self.time_s is None:
            return np.exp(-self.straight_m / CORRELATION_M)
        return np.exp(-np.diff(self.time_s) / CORRELATION_S)

    def every(self, step: int) -> Fixes:
        """Return every so many of them, with the last."""
        n = len(self.at_m)
        kept = np.unique(np.append(np.arange(0, n, step), n - 1))
        torn = np.logical_or.reduceat(self.torn, kept[:-1])
        return _fixes(
            self.xy[kept],
            self.at_m[kept],
            self.speed_m_s[kept],
            torn,
            None if self.time_s is None else self.time_s[kept],
        )


def thinned(network: Network, ride: Ride, spacing_m: float) -> Fixes:
    """Return the fixes of a ride that lie at least so far from the one before.

    The ends of all parts are kept, whatever their distance.
    """
    degrees = shapely.points(ride.lon, ride.lat)
    xy = shapely.get_coordinates(network.plane.metres(degrees))
    part = np.diff(ride.part) != 0
    must = np.zeros(len(xy), dtype=bool)
    must[[0, -1]] = True
    must[:-1] |= part
    must[1:] |= part
    kept: list[int] = []
    x, y, least = xy[:, 0].tolist(), xy[:, 1].tolist(), spacing_m**2
    at_x = at_y = np.inf
    for i, end in enumerate(must.tolist()):
        if end or (x[i] - at_x) ** 2 + (y[i] - at_y) ** 2 >= least:
            kept.append(i)
            at_x, at_y = x[i], y[i]
    index = np.array(kept)
    chainage = ride.track.chainage_m[index]
    torn = (np.diff(ride.part[index]) != 0) & (np.hypot(*np.diff(xy[index], axis=0).T) > MAX_GAP_M)
    return _fixes(
        xy[index],
        chainage,
        _speed(ride, xy)[index],
        torn,
        None if ride.time_s is None else ride.time_s[index],
    )


def _fixes(
    xy: NDArray[np.float64],
    at_m: NDArray[np.float64],
    speed_m_s: NDArray[np.float64],
    torn: NDArray[np.bool_],
    time_s: NDArray[np.float64] | None,
) -> Fixes:
    straight = np.hypot(*np.diff(xy, axis=0).T)
    covers = np.zeros(len(xy))
    covers[:-1] += np.where(torn, 0.0, straight) / 2
    covers[1:] += np.where(torn, 0.0, straight) / 2
    return Fixes(xy, at_m, straight, covers, speed_m_s, torn, time_s)


def _speed(ride: Ride, xy: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return metres a second from the straight distances over the window before and after.

    The faster of the two counts: waiting at a light is no walking.
    """
    if ride.time_s is None:
        return np.full(len(xy), np.nan)
    time = ride.time_s

    def at(seconds: NDArray[np.float64]) -> NDArray[np.float64]:
        inside = np.clip(seconds, time[0], time[-1])
        return np.column_stack([np.interp(inside, time, xy[:, k]) for k in (0, 1)])

    def over(seconds: float) -> NDArray[np.float64]:
        lasts = np.abs(np.clip(time + seconds, time[0], time[-1]) - time)
        metres = np.hypot(*(at(time + seconds) - xy).T)
        return np.where(lasts > SPEED_WINDOW_S / 2, metres / np.maximum(lasts, 1e-9), 0.0)

    return np.maximum(over(-SPEED_WINDOW_S), over(SPEED_WINDOW_S))
