"""Chains made by hand on a network drawn by hand."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from softpedal.draft.chain import Chain, Confidence, Piece
from softpedal.draft.town import Town
from softpedal.streets.country import country_of
from softpedal.streets.kinds import Reader
from streets.drawn_network import node_at
from streets.reading import Grades

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.streets.network import Network

Point = tuple[float, float]


def edge_between(network: Network, a: Point, b: Point) -> tuple[int, bool]:
    """Return the edge between two places, and whether it is drawn from the first to the second."""
    one, other = node_at(network, *a), node_at(network, *b)
    for edge in range(network.n_edges):
        ends = int(network.edge_from[edge]), int(network.edge_to[edge])
        if ends in {(one, other), (other, one)}:
            return edge, ends == (one, other)
    raise AssertionError(f"no street from {a} to {b}")


def ridden(
    network: Network,
    *points: Point,
    start_m: float = 0.0,
    left_out_m: float = 0.0,
    confidence: Confidence = "sure",
) -> Chain:
    """Return the chain of a ride from place to place, each pair of them joined by an edge.

    Args:
        network: the network.
        points: places in metres.
        start_m: how far along the first edge it begins.
        left_out_m: how much of the last edge is not ridden.
        confidence: of all pieces.
    """
    pieces: list[Piece] = []
    at = 0.0
    steps = list(pairwise(points))
    for number, (a, b) in enumerate(steps):
        edge, forward = edge_between(network, a, b)
        metres = float(network.edge_m[edge])
        begin = start_m if number == 0 else 0.0
        end = metres - (left_out_m if number == len(steps) - 1 else 0.0)
        drawn = (begin, end) if forward else (metres - begin, metres - end)
        pieces.append(Piece(edge, forward, at, at + end - begin, *drawn, confidence))
        at += end - begin
    return Chain(tuple(pieces), (), at, 5.0)


def off_the_map(chain: Chain, after: int, metres: float) -> Chain:
    """Return a chain with a break of so many metres after a piece."""
    moved = [
        piece
        if number <= after
        else Piece(
            piece.edge,
            piece.forward,
            piece.from_m + metres,
            piece.to_m + metres,
            piece.edge_from_m,
            piece.edge_to_m,
            piece.confidence,
        )
        for number, piece in enumerate(chain.pieces)
    ]
    at = chain.pieces[after].to_m if after >= 0 else 0.0
    return Chain(tuple(moved), ((at, at + metres),), chain.length_m + metres, chain.sigma_m)


def town_of(network: Network, country: str = "GB", grade: str = "through") -> Town:
    """Return a town whose streets all have the same verdict."""
    of = country_of(country)
    verdicts = Grades(grade)
    return Town(network, verdicts, Reader(network, verdicts, of), of)  # type: ignore[arg-type]


def names(network: Network, edges: Sequence[int]) -> set[str]:
    """Return the names of edges."""
    return {network.name(edge) for edge in edges}
