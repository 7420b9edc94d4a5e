"""Small random towns of a main road and minor streets, and who can drive through what in them.

The answer is found by trying: a street from u to v is a way through if a simple path leads from
one point of the main network to u, and another from v to a second point, without a common node.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field
from itertools import product
from typing import TYPE_CHECKING

from streets.small_network import Point, network

if TYPE_CHECKING:
    from random import Random

    from softpedal.streets.network import Network

_STEP_M = 100.0
_MAIN = "tertiary Mill Road"


@dataclass
class Town:
    """Minor streets by their ends with 0, 1 or -1 for one-way; barriers and cut ends by point."""

    streets: list[tuple[Point, Point, int]]
    main: list[tuple[Point, Point]]
    barriers: set[Point] = field(default_factory=set)
    cut: set[Point] = field(default_factory=set)

    def network(self) -> Network:
        """Return it as a network, the edges of the minor streets first and in their order."""
        words = {0: "", 1: "; oneway=yes", -1: "; oneway=-1"}
        lines = [([a, b], f"residential{words[way]}") for a, b, way in self.streets]
        known = {p for a, b, *_ in (*self.streets, *self.main) for p in (a, b)}
        return network(
            [*lines, *(([a, b], _MAIN) for a, b in self.main)],
            dict.fromkeys(sorted(self.barriers & known), "barrier=bollard; bicycle=yes"),
            sorted(self.cut & known),
        )

    def portals(self, passable: set[Point]) -> set[Point]:
        on_main = {p for pair in self.main for p in pair}
        return (on_main - (self.barriers - passable - self.cut)) | self.cut

    def parted(self) -> set[Point]:
        """Return the barriers at which three or more streets meet: it is not known which part."""
        arms = [p for a, b, *_ in (*self.streets, *self.main) for p in (a, b)]
        return {p for p in self.barriers if arms.count(p) > 2}


def random_town(random: Random, width: int, height: int) -> Town:
    """Return a town on a grid; some streets are missing, doubled, one-way or have a barrier."""
    at = [(x * _STEP_M, y * _STEP_M) for x, y in product(range(width), range(height))]
    pairs = [((x, y), (x + _STEP_M, y)) for x, y in at if (x + _STEP_M, y) in at]
    pairs += [((x, y), (x, y + _STEP_M)) for x, y in at if (x, y + _STEP_M) in at]
    sides = random.choice(("left", "both", "cross"))
    main = [p for p in pairs if _on_main(*p, sides, (width - 1) * _STEP_M)]
    town = Town([], main)
    one_way = random.choice((0.0, 0.2, 0.5, 0.8))
    walls = random.choice((0.0, 0.1, 0.25))
    for a, b in pairs:
        if (a, b) in main or random.random() < 0.2:
            continue
        way = random.choice((1, -1)) if random.random() < one_way else 0
        if random.random() < walls:
            middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            town.barriers.add(middle)
            town.streets += [(a, middle, way), (middle, b, way)]
            continue
        town.streets.append((a, b, way))
        if random.random() < 0.05:
            town.streets.append((a, b, random.choice((0, 1, -1))))
    town.barriers.update(p for p in at if random.random() < walls / 4)
    ends = {p for a, b, _ in town.streets for p in (a, b)} - {p for s in main for p in s}
    town.cut.update(p for p in sorted(ends) if random.random() < 0.03)
    return town


def _on_main(a: Point, b: Point, sides: str, east: float) -> bool:
    if sides == "cross":
        return a[1] == b[1] == _STEP_M
    return a[0] == b[0] and (a[0] == 0.0 or (sides == "both" and a[0] == east))


def through(
    town: Town, passable: set[Point], *, one_ways: bool, cut_ends: bool = True
) -> list[bool]:
    """Return, by minor street, whether one can drive through it, found by trying."""
    portals = town.portals(passable)
    if not cut_ends:
        portals -= town.cut - {p for pair in town.main for p in pair}
    closed = town.barriers - passable - town.cut
    into: dict[Point, set[Point]] = {}
    out: dict[Point, set[Point]] = {}
    for a, b, way in town.streets:
        for u, v in _directions(a, b, way, one_ways=one_ways):
            if u not in closed and v not in closed:
                out.setdefault(u, set()).add(v)
                into.setdefault(v, set()).add(u)
    return [
        any(
            u not in closed and v not in closed and _is_through(u, v, portals, into, out)
            for u, v in _directions(a, b, way, one_ways=one_ways)
        )
        for a, b, way in town.streets
    ]


def _directions(a: Point, b: Point, way: int, *, one_ways: bool) -> list[tuple[Point, Point]]:
    both = [(a, b), (b, a)]
    return both if not one_ways or way == 0 else [both[0] if way == 1 else both[1]]


def _is_through(u, v, portals, into, out) -> bool:
    """Try every simple path from a portal to u, and for each look for a way on from v."""
    if not _reaches(v, {u}, portals - {u}, portals, out):
        return False
    stack = [(u, (u,))]
    while stack:
        at, path = stack.pop()
        if at in portals:
            if _reaches(v, set(path), portals - {at}, portals, out):
                return True
            continue
        stack.extend((p, (*path, p)) for p in into.get(at, ()) if p != v and p not in path)
    return False


def _reaches(v, taken, goals, portals, out) -> bool:
    seen, queue = {v, *taken}, deque([v])
    while queue:
        at = queue.popleft()
        if at in goals:
            return True
        if at in portals:
            continue
        fresh = out.get(at, set()) - seen
        seen |= fresh
        queue.extend(fresh)
    return False
