"""How a draft writes a position, and reads it again."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from softpedal.library.track import Track

Item = dict[str, Any]
#: Where a position stands in the document → a comment beside it.
Comments = dict[tuple[str | int, ...], str]

#: The lists of a line whose items have a place, in the order in which they are written.
LISTS = ("legs", "crossings", "dismounts", "hazards", "landmarks", "barriers")


def position(metres: float) -> str:
    """Return a chainage as it is written: to the metre, in km from one km on."""
    whole = round(metres)
    if whole <= 0:
        return "start"
    return f"{whole} m" if whole < 1000 else f"{whole / 1000:.3f} km"


def comments_of(items: Item, track: Track, under: tuple[str, ...] = ()) -> Comments:
    """Return the coordinates of every chainage along a line, as comments.

    Args:
        items: the line's lists.
        track: the line.
        under: where the lists stand in the document.
    """
    found: Comments = {}
    for name in LISTS:
        key = "from" if name == "legs" else "at"
        for index, item in enumerate(items.get(name, ())):
            lat, lon = track.at(metres_of(item[key], track.length_m))
            found[(*under, name, index, key)] = f"{lat:.5f}, {lon:.5f}"
    return found


def metres_of(text: str, length_m: float) -> float:
    """Return the chainage that `position` wrote."""
    if text == "start":
        return 0.0
    if text == "finish":
        return length_m
    value, unit = text.split()
    return float(value) * (1000.0 if unit == "km" else 1.0)
