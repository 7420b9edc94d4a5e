"""Lines by their corners in metres about LAT, LON, as published and as ridden with noise."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import numpy as np

from building import LAT, LON, track_of
from softpedal.library.track import local_metres

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.track import Floats, Track

#: Metres in a degree of longitude and latitude at LAT, LON.
EAST_M, NORTH_M = (
    float(v[0]) for v in local_metres(np.array([LAT + 1]), np.array([LON + 1]), LAT, LON)
)
START = dt.datetime(2026, 11, 20, 8, 0, tzinfo=dt.UTC)


def points(corners: Sequence[tuple[float, float]], every_m: float = 8.0) -> Floats:
    """Return a line through corners as points so far apart, metres, (n, 2)."""
    xy = np.asarray(corners, dtype=float)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(xy, axis=0).T))])
    at = np.linspace(0.0, along[-1], round(along[-1] / every_m) + 1)
    return np.column_stack([np.interp(at, along, axis) for axis in xy.T])


def noisy(xy: Floats, seed: int, metres: float = 3.0, every_m: float = 8.0) -> Floats:
    """Return points with a receiver's noise, which goes on from point to point, (n, 2).

    A first-order autoregressive process that forgets within some 100 m; common practice.
    """
    rng = np.random.default_rng(seed)
    keep = float(np.exp(-every_m / 100.0))
    off = np.empty_like(xy)
    off[0] = rng.normal(0.0, metres, 2)
    for index in range(1, len(xy)):
        off[index] = keep * off[index - 1] + np.sqrt(1 - keep**2) * rng.normal(0.0, metres, 2)
    return xy + off


def degrees(xy: Floats) -> list[tuple[float, float]]:
    """Return points in metres as latitude and longitude."""
    return [(LAT + y / NORTH_M, LON + x / EAST_M) for x, y in xy.tolist()]


def line(corners: Sequence[tuple[float, float]]) -> Track:
    """Return a published line."""
    return track_of(degrees(points(corners)))


def ride(corners: Sequence[tuple[float, float]], seed: int = 1, metres: float = 3.0) -> Track:
    """Return a ride with noise."""
    return track_of(degrees(noisy(points(corners), seed, metres)))


def recording(
    xy: Floats, *, speed: float = 4.5, stop: tuple[float, int] = (0.0, 0), timed: bool = True
) -> str:
    """Return a recording at one fix a second, with a stop of some seconds at a distance along.

    Args:
        xy: metres, (n, 2).
        speed: m/s.
        stop: metres along, seconds.
        timed: whether it has times.
    """
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(xy, axis=0).T))])
    at = np.arange(0.0, along[-1], speed)
    stood = int(np.searchsorted(at, stop[0]))
    at = np.concatenate([at[:stood], np.full(stop[1], stop[0]), at[stood:]])
    places = np.column_stack([np.interp(at, along, axis) for axis in xy.T])
    rows = []
    for second, (lat, lon) in enumerate(degrees(places)):
        when = (START + dt.timedelta(seconds=second)).strftime("%Y-%m-%dT%H:%M:%SZ")
        time = f"<time>{when}</time>" if timed else ""
        rows.append(f'<trkpt lat="{lat:.7f}" lon="{lon:.7f}"><ele>12.0</ele>{time}</trkpt>')
    body = "\n".join(rows)
    return (
        '<gpx version="1.1" creator="a test" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<trk><trkseg>\n{body}\n</trkseg></trk></gpx>\n"
    )
