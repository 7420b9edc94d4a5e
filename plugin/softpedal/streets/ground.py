"""A map extract (.osm, .osm.pbf, .osm.bz2) → the ground: what a map's background draws.

Extracts are read as they are: nodes that are missing, rings that do not close and tags that nobody
has heard of cost the thing that has them, never the whole.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely

from softpedal.streets.coast import sea_polygons
from softpedal.streets.extract import header_box, opened
from softpedal.streets.ground_layers import AREA_LAYERS, KEYS, is_coast, layer_of
from softpedal.streets.ground_shapes import Ground, Plane, fit_for_drawing, layer_index

if TYPE_CHECKING:
    from pathlib import Path

_AREA_RELATIONS = frozenset({"multipolygon", "boundary"})


@dataclass(slots=True)
class _Found:
    """What is collected from an extract, in degrees."""

    shapes: list[Any] = field(default_factory=list)
    layers: list[int] = field(default_factory=list)
    names: list[str] = field(default_factory=list)
    coasts: list[Any] = field(default_factory=list)
    members: dict[int, Any] = field(default_factory=dict)
    box: tuple[float, float, float, float] | None = None

    def add(self, shape: Any, layer: str, name: str) -> None:
        self.shapes.append(shape)
        self.layers.append(layer_index(layer))
        self.names.append(name)


@dataclass(frozen=True, slots=True)
class _AreaRelation:
    layer: str
    name: str
    ways: tuple[int, ...]


def read_ground(path: Path) -> Ground:
    """Read the ground of an extract.

    Raises:
        ExtractError: osmium is not installed, or the file is missing, cut short or no extract.
    """
    with opened(path) as osmium:
        areas = _area_relations(path, osmium)
        found = _ways(path, osmium, {way for area in areas for way in area.ways})
    for area in areas:
        lines = [found.members[way] for way in area.ways if way in found.members]
        if lines and not shapely.is_empty(shape := _area_of(lines)):
            found.add(shape, area.layer, area.name)
    _add_sea(found)
    return fit_for_drawing(found.shapes, found.layers, found.names)


def _area_relations(path: Path, osmium: Any) -> list[_AreaRelation]:
    """Return the relations that make an area of the ground."""
    found = []
    for relation in osmium.FileProcessor(str(path), osmium.osm.RELATION):
        tags = dict(relation.tags)
        layer = layer_of(tags, is_area=True)
        if tags.get("type") in _AREA_RELATIONS and layer in AREA_LAYERS:
            ways = tuple(m.ref for m in relation.members if m.type == "w")
            found.append(_AreaRelation(layer, tags.get("name", ""), ways))
    return found


def _ways(path: Path, osmium: Any, wanted: set[int]) -> _Found:
    """Return what the ways are, and the lines of those that relations need."""
    found = _Found(box=header_box(path, osmium))
    factory = osmium.geom.WKBFactory()
    reader = osmium.FileProcessor(str(path), osmium.osm.NODE | osmium.osm.WAY).with_locations()
    for way in reader.with_filter(osmium.filter.EntityFilter(osmium.osm.WAY)):
        tags = {key: way.tags[key] for key in KEYS if key in way.tags}
        if not tags and way.id not in wanted:
            continue
        line = _line_of(way, factory, osmium)
        if line is None:
            continue
        if way.id in wanted:
            found.members[way.id] = line
        tags = dict(way.tags)
        if is_coast(tags):
            found.coasts.append(line)
            continue
        closed = shapely.is_closed(line) and shapely.get_num_coordinates(line) >= 4
        layer = layer_of(tags, is_area=bool(closed))
        if layer:
            is_area = layer in AREA_LAYERS
            shape = shapely.polygons(shapely.get_coordinates(line)) if is_area else line
            found.add(shape, layer, tags.get("name", ""))
    return found


def _line_of(way: Any, factory: Any, osmium: Any) -> Any:
    """Return a way's line without the nodes that the extract does not have, or None."""
    try:
        return shapely.from_wkb(factory.create_linestring(way))
    except (RuntimeError, osmium.InvalidLocationError):
        points = [(n.lon, n.lat) for n in way.nodes if n.location.valid()]
    return shapely.linestrings(points) if len(set(points)) > 1 else None


def _area_of(lines: list[Any]) -> Any:
    """Return the area that lines enclose, holes left out whatever the members' roles say."""
    return shapely.build_area(shapely.unary_union(lines))


def _add_sea(found: _Found) -> None:
    """Add the sea; where the header names no box, or none of this place, the data's own is used."""
    if not found.coasts:
        return
    around = shapely.total_bounds(np.array([*found.shapes, *found.coasts], dtype=object))
    box = shapely.box(*(found.box or around))
    if not shapely.intersects(box, shapely.box(*around)):
        box = shapely.box(*around)
    plane = Plane(float(around[1] + around[3]) / 2)
    coasts = plane.metres(np.array(found.coasts, dtype=object))
    for sea in sea_polygons(list(coasts), plane.metres(box).bounds):
        found.add(plane.degrees(sea), "water", "")
