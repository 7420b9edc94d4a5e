"""The pale background of a drawn map: water, green and streets, and a few names."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import shapely
from markupsafe import escape

from softpedal.site.basemap import LAYERS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from softpedal.site._picture_frame import Frame
    from softpedal.site.basemap import Background

PAPER = "#F7F5F0"

#: Near-grey throughout, so that the legs are the only colour. In the order of drawing.
_FILLS = (("green", "#E6EADF"), ("water", "#D5DFE4"))
#: Layer, colour, width in pixels at 0.1 px to a metre, and the least scale at which it is drawn.
_LINES = (
    ("path", "#CDC8BC", 0.9, 0.12),
    ("street", "#E0DBD0", 2.2, 0.04),
    ("rail", "#C2BDB2", 1.2, 0.0),
    ("main_road", "#C9C3B6", 4.2, 0.0),
)
_NAMED = ("main_road", "water")
_NAME_COLOUR = "#5B5852"
_MOST_NAMES = 7
_LETTER_PX = 6.4
_BEYOND_PX = 6.0
_FINE = 10  # the parts of a pixel in which the ground is drawn


def ground_svg(background: Background, frame: Frame, keep_off: Sequence[Any]) -> str:
    """Return what lies around a route, as SVG without ids.

    Args:
        background: of the whole site.
        frame: of the picture.
        keep_off: shapes in pixels on which no name is written.
    """
    found = np.sort(background.tree.query(shapely.box(*frame.bounds(_BEYOND_PX))))
    if not len(found):
        return ""
    seen: Any = shapely.clip_by_rect(background.shapes[found], *frame.bounds(_BEYOND_PX))
    drawn: Any = shapely.simplify(
        shapely.transform(seen, frame.place), 0.4, preserve_topology=False
    )
    layers = background.layers[found]
    parts = []
    for layer, colour in _FILLS:
        path = _path(drawn[layers == LAYERS.index(layer)], close="z")
        parts += [f'<path fill="{colour}" fill-rule="evenodd" d="{path}"/>'] if path else []
    lines = []
    for layer, colour, width, least in _LINES:
        path = _path(drawn[layers == LAYERS.index(layer)]) if frame.scale >= least else ""
        wide = max(0.5, width * (frame.scale / 0.1) ** 0.6) * _FINE
        lines += [f'<path stroke="{colour}" stroke-width="{wide:.0f}" d="{path}"/>'] if path else []
    return (
        f'<g transform="scale({1 / _FINE:g})" stroke-linejoin="round">{"".join(parts)}'
        f'<g fill="none" stroke-linecap="round">{"".join(lines)}</g></g>'
        f"{_names(drawn, layers, background.names[found], frame, keep_off)}"
    )


def _path(shapes: Any, close: str = "") -> str:
    """Return path data in tenths of a pixel, relative and whole, which is short."""
    rings = shapely.get_rings(shapes) if close else shapely.get_parts(shapes)
    points, owner = shapely.get_coordinates(rings, return_index=True)
    if not len(points):
        return ""
    whole = np.rint(points * _FINE).astype(np.int64)
    starts = np.flatnonzero(np.diff(owner, prepend=-1))
    steps = np.diff(whole, axis=0, prepend=whole[:1])
    is_start = np.zeros(len(whole), dtype=bool)
    is_start[starts] = True
    kept = is_start | (steps != 0).any(axis=1)
    steps[starts] = whole[starts]
    texts = [
        (f"{close}M{x} {y}l" if start else f"{x} {y} ")
        if y >= 0
        else (f"{close}M{x}{y}l" if start else f"{x}{y} ")
        for start, (x, y) in zip(is_start[kept].tolist(), steps[kept].tolist(), strict=True)
    ]
    return (
        "".join(texts).replace(" -", "-").replace(f" {close}M", f"{close}M")[len(close) :].strip()
    )


def _names(
    drawn: Any,
    layers: NDArray[np.intp],
    names: NDArray[np.object_],
    frame: Frame,
    keep_off: Sequence[Any],
) -> str:
    """Return the names of main roads and water that have room, the longest run first."""
    runs = []
    for layer in _NAMED:
        for index in np.flatnonzero((layers == LAYERS.index(layer)) & (names != "")):
            where = _area_run(drawn[index]) if layer == "water" else _line_run(drawn[index])
            if where is not None:
                runs.append((*where, str(names[index])))
    taken = list(keep_off)
    told: set[str] = set()
    parts: list[str] = []
    for length, x, y, angle, name in sorted(runs, key=lambda run: (-run[0], run[4])):
        wide = len(name) * _LETTER_PX
        if length < wide + 8 or name in told or len(parts) == _MOST_NAMES:
            continue
        box = shapely.affinity.rotate(
            shapely.box(x - wide / 2, y - 7, x + wide / 2, y + 7), angle, (x, y)
        )
        inside = shapely.box(4, 4, frame.width - 34, frame.height - 26)
        if not inside.contains(box) or any(shapely.intersects(other, box) for other in taken):
            continue
        taken.append(box)
        told.add(name)
        turned = f"translate({x:.0f} {y:.0f})" + (f"rotate({angle:.0f})" if round(angle) else "")
        parts.append(f'<text transform="{turned}" dy="4">{escape(name)}</text>')
    return (
        f'<g font-size="11" fill="{_NAME_COLOUR}" text-anchor="middle" stroke="{PAPER}" '
        f'stroke-width="3" stroke-linejoin="round" paint-order="stroke">{"".join(parts)}</g>'
        if parts
        else ""
    )


def _area_run(area: Any) -> tuple[float, float, float, float] | None:
    """Return room, middle and a level angle for the name of an area."""
    area = shapely.make_valid(area)
    if shapely.is_empty(area) or shapely.area(area) <= 0:
        return None
    middle = shapely.point_on_surface(area)
    level = shapely.LineString([(-9e3, middle.y), (9e3, middle.y)])
    pieces = shapely.get_parts(shapely.intersection(area, level))
    here = max(pieces, key=shapely.length, default=None)
    if here is None:
        return None
    return float(here.length), float(here.centroid.x), float(middle.y), 0.0


def _line_run(line: Any) -> tuple[float, float, float, float] | None:
    """Return the length, middle and angle of the longest straight piece of a line."""
    best = None
    for piece in shapely.get_parts(line):
        points = shapely.get_coordinates(shapely.simplify(piece, 2))
        if len(points) < 2:
            continue
        steps = np.diff(points, axis=0)
        lengths = np.hypot(steps[:, 0], steps[:, 1])
        index = int(lengths.argmax())
        if best is None or lengths[index] > best[0]:
            (dx, dy), middle = steps[index], points[index] + steps[index] / 2
            angle = float(np.degrees(np.arctan2(dy, dx)))
            angle -= 180 * round(angle / 180)
            best = (float(lengths[index]), float(middle[0]), float(middle[1]), angle)
    return best
