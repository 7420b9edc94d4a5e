"""The sea, which is mapped by its coastlines only: land is on their left."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import shapely

if TYPE_CHECKING:
    from collections.abc import Sequence

#: A coastline that ends this near to the edge was cut there, in metres.
REACH_M = 1000.0
#: The sides of a coastline are looked at this far from it, in metres.
ASIDE_M = 0.5


def sea_polygons(coastlines: Sequence[Any], box: tuple[float, float, float, float]) -> list[Any]:
    """Return the sea within a box as polygons, islands being their holes.

    The box is cut along the coastlines into pieces; a piece is sea if more of the coast along it
    has it on the right than on the left. A coastline that ends inside the box parts nothing.

    Args:
        coastlines: lines in metres, land on their left.
        box: west, south, east and north edge of the extract, in metres.
    """
    edge = shapely.box(*box)
    inside = shapely.intersection(np.array(coastlines, dtype=object), edge)
    lines = [part for part in shapely.get_parts(inside).tolist() if _is_line(part)]
    if not lines:
        return []
    merged = shapely.get_parts(shapely.line_merge(shapely.MultiLineString(lines))).tolist()
    drawn = [*lines, edge.exterior, *_extensions(merged, edge.exterior)]
    pieces = np.array(shapely.get_parts(shapely.polygonize([shapely.unary_union(drawn)])).tolist())
    tree = shapely.STRtree(pieces)
    votes = np.zeros(len(pieces))
    starts, steps = _segments(lines)
    lengths = np.hypot(*steps.T)
    middles = starts + steps / 2
    right = np.c_[steps[:, 1], -steps[:, 0]] / lengths[:, None] * ASIDE_M
    for sign in (1.0, -1.0):
        point, piece = tree.query(shapely.points(middles + sign * right), predicate="within")
        np.add.at(votes, piece, sign * lengths[point])
    return list(pieces[votes > 0])


def _is_line(part: Any) -> bool:
    return bool(part.geom_type in ("LineString", "LinearRing")) and part.length > 0


def _extensions(merged: Sequence[Any], edge: Any) -> list[Any]:
    """Carry lines whose last points near the edge are missing from the extract on to the edge."""
    found = []
    for line in merged:
        if line.is_ring:
            continue
        for index in (0, -1):
            end = shapely.get_point(line, index)
            if 0 < shapely.distance(end, edge) <= REACH_M:
                found.append(shapely.shortest_line(end, edge))
    return found


def _segments(lines: Sequence[Any]) -> tuple[Any, Any]:
    """Return start and difference of every step of the lines, (N, 2) each."""
    points, owner = shapely.get_coordinates(lines, return_index=True)
    steps = np.diff(points, axis=0)
    real = (np.diff(owner) == 0) & (np.hypot(*steps.T) > 0)
    return points[:-1][real], steps[real]
