"""Writes the town as an OpenStreetMap extract, and as the background of the page maps."""

from __future__ import annotations

import json
from html import escape
from typing import TYPE_CHECKING, Any

from grid import EDGES, to_degrees
from ground import Area, greens, houses, square, water
from junctions import spot
from turn_bans import banned_turns, cut_points, pieces

if TYPE_CHECKING:
    from collections.abc import Iterable

    from grid import Point
    from junctions import Network

_STAMP = 'version="1" timestamp="2026-01-01T00:00:00Z" visible="true"'
_FIRST_WAY, _FIRST_RELATION, _FIRST_CORNER = 100_001, 500_001, 20_001

_LAYERS = {
    "trunk": "main_road",
    "primary": "main_road",
    "secondary": "main_road",
    "tertiary": "main_road",
    "residential": "street",
    "unclassified": "street",
    "living_street": "street",
    "service": "street",
    "pedestrian": "street",
    "cycleway": "path",
    "path": "path",
    "footway": "path",
    "steps": "path",
}


class _Extract:
    """Collects nodes, ways and relations in writing order."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self.nodes = {point: (node.id, node.tags) for point, node in network.nodes.items()}
        self.ways: list[tuple[int, list[int], dict[str, str]]] = []
        self.relations: list[tuple[dict[str, str], list[tuple[str, int, str]]]] = []
        self.corner = _FIRST_CORNER

    def ref(self, point: Point) -> int:
        """Return the id of the node at a point, making one if need be."""
        at = spot(point)
        if at not in self.nodes:
            self.nodes[at] = (self.corner, {})
            self.corner += 1
        return self.nodes[at][0]

    def way(self, line: Iterable[Point], tags: dict[str, str]) -> int:
        """Add a way and return its id."""
        number = _FIRST_WAY + len(self.ways)
        self.ways.append((number, [self.ref(p) for p in line], tags))
        return number

    def area(self, area: Area) -> None:
        """Add an area: a closed way, or a multipolygon where it has a hole."""
        tags = dict(sorted(area.tags.items()))
        if not area.shape.interiors:
            self.way(area.shape.exterior.coords, tags)
            return
        members = [("way", self.way(area.shape.exterior.coords, {}), "outer")]
        members += [("way", self.way(r.coords, {}), "inner") for r in area.shape.interiors]
        self.relations.append(({"type": "multipolygon"} | tags, members))


def way_ids(network: Network) -> dict[str, list[int]]:
    """Return the ids of each mapped street's ways in the extract, in drawing order."""
    ids: dict[str, list[int]] = {}
    number = _FIRST_WAY
    for key, parts in cut_streets(network).items():
        ids[key] = list(range(number, number + len(parts)))
        number += len(parts)
    return ids


def cut_streets(network: Network) -> dict[str, list[list[Point]]]:
    """Return the lines of each mapped street's ways: one, or several where a turn is banned."""
    cuts = cut_points(network)
    mapped = [street for street in network.streets.values() if street.mapped]
    return {street.key: pieces(street.line, cuts.get(street.key, set())) for street in mapped}


def osm_text(network: Network) -> str:
    """Return the extract as OpenStreetMap XML, the same to the byte each time."""
    extract = _Extract(network)
    ids = way_ids(network)
    cut = cut_streets(network)
    for key, parts in cut.items():
        for part in parts:
            extract.way(part, network.streets[key].tags)
    extract.area(square())
    for area in (*water(), *greens(), *houses(network)):
        extract.area(area)
    for ban, (a, i), via, (b, j) in banned_turns(network, cut):
        members = [
            ("way", ids[a][i], "from"),
            ("node", network.nodes[via].id, "via"),
            ("way", ids[b][j], "to"),
        ]
        extract.relations.append(({"type": "restriction"} | ban.tags, members))
    return "".join(f"{line}\n" for line in _lines(extract))


def _lines(extract: _Extract) -> Iterable[str]:
    south, west = to_degrees((EDGES[0], EDGES[1]), places=7)
    north, east = to_degrees((EDGES[2], EDGES[3]), places=7)
    yield '<?xml version="1.0" encoding="UTF-8"?>'
    yield '<osm version="0.6" generator="lindenferry" copyright="invented" license="CC0-1.0">'
    yield f' <bounds minlat="{south}" minlon="{west}" maxlat="{north}" maxlon="{east}"/>'
    for (x, y), (number, tags) in sorted(extract.nodes.items(), key=lambda item: item[1][0]):
        lat, lon = to_degrees((x, y), places=7)
        head = f' <node id="{number}" lat="{lat:.7f}" lon="{lon:.7f}" {_STAMP}'
        yield from _element(head, [], tags, "node")
    for number, refs, tags in extract.ways:
        inner = [f'  <nd ref="{ref}"/>' for ref in refs]
        yield from _element(f' <way id="{number}" {_STAMP}', inner, tags, "way")
    for number, (tags, members) in enumerate(extract.relations, start=_FIRST_RELATION):
        inner = [f'  <member type="{k}" ref="{ref}" role="{role}"/>' for k, ref, role in members]
        yield from _element(f' <relation id="{number}" {_STAMP}', inner, tags, "relation")
    yield "</osm>"


def _element(head: str, inner: list[str], tags: dict[str, str], name: str) -> Iterable[str]:
    if not inner and not tags:
        yield f"{head}/>"
        return
    yield f"{head}>"
    yield from inner
    for key, value in tags.items():
        yield f'  <tag k="{escape(key)}" v="{escape(value)}"/>'
    yield f" </{name}>"


def background_text(network: Network) -> str:
    """Return the background of the page maps as GeoJSON, one feature a line."""
    features = [_polygon("water", area) for area in water()]
    features += [_polygon("green", area) for area in greens()]
    features += [_polygon("street", square())]
    features += [_polygon("building", area) for area in houses(network)]
    for street in network.streets.values():
        layer = "rail" if "railway" in street.tags and not street.road_class else ""
        layer = layer or _LAYERS.get(street.road_class, "")
        if layer and street.mapped and street.layer > -2:
            shape = {"type": "LineString", "coordinates": _lon_lat(street.line)}
            features.append(_feature(layer, street.name, shape))
    lines = ",\n".join(json.dumps(f, ensure_ascii=False, separators=(",", ":")) for f in features)
    return f'{{"type":"FeatureCollection","features":[\n{lines}\n]}}\n'


def _polygon(layer: str, area: Area) -> dict[str, Any]:
    rings = [area.shape.exterior, *area.shape.interiors]
    shape = {"type": "Polygon", "coordinates": [_lon_lat(r.coords) for r in rings]}
    return _feature(layer, area.name, shape)


def _feature(layer: str, name: str, shape: dict[str, Any]) -> dict[str, Any]:
    properties = {"layer": layer} | ({"name": name} if name else {})
    return {"type": "Feature", "properties": properties, "geometry": shape}


def _lon_lat(line: Iterable[Point]) -> list[list[float]]:
    return [list(reversed(to_degrees((p[0], p[1])))) for p in line]
