"""A network drawn by hand: places in metres, ways between them, and rules for turns."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from softpedal.library.track import WGS84
from softpedal.streets.network import Network, Place, TurnRule

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

LAT, LON = 50.0, -20.0
#: Degrees of latitude and, at 50° north, of longitude in a metre, near enough for tests.
NORTH, EAST = 1 / 111_229.0, 1 / 71_696.0


def degrees(x: float, y: float) -> tuple[float, float]:
    """Return latitude and longitude of a place in metres east and north."""
    return LAT + y * NORTH, LON + x * EAST


def drawn(
    ways: Sequence[tuple[Sequence[tuple[float, float]], Mapping[str, str]]],
    turns: Sequence[tuple[int, tuple[float, float], int, str]] = (),
    nodes: Mapping[tuple[float, float], Mapping[str, str]] | None = None,
    places: Sequence[tuple[str, tuple[float, float]]] = (),
) -> Network:
    """Return a network with a node at each point of each way, and an edge between two of them.

    Args:
        ways: points and tags of each.
        turns: way from, node, way to, and "no" or "only"; all bind cycles.
        nodes: tags by place.
        places: names with where they are.
    """
    index: dict[tuple[float, float], int] = {}
    edges = []
    for way, (points, _) in enumerate(ways):
        for a, b in pairwise(points):
            edges.append((index.setdefault(a, len(index)), index.setdefault(b, len(index)), way))
    lat, lon = np.array([degrees(*place) for place in index]).T
    a, b, of_way = np.array(edges).T
    _, _, metres = WGS84.inv(lon[a], lat[a], lon[b], lat[b])
    ends = np.column_stack([a, b]).ravel()
    return Network(
        node_id=np.arange(len(index)) + 1,
        lat=lat,
        lon=lon,
        node_cut=np.zeros(len(index), dtype=bool),
        edge_from=a,
        edge_to=b,
        edge_way=of_way,
        edge_m=metres,
        point_lat=lat[ends],
        point_lon=lon[ends],
        point_start=np.arange(len(edges) + 1) * 2,
        edge_across=np.zeros(len(edges), dtype=bool),
        way_id=np.arange(len(ways)) + 100,
        way_tags=[dict(tags) for _, tags in ways],
        node_tags={index[at]: dict(tags) for at, tags in (nodes or {}).items()},
        turns=tuple(
            TurnRule(from_way, index[via], to_way, "no" if sort == "no" else "only", True, True, 1)
            for from_way, via, to_way, sort in turns
        ),
        places=tuple(Place(name, *degrees(*at), "place") for name, at in places),
    )


def node_at(network: Network, x: float, y: float) -> int:
    """Return the node at a place in metres."""
    lat, lon = degrees(x, y)
    return int(np.argmin((network.lat - lat) ** 2 + (network.lon - lon) ** 2))
