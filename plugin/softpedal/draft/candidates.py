"""Where on the network each fix of a ride may have been: the corridor of a ride, and its ways."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely

from softpedal.draft.bounded_paths import BoundedPaths
from softpedal.streets.access import cycle_access

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from softpedal.streets.country import Country
    from softpedal.streets.network import Network, Tags

RIDE, PUSH, SHUT, AGAINST = range(4)
#: How much longer than it is a way counts as in a search for the way between two fixes, by the
#: four codes above.
DEARER = np.array([1.0, 1.35, 2.0, 1.25])
#: The track is cut into stretches of so many fixes to ask what lies beside it.
_CHUNK = 16


@dataclass(frozen=True, eq=False)
class Candidates:
    """Places on ways near fixes, K for each of n fixes; what is not there has `edge` −1.

    Attributes:
        edge: index into the corridor's edges, (n, K).
        at_m: metres along the edge as drawn, (n, K).
        off_m: metres between the fix and the place, inf where there is none, (n, K).
        side_m: how far the fix lies to one side of the way, and
        normal_x, normal_y: the unit vector to that side, (n, K). Where the way ends before the fix
            it points from the end to the fix.
    """

    edge: NDArray[np.intp]
    at_m: NDArray[np.float64]
    off_m: NDArray[np.float64]
    side_m: NDArray[np.float64]
    normal_x: NDArray[np.float64]
    normal_y: NDArray[np.float64]


class Corridor:
    """The edges beside a ride, with what a search needs to know of them; C edges.

    Attributes:
        edges: index of each in the network, (C,).
        way: index of its way, (C,).
        metres: its length, (C,).
        tail, head: its ends, numbered within the corridor, (C,).
        is_area: whether it is the outline of a square, or a way over one, (C,).
        nodes: index in the network of each of those.
        node_xy: metres in the network's plane, (nodes, 2).
        code: what a cycle does on it forward and backward: RIDE, PUSH, SHUT or AGAINST, (C, 2).
        paths: the ways between its nodes.
    """

    def __init__(
        self,
        network: Network,
        country: Country,
        fixes: NDArray[np.float64],
        margin_m: float,
        not_way: frozenset[int] = frozenset(),
    ) -> None:
        self.edges = _beside(network, fixes, margin_m)
        self.way = network.edge_way[self.edges]
        self.metres = network.edge_m[self.edges]
        ways, which = np.unique(self.way, return_inverse=True)
        tags = [network.way_tags[w] for w in ways.tolist()]
        ids = network.way_id[ways].tolist()
        ok = [not left_out(t) and i not in not_way for t, i in zip(tags, ids, strict=True)]
        is_ok = np.array(ok, dtype=bool)[which]
        self.edges, self.way, self.metres = self.edges[is_ok], self.way[is_ok], self.metres[is_ok]
        area = np.array([t.get("area") == "yes" for t in tags], dtype=bool)
        self.is_area = area[which][is_ok]
        code = np.array([_codes(t, country) for t in tags], dtype=np.intp).reshape(-1, 2)
        self.code = code[which][is_ok]
        ends = np.concatenate([network.edge_from[self.edges], network.edge_to[self.edges]])
        self.nodes, local = np.unique(ends, return_inverse=True)
        self.tail, self.head = local[: len(self.edges)], local[len(self.edges) :]
        self.node_xy = network.node_xy[self.nodes]
        dear = DEARER[self.code]
        self.paths = BoundedPaths(self.tail, self.head, self.metres, dear, len(self.nodes))
        if len(self.edges):
            self._cut(network)

    def _cut(self, network: Network) -> None:
        """Cut the edges into their straight stretches."""
        points, owner = shapely.get_coordinates(network.lines[self.edges], return_index=True)
        inside = owner[1:] == owner[:-1]
        a, b = points[:-1][inside], points[1:][inside]
        self._a, self._d = a, b - a
        hop = np.hypot(*self._d.T)
        self._piece_edge = owner[:-1][inside]
        run = np.cumsum(hop) - hop
        first = np.searchsorted(self._piece_edge, np.arange(len(self.edges)))
        self._run = run - run[first][self._piece_edge] if len(run) else run
        total = np.bincount(self._piece_edge, hop, len(self.edges))
        self._scale = np.divide(self.metres, total, out=np.ones(len(total)), where=total > 0)
        self._hop = np.maximum(hop, 1e-6)
        self._squared = self._hop**2
        self._tree = shapely.STRtree(shapely.linestrings(np.stack([a, b], axis=1)))

    def candidates(
        self,
        xy: NDArray[np.float64],
        radius_m: float,
        most: int,
        handicap_m: NDArray[np.float64] | None = None,
    ) -> Candidates:
        """Return the nearest places within a radius of each fix.

        Of each edge the nearest place counts, and others that are nearer than all about them.

        Args:
            xy: metres in the network's plane, (n, 2).
            radius_m: how far from a fix places are looked for.
            most: how many at most at each.
            handicap_m: metres by which ways of each code count as farther off when only the
                nearest are kept, (n, 4).
        """
        fix, piece = self._tree.query(shapely.points(xy), predicate="dwithin", distance=radius_m)
        offset = xy[fix] - self._a[piece]
        t = np.clip((offset * self._d[piece]).sum(axis=1) / self._squared[piece], 0.0, 1.0)
        away = offset - t[:, None] * self._d[piece]
        off = np.hypot(*away.T)
        edge = self._piece_edge[piece]
        order = np.lexsort((off, edge, fix))
        fix, piece, t, away, off, edge = (x[order] for x in (fix, piece, t, away, off, edge))
        best = np.ones(len(fix), dtype=bool)
        best[1:] = (fix[1:] != fix[:-1]) | (edge[1:] != edge[:-1])
        keep = best | ((t > 0) & (t < 1))
        fix, piece, t, away, off, edge = (x[keep] for x in (fix, piece, t, away, off, edge))
        seems = off if handicap_m is None else off + handicap_m[fix, self.code[edge].min(axis=1)]
        order = np.lexsort((seems, fix))
        fix, piece, t, away, off, edge = (x[order] for x in (fix, piece, t, away, off, edge))
        rank = np.arange(len(fix)) - np.searchsorted(fix, fix)
        keep = rank < most
        where = fix[keep], rank[keep]
        shape = len(xy), int(rank[keep].max(initial=0)) + 1
        at = (self._run[piece] + t * self._hop[piece]) * self._scale[edge]

        inside = (t > 0) & (t < 1)
        across = self._d[piece][:, ::-1] * [-1.0, 1.0] / self._hop[piece][:, None]
        normal = np.where(
            (inside | (off < 0.01))[:, None], across, away / np.maximum(off, 0.01)[:, None]
        )
        side = (away * normal).sum(axis=1)

        def table(values: NDArray[np.float64], empty: float) -> NDArray[np.float64]:
            full = np.full(shape, empty, dtype=np.float64)
            full[where] = values[keep]
            return full

        return Candidates(
            table(edge, -1).astype(np.intp),
            table(np.minimum(at, self.metres[edge]), 0.0),
            table(off, np.inf),
            table(side, 0.0),
            table(normal[:, 0], 0.0),
            table(normal[:, 1], 0.0),
        )


def left_out(tags: Tags) -> bool:
    """Return whether nobody rides there in the open: ferries, buildings, service tunnels."""
    kind = tags.get("highway", "")
    if not kind or kind == "corridor" or tags.get("indoor", "no") != "no":
        return True
    if kind != "service":
        return False
    layer = tags.get("layer", "0").removeprefix("-")
    deep = tags.get("layer", "0").startswith("-") and layer.isdigit() and int(layer) >= 2
    return deep or tags.get("tunnel", "no") not in ("no", "building_passage")


def _codes(tags: Tags, country: Country) -> tuple[int, int]:
    access = cycle_access(tags, country)
    codes = {"ride": RIDE, "push": PUSH, "no": SHUT}
    forward, backward = codes[access.forward], codes[access.backward]
    if forward == RIDE and backward != RIDE:
        backward = AGAINST
    elif backward == RIDE and forward != RIDE:
        forward = AGAINST
    return forward, backward


def _beside(network: Network, fixes: NDArray[np.float64], margin_m: float) -> NDArray[np.intp]:
    """Return the edges within a margin of the line through the fixes."""
    lon, lat = network.point_lon, network.point_lat
    start = network.point_start[:-1]
    corners = np.array([fixes.min(axis=0) - margin_m, fixes.max(axis=0) + margin_m])
    box = shapely.get_coordinates(network.plane.degrees(shapely.points(corners)))
    near = np.flatnonzero(
        (np.minimum.reduceat(lon, start) <= box[1, 0])
        & (np.maximum.reduceat(lon, start) >= box[0, 0])
        & (np.minimum.reduceat(lat, start) <= box[1, 1])
        & (np.maximum.reduceat(lat, start) >= box[0, 1])
    )
    if not len(near):
        return near
    cuts = range(0, max(len(fixes) - 1, 1), _CHUNK)
    stretches = [
        shapely.linestrings(np.repeat(fixes[i : i + _CHUNK + 1], 1 + (len(fixes) == 1), 0))
        for i in cuts
    ]
    tree = shapely.STRtree(network.lines[near])
    _, hit = tree.query(np.array(stretches), predicate="dwithin", distance=margin_m)
    return np.asarray(near[np.unique(hit)])
