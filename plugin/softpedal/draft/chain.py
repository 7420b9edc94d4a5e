"""What a matched ride is: the chain of edges ridden, with how sure each one is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Confidence = Literal["sure", "check", "guess"]
#: From the surest to the least sure.
CONFIDENCES: tuple[Confidence, ...] = ("sure", "check", "guess")


@dataclass(frozen=True, slots=True)
class Piece:
    """One edge of the network, or part of one, as ridden.

    Attributes:
        edge: index of the edge.
        forward: whether it is ridden in the direction in which it is drawn.
        from_m, to_m: chainage along the ride's track at which it is entered and left.
        edge_from_m, edge_to_m: metres along the edge, as drawn, where it is entered and left; the
            second is the smaller one when it is ridden backward.
        confidence: how sure it is that the ride went there.
    """

    edge: int
    forward: bool
    from_m: float
    to_m: float
    edge_from_m: float
    edge_to_m: float
    confidence: Confidence

    @property
    def length_m(self) -> float:
        """Metres of the track on it."""
        return self.to_m - self.from_m

    def turned(self, length_m: float) -> Piece:
        """Return the same piece ridden the other way, along a track of this length reversed."""
        return Piece(
            self.edge,
            not self.forward,
            length_m - self.to_m,
            length_m - self.from_m,
            self.edge_to_m,
            self.edge_from_m,
            self.confidence,
        )


@dataclass(frozen=True, slots=True)
class Chain:
    """A ride on the network.

    Attributes:
        pieces: in riding order; each starts where the one before ends, both along the track and
            in the network, except across a break.
        breaks: (from, to) chainages of stretches that are off the map or where no way joins.
        length_m: length of the track.
        sigma_m: standard deviation of the recording's noise, as estimated.
    """

    pieces: tuple[Piece, ...]
    breaks: tuple[tuple[float, float], ...]
    length_m: float
    sigma_m: float

    def turned(self) -> Chain:
        """Return the chain of the same line ridden from its finish to its start."""
        return Chain(
            tuple(piece.turned(self.length_m) for piece in reversed(self.pieces)),
            tuple((self.length_m - b, self.length_m - a) for a, b in reversed(self.breaks)),
            self.length_m,
            self.sigma_m,
        )
