"""Short pushes, banned turns and gates, in either direction → dismounts and barriers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.draft.banned_turns import banned_turns
from softpedal.draft.draft_legs import short_pushes
from softpedal.draft.written import Item, metres_of, position

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.draft.chain import Chain
    from softpedal.draft.draft_legs import DraftLeg
    from softpedal.draft.obstacles import Obstacle
    from softpedal.draft.spans import Span
    from softpedal.draft.town import Town

#: Dismounts of both directions that lie this near are one.
SAME_PLACE_M = 30.0


def dismounts(
    town: Town,
    legs: Sequence[DraftLeg],
    things: Sequence[Obstacle],
    chain: Chain,
    back: Chain,
    *,
    both: bool,
) -> list[Item]:
    """Return where one gets off outside the legs that are pushed.

    Args:
        town: what is known of the town.
        legs: the legs.
        things: what stands on the ride.
        chain: the ride.
        back: the way back, by chainage in its own direction.
        both: whether the way back is the same line.
    """
    length = chain.length_m
    placed: list[tuple[float, Item]] = []
    for direction in ("outbound", "return") if both else ("outbound",):
        is_back = direction == "return"
        placed += [
            (_push_at(span, is_back=is_back), _push(span, direction))
            for span in short_pushes(legs, back=is_back)
        ]
        for ban in banned_turns(town.network, back if is_back else chain):
            at = length - ban.at_m if is_back else ban.at_m
            if _on_foot_at(legs, at, is_back=is_back):
                continue
            item: Item = {"at": position(at), "why": ban.words, "direction": direction}
            item |= {"source": "map", "confidence": "sure", "evidence": ban.evidence}
            placed.append((at, item))
    for thing in things:
        if thing.gets_off and not _on_foot_at(legs, thing.at_m, is_back=False):
            item = {"at": position(thing.at_m), "why": thing.gets_off, "metres": thing.metres}
            item |= {"must": thing.must} if thing.must != "law" else {}
            item |= {"source": "map", "confidence": "check", "evidence": thing.evidence}
            placed.append((thing.at_m, item))
    return _paired(
        [item for _, item in sorted(placed, key=lambda pair: pair[0])], length, both=both
    )


def _push_at(span: Span, *, is_back: bool) -> float:
    return span.to_m if is_back else span.from_m


def _push(span: Span, direction: str) -> Item:
    item: Item = {
        "at": position(_push_at(span, is_back=direction == "return")),
        "why": span.why_push or "pushed",
        "metres": round(span.length_m),
    }
    if span.why_push == "steps":
        item |= {"must": "barrier", "steps": True}
    item["direction"] = direction
    item |= {"source": "map", "confidence": span.confidence}
    return item | ({"evidence": span.evidence} if span.evidence else {})


def _paired(items: list[Item], length_m: float, *, both: bool) -> list[Item]:
    """Return dismounts with those that hold in both directions as one."""
    found: list[Item] = []
    for item in items:
        at = metres_of(item["at"], length_m)
        twin = next(
            (
                other
                for other in found
                if other.get("why") == item["why"]
                and {other.get("direction"), item.get("direction")} == {"outbound", "return"}
                and abs(metres_of(other["at"], length_m) - at) <= SAME_PLACE_M
            ),
            None,
        )
        if twin is not None:
            del twin["direction"]
        else:
            found.append(item)
    if not both:
        for item in found:
            item.pop("direction", None)
    return found


def _on_foot_at(legs: Sequence[DraftLeg], at_m: float, *, is_back: bool) -> bool:
    for leg in legs:
        for span in leg.back if is_back else leg.out:
            if span.from_m - 1 <= at_m <= span.to_m + 1 and span.kind == "on foot":
                return True
    return False


def barrier(thing: Obstacle) -> Item:
    """Return a barrier as the notes write it."""
    item: Item = {"at": position(thing.at_m), "what": thing.what}
    if thing.gap_m is not None:
        item["gap"] = f"{thing.gap_m:g} m"
    if thing.opens:
        item["note"] = f"Open {thing.opens}, says the map: read the sign."
    item |= {"source": "map", "confidence": thing.confidence}
    return item | {"evidence": thing.evidence}
