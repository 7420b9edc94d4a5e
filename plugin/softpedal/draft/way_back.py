"""The way back of a line: the same ways the other way round, where they may be ridden so.

A track beside a road often goes with the traffic on its side only. Riding home, one is then on the
road beside it, with all that is crossed and turned across there. A roundabout is ridden round by
its other half.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from softpedal.draft.chain import CONFIDENCES, Chain, Piece
from softpedal.draft.passes import entry_node, exit_node
from softpedal.streets.access import cycle_access, is_main, is_ring
from softpedal.streets.costs import Costs
from softpedal.streets.routing import shortest

if TYPE_CHECKING:
    from softpedal.draft.chain import Confidence
    from softpedal.draft.town import Town
    from softpedal.streets.network import Tags

#: Shorter one-way stretches are pushed rather than ridden round.
MIN_TRACK_M = 40.0
#: How far the road may lie beside the track.
BESIDE_M = 30.0
#: How much longer the road may be than the track with the way on to it.
LONGER = 1.3
LONGER_M = 60.0
#: How far across a roundabout may be.
RING_M = 150.0
#: How many pieces before and after the track may be left out for the road.
_ENDS = 3
#: How many metres of riding a metre of a way counts as.
_FACTOR = {"ride": 1.0, "push": 4.0, "no": np.inf}
#: Pieces further apart than this do not follow on each other.
_GAP_M = 1.0


def way_back(town: Town, chain: Chain) -> Chain:
    """Return the chain ridden from finish to start, on the road where a track forbids it."""
    back = chain.turned()
    pieces = list(back.pieces)
    index = 0
    while index < len(pieces):
        end = _run_end(town, pieces, index)
        ring = is_ring(town.network.tags(pieces[index].edge))
        if end > index and (ring or pieces[end - 1].to_m - pieces[index].from_m >= MIN_TRACK_M):
            better = _by_road(town, pieces, index, end, ring=ring)
            if better:
                low, high, instead = better
                pieces[low:high] = instead
                index = low + len(instead)
                continue
        index = max(end, index + 1)
    return Chain(tuple(pieces), back.breaks, back.length_m, back.sigma_m)


def _run_end(town: Town, pieces: list[Piece], start: int) -> int:
    """Return which piece ends a run of one track, or one ring, that is ridden against its way."""
    ring = is_ring(town.network.tags(pieces[start].edge))
    end = start
    while end < len(pieces) and _is_against(town, pieces[end]):
        if is_ring(town.network.tags(pieces[end].edge)) != ring:
            break
        if end > start and not _goes_on(pieces, end):
            break
        end += 1
    return end


def _goes_on(pieces: list[Piece], index: int) -> bool:
    """Whether a piece begins where the one before it ends."""
    return pieces[index].from_m - pieces[index - 1].to_m <= _GAP_M


def _is_street(tags: Tags) -> bool:
    return is_main(tags) or tags.get("highway") in ("unclassified", "residential", "living_street")


def _is_against(town: Town, piece: Piece) -> bool:
    tags = town.network.tags(piece.edge)
    if tags.get("highway") not in ("cycleway", "path", "footway") and not is_ring(tags):
        return False
    access = cycle_access(tags, town.country)
    here, other = access.forward, access.backward
    if not piece.forward:
        here, other = other, here
    return here != "ride" and other == "ride"


def _costs_beside(town: Town, track: list[int], *, ring: bool) -> Costs:
    """Return what it costs to go along the ways beside a track, or round the rest of a ring."""
    network = town.network
    run = shapely.union_all(network.lines[track])
    near = np.flatnonzero(shapely.dwithin(network.lines, run, RING_M if ring else BESIDE_M))
    forward = np.full(network.n_edges, np.inf)
    backward = np.full(network.n_edges, np.inf)
    pushed = np.zeros(network.n_edges, dtype=bool)
    for edge in near.tolist():
        access = cycle_access(network.tags(edge), town.country)
        metres = float(network.edge_m[edge])
        if edge not in track and (not ring or is_ring(network.tags(edge))):
            forward[edge] = metres * _FACTOR[access.forward]
            backward[edge] = metres * _FACTOR[access.backward]
    return Costs(forward, backward, pushed, pushed)


def _by_road(
    town: Town, pieces: list[Piece], start: int, end: int, *, ring: bool
) -> tuple[int, int, list[Piece]] | None:
    """Return which pieces to leave out, and those of the road beside them."""
    network = town.network
    costs = _costs_beside(town, [piece.edge for piece in pieces[start:end]], ring=ring)
    lowest, highest = start, end
    while start - lowest < _ENDS and lowest > 0 and _goes_on(pieces, lowest):
        lowest -= 1
    while highest - end < _ENDS and highest < len(pieces) and _goes_on(pieces, highest):
        highest += 1
    best: tuple[float, int, int, list[tuple[int, bool]]] | None = None
    for low in range(lowest, start + 1):
        for high in range(end, highest + 1):
            a, b = entry_node(network, pieces[low]), exit_node(network, pieces[high - 1])
            path = shortest(network, a, b, costs)
            if not path:
                continue
            cost = sum(float((costs.forward if f else costs.backward)[e]) for e, f in path)
            whole = pieces[high - 1].to_m - pieces[low].from_m
            on_road = sum(float(network.edge_m[e]) for e, _ in path if _is_street(network.tags(e)))
            most = whole * LONGER + (RING_M if ring else LONGER_M)
            if cost > most or (not ring and on_road < 0.5 * MIN_TRACK_M):
                continue
            extra = cost - whole
            if best is None or extra < best[0] - 1e-6:
                best = (extra, low, high, path)
    if best is None:
        return None
    _, low, high, path = best
    sure = max((piece.confidence for piece in pieces[low:high]), key=CONFIDENCES.index)
    confidence = sure if ring else max(sure, "check", key=CONFIDENCES.index)
    ends = pieces[low].from_m, pieces[high - 1].to_m
    return low, high, _along(town, path, *ends, confidence)


def _along(
    town: Town, path: list[tuple[int, bool]], from_m: float, to_m: float, confidence: Confidence
) -> list[Piece]:
    """Return a path as pieces spread over a stretch of the track."""
    metres = np.array([float(town.network.edge_m[edge]) for edge, _ in path])
    marks = from_m + np.concatenate([[0.0], np.cumsum(metres)]) / metres.sum() * (to_m - from_m)
    return [
        Piece(
            edge,
            forward,
            float(marks[i]),
            float(marks[i + 1]),
            0.0 if forward else float(metres[i]),
            float(metres[i]) if forward else 0.0,
            confidence,
        )
        for i, (edge, forward) in enumerate(path)
    ]
