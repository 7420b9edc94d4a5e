"""What was said of a place: getting off, bans, crossings, hazards and what to look out for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.draft.drafted_line import holds_outbound
from softpedal.draft.heard_words import (
    MAX_NAME,
    add_remark,
    excerpt,
    is_doubted,
    lower,
    new_item,
)
from softpedal.library.placeholders import ROAD

if TYPE_CHECKING:
    from softpedal.draft.drafted_line import DraftedLine
    from softpedal.draft.observed import Remark
    from softpedal.draft.written import Item

#: A remark this near to a dismount, the start of a leg or a gate may be about it, metres.
NEAR_M = 40.0
#: A main road is met along a stretch, and spoken of before it is reached, metres.
CROSSING_NEAR_M = 45.0
#: A ban is often spoken of when one is past it, metres.
BAN_NEAR_M = 75.0
#: A crossing is spoken of this long before it comes, if its road or its kind is named, metres.
CROSSING_AHEAD_M = 150.0
#: Hazards of one name this near are one, metres.
HAZARD_NEAR_M = 25.0
#: Of a place where one got off and did not say why.
GOT_OFF = "got off here"
BANNED = "no entry or banned turn, as said"

#: What people call by one word (common practice).
_LIGHTS = frozenset({"cycle signals", "toucan", "signals", "pedestrian signals"})
_STRIPES = frozenset({"zebra", "parallel"})


def dismount(line: DraftedLine, remark: Remark) -> None:
    """Say of a drafted dismount or pushed leg that one got off, or add a dismount.

    Where it was not said what makes one get off, it counts as something that does: the law only
    where it was said, and none that need not be obeyed.
    """
    known = line.near("dismounts", remark.at_m, NEAR_M, holds_outbound)
    if known is not None:
        add_remark(known, remark)
    elif (leg := _pushed_leg(line, remark.at_m)) is not None:
        add_remark(leg, remark, film=False)
    else:
        values = {"why": GOT_OFF, "must": remark.suggestion.facts.get("must", "barrier")}
        line.put("dismounts", remark.at_m, new_item(remark, values))


def banned(line: DraftedLine, remark: Remark) -> None:
    """Say of a drafted dismount that the way is banned there, or add a dismount."""
    direction = remark.suggestion.facts.get("direction")
    either = {"both", direction} if direction else {"both", "outbound", "return"}
    known = line.near(
        "dismounts", remark.at_m, BAN_NEAR_M, lambda item: item.get("direction", "both") in either
    )
    if known is not None:
        add_remark(known, remark, film=direction != "return")
        return
    values = {"why": BANNED, "must": "law"} | ({"direction": direction} if direction else {})
    item = new_item(remark, values)
    if direction == "return":
        del item["film"]  # the film shows the way out
    line.put("dismounts", remark.at_m, item)


def crossing(line: DraftedLine, remark: Remark) -> None:
    """Hold a remark against the drafted crossing there, or add one."""
    said = remark.suggestion.facts.get("control")
    sentence = remark.suggestion.sentence.casefold()

    def is_meant(item: Item) -> bool:
        named = str(item.get("road", "")).casefold() in sentence
        return holds_outbound(item) and (named or (said is not None and item["control"] == said))

    known = line.near("crossings", remark.at_m, CROSSING_NEAR_M, holds_outbound)
    known = known or line.near("crossings", remark.at_m, CROSSING_AHEAD_M, is_meant)
    if known is None:
        _new_crossing(line, remark, sentence, said)
        return
    drafted = known.get("control", "none")
    if said is None or _is_alike(said, drafted):
        add_remark(known, remark)
        return
    if drafted == "none" and is_doubted(known):
        known["control"] = said
    add_remark(known, remark, against=known.get("source") == "map")


def _new_crossing(line: DraftedLine, remark: Remark, sentence: str, said: str | None) -> None:
    """Add a crossing that the draft has not, or say of the leg ahead that one turns into it."""
    joined = said is None and line.near(
        "legs",
        remark.at_m,
        CROSSING_AHEAD_M,
        lambda leg: leg["street"].casefold() in sentence and line.at_m(leg) > remark.at_m,
    )
    if joined:
        add_remark(joined, remark)
        return
    roads = [item["road"] for item in line.all("crossings")]
    roads += [leg["street"] for leg in line.all("legs")]
    road = next((name for name in roads if name.casefold() in sentence), ROAD)
    values = {"road": road, "control": said or "none"}
    line.put("crossings", remark.at_m, new_item(remark, values, "guess"))


def hazard(line: DraftedLine, remark: Remark, what: str = "") -> None:
    """Say of a hazard of that name that it is there, or add one.

    Args:
        line: it is changed.
        remark: what was said.
        what: name of the hazard, by default the one that the remark gives.
    """
    sentence = excerpt(remark.suggestion.sentence, MAX_NAME)
    what = what or remark.suggestion.facts.get("what") or sentence
    known = line.near(
        "hazards",
        remark.at_m,
        HAZARD_NEAR_M,
        lambda item: str(item.get("what", "")).casefold() == what.casefold(),
    )
    if known is not None:
        add_remark(known, remark)
        return
    line.put("hazards", remark.at_m, new_item(remark, {"what": what, "severity": "minor"}))


def landmark(line: DraftedLine, remark: Remark) -> None:
    """Add what was said to be looked out for, in the words in which it was said."""
    what = excerpt(remark.suggestion.sentence, MAX_NAME)
    line.put("landmarks", remark.at_m, new_item(remark, {"what": what}))


def hours(line: DraftedLine, remark: Remark) -> None:
    """Say of the gate there, or of the leg, that it depends on the hour; which, nobody heard."""
    gate = line.near("barriers", remark.at_m, NEAR_M, holds_outbound)
    thing = gate if gate is not None else line.leg_at(remark.at_m)
    if thing is not None:
        add_remark(thing, remark, film=gate is not None)
        lower(thing)


def _is_alike(said: str, drafted: str) -> bool:
    return said == drafted or any({said, drafted} <= group for group in (_LIGHTS, _STRIPES))


def _pushed_leg(line: DraftedLine, at_m: float) -> Item | None:
    pushed = [leg for leg in line.all("legs") if _is_pushed(leg)]
    return next(
        (leg for leg in pushed if line.at_m(leg) - NEAR_M <= at_m <= line.end_m(leg) + NEAR_M),
        None,
    )


def _is_pushed(leg: Item) -> bool:
    kinds = [leg.get("kind"), *leg.get("hours", {}).values()]
    return any(
        (kind.get("outbound") if isinstance(kind, dict) else kind) == "on foot" for kind in kinds
    )
