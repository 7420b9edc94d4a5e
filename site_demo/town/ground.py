"""What lies between the streets: the river and its island, greens, the square, and houses."""

from __future__ import annotations

import random
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from grid import EDGES, points
from shapely import LineString, STRtree, box, unary_union
from shapely.geometry import Polygon

if TYPE_CHECKING:
    from grid import Point
    from junctions import Network
    from street import Street

_NORTH_BANK = (
    "-2600,-215 -1900,-140 -1500,-128 -1200,-270 -1000,-362 -700,-392 -300,-398 0,-392 300,-388 "
    "600,-376 870,-363 1180,-381 1500,-420 2000,-470 2600,-520"
)
_SOUTH_BANK = (
    "2600,-770 2000,-690 1500,-620 1180,-585 870,-560 600,-525 300,-500 0,-492 -300,-480 -700,-470 "
    "-1000,-450 -1200,-425 -1500,-335 -1900,-275 -2600,-335"
)
_ISLAND = "-1660,-230 -1560,-205 -1420,-222 -1350,-262 -1440,-282 -1590,-265"
_SQUARE = "-80,-140 -80,-180 -60,-200 0,-200 100,-200 120,-180 120,-140 110,-90 0,-80 -70,-90"

#: Name, map tags, outline.
_GREENS = (
    (
        "Chapel Green",
        "leisure=park",
        "-1085,590 -950,585 -850,585 -700,590 -525,600 -528,790 -800,830 -1080,810",
    ),
    ("Linden Park", "leisure=park", "340,1080 700,1065 1240,1050 1260,1270 1180,1500 400,1540"),
    ("Northfield allotments", "landuse=allotments", "-760,1845 -280,1850 -285,1960 -770,1965"),
    ("College meadow", "leisure=park", "-960,1300 -540,1310 -520,1560 -930,1590"),
    ("Kiln Top", "natural=heath", "-880,-1960 -150,-1985 -120,-1905 -350,-1850 -860,-1830"),
    ("Osier beds", "natural=wetland", "-2440,-140 -1980,-90 -1960,20 -2380,-10"),
    ("Alder bank", "landuse=forest", "-1180,-205 -1015,-300 -1015,-120 -1160,-60"),
    ("Saltmarsh", "natural=wetland", "2230,-180 2495,-200 2495,-320 2240,-300"),
    ("Wharf green", "leisure=park", "420,-560 640,-575 690,-625 420,-625"),
)

_PLACES = (
    ("Lindenferry College", "amenity=college", "-840,1110 -620,1110 -620,1145 -840,1145"),
    ("Weir Mill", "man_made=watermill", "-1935,-112 -1905,-108 -1907,-88 -1937,-92"),
    ("Grain silo", "man_made=silo", "575,40 600,40 600,62 575,62"),
    ("Harbour baths", "leisure=sports_centre", "872,-240 910,-240 910,-205 872,-205"),
    ("Chapel", "amenity=place_of_worship", "-870,740 -840,740 -840,765 -870,765"),
    ("School Lane School", "amenity=school", "-285,660 -225,660 -225,720 -285,720"),
)


@dataclass(frozen=True, slots=True)
class Area:
    """An area of the ground: a name or "", its map tags, and its outline with holes."""

    name: str
    tags: dict[str, str]
    shape: Polygon


def _area(name: str, tag: str, outline: str, hole: str = "") -> Area:
    key, value = tag.split("=")
    shape = Polygon(points(outline), [points(hole)] if hole else [])
    return Area(name, {key: value} | ({"name": name} if name else {}), shape)


def water() -> list[Area]:
    """Return the river, cut at the extract's edge, with its island as a hole."""
    river = _area("River Lin", "natural=water", f"{_NORTH_BANK} {_SOUTH_BANK}", _ISLAND)
    basin = _area("Timber basin", "natural=water", "1350,-120 1620,-150 1610,-330 1370,-310")
    return [
        Area(river.name, river.tags | {"water": "river"}, river.shape.intersection(box(*EDGES))),
        Area(basin.name, basin.tags | {"water": "basin"}, basin.shape),
    ]


def greens() -> list[Area]:
    """Return the parks and other green areas."""
    return [_area(*row) for row in _GREENS]


def square() -> Area:
    """Return the Fish Market Square, a pedestrian square that is drawn as an area."""
    area = _area("Fish Market Square", "highway=pedestrian", _SQUARE)
    more = {"area": "yes", "bicycle": "dismount", "surface": "sett"}
    return Area(area.name, area.tags | more, area.shape)


def houses(network: Network) -> list[Area]:
    """Return the named buildings, then terraces along both sides of the minor streets."""
    named = [_area(*row) for row in _PLACES]
    named = [Area(a.name, a.tags | {"building": "yes"}, a.shape) for a in named]
    taken = [a.shape for a in (*named, *water(), *greens(), square())]
    kept_free = unary_union(
        [LineString(s.line).buffer(10 if s.is_main else 6) for s in network.streets.values()]
    )
    chance = random.Random(1741)
    rows = [
        terrace
        for street in network.streets.values()
        if street.road_class in ("residential", "living_street", "primary", "tertiary")
        for terrace in _terraces(street, chance)
    ]
    built: list[Polygon] = []
    free = box(*EDGES).buffer(-5)
    around = STRtree(taken)
    for row in rows:
        if not free.contains(row) or kept_free.intersects(row):
            continue
        if around.query(row, predicate="intersects").size:
            continue
        if any(row.intersects(other) for other in built):
            continue
        built.append(row)
    return named + [Area("", {"building": "terrace"}, shape) for shape in built]


def _terraces(street: Street, chance: random.Random) -> list[Polygon]:
    found = []
    for a, b in pairwise(street.line):
        length = LineString([a, b]).length
        along, out = (b[0] - a[0]) / length, (b[1] - a[1]) / length
        set_back = 16.0 if street.is_main else 11.0
        for side in (-1.0, 1.0):
            start = 14.0
            while start + 20 < length - 8:
                front = min(chance.uniform(22, 48), length - 8 - start)
                depth = chance.uniform(8, 11)
                corners = [(start, set_back), (start + front, set_back)]
                corners += [(x, set_back + depth) for x, _ in reversed(corners)]
                found.append(Polygon([_place(a, along, out, s, side * t) for s, t in corners]))
                start += front + chance.uniform(4, 14)
    return found


def _place(a: Point, along: float, out: float, s: float, t: float) -> Point:
    return round(a[0] + along * s - out * t, 1), round(a[1] + out * s + along * t, 1)
