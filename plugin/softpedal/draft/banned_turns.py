"""Turns that a ride makes and that are banned for cycles."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.draft.passes import STRAIGHT_DEGREES, passes

if TYPE_CHECKING:
    from softpedal.draft.chain import Chain
    from softpedal.draft.passes import Pass
    from softpedal.streets.network import Network, TurnRule

_U_TURN_DEGREES = 160.0


@dataclass(frozen=True, slots=True)
class BannedTurn:
    """A banned turn: where, in words, and by which relation of the map."""

    at_m: float
    words: str
    evidence: str


def banned_turns(network: Network, chain: Chain) -> list[BannedTurn]:
    """Return the banned turns that riding a chain makes, in riding order."""
    rules: dict[int, list[TurnRule]] = {}
    for rule in network.turns:
        if rule.for_cycles:
            rules.setdefault(rule.via, []).append(rule)
    found = []
    for passed in passes(network, chain):
        ban = _banning(network, passed, rules.get(passed.node, []))
        if ban:
            evidence = f"a turn restriction of the map (relation {ban.relation})"
            found.append(BannedTurn(passed.at_m, _words(passed.turn), evidence))
    return found


def _banning(network: Network, passed: Pass, rules: list[TurnRule]) -> TurnRule | None:
    """Return the rule that bans a turn: of several that say where one must go, each way is free."""
    before = int(network.edge_way[passed.before.edge])
    after = int(network.edge_way[passed.after.edge])
    here = [rule for rule in rules if rule.from_way == before]
    for rule in here:
        turns_round = rule.from_way != rule.to_way or abs(passed.turn) > _U_TURN_DEGREES
        if rule.sort == "no" and rule.to_way == after and turns_round:
            return rule
    only = [rule for rule in here if rule.sort == "only"]
    return only[0] if only and all(rule.to_way != after for rule in only) else None


def _words(turn: float) -> str:
    if abs(turn) > _U_TURN_DEGREES:
        return "no U-turn"
    if abs(turn) < STRAIGHT_DEGREES:
        return "no straight on"
    return "no right turn" if turn > 0 else "no left turn"
