"""How routes meet over a whole library: near ends, lines that cross, stretches that are shared."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from softpedal.library.track import Track
    from softpedal.site.one_route import Ends

#: Ends this near to each other meet, in metres.
MEET_M = 250.0
#: A stretch that another route also takes lies this near to it, and is at least so long.
BESIDE_M = 20.0
SHARED_M = 100.0

#: Lines are looked at in steps of this length, in pieces of so many steps.
_STEP_M = 20.0
_PIECE = 8
#: Crossings this near to each other are one, and none is told this near to a shared stretch.
_SAME_PLACE_M = 60.0


@dataclass(frozen=True, slots=True)
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


@dataclass(frozen=True, slots=True)
class Meetable:
    """What of a route is needed: the ids under `next` of its notes, its ends and its line."""

    onward: Sequence[str]
    ends: Ends
    line: Sampled


def connections(routes: Mapping[str, Meetable]) -> dict[str, Connections]:
    """Return for each route what it meets, in riding order.

    Distances are taken in an azimuthal equidistant projection about the middle of the library.
    """
    onward = ride_on({one: (r.onward, r.ends) for one, r in routes.items()})
    found = {one: Connections(onward[one]) for one in routes}
    if len(routes) < 2:
        return found
    lines = _Lines(list(routes), [r.line for r in routes.values()])
    for one, other, from_m, to_m in lines.shared():
        found[one].shares.append(Meeting(other, from_m, to_m))
    for one, other, at_m in lines.crossings():
        shared = [m for m in found[one].shares if m.other == other]
        if not any(m.at_m - _SAME_PLACE_M <= at_m <= m.to_m + _SAME_PLACE_M for m in shared):
            _add_crossing(found[one].crosses, other, at_m)
    for each in found.values():
        each.shares.sort(key=lambda m: (m.at_m, m.other))
        each.crosses.sort(key=lambda m: (m.at_m, m.other))
    return found


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
    ends = _projected(np.array(lons), np.array(lats))
    here, there = ends.sindex.query(ends.geometry, predicate="dwithin", distance=MEET_M)
    for one, other in sorted({(ids[a], ids[b]) for a, b in zip(here, there, strict=True)}):
        if one != other and other not in found[one]:
            found[one].append(other)
    return found


def _projected(lon: NDArray[Any], lat: NDArray[Any]) -> Any:
    """Return points as a GeoSeries in metres about their middle."""
    import geopandas as gpd  # noqa: PLC0415 - it takes a second to import

    middle = f"+lat_0={lat.mean()} +lon_0={lon.mean()}"
    places = gpd.GeoSeries(gpd.points_from_xy(lon, lat), crs="EPSG:4326")
    return places.to_crs(f"+proj=aeqd {middle} +datum=WGS84 +units=m")


class _Lines:
    """All lines of a library in metres, in short pieces with one spatial index over them."""

    def __init__(self, ids: Sequence[str], lines: Sequence[Sampled]) -> None:
        self.ids = ids
        self.owner = np.repeat(np.arange(len(lines)), [len(line.at_m) for line in lines])
        self.at = np.concatenate([line.at_m for line in lines])
        part = np.concatenate([line.part for line in lines])
        lon, lat = (np.concatenate([getattr(line, c) for line in lines]) for c in ("lon", "lat"))
        self.points = _projected(lon, lat).geometry.to_numpy()
        self.first, self.pieces = _pieces(self.points, self.owner, part)
        self.index = shapely.STRtree(self.pieces)

    def shared(self) -> list[tuple[str, str, float, float]]:
        """Return the stretches near another route: whose, of which other, from and to."""
        here, there = self.index.query(self.points, predicate="dwithin", distance=BESIDE_M)
        other = self.owner[self.first[there]]
        apart = self.owner[here] != other
        # One number for each point near each other route, in order along the route.
        keys = np.unique(other[apart] * len(self.points) + here[apart])
        breaks = np.flatnonzero(
            (np.diff(keys) != 1) | (np.diff(self.owner[keys % len(self.points)]) != 0)
        )
        edges = np.r_[0, breaks + 1, len(keys)]
        found = []
        for a, b in pairwise(edges.tolist()):
            if b - a < 2:
                continue
            start, end = keys[a] % len(self.points), keys[b - 1] % len(self.points)
            if self.at[end] - self.at[start] >= SHARED_M:
                whose, which = self.owner[start], keys[a] // len(self.points)
                span = (float(self.at[start]), float(self.at[end]))
                found.append((self.ids[whose], self.ids[which], *span))
        return found

    def crossings(self) -> list[tuple[str, str, float]]:
        """Return the places where two lines meet: whose, which other, and where along it."""
        here, there = self.index.query(self.pieces, predicate="intersects")
        apart = self.owner[self.first[here]] != self.owner[self.first[there]]
        here, there = here[apart], there[apart]
        meet = shapely.intersection(self.pieces[here], self.pieces[there])
        places, pair = shapely.get_parts(meet, return_index=True)
        is_point = shapely.get_type_id(places) == 0
        places, pair = places[is_point], pair[is_point]
        along = shapely.line_locate_point(self.pieces[here[pair]], places)
        at = self.at[self.first[here[pair]]] + along
        one, other = self.owner[self.first[here[pair]]], self.owner[self.first[there[pair]]]
        order = np.lexsort((at, other, one))
        return [
            (self.ids[a], self.ids[b], float(m))
            for a, b, m in zip(one[order], other[order], at[order], strict=True)
        ]


def _pieces(
    points: NDArray[np.object_], owner: NDArray[np.intp], part: NDArray[np.int32]
) -> tuple[NDArray[np.intp], Any]:
    """Cut lines into short pieces that touch, none over a gap; the index of each one's start."""
    joined = (np.diff(owner) == 0) & (np.diff(part) == 0)
    runs = np.flatnonzero(np.r_[True, ~joined, True])
    spans = [
        (start, min(start + _PIECE, end - 1))
        for first, end in pairwise(runs.tolist())
        for start in range(first, end - 1, _PIECE)
    ]
    coordinates = shapely.get_coordinates(points)
    indices = np.concatenate([np.arange(a, b + 1) for a, b in spans])
    of = np.repeat(np.arange(len(spans)), [b - a + 1 for a, b in spans])
    return np.array([a for a, _ in spans]), shapely.linestrings(coordinates[indices], indices=of)


def _add_crossing(crosses: list[Meeting], other: str, at_m: float) -> None:
    if crosses and crosses[-1].other == other and at_m - crosses[-1].at_m <= _SAME_PLACE_M:
        return
    crosses.append(Meeting(other, at_m, at_m))
