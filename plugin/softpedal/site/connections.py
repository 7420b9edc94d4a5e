"""What a route gives to find those that it meets, what it meets, and whose ends are near."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from softpedal.library.track import Track
    from softpedal.site.one_route import Ends

#: Ends this near to each other meet, in metres.
MEET_M = 250.0
#: Lines are looked at in steps of this length.
_STEP_M = 20.0


# Compared as the object that it is: a kept line is known by being the very same.
@dataclass(frozen=True, slots=True, eq=False)
class Sampled:
    """A route's line at equal steps of chainage.

    Attributes:
        lat, lon: WGS84 degrees, (N,).
        at_m: chainage, (N,).
        part: which part of the track each lies on, (N,).
    """

    lat: NDArray[np.float64]
    lon: NDArray[np.float64]
    at_m: NDArray[np.float64]
    part: NDArray[np.int32]

    @classmethod
    def of(cls, track: Track) -> Sampled:
        """Return the samples of a track."""
        count = max(2, round(track.length_m / _STEP_M) + 1)
        at = np.linspace(0.0, track.length_m, count)
        last = np.searchsorted(track.chainage_m, at, side="right") - 1
        return cls(
            np.interp(at, track.chainage_m, track.lat),
            np.interp(at, track.chainage_m, track.lon),
            at,
            track.part[np.clip(last, 0, len(track.part) - 1)].astype(np.int32),
        )


@dataclass(frozen=True, slots=True)
class Meeting:
    """Where another route is met: at a chainage, or from one to another, in metres."""

    other: str
    at_m: float
    to_m: float


@dataclass(frozen=True, slots=True)
class Connections:
    """What a route meets: ids of the routes to ride on to, and where it crosses or shares."""

    onward: list[str] = field(default_factory=list)
    crosses: list[Meeting] = field(default_factory=list)
    shares: list[Meeting] = field(default_factory=list)

    @property
    def others(self) -> set[str]:
        """The ids of all routes that are met."""
        return {*self.onward, *(m.other for m in (*self.crosses, *self.shares))}


@dataclass(frozen=True, slots=True)
class Meetable:
    """What of a route is needed: the ids under `next` of its notes, its ends and its line."""

    onward: Sequence[str]
    ends: Ends
    line: Sampled


def ride_on(routes: Mapping[str, tuple[Sequence[str], Ends]]) -> dict[str, list[str]]:
    """Return for each route the ids of those that begin or end near one of its ends.

    Args:
        routes: by id, the ids that the notes name under `next` (they come first), and the
            latitude and longitude of both ends.
    """
    found = {one: [n for n in named if n in routes] for one, (named, _) in routes.items()}
    if len(routes) < 2:
        return found
    ids = [one for one in routes for _ in range(2)]
    lats, lons = zip(*(end for _, ends in routes.values() for end in ends), strict=True)
    ends = projected(np.array(lons), np.array(lats), (np.mean(lats), np.mean(lons)))
    here, there = ends.sindex.query(ends.geometry, predicate="dwithin", distance=MEET_M)
    for one, other in sorted({(ids[a], ids[b]) for a, b in zip(here, there, strict=True)}):
        if one != other and other not in found[one]:
            found[one].append(other)
    return found


def projected(lon: NDArray[Any], lat: NDArray[Any], middle: tuple[float, float]) -> Any:
    """Return points as a GeoSeries in metres, equidistant about a middle (latitude, longitude)."""
    import geopandas as gpd  # noqa: PLC0415 - it takes a second to import

    about = f"+lat_0={middle[0]} +lon_0={middle[1]}"
    places = gpd.GeoSeries(gpd.points_from_xy(lon, lat), crs="EPSG:4326")
    return places.to_crs(f"+proj=aeqd {about} +datum=WGS84 +units=m")
