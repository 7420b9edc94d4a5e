"""Stretches of both directions → legs as an author writes them: few, and each worth a line.

Stretches of one street and kind are one leg. What is shorter than a flicker belongs to the leg
beside it; a short push is kept as a dismount.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.draft.chain import Confidence
    from softpedal.draft.spans import Span

#: What is shorter belongs to the leg beside it.
FLICKER_M = 25.0
#: The same among traffic: a few metres along a main road are told.
TRAFFIC_FLICKER_M = 15.0
_AMONG_TRAFFIC = frozenset({"mixed street", "busy road", "bus lane", "painted lane"})
#: A push shorter than this, other than at steps or by a sign, is a way round a post or a kerb.
MIN_PUSH_M = 15.0
#: Ends of stretches this near are one.
_SAME_END_M = 0.01
#: A fact that holds on less than this share of a leg is not told of the whole.
_MIN_SHARE = 0.15
#: Evidence told for one leg, at most.
_MOST_EVIDENCE = 2
#: Pushes that are told however short they are.
_ALWAYS_PUSHED = frozenset(["steps", "cycles are to be pushed"])
_SLOWEST = ("sure", "check", "guess")
_SURFACES = ("smooth", "fair", "rough", "loose", "cobbles")
#: Facts of which the part that asks most of a rider is told.
_HIGHEST_OF = ("speed_limit", "lanes")
_LEAST_OF = ("lane_width", "parking_width")
#: Facts that are told only if the tags speak of this share of a leg.
_KNOWN_SHARE = 0.5


@dataclass(frozen=True, slots=True)
class DraftLeg:
    """A leg as drafted, with the stretches of either direction that it is made of.

    Attributes:
        from_m, to_m: chainage along the outbound track.
        out: stretches outbound that lie in it, cut to it.
        back: stretches of the way back that lie in it, cut to it, in outbound order.
    """

    from_m: float
    to_m: float
    out: tuple[Span, ...]
    back: tuple[Span, ...]

    @property
    def length_m(self) -> float:
        """Metres from one end to the other."""
        return self.to_m - self.from_m

    @property
    def lead(self) -> Span:
        """The outbound stretch that gives the leg its street and kind: that which holds longest."""
        return _longest(self.out)

    @property
    def lead_back(self) -> Span:
        """The same for the way back."""
        return _longest(self.back)

    @property
    def confidence(self) -> Confidence:
        """That of the least sure stretch that is more than a flicker of the leg."""
        least = min(MIN_PUSH_M, self.length_m / 4)
        worst: Confidence = "sure"
        for span in (*self.out, *self.back):
            if span.length_m >= least:
                worst = max(worst, span.confidence, key=_SLOWEST.index)
        return max(worst, "check", key=_SLOWEST.index) if self.is_doubted else worst

    @property
    def is_doubted(self) -> bool:
        """Whether the ride may have gone another way on more than a flicker of it."""
        spans = (*self.out, *self.back)
        doubted = sum(span.length_m for span in spans if span.may_lie)
        return doubted > _MIN_SHARE * sum(span.length_m for span in spans)

    @property
    def has_steps(self) -> bool:
        """Whether there are steps on it, however few."""
        return any(span.why_push == "steps" for span in (*self.out, *self.back))

    @property
    def evidence(self) -> str:
        """What the leg goes by, of the longest stretches first."""
        share: Counter[str] = Counter()
        for span in (*self.out, *self.back):
            share[span.evidence] += round(span.length_m)
        told = [text for text, _ in share.most_common(_MOST_EVIDENCE) if text]
        if self.is_doubted:
            way = f"; it is drafted along way {self.lead.way}" if self.lead.way else ""
            told.append(f"the ride may have gone another way here{way}")
        return "; ".join(text.rstrip(".") for text in told)

    @property
    def closed_by(self) -> str:
        """What closes the filtered stretches."""
        kept = [s.closed_by for s in (*self.out, *self.back) if s.closed_by]
        return "; ".join(list(dict.fromkeys(kept))[:_MOST_EVIDENCE])

    def facts(self) -> dict[str, Any]:
        """Return what is noted of the leg; of what differs along it, what asks most of a rider."""
        found: dict[str, Any] = {}
        spans = [s for s in self.out if s.kind == self.lead.kind] or list(self.out)
        whole = sum(span.length_m for span in spans) or 1.0
        for key in dict.fromkeys(key for span in spans for key in span.facts):
            share: Counter[Any] = Counter()
            for span in spans:
                if key in span.facts:
                    share[span.facts[key]] += span.length_m / whole  # type: ignore[assignment]
            values = [value for value, part in share.items() if part >= _MIN_SHARE]
            if values:
                found[key] = _told(key, values, sum(share.values()))
        if self.has_steps:
            found["steps"] = True
        return {key: value for key, value in found.items() if value is not None}


def draft_legs(out: Sequence[Span], back: Sequence[Span]) -> list[DraftLeg]:
    """Return the legs of a line by what it is in both directions.

    Args:
        out: stretches outbound, without a gap.
        back: stretches of the way back by outbound chainage, in outbound order, without a gap.
    """
    legs = []
    for a, b in pairwise(_ends(out, back)):
        one, other = _at(out, (a + b) / 2), _at(back, (a + b) / 2)
        legs.append(
            DraftLeg(a, b, (replace(one, from_m=a, to_m=b),), (replace(other, from_m=a, to_m=b),))
        )
    legs = _joined(legs)
    while len(legs) > 1:
        short = min(range(len(legs)), key=lambda i: legs[i].length_m - _least_m(legs[i]))
        if legs[short].length_m >= _least_m(legs[short]):
            break
        beside = _neighbour(legs, short)
        low, high = sorted((short, beside))
        legs[low : high + 1] = [_together(legs[low], legs[high])]
        legs = _joined(legs)
    return legs


def _least_m(leg: DraftLeg) -> float:
    """Return the length below which a leg belongs to the one beside it."""
    among_traffic = _AMONG_TRAFFIC & {leg.lead.kind, leg.lead_back.kind}
    return TRAFFIC_FLICKER_M if among_traffic else FLICKER_M


def short_pushes(legs: Sequence[DraftLeg], *, back: bool) -> list[Span]:
    """Return the pushes that no leg tells of: each one stretch, in outbound order."""
    found: list[Span] = []
    for leg in legs:
        lead = leg.lead_back if back else leg.lead
        for span in leg.back if back else leg.out:
            if span.kind != "on foot" or lead.kind == "on foot":
                continue
            if found and abs(span.from_m - found[-1].to_m) < 1 and _is_one_push(found[-1], span):
                longer = max(found[-1], span, key=lambda s: s.length_m)
                found[-1] = replace(longer, from_m=found[-1].from_m, to_m=span.to_m)
            else:
                found.append(span)
    return [s for s in found if s.length_m >= MIN_PUSH_M or s.why_push in _ALWAYS_PUSHED]


def _is_one_push(one: Span, other: Span) -> bool:
    """Whether one gets off once for two stretches that follow on each other."""
    same = one.why_push == other.why_push
    return same or not {one.why_push, other.why_push} & _ALWAYS_PUSHED


def _ends(out: Sequence[Span], back: Sequence[Span]) -> list[float]:
    """Return where stretches of either direction end, those within a centimetre as one."""
    length_m = max(s.to_m for s in (*out, *back))
    found = [0.0]
    for end in sorted(s.to_m for s in (*out, *back)):
        if end - found[-1] >= _SAME_END_M and end <= length_m - _SAME_END_M:
            found.append(end)
    return [*found, length_m]


def _at(spans: Sequence[Span], metres: float) -> Span:
    index = bisect_right([span.from_m for span in spans], metres) - 1
    return spans[max(index, 0)]


def _key(leg: DraftLeg) -> tuple[Any, ...]:
    out, back = leg.lead, leg.lead_back
    closed = out.closed_by if "filtered street" in (out.kind, back.kind) else ""
    return out.street, out.kind, back.kind, out.hours, back.hours, bool(closed)


def _joined(legs: Sequence[DraftLeg]) -> list[DraftLeg]:
    found: list[DraftLeg] = []
    for leg in legs:
        if found and _key(found[-1]) == _key(leg):
            found[-1] = _together(found[-1], leg)
        else:
            found.append(leg)
    return found


def _together(one: DraftLeg, other: DraftLeg) -> DraftLeg:
    return DraftLeg(one.from_m, other.to_m, one.out + other.out, one.back + other.back)


def _neighbour(legs: Sequence[DraftLeg], index: int) -> int:
    """Return the leg that a short one goes into.

    Where a stretch outbound ends a little before one of the way back, or after it, the leg between
    goes on outbound as the leg on one side, and back as that on the other: it goes into the
    shorter one, whose stretch would else be lost. Otherwise it goes into the leg that is the same
    in one direction, then into that of the same street, then into the longer one.
    """
    around = [i for i in (index - 1, index + 1) if 0 <= i < len(legs)]
    own = legs[index]
    same = {
        i: (_is_more(own.lead, legs[i].lead), _is_more(own.lead_back, legs[i].lead_back))
        for i in around
    }
    if len(around) == 2 and all(map(any, same.values())) and same[around[0]] != same[around[1]]:
        return min(around, key=lambda i: legs[i].length_m)
    street = own.lead.street
    return max(
        around, key=lambda i: (any(same[i]), legs[i].lead.street == street, legs[i].length_m)
    )


def _is_more(one: Span, other: Span) -> bool:
    return (one.street, one.kind) == (other.street, other.kind)


def _longest(spans: Sequence[Span]) -> Span:
    share: dict[Any, float] = {}
    for span in spans:
        key = (span.street, span.kind)
        share[key] = share.get(key, 0.0) + span.length_m
    best = max(share, key=lambda key: share[key])
    return max((s for s in spans if (s.street, s.kind) == best), key=lambda s: s.length_m)


def _told(key: str, values: list[Any], share: float) -> Any:
    """Return the one value that is told of a leg, None where none may be.

    What is good news must be known of the whole leg.
    """
    is_whole = share > 1 - _MIN_SHARE
    told: Any = values[0] if len(values) == 1 else None
    if key in (*_HIGHEST_OF, *_LEAST_OF) and share < _KNOWN_SHARE:
        told = None
    elif key == "surface":
        told = max(values, key=_SURFACES.index)
        told = None if told == _SURFACES[0] and not is_whole else told
    elif key == "lit":
        told = told if told and (is_whole or told == "no") else "partly"
    elif key in _HIGHEST_OF:
        told = max(values, key=_number)
    elif key in _LEAST_OF:
        told = min(values, key=_number)
    elif key in ("parking", "steps"):
        told = any(values) or (False if is_whole else None)
    elif key in ("residential", "median"):
        told = True if all(values) and is_whole else None
    return told


def _number(value: Any) -> float:
    text = str(value).split()
    return float(text[0]) * (1.609344 if text[-1] == "mph" else 1.0)
