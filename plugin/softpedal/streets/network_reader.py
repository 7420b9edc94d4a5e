"""A map extract → the network of its streets, cut where ways meet and where a node says something.

Ways may refer to nodes that the file does not have: the way is then cut there, and the node before
the cut is marked, since what lies beyond is not known.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from itertools import combinations, pairwise
from typing import TYPE_CHECKING, Any, Literal

import numpy as np
import shapely
from pyproj import Geod

from softpedal.authored_text import one_line, shortened
from softpedal.streets.extract import ExtractError, digest, header_box, opened
from softpedal.streets.network import Network, Place, Tags, TurnRule

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.streets.extract import Box

#: Ways that are no way to go anywhere, or not yet, or no longer.
_NO_WAYS = frozenset(
    [
        "proposed",
        "construction",
        "abandoned",
        "razed",
        "demolished",
        "disused",
        "planned",
        "platform",
        "no",
        "rest_area",
        "services",
        "raceway",
        "escape",
        "elevator",
    ]
)
#: A node with one of these says something about riding or driving over it.
_NODE_KEYS = (
    "barrier",
    "crossing",
    "highway",
    "bicycle",
    "traffic_calming",
    "ford",
    "railway",
    "access",
    "motor_vehicle",
)
_PLACE_KEYS = ("place", "railway", "public_transport", "amenity", "leisure", "tourism", "historic")
#: Squares with more doors than this are crossed along their edge only.
_MOST_DOORS = 24
#: Without a box in the header, streets that end this near the edge of all data are cut there.
_EDGE_M = 150.0
#: Letters of a street's name that are kept: it has to fit into a line of the notes.
_LONGEST_NAME = 100
_WGS84 = Geod(ellps="WGS84")


@dataclass(slots=True)
class _Way:
    id: int
    tags: Tags
    nodes: list[int]
    lat: list[float]
    lon: list[float]


@dataclass(slots=True)
class _Found:
    ways: list[_Way] = field(default_factory=list)
    node_tags: dict[int, Tags] = field(default_factory=dict)
    places: list[Place] = field(default_factory=list)
    cut: set[int] = field(default_factory=set)  # nodes beside one that the file does not have
    rules: list[tuple[int, int, int, Tags, int]] = field(default_factory=list)
    date: str = ""


def read_network(path: Path) -> Network:
    """Read the streets of an extract.

    Raises:
        ExtractError: osmium is not installed, or the file is missing, cut short, no extract, or
            without a street.
    """
    with opened(path) as osmium:
        box = header_box(path, osmium)
        found = _Found()
        _nodes(path, osmium, found)
        _ways(path, osmium, found)
        _rules(path, osmium, found)
    if not any("highway" in way.tags for way in found.ways):
        raise ExtractError(
            "there is no street in it (no way with `highway`)",
            "Take an extract of the town with all its ways, not one of a single layer.",
        )
    return _network(found, box, digest(path))


def _nodes(path: Path, osmium: Any, found: _Found) -> None:
    reader = osmium.FileProcessor(str(path), osmium.osm.NODE)
    for node in reader.with_filter(osmium.filter.KeyFilter(*_NODE_KEYS, *_PLACE_KEYS)):
        tags = dict(node.tags)
        if any(key in tags for key in _NODE_KEYS):
            found.node_tags[node.id] = tags
        what = next((key for key in _PLACE_KEYS if key in tags), None)
        if what and "name" in tags and node.location.valid():
            at = node.location
            found.places.append(Place(tags["name"], at.lat, at.lon, tags[what]))


def _with_short_name(tags: Tags) -> Tags:
    """Return tags with a name that notes can take: on one line, not too long, never blank."""
    if "name" in tags:
        name = shortened(one_line(tags.pop("name")), _LONGEST_NAME)
        tags |= {"name": name} if name else {}
    return tags


def _ways(path: Path, osmium: Any, found: _Found) -> None:
    reader = osmium.FileProcessor(str(path), osmium.osm.NODE | osmium.osm.WAY).with_locations()
    reader = reader.with_filter(osmium.filter.EntityFilter(osmium.osm.WAY))
    newest = None
    for way in reader.with_filter(osmium.filter.KeyFilter("highway", "route", "name")):
        tags = _with_short_name(dict(way.tags))
        if not _is_way(tags):
            _named_place(way, tags, found)
            continue
        nodes: list[int] = []
        lat: list[float] = []
        lon: list[float] = []
        gap = False
        for ref in way.nodes:
            if not ref.location.valid():
                gap = True
                found.cut.update(nodes[-1:])
                continue
            if gap:
                if len(nodes) > 1:
                    found.ways.append(_Way(way.id, tags, nodes, lat, lon))
                nodes, lat, lon, gap = [], [], [], False
                found.cut.add(ref.ref)
            if nodes and nodes[-1] == ref.ref:
                continue
            nodes.append(ref.ref)
            lat.append(ref.lat)
            lon.append(ref.lon)
        if len(nodes) > 1:
            found.ways.append(_Way(way.id, tags, nodes, lat, lon))
        newest = max(filter(None, (newest, way.timestamp)), default=None)
    if newest is not None and newest.year > 1970:
        found.date = newest.date().isoformat()


def _is_way(tags: Tags) -> bool:
    if tags.get("route") == "ferry":
        return True
    return bool(tags.get("highway")) and tags["highway"] not in _NO_WAYS


def _named_place(way: Any, tags: Tags, found: _Found) -> None:
    """Keep a named building, park or the like by its first point."""
    what = next((key for key in (*_PLACE_KEYS, "building") if key in tags), None)
    if not what or "name" not in tags:
        return
    for ref in way.nodes:
        if ref.location.valid():
            found.places.append(Place(tags["name"], ref.lat, ref.lon, tags[what]))
            return


def _rules(path: Path, osmium: Any, found: _Found) -> None:
    reader = osmium.FileProcessor(str(path), osmium.osm.RELATION)
    for relation in reader.with_filter(osmium.filter.TagFilter(("type", "restriction"))):
        members: dict[str, list[Any]] = {}
        for member in relation.members:
            members.setdefault(member.role, []).append((member.type, member.ref))
        via = [ref for kind, ref in members.get("via", []) if kind == "n"]
        if len(via) != 1:
            continue  # by way of a street; no turn at one node
        for kind_a, a in members.get("from", []):
            for kind_b, b in members.get("to", []):
                if kind_a == kind_b == "w":
                    rule = (a, via[0], b, dict(relation.tags), relation.id)
                    found.rules.append(rule)


def _network(found: _Found, box: Box | None, key: str) -> Network:
    uses = Counter(node for way in found.ways for node in way.nodes)
    splits = {node for node, count in uses.items() if count > 1}
    splits |= found.node_tags.keys() | found.cut
    index: dict[int, int] = {}
    where: list[tuple[float, float]] = []
    edges: list[tuple[int, int, int, bool]] = []
    lat: list[float] = []
    lon: list[float] = []
    start = [0]

    def node(way: _Way, i: int) -> int:
        number = index.setdefault(way.nodes[i], len(index))
        if number == len(where):
            where.append((way.lat[i], way.lon[i]))
        return number

    def edge(  # noqa: PLR0917 - an edge has as many parts as this
        way: int, a: int, b: int, lats: list[float], lons: list[float], across: bool
    ) -> None:
        edges.append((a, b, way, across))
        lat.extend(lats)
        lon.extend(lons)
        start.append(len(lat))

    ids: dict[int, int] = {}
    numbers: list[int] = []
    for way in found.ways:
        number = ids.setdefault(way.id, len(ids))
        if number == len(numbers):
            numbers.append(way.id)
        last = len(way.nodes) - 1
        ends = [0, *(i for i in range(1, last) if way.nodes[i] in splits), last]
        if last and way.nodes[0] == way.nodes[last] and len(ends) == 2:
            ends.insert(1, last // 2 or 1)  # a ring that meets nothing has no single edge
        for i, j in pairwise(ends):
            a, b = node(way, i), node(way, j)
            edge(number, a, b, way.lat[i : j + 1], way.lon[i : j + 1], across=False)
        if way.tags.get("area") == "yes" and way.nodes[0] == way.nodes[last]:
            for i, j in _over_area(way, ends[:-1]):
                a, b = node(way, i), node(way, j)
                pair = [way.lat[i], way.lat[j]], [way.lon[i], way.lon[j]]
                edge(number, a, b, *pair, across=True)
    tags = {way.id: way.tags for way in found.ways}
    lats, lons = np.array(where).reshape(-1, 2).T.copy()
    a, b, of_way, across = np.array(edges).T
    points = np.array(lat), np.array(lon)
    at_cut = np.zeros(len(where), dtype=bool)
    at_cut[[index[n] for n in found.cut if n in index]] = True
    box = _box_of_data(box, lats, lons)
    at_cut |= _at_the_edge(a, b, lats, lons, box)
    node_tags = {index[n]: t for n, t in found.node_tags.items() if n in index}
    return Network(
        node_id=np.array(list(index), dtype=np.int64),
        lat=lats,
        lon=lons,
        node_cut=at_cut,
        edge_from=a.astype(np.intp),
        edge_to=b.astype(np.intp),
        edge_way=of_way.astype(np.intp),
        edge_m=_lengths(*points, np.array(start)),
        point_lat=points[0],
        point_lon=points[1],
        point_start=np.array(start, dtype=np.intp),
        edge_across=across.astype(bool),
        way_id=np.array(numbers, dtype=np.int64),
        way_tags=[tags[i] for i in numbers],
        node_tags=dict(sorted(node_tags.items())),
        turns=tuple(_turn_rules(found, ids, index)),
        places=tuple(found.places),
        box=box,
        date=found.date,
        digest=key,
    )


def _over_area(way: _Way, doors: list[int]) -> list[tuple[int, int]]:
    """Return the pairs of doors of a square between which one can go straight across it."""
    if not 2 <= len(doors) <= _MOST_DOORS or len(way.nodes) < 4:
        return []
    square = shapely.polygons(np.column_stack([way.lon, way.lat]))
    if not shapely.is_valid(square):
        return []
    whole = shapely.buffer(square, 2e-6)  # a door lies on its edge
    pairs = list(combinations(doors, 2))
    lines = shapely.linestrings([[(way.lon[k], way.lat[k]) for k in pair] for pair in pairs])
    inside = shapely.covers(whole, lines)
    return [pair for pair, is_in in zip(pairs, inside, strict=True) if is_in]


def _lengths(lat: Any, lon: Any, start: Any) -> Any:
    _, _, steps = _WGS84.inv(lon[:-1], lat[:-1], lon[1:], lat[1:])
    run = np.concatenate([[0.0], np.cumsum(steps)])
    return run[start[1:] - 1] - run[start[:-1]]


def _box_of_data(box: Box | None, lat: Any, lon: Any) -> Box | None:
    """Return the header's box if most of the data lie in it: some name another place."""
    if box is None:
        return None
    west, south, east, north = box
    inside = (lon >= west) & (lon <= east) & (lat >= south) & (lat <= north)
    return box if inside.mean() > 0.5 else None


def _at_the_edge(a: Any, b: Any, lat: Any, lon: Any, box: Box | None) -> Any:
    """Return which nodes the extract's edge cuts from what lies beyond, (N,).

    Those outside the box, whose other streets were left out; and dead ends that lie at its edge,
    or, without a box, at the edge of all data.
    """
    outside = np.zeros(len(lat), dtype=bool)
    if box is not None:
        west, south, east, north = box
        outside = (lon < west) | (lon > east) | (lat < south) | (lat > north)
    is_end = np.bincount(np.concatenate([a, b]), minlength=len(lat)) == 1
    scale = np.array([np.cos(np.radians(lat.mean())), 1.0]) * 111_200.0
    points = np.column_stack([lon, lat]) * scale
    if box is not None:
        frame = shapely.box(*(np.array(box).reshape(2, 2) * scale).ravel())
    else:
        frame = shapely.convex_hull(shapely.multipoints(points))
    near = shapely.distance(shapely.points(points[is_end]), shapely.boundary(frame)) < _EDGE_M
    at_edge = np.zeros(len(lat), dtype=bool)
    at_edge[np.flatnonzero(is_end)] = near
    return outside | at_edge


def _turn_rules(found: _Found, ways: dict[int, int], nodes: dict[int, int]) -> list[TurnRule]:
    rules = []
    for a, via, b, tags, relation in found.rules:
        if a not in ways or b not in ways or via not in nodes:
            continue
        for key in ("restriction", "restriction:motor_vehicle", "restriction:bicycle"):
            value = tags.get(key, "")
            sort: Literal["no", "only"] | None = (
                "no" if value.startswith("no_") else "only" if value.startswith("only_") else None
            )
            if sort is None:
                continue
            free = {v.strip() for v in tags.get("except", "").split(";")}
            motors = key != "restriction:bicycle"
            cycles = key != "restriction:motor_vehicle" and "bicycle" not in free
            cycles &= not (key == "restriction" and "restriction:bicycle" in tags)
            where = ways[a], nodes[via], ways[b]
            rules.append(TurnRule(*where, sort, motors, cycles, relation))
    return rules
