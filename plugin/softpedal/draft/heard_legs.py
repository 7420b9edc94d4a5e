"""What was said of the street: its traffic, its surface, its light, and where one turns.

Speech makes nothing better than it was: what is good news of one place is not told of a long leg,
and a street that was said to be filtered counts as a back street until somebody has confirmed it.
"""

from __future__ import annotations

import copy
import re
from typing import TYPE_CHECKING, Any

from softpedal.draft.heard_points import NEAR_M, hazard, landmark
from softpedal.draft.heard_words import WELL_PLACED_M, add_remark, is_doubted, lower
from softpedal.library.placeholders import STREET

if TYPE_CHECKING:
    from softpedal.draft.drafted_line import DraftedLine
    from softpedal.draft.observed import Remark
    from softpedal.draft.written import Item

#: However badly a turn is placed, and however long before it was spoken of, it is looked for so
#: far, metres.
FARTHEST_M = 150.0
#: On a leg longer than this, what was said at one place is not told of the whole, metres.
LONG_LEG_M = 300.0

#: The values of what may be said of a leg, the best first.
_BEST_FIRST: dict[str, tuple[str, ...]] = {
    "surface": ("smooth", "fair", "rough", "loose", "cobbles"),
    "lit": ("yes", "partly", "no"),
    "walkers": ("few", "many"),
    "company": ("overlooked", "out of sight"),
}
#: A bad surface at one place, as a hazard.
_SURFACE_HAZARDS = {"rough": "rough surface", "loose": "loose surface", "cobbles": "cobbles"}
_AMONG_TRAFFIC = frozenset({"busy road", "mixed street", "bus lane", "painted lane"})
_TURN = re.compile(r"\b(left|right|straight)\b", re.IGNORECASE)
_TURN_WORDS = {"left": "Turn left.", "right": "Turn right.", "straight": "Straight on."}


class HeardOfLegs:
    """Puts remarks into the legs of a line, and keeps in mind what came from speech.

    Args:
        line: it is changed.
        has_map: whether a map has said what the legs are.
    """

    def __init__(self, line: DraftedLine, *, has_map: bool) -> None:
        self.line, self.has_map = line, has_map
        self._drafted = {id(leg): copy.deepcopy(leg) for leg in line.all("legs")}
        self._said: set[tuple[int, str]] = set()

    # -- turns -----------------------------------------------------------------------------------

    def cue(self, remark: Remark) -> None:
        """Take a turn for the cue of the leg that begins there; the rest is a landmark."""
        turn = remark.suggestion.facts.get("turn")
        if turn is None:
            landmark(self.line, remark)
        elif (leg := self._agreeing(remark, turn)) is not None:
            add_remark(leg, remark)
        elif self.has_map:
            self._turn_by_map(remark, turn)
        else:
            self._turn(remark, turn)

    def _agreeing(self, remark: Remark, turn: str) -> Item | None:
        """Return the leg that begins with that turn, as near as the remark is placed, or ahead.

        One says where one will turn before one does.
        """
        line, at_m = self.line, remark.at_m
        within_m = min(max(NEAR_M, remark.off_m), FARTHEST_M)
        near = line.near("legs", at_m, within_m, lambda leg: turn in _turns(leg))
        return near or line.near(
            "legs", at_m, FARTHEST_M, lambda leg: turn in _turns(leg) and line.at_m(leg) > at_m
        )

    def _turn_by_map(self, remark: Remark, turn: str) -> None:
        line, at_m = self.line, remark.at_m
        other = line.near("legs", at_m, NEAR_M, lambda leg: bool(_turns(leg)))
        if other is not None and turn != "straight" and remark.off_m <= WELL_PLACED_M:
            add_remark(other, remark, against=True, film=False)
        elif (leg := line.leg_at(at_m)) is not None:
            add_remark(leg, remark, film=False)

    def _turn(self, remark: Remark, turn: str) -> None:
        """Without a map, a turn that was spoken of is where a leg begins."""
        line, at_m = self.line, remark.at_m
        leg = line.near("legs", at_m, NEAR_M)
        if leg is not None:
            if (id(leg), "cue") in self._said or not _turns(leg):
                self._said.add((id(leg), "cue"))
                _say_turn(leg, turn)
            add_remark(leg, remark)
        elif (leg := line.leg_at(at_m)) is None:
            return
        elif turn == "straight" or line.length_m - at_m <= NEAR_M or remark.off_m > NEAR_M:
            add_remark(leg, remark, film=False)
        else:
            self._split(leg, remark, turn)

    def _split(self, leg: Item, remark: Remark, turn: str) -> None:
        """Begin a leg at a turn. What one does on the way back where it ends goes with it."""
        drafted = self._drafted[id(leg)]
        kept = {k: copy.deepcopy(v) for k, v in drafted.items() if k not in ("from", "cue", "film")}
        cue = {"outbound": _TURN_WORDS[turn]}
        if isinstance(leg.get("cue"), dict) and "return" in leg["cue"]:
            cue["return"] = leg["cue"]["return"]
            leg["cue"] = {way: text for way, text in leg["cue"].items() if way != "return"}
        new = self.line.put("legs", remark.at_m, kept | {"cue": cue, "confidence": "guess"})
        self._drafted[id(new)] = copy.deepcopy(new)
        self._said.add((id(new), "cue"))
        _speak(new)
        add_remark(new, remark)

    # -- traffic ---------------------------------------------------------------------------------

    def busy(self, remark: Remark) -> None:
        """Never the other way: a street that was said to be busy is not said to be quiet."""
        leg = self.line.leg_at(remark.at_m)
        if leg is None:
            return
        self._said.add((id(leg), "busy"))
        kind = _outbound(leg, "kind")
        against = self.has_map and kind not in _AMONG_TRAFFIC
        add_remark(leg, remark, against=against, film=False)
        if self._is_unknown(leg) and kind != "on foot" and "hours" not in leg:
            leg["kind"] = "busy road"
            leg.pop("closed_by", None)
            _speak(leg)

    def filtered(self, remark: Remark) -> None:
        """Raise a doubtful back street to a filtered street that is as doubtful.

        A mixed street of the map stays one: as a filtered street that nobody has confirmed it
        would be measured as a back street, which is less stressful than it is.
        """
        leg = self.line.leg_at(remark.at_m)
        if leg is None:
            return
        kind, closed_by = _outbound(leg, "kind"), remark.suggestion.facts.get("closed_by")
        may = self._may_be_filtered(leg)
        is_sure_street = kind == "back street" and not is_doubted(leg)
        is_against = self.has_map and (kind in _AMONG_TRAFFIC or is_sure_street)
        add_remark(leg, remark, against=is_against, film=False)
        if not may:
            return
        if kind != "filtered street":
            leg["kind"] = "filtered street"
            _speak(leg)
        if closed_by and "closed_by" not in leg:
            leg["closed_by"] = closed_by

    def _may_be_filtered(self, leg: Item) -> bool:
        if (id(leg), "busy") in self._said or not is_doubted(leg) or "hours" in leg:
            return False
        if leg.get("kind") in ("back street", "filtered street"):
            return True
        is_short = self.line.leg_length_m(leg) <= LONG_LEG_M
        return self._is_unknown(leg) and is_short and leg.get("kind") == "mixed street"

    def _is_unknown(self, leg: Item) -> bool:
        """Whether nothing but the ride tells what a leg is."""
        return not self.has_map or leg.get("street") == STREET

    # -- what a leg is like ----------------------------------------------------------------------

    def surface(self, remark: Remark) -> None:
        """Tell the surface of a short leg, or a hazard on a long one."""
        leg, said = self.line.leg_at(remark.at_m), remark.suggestion.facts.get("surface", "")
        if leg is None:
            return
        bad = _SURFACE_HAZARDS.get(said)
        if bad and self.line.leg_length_m(leg) > LONG_LEG_M and _outbound(leg, "surface") != said:
            hazard(self.line, remark, bad)
        else:
            self._tell(leg, remark, "surface", said)

    def field(self, remark: Remark) -> None:
        """Tell whether a leg is lit, gets wet, has people on foot or is overlooked."""
        leg = self.line.leg_at(remark.at_m)
        if leg is not None:
            sort = remark.suggestion.sort
            self._tell(leg, remark, sort, remark.suggestion.facts.get("value", ""))

    def _tell(self, leg: Item, remark: Remark, key: str, said: str) -> None:
        """Set what the leg does not say; of two that were said, the worse one."""
        order = _BEST_FIRST.get(key, ())
        known = _outbound(leg, key)
        against = bool(known and order and said and known != said)
        against = against and (id(leg), key) not in self._said
        add_remark(leg, remark, against=against, film=False)
        if not said or against:
            return
        good = order and said == order[0] and self.line.leg_length_m(leg) > LONG_LEG_M
        if known is None and not good:
            leg[key] = said
            self._said.add((id(leg), key))
        elif (id(leg), key) in self._said and order:
            leg[key] = max(known, said, key=order.index)


def _speak(leg: Item) -> None:
    """Say of a leg that it is what was said, and doubtful."""
    leg["source"] = "said"
    lower(leg)


def _outbound(leg: Item, key: str) -> Any:
    value = leg.get(key)
    return value.get("outbound") if isinstance(value, dict) else value


def _turns(leg: Item) -> list[str]:
    """Return the turns that a leg's cue tells, in their order."""
    return [turn.lower() for turn in _TURN.findall(str(_outbound(leg, "cue") or ""))]


def _say_turn(leg: Item, turn: str) -> None:
    """Write a turn into the cue of a leg, behind what stands there."""
    cue = leg.get("cue") or {}
    cue = dict(cue) if isinstance(cue, dict) else {"outbound": cue}
    known = cue.get("outbound", "")
    if _turns(leg):
        words = {"straight": "straight on"}.get(turn, turn)
        cue["outbound"] = f"{known.removesuffix('.')}, then {words}."
    else:
        cue["outbound"] = f"{known} {_TURN_WORDS[turn]}".strip()
    leg["cue"] = cue
