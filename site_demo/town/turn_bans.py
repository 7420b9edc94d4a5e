"""Cuts streets into ways at the junctions where a turn is banned, and picks the ways of each ban.

A ban names the way that one comes from and the way that one may not turn into, so both have to
end at the junction.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from furniture import bans

if TYPE_CHECKING:
    from furniture import Ban
    from grid import Point
    from junctions import Network

Piece = tuple[str, int]


def cut_points(network: Network) -> dict[str, set[Point]]:
    """Return, by street, the points at which its line is cut into ways.

    Raises:
        ValueError: the two streets of a ban do not meet there.
    """
    cuts: dict[str, set[Point]] = {}
    for ban in bans():
        via = network.nearest(ban.from_street, ban.at)
        if via not in network.streets[ban.to_street].line:
            raise ValueError(f"no junction of {ban.from_street} and {ban.to_street} at {ban.at}")
        for key in (ban.from_street, ban.to_street):
            cuts.setdefault(key, set()).add(via)
    return cuts


def pieces(line: list[Point], cuts: set[Point]) -> list[list[Point]]:
    """Return a line in pieces that end at the cuts."""
    found: list[list[Point]] = [[line[0]]]
    for point in line[1:]:
        found[-1].append(point)
        if point in cuts and point != line[-1]:
            found.append([point])
    return found


def banned_turns(
    network: Network, cut: dict[str, list[list[Point]]]
) -> list[tuple[Ban, Piece, Point, Piece]]:
    """Return each ban with the piece that it leads from, its junction, and the piece to.

    Raises:
        ValueError: no pair of pieces makes a turn of the banned sort.
    """
    found = []
    for ban in bans():
        via = network.nearest(ban.from_street, ban.at)
        rule = next(value for key, value in ban.tags.items() if key.startswith("restriction"))
        wanted = -1.0 if "right" in rule else 1.0
        turns = [
            ((ban.from_street, i), (ban.to_street, j))
            for i, a in enumerate(cut[ban.from_street])
            for j, b in enumerate(cut[ban.to_street])
            if via in (a[0], a[-1]) and via in (b[0], b[-1]) and _turn(a, via, b) * wanted > 0.5
        ]
        if len(turns) != 1:
            raise ValueError(f"{len(turns)} turns fit {ban}")
        found.append((ban, turns[0][0], via, turns[0][1]))
    return found


def _turn(a: list[Point], via: Point, b: list[Point]) -> float:
    """Return the sine of the turn from a line to another at a point: over 0 is to the left."""
    before = a[1] if a[0] == via else a[-2]
    after = b[1] if b[0] == via else b[-2]
    heading = math.atan2(via[1] - before[1], via[0] - before[0])
    leaving = math.atan2(after[1] - via[1], after[0] - via[0])
    return math.sin(leaving - heading)
