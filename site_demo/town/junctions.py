"""Joins the lines of the plan where they meet, so that streets share their junctions.

Ends that stop a few metres short of another line are drawn onto it; lines on one level that cross
get a common point; fittings get a point of their own on their street.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from shapely import LineString, STRtree
from shapely.geometry import Point as ShapelyPoint

if TYPE_CHECKING:
    from collections.abc import Iterable

    from furniture import Fitting
    from grid import Point
    from street import Street

#: How far an end may stop short of the line that it means to join, metres.
_REACH_M = 5.0
#: How near a junction or a fitting takes an existing point of the line, metres.
_SAME_M = 2.0


@dataclass(slots=True)
class Node:
    """A point of the network: where it is, the tags on it, and whether it is on the map."""

    id: int
    at: Point
    tags: dict[str, str]


@dataclass(slots=True)
class Network:
    """The joined plan.

    Attributes:
        streets: by key, in the plan's order; their lines now hold every junction.
        nodes: by rounded grid point.
    """

    streets: dict[str, Street]
    nodes: dict[Point, Node]

    def streets_at(self, point: Point) -> list[Street]:
        """Return the streets that share the node at a point."""
        wanted = spot(point)
        return [s for s in self.streets.values() if wanted in map(spot, s.line)]

    def nearest(self, key: str, point: Point) -> Point:
        """Return the point of a street's line that lies nearest to a point."""
        return min(self.streets[key].line, key=lambda p: math.dist(p, point))


def spot(point: Point) -> Point:
    """Return the grid point by which a node is known, to the centimetre."""
    return round(point[0], 2), round(point[1], 2)


def join(streets: Iterable[Street], fittings: Iterable[Fitting]) -> Network:
    """Return the network of a plan; the streets' lines are changed in place."""
    plan = {street.key: street for street in streets}
    for street in plan.values():
        if street.road_class:
            _draw_ends_onto_others(street, plan)
    _cross(list(plan.values()))
    found = list(fittings)
    for fitting in found:
        put_on(plan[fitting.street], fitting.near)
    nodes: dict[Point, Node] = {}
    for street in plan.values():
        street.line = [spot(p) for p in street.line]
        for point in street.line:
            nodes.setdefault(point, Node(1000 + len(nodes), point, {}))
    network = Network(plan, nodes)
    for fitting in found:
        at = network.nearest(fitting.street, fitting.near)
        nodes[at].tags = dict(sorted((nodes[at].tags | fitting.tags).items()))
    return network


def put_on(street: Street, point: Point) -> Point:
    """Return the point of a street nearest to a point, adding it to the line if it is new."""
    nearest = min(street.line, key=lambda p: math.dist(p, point))
    line = LineString(street.line)
    along = line.project(ShapelyPoint(point))
    foot = line.interpolate(along)
    at = spot((foot.x, foot.y))
    if math.dist(nearest, at) <= _SAME_M:
        return nearest
    travelled = 0.0
    for index, (a, b) in enumerate(pairwise(street.line), start=1):
        travelled += math.dist(a, b)
        if travelled > along:
            street.line.insert(index, at)
            return at
    return nearest


def _draw_ends_onto_others(street: Street, plan: dict[str, Street]) -> None:
    for end in (0, -1):
        point = street.line[end]
        others = [o for o in plan.values() if o is not street and o.road_class]
        exact = [p for o in others for p in o.line if math.dist(p, point) <= _SAME_M]
        if exact:
            street.line[end] = min(exact, key=lambda p: math.dist(p, point))
            continue
        spots = ShapelyPoint(point)
        near = [(LineString(o.line).distance(spots), o.key) for o in others]
        off_m, key = min(near)
        if off_m <= _REACH_M:
            street.line[end] = put_on(plan[key], point)


def _cross(streets: list[Street]) -> None:
    lines = [LineString(s.line) for s in streets]
    tree = STRtree(lines)
    pairs = sorted(
        (int(i), int(j)) for i, j in tree.query(lines, predicate="intersects").T if i < j
    )
    for i, j in pairs:
        one, other = streets[i], streets[j]
        if one.layer != other.layer or other.key in one.loose or one.key in other.loose:
            continue
        if "route" in one.tags or "route" in other.tags:
            continue
        met = LineString(one.line).intersection(LineString(other.line))
        for part in getattr(met, "geoms", [met]):
            if part.geom_type == "Point":
                _share(one, other, (part.x, part.y))


def _share(one: Street, other: Street, point: Point) -> None:
    """Give two lines one common point, taking an end of either for it rather than a new one."""
    first, second = put_on(one, point), put_on(other, point)
    if first == second:
        return
    if second in (other.line[0], other.line[-1]):
        one.line[one.line.index(first)] = second
    else:
        other.line[other.line.index(second)] = first
