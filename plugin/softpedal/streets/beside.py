"""Which cycleways, paths and pavements run beside a road: geometry, not a tag.

Beside means parallel within 20°, within 25 m, over 60 % of the length. Streets that are no main
road have narrower verges: beside them it means within 15 m (our own figure), so that a path behind
a row of houses does not become the pavement of their street.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
import shapely

from softpedal.streets.access import MAIN_CLASSES, road_class

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from softpedal.streets.network import Network

#: Farther from a main road, or from another street, a way does not run beside it.
MAIN_M, OTHER_M = 25.0, 15.0
#: Two directions are parallel when they differ by no more.
PARALLEL_DEG = 20.0
#: Share of the length over which it has to hold.
LEAST_SHARE = 0.6
#: A short edge is looked at together with its neighbours on the same way, up to this length.
CONTEXT_M = 60.0

_STEP_M = 5.0
_MOST_SAMPLES = 200
_STREETS = frozenset({"unclassified", "residential", "living_street", "road"})
#: Nothing has its track beside a motorway.
_MAIN = frozenset(MAIN_CLASSES[1:])


@dataclass(frozen=True, slots=True)
class Neighbour:
    """The road that an edge runs beside.

    Attributes:
        share: of the edge's length over which a road runs beside it, 0 to 1.
        road: index of an edge of the road that does so most, −1 where none does.
        name: of that road, "" where it has none.
    """

    share: float
    road: int = -1
    name: str = ""

    @property
    def is_beside(self) -> bool:
        """Whether it runs beside a road."""
        return self.share > LEAST_SHARE


class Beside:
    """Finds the road that an edge runs beside, for the edges that are asked for."""

    def __init__(self, network: Network) -> None:
        self._network = network
        self._found: dict[int, Neighbour] = {}

    def of(self, edge: int) -> Neighbour:
        """Return the road that an edge runs beside."""
        if edge not in self._found:
            self.look_at([edge])
        return self._found[edge]

    def look_at(self, edges: Iterable[int]) -> None:
        """Find the neighbours of several edges at once, for `of`."""
        wanted = [edge for edge in dict.fromkeys(edges) if edge not in self._found]
        if not wanted:
            return
        lines = np.array([self._line(edge) for edge in wanted], dtype=object)
        which, roads = self._tree.query(lines, predicate="dwithin", distance=MAIN_M)
        order = np.argsort(which, kind="stable")
        which, roads = which[order], self._roads[roads[order]]
        bounds = np.searchsorted(which, np.arange(len(wanted) + 1)).tolist()
        for i, edge in enumerate(wanted):
            near = roads[bounds[i] : bounds[i + 1]]
            self._found[edge] = self._neighbour(edge, lines[i], near)

    @cached_property
    def _roads(self) -> NDArray[np.intp]:
        of_way = np.array(
            [road_class(tags) in _MAIN | _STREETS for tags in self._network.way_tags], dtype=bool
        )
        return np.flatnonzero(of_way[self._network.edge_way] & ~self._network.edge_across)

    @cached_property
    def _tree(self) -> shapely.STRtree:
        return shapely.STRtree(self._network.lines[self._roads])

    def _line(self, edge: int) -> shapely.LineString:
        """Return an edge's line, with the edges before and after on its way if it is short."""
        network = self._network
        first = last = edge
        length = network.edge_m[edge]
        while length < CONTEXT_M:
            before, after = first - 1, last + 1
            grown = False
            if self._goes_on(before, first):
                first, length, grown = before, length + network.edge_m[before], True
            if self._goes_on(last, after):
                last, length, grown = after, length + network.edge_m[after], True
            if not grown:
                break
        if first == last:
            return network.lines[edge]
        points = shapely.get_coordinates(network.lines[first : last + 1])
        return shapely.LineString(points)

    def _goes_on(self, a: int, b: int) -> bool:
        n = self._network
        if a < 0 or b >= n.n_edges or n.edge_way[a] != n.edge_way[b]:
            return False
        return bool(
            n.edge_to[a] == n.edge_from[b] and not n.edge_across[a] and not n.edge_across[b]
        )

    def _neighbour(self, edge: int, line: shapely.LineString, near: NDArray[np.intp]) -> Neighbour:
        tags = self._network.tags(edge)
        near = np.array([r for r in near.tolist() if self._same_level(r, tags)], dtype=np.intp)
        if not len(near):
            return Neighbour(0.0)
        at, heading = _samples(line)
        points, owner = shapely.get_coordinates(self._network.lines[near], return_index=True)
        inner = owner[1:] == owner[:-1]
        a, step, owner = points[:-1][inner], np.diff(points, axis=0)[inner], owner[1:][inner]
        length = np.hypot(step[:, 0], step[:, 1])
        reach = np.where(self._is_main[self._network.edge_way[near]], MAIN_M, OTHER_M)[owner]
        rel = at[:, None, :] - a
        along = (rel * step).sum(axis=2) / np.maximum(length, 1e-9) ** 2
        beyond = np.abs(along - 0.5) * length - length / 2  # past an end, not beside
        off = rel - np.clip(along, 0.0, 1.0)[:, :, None] * step
        distance = np.hypot(off[:, :, 0], off[:, :, 1])
        cosine = np.abs(heading @ step.T) / np.maximum(length, 1e-9)
        holds = (distance <= reach) & (beyond <= _STEP_M)
        holds &= cosine >= np.cos(np.radians(PARALLEL_DEG))
        share = float(holds.any(axis=1).mean())
        if share == 0.0:
            return Neighbour(0.0)
        names = [self._network.name(r) for r in near.tolist()]
        best, most = 0, -1.0
        for name in dict.fromkeys(names):
            of_name = np.array([n == name for n in names])[owner]
            count = float(holds[:, of_name].any(axis=1).sum())
            if count > most:
                nearest = np.where(holds, distance, np.inf).min(axis=0)
                best = int(owner[of_name][nearest[of_name].argmin()])
                most = count
        return Neighbour(share, int(near[best]), names[best])

    @cached_property
    def _is_main(self) -> NDArray[np.bool_]:
        return np.array([road_class(tags) in _MAIN for tags in self._network.way_tags], dtype=bool)

    def _same_level(self, road: int, tags: dict[str, str]) -> bool:
        """Whether neither is in a tunnel under the other."""
        other = self._network.tags(road)
        return (tags.get("tunnel", "no") == "no") == (other.get("tunnel", "no") == "no")


def _samples(line: shapely.LineString) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return points along a line with the direction there, as unit vectors: (n, 2) and (n, 2)."""
    count = int(np.clip(line.length / _STEP_M, 4, _MOST_SAMPLES))
    where = (np.arange(count) + 0.5) * line.length / count
    coordinates = shapely.get_coordinates(line)
    steps = np.diff(coordinates, axis=0)
    lengths = np.hypot(steps[:, 0], steps[:, 1])
    ends = np.cumsum(lengths)
    segment = np.minimum(np.searchsorted(ends, where), len(steps) - 1)
    units = steps[segment] / np.maximum(lengths[segment], 1e-9)[:, None]
    into = where - (ends[segment] - lengths[segment])
    return coordinates[segment] + units * into[:, None], units
