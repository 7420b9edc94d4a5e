"""A track as arrays, with the one chainage axis that notes, map, cues and exports share."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt
from pyproj import Geod

WGS84 = Geod(ellps="WGS84")

#: A gap between parts beyond which the way between them is unknown, in metres.
MAX_GAP_M = 50.0
#: A step inside a part beyond which it is no recording, in metres.
MAX_STEP_M = 500.0

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Track:
    """A line on the WGS84 ellipsoid.

    Attributes:
        lat: (n,) degrees.
        lon: (n,) degrees.
        height: (n,) metres, nan where not recorded.
        part: (n,) index of the GPX segment that a point belongs to, ascending.
    """

    lat: Floats
    lon: Floats
    height: Floats
    part: Ints

    @cached_property
    def steps_m(self) -> Floats:
        """(n-1,) geodesic distance from each point to the next, across gaps too."""
        _, _, metres = WGS84.inv(self.lon[:-1], self.lat[:-1], self.lon[1:], self.lat[1:])
        return np.asarray(metres, dtype=np.float64)

    @cached_property
    def chainage_m(self) -> Floats:
        """(n,) cumulative geodesic distance; no distance is added between parts."""
        inside = np.where(np.diff(self.part) == 0, self.steps_m, 0.0)
        return np.concatenate(([0.0], np.cumsum(inside)))

    @property
    def length_m(self) -> float:
        """Chainage of the last point."""
        return float(self.chainage_m[-1])

    @cached_property
    def gaps_m(self) -> Floats:
        """Distance between the end of each part and the start of the next."""
        gaps: Floats = self.steps_m[np.diff(self.part) != 0]
        return gaps

    @property
    def is_whole(self) -> bool:
        """Whether no gap between parts leaves the way unknown."""
        return not bool((self.gaps_m > MAX_GAP_M).any())

    @property
    def ends_apart_m(self) -> float:
        """Geodesic distance between the two ends."""
        _, _, metres = WGS84.inv(self.lon[0], self.lat[0], self.lon[-1], self.lat[-1])
        return float(metres)

    def at(self, chainage_m: float) -> tuple[float, float]:
        """Return latitude and longitude at a chainage (clamped to the ends)."""
        return (
            float(np.interp(chainage_m, self.chainage_m, self.lat)),
            float(np.interp(chainage_m, self.chainage_m, self.lon)),
        )

    def reversed(self) -> Track:
        """Return the same line ridden from its finish to its start."""
        return Track(
            self.lat[::-1].copy(),
            self.lon[::-1].copy(),
            self.height[::-1].copy(),
            (self.part[-1] - self.part[::-1]).copy(),
        )

    @cached_property
    def checksum(self) -> str:
        """Short checksum of the line, to notice that a track was changed after its notes."""
        points = np.round(np.stack([self.lat, self.lon]) * 1e6).astype("<i8")
        return hashlib.sha256(points.tobytes()).hexdigest()[:12]


def local_metres(lat: Floats, lon: Floats, lat0: float, lon0: float) -> tuple[Floats, Floats]:
    """Project to metres east and north of a near point (equirectangular, for short distances).

    Uses the WGS84 radii of curvature at `lat0`; within 2 km the error is under 0.1 %.
    """
    phi = np.radians(lat0)
    e2 = WGS84.es
    w = 1 - e2 * np.sin(phi) ** 2
    north = np.radians(lat - lat0) * WGS84.a * (1 - e2) / w**1.5
    east = np.radians(lon - lon0) * WGS84.a * np.cos(phi) / np.sqrt(w)
    return east, north


def nearest_on_track(track: Track, lat: float, lon: float) -> tuple[Floats, Floats]:
    """Project a point on every step of a track.

    Returns:
        Two (n-1,) arrays: the distance from the point to each step (inf across a gap between
        parts), and the chainage of the nearest point on it, both in metres.
    """
    distance, share = nearest_on_steps(*local_metres(track.lat, track.lon, lat, lon))
    distance[np.diff(track.part) != 0] = np.inf
    return distance, track.chainage_m[:-1] + share * np.diff(track.chainage_m)


def nearest_on_steps(east: Floats, north: Floats) -> tuple[Floats, Floats]:
    """Return how near each step of a line comes to the origin of the plane.

    Args:
        east: metres, (n,).
        north: metres, (n,).

    Returns:
        Two (n-1,) arrays: the distance in metres, and at which share of the step that is, 0 to 1.
    """
    de, dn = np.diff(east), np.diff(north)
    squared = de * de + dn * dn
    along = -(east[:-1] * de + north[:-1] * dn)
    share = np.clip(np.divide(along, squared, out=np.zeros_like(along), where=squared > 0), 0, 1)
    return np.hypot(east[:-1] + share * de, north[:-1] + share * dn), share
