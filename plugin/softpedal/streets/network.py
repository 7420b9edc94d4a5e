"""The streets of an extract as flat arrays: nodes, edges between them, and the tags of both."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

import numpy as np
import shapely

from softpedal.streets.ground_shapes import Plane

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

Tags = dict[str, str]


@dataclass(frozen=True, slots=True)
class TurnRule:
    """A turn restriction: which way one comes from, over which node, and which way is meant.

    Attributes:
        from_way: index of the way that one comes from.
        via: index of the node.
        to_way: index of the way that one must not, or must, turn into.
        sort: "no" or "only".
        for_motors: whether it binds motor traffic.
        for_cycles: whether it binds cycles: it has no `except=bicycle`, or is for cycles alone.
        relation: OpenStreetMap id of the restriction.
    """

    from_way: int
    via: int
    to_way: int
    sort: Literal["no", "only"]
    for_motors: bool
    for_cycles: bool
    relation: int


@dataclass(frozen=True, slots=True)
class Place:
    """Something with a name at a point, by which an author may say where from and where to."""

    name: str
    lat: float
    lon: float
    what: str


@dataclass(frozen=True, eq=False)
class Network:
    """N nodes, E edges and W ways. Ways are cut into edges at shared and at tagged nodes.

    Attributes:
        node_id: OpenStreetMap ids, int64, (N,).
        lat, lon: of the nodes, WGS84 degrees, (N,).
        node_cut: whether the extract ends there: the way goes on where it has no data, (N,).
        edge_from, edge_to: indices of nodes, in the direction in which the way is drawn, (E,).
        edge_way: index of the way, (E,).
        edge_m: geodesic length, (E,).
        point_lat, point_lon: the points of all edges, one edge after the other, both ends
            included, (P,).
        point_start: where each edge's points start, (E + 1,).
        edge_across: whether the edge is no mapped line, but a way over an area such as a square.
        way_id: OpenStreetMap ids, int64, (W,).
        way_tags: tags by way, W of them.
        node_tags: tags by index of node, only of those that have any.
        turns: the turn restrictions.
        places: what has a name.
        box: west, south, east and north of the header, if it says so and the data lie in it.
        date: newest time stamp in the file as an ISO date, "" where there is none.
    """

    node_id: NDArray[np.int64]
    lat: NDArray[np.float64]
    lon: NDArray[np.float64]
    node_cut: NDArray[np.bool_]
    edge_from: NDArray[np.intp]
    edge_to: NDArray[np.intp]
    edge_way: NDArray[np.intp]
    edge_m: NDArray[np.float64]
    point_lat: NDArray[np.float64]
    point_lon: NDArray[np.float64]
    point_start: NDArray[np.intp]
    edge_across: NDArray[np.bool_]
    way_id: NDArray[np.int64]
    way_tags: list[Tags]
    node_tags: Mapping[int, Tags]
    turns: tuple[TurnRule, ...] = ()
    places: tuple[Place, ...] = ()
    box: tuple[float, float, float, float] | None = None
    date: str = ""
    digest: str = field(default="", compare=False)

    @property
    def n_nodes(self) -> int:
        """How many nodes there are."""
        return len(self.node_id)

    @property
    def n_edges(self) -> int:
        """How many edges there are."""
        return len(self.edge_way)

    def tags(self, edge: int) -> Tags:
        """Return the tags of an edge's way."""
        return self.way_tags[int(self.edge_way[edge])]

    def name(self, edge: int) -> str:
        """Return the name of an edge's street, its number where it has none, else ""."""
        tags = self.tags(edge)
        return tags.get("name") or tags.get("ref", "")

    @cached_property
    def plane(self) -> Plane:
        """Metres on the ground, true to scale in the middle of the extract."""
        return Plane(float(np.median(self.lat)) if self.n_nodes else 0.0)

    @cached_property
    def lines(self) -> NDArray[np.object_]:
        """Each edge as a LineString in metres of `plane`, (E,)."""
        degrees = np.column_stack([self.point_lon, self.point_lat])
        kind = shapely.GeometryType.LINESTRING
        lines: NDArray[np.object_] = self.plane.metres(
            shapely.from_ragged_array(kind, degrees, (self.point_start,))
        )
        return lines

    @cached_property
    def node_xy(self) -> NDArray[np.float64]:
        """Metres east and north of each node in `plane`, (N, 2)."""
        points = shapely.points(self.lon, self.lat)
        xy: NDArray[np.float64] = shapely.get_coordinates(self.plane.metres(points))
        return xy

    @cached_property
    def _incidence(self) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        ends = np.concatenate([self.edge_from, self.edge_to])
        edges = np.concatenate([np.arange(self.n_edges)] * 2)
        order = np.argsort(ends, kind="stable")
        start = np.searchsorted(ends[order], np.arange(self.n_nodes + 1))
        return start, edges[order]

    @cached_property
    def edges_at(self) -> list[list[int]]:
        """The edges that meet at each node; an edge from a node to itself stands twice."""
        start, edges = self._incidence
        listed = edges.tolist()
        return [listed[a:b] for a, b in pairwise(start.tolist())]

    def other_end(self, edge: int, node: int) -> int:
        """Return the node at the other end of an edge."""
        return int(self.edge_to[edge] if self.edge_from[edge] == node else self.edge_from[edge])
