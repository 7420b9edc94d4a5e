"""Writes a small map extract from a literal: places in metres, ways with tags, relations."""

from __future__ import annotations

from typing import TYPE_CHECKING
from xml.sax.saxutils import quoteattr

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

LAT, LON = 60.0, -20.0
#: A degree of latitude, and at 60° north a degree of longitude, in metres.
NORTH_M, EAST_M = 111_200.0, 55_600.0


def degrees(x: float, y: float) -> tuple[float, float]:
    """Return longitude and latitude of a place in metres."""
    return LON + x / EAST_M, LAT + y / NORTH_M


def extract(
    path: Path,
    ways: Sequence[tuple[Sequence[tuple[float, float] | None], Mapping[str, str]]],
    relations: Sequence[tuple[Sequence[int], Mapping[str, str]]] = (),
    bounds: tuple[float, float, float, float] | None = None,
) -> Path:
    """Write an extract; None in a way is a node that the file does not have.

    A place that is named twice is one node. A relation names its ways by their number, from 0.
    """
    ids: dict[tuple[float, float], int] = {}
    lines = ['<?xml version="1.0" encoding="UTF-8"?>', '<osm version="0.6" generator="a test">']
    if bounds:
        west, south = degrees(*bounds[:2])
        east, north = degrees(*bounds[2:])
        lines.append(
            f'<bounds minlat="{south:.7f}" minlon="{west:.7f}" maxlat="{north:.7f}" '
            f'maxlon="{east:.7f}"/>'
        )
    for places, _ in ways:
        for place in places:
            if place is not None and place not in ids:
                ids[place] = len(ids) + 1
                lon, lat = degrees(*place)
                lines.append(f'<node id="{ids[place]}" lat="{lat:.7f}" lon="{lon:.7f}"/>')
    for number, (places, tags) in enumerate(ways):
        refs = "".join(f'<nd ref="{ids[p] if p else 999_999}"/>' for p in places)
        lines.append(f'<way id="{number + 1}">{refs}{_tags(tags)}</way>')
    for number, (members, tags) in enumerate(relations):
        inner = "".join(f'<member type="way" ref="{m + 1}" role=""/>' for m in members)
        lines.append(f'<relation id="{number + 1}">{inner}{_tags(tags)}</relation>')
    path.write_text("\n".join([*lines, "</osm>"]), encoding="utf-8")
    return path


def ring(x: float, y: float, side: float) -> list[tuple[float, float]]:
    """Return a closed square, counter-clockwise: as a coastline it has its inside for land."""
    return [(x, y), (x + side, y), (x + side, y + side), (x, y + side), (x, y)]


def _tags(tags: Mapping[str, str]) -> str:
    return "".join(f"<tag k={quoteattr(k)} v={quoteattr(v)}/>" for k, v in tags.items())
