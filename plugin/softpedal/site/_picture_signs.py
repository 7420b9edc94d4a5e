"""The signs of a drawn map: those of the live map, set aside where two would overlap."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.site.map_data import MapMarker

#: The shapes of softpedal-map-markers.js, in a box of 24; a test holds the two equal.
SIGNS = {
    "start": "M12 7a5 5 0 1 1 0 10a5 5 0 1 1 0-10z",
    "finish": "M7 7h10v10h-10z",
    "crossing": "M11 6h2v12h-2z",
    "busy crossing": "M10.5 3h3v18h-3z",
    "dismount": "M12 6l6 11h-12z",
    "barrier": "M6 7h2v10h-2zM16 7h2v10h-2zM8 11h8v2h-8z",
}
ROAD = "M2 8.6h20v1.1h-20zM2 14.3h20v1.1h-20z"
LAMP = "M12 2a2.8 2.8 0 1 1 0 5.6a2.8 2.8 0 1 1 0-5.6z"
BARS = "M8 2.6h8v1.3h-8zM8 5h8v1.3h-8zM8 7.2h8v1h-8z"

#: In the order in which they keep their place.
RANKS = ("start", "finish", "busy crossing", "dismount", "crossing", "barrier")

INK, CARD = "#1F1F1F", "#FFFFFF"
RADIUS_PX = 8.0
_ASIDE = tuple(
    (r * math.cos(math.radians(d)), r * math.sin(math.radians(d)))
    for r in (0, 17, 26)
    for d in (0, 180, 90, 270, 45, 225, 135, 315)
)

Spot = tuple[float, float]


def signs_svg(placed: Sequence[tuple[MapMarker, Spot]], size: Spot) -> str:
    """Return the signs at their places in pixels; those of the lowest rank are drawn first."""
    shown = [(marker, spot) for marker, spot in placed if marker.sort in RANKS]
    shown.sort(key=lambda item: (RANKS.index(item[0].sort), item[0].at_m))
    taken: list[Spot] = []
    drawn = []
    for marker, spot in shown:
        where = _free(spot, taken, size)
        if where is None:
            continue
        taken.append(where)
        drawn.append(_sign(marker, spot, where))
    return "".join(reversed(drawn))


def _free(spot: Spot, taken: Sequence[Spot], size: Spot) -> Spot | None:
    """Return the first place at or around a spot that is not taken."""
    for dx, dy in _ASIDE:
        x, y = spot[0] + dx, spot[1] + dy
        inside = RADIUS_PX < x < size[0] - RADIUS_PX and RADIUS_PX < y < size[1] - RADIUS_PX
        if inside and all(math.hypot(x - a, y - b) >= 2 * RADIUS_PX - 1 for a, b in taken):
            return x, y
    return None


def _sign(marker: MapMarker, spot: Spot, where: Spot) -> str:
    shape = SIGNS[marker.sort]
    if "crossing" in marker.sort:
        shape += ROAD
        if "signals" in marker.control or marker.control == "toucan":
            shape += LAMP
        if marker.control in {"zebra", "parallel"}:
            shape += BARS
    ink, card = (CARD, INK) if marker.sort == "busy crossing" else (INK, CARD)
    edge = 2 if marker.sort in {"start", "finish"} else 1
    x, y = (np.round(value, 1) for value in where)
    leader = ""
    if where != spot:
        leader = f'<path d="M{spot[0]:.1f} {spot[1]:.1f}L{x:g} {y:g}" stroke="{INK}"/>'
    return (
        f'{leader}<g transform="translate({x:g} {y:g})">'
        f'<circle r="{RADIUS_PX - edge / 2:g}" fill="{card}" stroke="{INK}" stroke-width="{edge}"/>'
        f'<path transform="scale(.55)translate(-12-12)" fill="{ink}" d="{shape}"/></g>'
    )
