"""The background of the map of all routes: main roads and water only, and light."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import shapely

from softpedal.site.basemap import AREA_LAYERS, LAYERS, Background, ground_script, pack
from softpedal.site.overview_line import SCALE as LINE_SCALE

if TYPE_CHECKING:
    from collections.abc import Iterable

    from softpedal.site.overview_line import Parts

SHOWN = ("green", "water", "river", "rail", "main_road")
MOST_BYTES = 60_000

#: Margin around all routes, and the coarseness tried in turn, in degrees.
_AROUND = 0.006
_TOLERANCES = (0.00008, 0.00016, 0.0004, 0.001)
#: Areas smaller than this are not drawn, in square degrees: about a hectare.
_LEAST_AREA = 1e-6


def overview_ground(background: Background, lines: Iterable[Parts]) -> str:
    """Return a classic script like that of `Background.corridor`, for the box around all lines.

    It is at most 60 kB: what does not fit is drawn coarser, and in the end not at all.
    """
    points = np.array([p for line in lines for part in line for p in part]) / LINE_SCALE
    south, west = points.min(axis=0) - _AROUND
    north, east = points.max(axis=0) + _AROUND
    box = (float(west), float(south), float(east), float(north))
    for tolerance in _TOLERANCES:
        script = _script(background, box, tolerance)
        if len(script.encode()) <= MOST_BYTES:
            return script
    return ""


def _script(
    background: Background, box: tuple[float, float, float, float], tolerance: float
) -> str:
    west, south, east, north = box
    found = np.sort(background.tree.query(shapely.box(*box), predicate="intersects"))
    # numpy has no object array of geometries in its types
    pieces: Any = shapely.clip_by_rect(background.shapes[found], *box)
    pieces = shapely.simplify(pieces, tolerance, preserve_topology=True)
    origin = (round(south, 5), round(west, 5))
    packed = {}
    for index, layer in enumerate(LAYERS):
        if layer not in SHOWN:
            continue
        is_area = layer in AREA_LAYERS
        chosen = background.layers[found] == index
        if is_area:
            chosen &= shapely.area(pieces) >= _LEAST_AREA
        where = np.flatnonzero(chosen)
        content = pack(pieces[where], background.names[found[where]], is_area, origin)
        if content:
            packed[layer] = content
    return ground_script(packed, origin, north, east)
