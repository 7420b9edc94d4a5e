"""The names of both ends of a drawn map, each where it covers least."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import shapely
from markupsafe import escape

from softpedal.site._picture_signs import RADIUS_PX

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from softpedal.site._picture_frame import Frame
    from softpedal.site._picture_line import DrawnLine

_LETTER_PX = 7.6
_HIGH_PX = 15.0
_FOOT_PX = 24.0


@dataclass(frozen=True, slots=True)
class EndName:
    """A name with its place: `box` is what it covers, in pixels."""

    name: str
    x: float
    y: float
    anchor: str
    box: Any


def end_names(
    names: Sequence[str], drawn: DrawnLine, frame: Frame, marked: Sequence[float]
) -> list[EndName]:
    """Return the names of start and finish; one name where both ends are one place.

    Args:
        names: of start and finish.
        drawn: the line.
        frame: of the picture.
        marked: chainage of the signs on the line, in metres; names keep off them.
    """
    spots = [drawn.spot(0.0), drawn.spot(float(drawn.at[-1]))]
    line = shapely.buffer(drawn.shape, drawn.band, quad_segs=2)
    inside = shapely.box(3, 3, frame.width - 3, frame.height - _FOOT_PX)
    places = shapely.points([*spots, *(drawn.spot(at) for at in marked)])
    signs = shapely.buffer(places, RADIUS_PX, quad_segs=2).tolist()
    if math.dist(*spots) < 5 * RADIUS_PX and names[0] == names[1]:
        spots, names = spots[:1], names[:1]
    placed: list[EndName] = []
    for name, spot in zip(names, spots, strict=True):
        taken = [line, *signs, *(other.box for other in placed)]

        def covered(each: EndName, taken: Sequence[Any] = tuple(taken)) -> float:
            outside = each.box.area - shapely.intersection(each.box, inside).area
            over = sum(shapely.intersection(each.box, other).area for other in taken)
            return float(round(50 * outside + over))

        placed.append(min(_around(name, spot), key=covered))
    return placed


def names_svg(ends: Sequence[EndName]) -> str:
    """Return the names as SVG."""
    texts = "".join(
        f'<text x="{end.x:.1f}" y="{end.y:.1f}" text-anchor="{end.anchor}">'
        f"{escape(end.name)}</text>"
        for end in ends
    )
    return (
        '<g font-size="13" font-weight="bold" stroke="#FFF" stroke-width="3.5" '
        f'stroke-linejoin="round" paint-order="stroke">{texts}</g>'
    )


def _around(name: str, spot: tuple[float, float]) -> Iterator[EndName]:
    """Yield the places around a sign, the better ones first."""
    wide = len(name) * _LETTER_PX
    off = RADIUS_PX + 4
    for dx, dy, anchor in (
        (off, 4.5, "start"),
        (-off, 4.5, "end"),
        (0.0, -off - 1, "middle"),
        (0.0, off + 11, "middle"),
        (-RADIUS_PX, -off - 1, "start"),
        (RADIUS_PX, -off - 1, "end"),
        (-RADIUS_PX, off + 11, "start"),
        (RADIUS_PX, off + 11, "end"),
    ):
        x, y = spot[0] + dx, spot[1] + dy
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
        box = shapely.box(left, y - _HIGH_PX + 4, left + wide, y + 4)
        yield EndName(name, x, y, anchor, box)
