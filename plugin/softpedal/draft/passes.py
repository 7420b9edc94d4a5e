"""The nodes that a ride passes: what it comes from, what it goes into, what lies left and right."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from softpedal.draft.chain import Chain, Piece
    from softpedal.streets.network import Network

#: How far along an edge its direction at a node is taken, metres.
BEARING_M = 15.0
#: A piece that ends this near to an edge's end goes over the node.
AT_END_M = 0.5
#: A turn counts as going straight on below this many degrees.
STRAIGHT_DEGREES = 35.0


@dataclass(frozen=True, slots=True)
class Pass:
    """One node passed.

    Attributes:
        node: index of the node.
        at_m: chainage.
        before, after: the pieces ridden into and out of it.
        left, right: the other edges that meet there, by side of the line ridden.
        turn: degrees turned to the right at the node, −180 to 180.
    """

    node: int
    at_m: float
    before: Piece
    after: Piece
    left: tuple[int, ...]
    right: tuple[int, ...]
    turn: float

    @property
    def others(self) -> tuple[int, ...]:
        """The edges that meet there and are not ridden."""
        return self.left + self.right


def exit_node(network: Network, piece: Piece) -> int:
    """Return the node at which a piece would leave its edge."""
    ends = network.edge_to if piece.forward else network.edge_from
    return int(ends[piece.edge])


def entry_node(network: Network, piece: Piece) -> int:
    """Return the node at which a piece would enter its edge."""
    ends = network.edge_from if piece.forward else network.edge_to
    return int(ends[piece.edge])


def passes(network: Network, chain: Chain) -> list[Pass]:
    """Return the nodes that a chain passes, in riding order.

    Turning round on the way passes none; turning round at a node passes it.
    """
    found = []
    for before, after in zip(chain.pieces, chain.pieces[1:], strict=False):
        node = exit_node(network, before)
        if node != entry_node(network, after) or after.from_m - before.to_m > 1.0:
            continue
        end = float(network.edge_m[before.edge]) if before.forward else 0.0
        if abs(before.edge_to_m - end) > AT_END_M:
            continue
        found.append(_pass(network, node, before, after))
    return found


def bearing_from(network: Network, edge: int, *, at_start: bool) -> float:
    """Return which way an edge leaves one of its ends, radians anticlockwise of east."""
    a, b = int(network.point_start[edge]), int(network.point_start[edge + 1])
    lat, lon = network.point_lat[a:b], network.point_lon[a:b]
    if not at_start:
        lat, lon = lat[::-1], lon[::-1]
    north = (lat - lat[0]) * 111_200.0
    east = (lon - lon[0]) * 111_200.0 * np.cos(np.radians(lat[0]))
    run = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(east), np.diff(north)))])
    reach = min(BEARING_M, float(run[-1]))
    return float(np.arctan2(np.interp(reach, run, north), np.interp(reach, run, east)))


def _pass(network: Network, node: int, before: Piece, after: Piece) -> Pass:
    back = bearing_from(network, before.edge, at_start=not before.forward)
    out = bearing_from(network, after.edge, at_start=after.forward)
    to_back = (back - out) % (2 * np.pi)
    left: list[int] = []
    right: list[int] = []
    ridden = {before.edge, after.edge}
    for edge in dict.fromkeys(network.edges_at[node]):
        if edge in ridden or network.edge_across[edge]:
            continue
        starts = network.edge_from[edge] == node
        arm = bearing_from(network, edge, at_start=bool(starts))
        (left if (arm - out) % (2 * np.pi) < to_back else right).append(edge)
    turn = (float(np.degrees(back + np.pi - out)) + 180) % 360 - 180
    return Pass(node, after.from_m, before, after, tuple(left), tuple(right), turn)
