"""What the map and a ride say of a line → the notes, as a document that a person can correct."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from softpedal.draft.cues import Headings, cue
from softpedal.draft.draft_legs import DraftLeg, draft_legs
from softpedal.draft.line_crossings import crossings
from softpedal.draft.line_dismounts import barrier, dismounts
from softpedal.draft.obstacles import obstacles
from softpedal.draft.ridden_roads import ridden_roads
from softpedal.draft.spans import spans, turned
from softpedal.draft.way_back import way_back
from softpedal.draft.written import Item, position

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.draft.chain import Chain
    from softpedal.draft.junctions import Met
    from softpedal.draft.town import Town


@dataclass(frozen=True, slots=True)
class LineDraft:
    """What is drafted along one line.

    Attributes:
        items: legs, crossings, dismounts and barriers, as in notes.yml.
        legs: the legs, for those who need more than is written.
        closed: opening-hours expressions at which the way cannot be ridden.
    """

    items: dict[str, list[Item]]
    legs: tuple[DraftLeg, ...]
    closed: tuple[str, ...]


def draft_line(town: Town, chain: Chain, *, both: bool = True) -> LineDraft:
    """Return what the map says along a chain.

    Args:
        town: what is known of the town.
        chain: the ride as matched.
        both: whether the way back is the same line the other way round.
    """
    back = way_back(town, chain)
    out_spans = spans(town, chain)
    there = spans(town, back) if both else []
    back_spans = turned(there, chain.length_m) if both else out_spans
    legs = draft_legs(out_spans, back_spans)
    met = {"outbound": ridden_roads(town, chain, out_spans)}
    if both:
        met["return"] = ridden_roads(town, back, there)
    things = obstacles(town.network, chain)
    items = {
        "legs": _legs(town, legs, chain, back, met, both=both),
        "crossings": crossings(town, met, chain.length_m),
        "dismounts": dismounts(town, legs, things, chain, back, both=both),
        "barriers": [barrier(thing) for thing in things if thing.what],
    }
    shut = [thing.shut for thing in things if thing.shut]
    shut += [hours for span in out_spans for hours in span.shut]
    closed = tuple(dict.fromkeys(shut))
    return LineDraft({k: v for k, v in items.items() if v}, tuple(legs), closed)


def _legs(
    town: Town,
    legs: Sequence[DraftLeg],
    chain: Chain,
    back: Chain,
    met: dict[str, list[Met]],
    *,
    both: bool,
) -> list[Item]:
    out_heads, length = Headings(town.network, chain), chain.length_m
    back_heads = Headings(town.network, back) if both else None
    found = []
    for i, leg in enumerate(legs):
        item: Item = {"from": position(leg.from_m), "street": leg.lead.street}
        item |= _kinds(leg, both=both)
        filtered = "filtered street" in (leg.lead.kind, leg.lead_back.kind) or any(
            kind == "filtered street" for _, kind in (*leg.lead.hours, *leg.lead_back.hours)
        )
        if filtered and leg.closed_by:
            item["closed_by"] = leg.closed_by
        before = legs[i - 1] if i else None
        turn = out_heads.turn(leg.from_m, before.from_m, leg.to_m) if before else 0.0
        words = {
            "outbound": cue(
                before.lead if before else None,
                leg.lead,
                turn,
                met["outbound"],
                leg.from_m,
                [other.from_m for other in legs[1:]],
            )
        }
        if back_heads is not None:
            after = legs[i + 1] if i + 1 < len(legs) else None
            at = length - leg.to_m
            turn = back_heads.turn(at, length - after.to_m, length - leg.from_m) if after else 0.0
            words["return"] = cue(
                after.lead_back if after else None,
                leg.lead_back,
                turn,
                met["return"],
                at,
                [length - other.to_m for other in legs[:-1]],
            )
        if leg.has_steps:
            words = {
                way: f"{text.removesuffix('.')}; there are steps." for way, text in words.items()
            }
        item["cue"] = words if len(words) > 1 else words["outbound"]
        item |= leg.facts()
        item |= {"source": "map", "confidence": leg.confidence}
        if leg.evidence:
            item["evidence"] = leg.evidence
        found.append(item)
    return found


def _kinds(leg: DraftLeg, *, both: bool) -> Item:
    """Return `kind`, or `hours` where it depends on them."""
    out, back = leg.lead, leg.lead_back
    if not both:
        back = out
    expressions = dict.fromkeys(e for e, _ in (*out.hours, *back.hours))
    if not expressions:
        return {"kind": _by_direction(out.kind, back.kind)}
    hours: dict[str, Any] = {
        expression: _by_direction(
            dict(out.hours).get(expression, out.kind), dict(back.hours).get(expression, back.kind)
        )
        for expression in expressions
    }
    return {"hours": hours | {"otherwise": _by_direction(out.kind, back.kind)}}


def _by_direction(out: str, back: str) -> Any:
    return out if out == back else {"outbound": out, "return": back}
