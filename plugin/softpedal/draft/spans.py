"""What a ride goes along, stretch by stretch: street, kind, hours and facts, in one direction."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from softpedal.streets.street_facts import facts_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.draft.chain import Chain, Confidence
    from softpedal.draft.town import Town
    from softpedal.library.notes import Kind

_UNNAMED = {
    "cycleway": "Cycle path",
    "footway": "Footpath",
    "path": "Path",
    "pedestrian": "Pedestrian street",
    "steps": "Steps",
    "track": "Farm track",
    "bridleway": "Bridleway",
    "service": "Service road",
    "living_street": "Shared street without a name",
}

#: The street of a stretch of which the map knows nothing.
OFF_THE_MAP = "Off the map"
#: What is so near to a place is at it.
SPOT_M = 5.0
#: A break this short, with the same kind of street on both sides, is more of the same.
SHORT_BREAK_M = 60.0


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of one street, in one direction.

    Attributes:
        from_m, to_m: chainage along the outbound track.
        street: its name, or in words what it is where it has none.
        is_named: whether it has a name.
        kind: what it is to a rider.
        hours: (opening hours, kind) pairs that go before `kind`.
        closed_by: what keeps motor traffic from driving through.
        why_push: why one pushes there.
        confidence: how sure both the line and the kind are.
        evidence: what it goes by.
        may_lie: whether the ride may have gone another way there.
        shut: hours at which nobody may pass.
        way: OpenStreetMap id of the way.
        facts: what the tags say, as keys and values of a leg.
    """

    from_m: float
    to_m: float
    street: str
    is_named: bool
    kind: Kind
    hours: tuple[tuple[str, Kind], ...] = ()
    closed_by: str = ""
    why_push: str = ""
    confidence: Confidence = "sure"
    evidence: str = ""
    may_lie: bool = False
    shut: tuple[str, ...] = ()
    way: int = 0
    facts: dict[str, Any] = field(default_factory=dict)

    @property
    def length_m(self) -> float:
        """Metres from one end to the other."""
        return self.to_m - self.from_m


def spans(town: Town, chain: Chain) -> list[Span]:
    """Return the stretches of a chain in riding order, without a gap from start to end.

    A break, where the ride is off the map, is told as a mixed street and a guess: nothing is known
    of it, so it must not count as quiet. A short one between streets of one kind is told as more
    of the street before it, to be checked.
    """
    found: list[Span] = []
    at = 0.0
    for piece in chain.pieces:
        if piece.to_m - piece.from_m <= 0:
            continue
        reading = town.reader.read(piece.edge, piece.forward)
        if piece.from_m > at + 0.5:
            found.append(_unknown(at, piece.from_m))
            last = found[-2] if len(found) > 1 else None
            if last and last.kind == reading.kind and found[-1].length_m <= SHORT_BREAK_M:
                found[-1] = _bridged(last, found[-1])
        tags = town.network.tags(piece.edge)
        name = tags.get("name") or reading.beside or tags.get("ref", "")
        worst = max(piece.confidence, reading.confidence, key=("sure", "check", "guess").index)
        found.append(
            Span(
                found[-1].to_m if found else 0.0,
                piece.to_m,
                name or _unnamed(tags.get("highway", ""), reading.kind),
                bool(name),
                reading.kind,
                reading.hours,
                reading.closed_by,
                reading.why_push,
                worst,
                reading.evidence,
                piece.confidence != "sure",
                reading.shut,
                int(town.network.way_id[town.network.edge_way[piece.edge]]),
                facts_of(town.network, piece.edge, piece.forward, town.country),
            )
        )
        at = piece.to_m
    if chain.length_m > at + 0.5:
        found.append(_unknown(at, chain.length_m))
    elif found:
        found[-1] = replace(found[-1], to_m=chain.length_m)
    return found


def _unnamed(highway: str, kind: Kind) -> str:
    other = "Path" if kind == "traffic-free path" else "Street without a name"
    return _UNNAMED.get(highway, other)


def _bridged(last: Span, gap: Span) -> Span:
    """Return a stretch off the map as more of the one before it, to be checked."""
    confidence = max(last.confidence, "check", key=("sure", "check", "guess").index)
    return replace(
        last,
        from_m=gap.from_m,
        to_m=gap.to_m,
        confidence=confidence,
        evidence="the map has no way here, but the same before and after",
        facts={},
    )


def _unknown(from_m: float, to_m: float) -> Span:
    return Span(
        from_m,
        to_m,
        OFF_THE_MAP,
        is_named=False,
        kind="mixed street",
        confidence="guess",
        evidence="the map has no way here, so nothing is known of this stretch",
    )


def is_on_foot(found: Sequence[Span], at_m: float) -> bool:
    """Whether one pushes before and after a place: round the corner, and not across in traffic."""
    around = [s for s in found if s.from_m <= at_m + SPOT_M and s.to_m >= at_m - SPOT_M]
    return bool(around) and all(span.kind == "on foot" for span in around)


def turned(found: list[Span], length_m: float) -> list[Span]:
    """Return spans of the way back by chainage along the outbound track, in its order."""
    return [
        replace(span, from_m=length_m - span.to_m, to_m=length_m - span.from_m)
        for span in reversed(found)
    ]
