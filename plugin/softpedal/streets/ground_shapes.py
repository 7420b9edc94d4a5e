"""Shapes of the ground made fit for drawing: in metres, so that north is no finer than east."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely

from softpedal.streets.ground_layers import AREA_LAYERS, LAYERS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

#: What is smaller or finer than this is not drawn.
MIN_AREA_M2 = 20.0
TOLERANCE_M = 1.0

METRES_PER_DEGREE = 111_200.0
_POLYGON, _LINE = 3, 1


@dataclass(frozen=True, slots=True)
class Ground:
    """What lies on the ground.

    Attributes:
        shapes: polygons and lines in WGS84 degrees, longitude first, (N,).
        layers: index into `LAYERS` of each, (N,).
        names: of each, "" where it has none, (N,).
    """

    shapes: NDArray[np.object_]
    layers: NDArray[np.intp]
    names: NDArray[np.object_]


@dataclass(frozen=True, slots=True)
class Plane:
    """Metres east and north of 0° 0°, true to scale near one latitude."""

    lat: float

    @property
    def _scale(self) -> NDArray[np.float64]:
        return np.array([METRES_PER_DEGREE * np.cos(np.radians(self.lat)), METRES_PER_DEGREE])

    def metres(self, shapes: Any) -> Any:
        """Return shapes in degrees as shapes in metres."""
        return shapely.transform(shapes, lambda points: points * self._scale)

    def degrees(self, shapes: Any) -> Any:
        """Return shapes in metres as shapes in degrees."""
        return shapely.transform(shapes, lambda points: points / self._scale)


def fit_for_drawing(
    shapes: Sequence[Any],
    layers: Sequence[int],
    names: Sequence[str],
    least_m2: float = MIN_AREA_M2,
) -> Ground:
    """Return shapes mended, joined where a street goes on, thinned, and without specks.

    Args:
        shapes: polygons and lines in degrees, one or several in each.
        layers: index into `LAYERS` of each.
        names: of each, "" where it has none.
        least_m2: area of what is drawn at least.
    """
    parts, owner = shapely.get_parts(np.array(shapes, dtype=object), return_index=True)
    if not len(parts):
        return _empty()
    layer, name = np.array(layers, dtype=np.intp)[owner], np.array(names, dtype=object)[owner]
    bounds = shapely.total_bounds(parts)
    plane = Plane(float(bounds[1] + bounds[3]) / 2)
    parts = plane.metres(parts)
    is_area = layer < len(AREA_LAYERS)
    areas = _areas(parts[is_area], layer[is_area], name[is_area], least_m2)
    lines = _lines(parts[~is_area], layer[~is_area], name[~is_area])
    found, layer, name = (np.concatenate(both) for both in zip(areas, lines, strict=True))
    order = np.argsort(layer, kind="stable")
    return Ground(plane.degrees(found[order]), layer[order], name[order])


def _empty() -> Ground:
    nothing = np.empty(0, dtype=object)
    return Ground(nothing, np.empty(0, dtype=np.intp), nothing.copy())


def _areas(parts: Any, layer: Any, name: Any, least_m2: float) -> tuple[Any, Any, Any]:
    broken = ~shapely.is_valid(parts)
    parts[broken] = shapely.make_valid(parts[broken])
    parts, owner = _pieces(shapely.simplify(parts, TOLERANCE_M), _POLYGON)
    large = shapely.area(parts) >= least_m2
    return parts[large], layer[owner[large]], name[owner[large]]


def _lines(parts: Any, layer: Any, name: Any) -> tuple[Any, Any, Any]:
    """Join the lines of one street: fewer points, and its name finds more room."""
    kept = shapely.get_type_id(parts) == _LINE
    parts, layer, name = parts[kept], layer[kept], name[kept]
    streets: dict[tuple[int, str], list[int]] = {}
    for index, key in enumerate(zip(layer.tolist(), name.tolist(), strict=True)):
        streets.setdefault(key, []).append(index)
    whole = np.empty(len(streets), dtype=object)
    for index, members in enumerate(streets.values()):
        whole[index] = shapely.multilinestrings(parts[members])
    thin = shapely.simplify(
        shapely.get_parts(shapely.line_merge(whole), return_index=False),
        TOLERANCE_M,
        preserve_topology=False,
    )
    _, owner = shapely.get_parts(shapely.line_merge(whole), return_index=True)
    keys = list(streets)
    found_layer = np.array([keys[i][0] for i in owner], dtype=np.intp)
    found_name = np.array([keys[i][1] for i in owner], dtype=object)
    return thin, found_layer, found_name


def _pieces(shapes: Any, wanted: int) -> tuple[Any, Any]:
    """Return the single shapes of one sort within shapes, and whose each is."""
    parts, owner = shapely.get_parts(shapes, return_index=True)
    parts, inner = shapely.get_parts(parts, return_index=True)
    kept = (shapely.get_type_id(parts) == wanted) & ~shapely.is_empty(parts)
    return parts[kept], owner[inner[kept]]


def layer_index(layer: str) -> int:
    """Return the number of a layer.

    Raises:
        ValueError: if there is no such layer.
    """
    return LAYERS.index(layer)
