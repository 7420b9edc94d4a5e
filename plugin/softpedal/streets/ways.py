"""A way along the network between two places: where it starts and ends on edges, and its line."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely

from softpedal.library.track import WGS84
from softpedal.streets.routing import Stop, shortest_between

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from softpedal.streets.costs import Costs
    from softpedal.streets.network import Network

#: How far from a street a place may lie.
NEAR_M = 100.0
#: So many of the nearest edges are tried at each end, where the nearest leads nowhere.
_TRIED = 4

Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Part:
    """An edge, or part of one: metres along it as drawn, the second smaller if against it."""

    edge: int
    forward: bool
    from_m: float
    to_m: float

    @property
    def length_m(self) -> float:
        """Metres gone along it."""
        return abs(self.to_m - self.from_m)


@dataclass(frozen=True, slots=True)
class Way:
    """A way: its parts in order, and what it costs."""

    parts: tuple[Part, ...]
    cost: float

    @property
    def length_m(self) -> float:
        """Metres along the network."""
        return sum(part.length_m for part in self.parts)


def stops_near(
    network: Network, usable: NDArray[np.bool_], place: Place, within_m: float = NEAR_M
) -> list[Stop]:
    """Return the nearest place on each usable edge near a place (lat, lon), the nearest first."""
    at = network.plane.metres(shapely.points(place[1], place[0]))
    edges = np.flatnonzero(usable)
    edges = edges[shapely.dwithin(network.lines[edges], at, within_m)]
    lines = network.lines[edges]
    off = shapely.distance(lines, at)
    share = shapely.line_locate_point(lines, at, normalized=True)
    along = np.nan_to_num(share) * network.edge_m[edges]
    order = np.argsort(off, kind="stable").tolist()
    return [Stop(int(edges[i]), float(along[i]), float(off[i])) for i in order]


def way_between(
    network: Network, costs: Costs, start: Place, end: Place, within_m: float = NEAR_M
) -> Way | None:
    """Return the cheapest way between the streets nearest to two places (lat, lon).

    A street that leads nowhere, such as a yard without a gate, is passed over for the next one.
    None where no street is near, or no way leads from one to the other.
    """
    island = _islands(network, costs.usable)
    starts, ends = (stops_near(network, costs.usable, p, within_m) for p in (start, end))
    common = {int(island[network.edge_from[s.edge]]) for s in starts}
    common &= {int(island[network.edge_from[s.edge]]) for s in ends}
    starts, ends = (
        [s for s in stops if int(island[network.edge_from[s.edge]]) in common][:_TRIED]
        for stops in (starts, ends)
    )
    pairs = [(a.off_m + b.off_m, i, j) for i, a in enumerate(starts) for j, b in enumerate(ends)]
    for _, i, j in sorted(pairs):
        a, b = starts[i], ends[j]
        if island[network.edge_from[a.edge]] != island[network.edge_from[b.edge]]:
            continue
        if found := shortest_between(network, a, b, costs):
            return Way(_parts(network, found.steps, a, b), found.cost)
    return None


def _parts(network: Network, steps: list[tuple[int, bool]], a: Stop, b: Stop) -> tuple[Part, ...]:
    parts = []
    for i, (edge, forward) in enumerate(steps):
        ends = (0.0, float(network.edge_m[edge]))
        from_m, to_m = ends if forward else ends[::-1]
        if i == 0:
            from_m = a.along_m
        if i == len(steps) - 1:
            to_m = b.along_m
        if from_m != to_m:
            parts.append(Part(edge, forward, from_m, to_m))
    return tuple(parts)


def _islands(network: Network, usable: NDArray[np.bool_]) -> NDArray[np.intp]:
    """Return a number for each node, the same for those that usable edges join, (N,)."""
    a, b = network.edge_from[usable], network.edge_to[usable]
    label = np.arange(network.n_nodes)
    while True:
        new = label.copy()
        np.minimum.at(new, label[a], label[b])
        np.minimum.at(new, label[b], label[a])
        while not np.array_equal(new, new[new]):
            new = new[new]
        if np.array_equal(new, label):
            return label
        label = new


def line_of(
    network: Network, parts: tuple[Part, ...]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.intp]]:
    """Return the line of a way.

    Returns:
        Latitudes and longitudes in degrees, (n,), without points that repeat the one before; and
        the index of the point at which each part starts and the last one ends, (parts + 1,).
    """
    lats: list[NDArray[np.float64]] = []
    lons: list[NDArray[np.float64]] = []
    starts = [0]
    for part in parts:
        lat, lon = cut_edge(network, part)
        skip = 1 if lats else 0
        lats.append(lat[skip:])
        lons.append(lon[skip:])
        starts.append(starts[-1] + len(lat) - 1)
    if not lats:
        return np.empty(0), np.empty(0), np.array(starts)
    return np.concatenate(lats), np.concatenate(lons), np.array(starts)


def cut_edge(network: Network, part: Part) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the points of part of an edge in the order in which it is gone along, degrees."""
    span = slice(network.point_start[part.edge], network.point_start[part.edge + 1])
    lat, lon = network.point_lat[span], network.point_lon[span]
    _, _, steps = WGS84.inv(lon[:-1], lat[:-1], lon[1:], lat[1:])
    along = np.concatenate([[0.0], np.cumsum(steps)])
    low, high = sorted((part.from_m, part.to_m))
    inside = along[(along > low) & (along < high)]
    at = np.concatenate([[low], inside, [min(high, along[-1])]])
    lat, lon = np.interp(at, along, lat), np.interp(at, along, lon)
    return (lat, lon) if part.from_m <= part.to_m else (lat[::-1], lon[::-1])
