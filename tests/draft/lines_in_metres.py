"""Rides and tracks from metres east and north of a place in the open Atlantic."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from building import LAT, LON
from softpedal.draft.ride import Ride
from softpedal.library.track import WGS84, Track

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from softpedal.library.gpx_reader import Waypoint

    Floats = NDArray[np.float64]

START = 1_780_000_000.0


def degrees(xy: Sequence[tuple[float, float]] | Floats) -> tuple[Floats, Floats]:
    """Return latitudes and longitudes of places so many metres east and north."""
    east, north = np.array(xy, dtype=float).T
    zero = np.zeros(len(east))
    lon, lat, _ = WGS84.fwd(
        zero + LON, zero + LAT, np.degrees(np.arctan2(east, north)), np.hypot(east, north)
    )
    return lat, lon


def dense(corners: Sequence[tuple[float, float]], step: float = 5.0) -> Floats:
    """Return points each so many metres along straight lines from corner to corner, (n, 2)."""
    points = np.array(corners, dtype=float)
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    marks = np.unique(np.round(np.concatenate([np.arange(0, run[-1], step), run]), 2))
    return np.column_stack([np.interp(marks, run, points[:, k]) for k in (0, 1)])


def track_in_metres(corners: Sequence[tuple[float, float]], step: float = 5.0) -> Track:
    """Return a track along straight lines from corner to corner."""
    return ride_in_metres(corners, step).track


def ride_in_metres(
    corners: Sequence[tuple[float, float]],
    step: float = 5.0,
    *,
    start_s: float | None = None,
    waypoints: tuple[Waypoint, ...] = (),
    breaks: Sequence[float] = (),
) -> Ride:
    """Return a clean ride at 5 m/s from corner to corner, timed where a start is given.

    Args:
        corners: metres east and north.
        step: metres between its points.
        start_s: seconds after `START`.
        waypoints: of the ride.
        breaks: metres along it at which the step to the next point is a gap between parts.
    """
    xy = dense(corners, step)
    lat, lon = (np.round(values, 7) for values in degrees(xy))
    n = len(lat)
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(xy, axis=0).T))])
    part = np.zeros(n, dtype=np.intp)
    for metres in breaks:
        part[run > metres + 0.1] += 1
    times = None if start_s is None else START + start_s + run / 5.0
    stood = None if start_s is None else np.zeros(n)
    return Ride(lat, lon, np.arange(n) / 10, part, times, "A ride", waypoints, (), stood)
