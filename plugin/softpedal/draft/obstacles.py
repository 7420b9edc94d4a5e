"""Gates, chicanes and posts on a ride: nodes of the map → barriers and dismounts of the notes."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.draft.passes import passes
from softpedal.streets.access import MAIN_CLASSES, MINOR_CLASSES, road_class

if TYPE_CHECKING:
    from softpedal.draft.chain import Chain, Confidence
    from softpedal.streets.network import Network, Tags

#: Barriers that a rider must know of, in words.
_WORDS = {
    "cycle_barrier": "chicane barrier",
    "motorcycle_barrier": "barrier against motorcycles",
    "kissing_gate": "kissing gate",
    "stile": "stile",
    "turnstile": "turnstile",
    "full-height_turnstile": "turnstile",
    "wicket_gate": "wicket gate",
    "gate": "gate",
    "lift_gate": "lifting gate",
    "swing_gate": "swing gate",
    "sliding_gate": "sliding gate",
    "hampshire_gate": "wire gate",
    "chain": "chain",
    "log": "log across the way",
    "step": "step",
    "debris": "heap across the way",
    "bollard": "posts",
    "block": "blocks",
    "planter": "planters",
}
#: Told only where the map says how wide they are.
_PASSED_EASILY = frozenset({"bollard", "block", "planter", "chain"})
#: One gets off here, whatever the law says.
_GET_OFF = frozenset(
    {"kissing_gate", "stile", "turnstile", "full-height_turnstile", "wicket_gate", "step", "log"}
)
#: Metres walked at one of them, where nothing else is known (ours).
_WALKED_M = 3
_WIDTHS = ("maxwidth:physical", "maxwidth", "opening", "width")
_LENGTH = re.compile(r"(\d+(?:[.,]\d+)?)\s*(cm|mm|ft|'|m)?")
_UNITS_M = {"m": 1.0, "cm": 0.01, "mm": 0.001, "ft": 0.3048, "'": 0.3048}
_INCHES = re.compile(r"(\d+)'\s*(\d+)(?:\"|'')?")
_DAILY = re.compile(r"(?:Mo-Su )?(\d\d:\d\d)-(\d\d:\d\d)")


@dataclass(frozen=True, slots=True)
class Obstacle:
    """Something on the way.

    Attributes:
        at_m: chainage.
        what: in words.
        gap_m: width, None where the map does not say.
        gets_off: why one gets off there, "" where one need not.
        must: "barrier" or "law", of that.
        metres: walked there.
        opens: opening hours as the map says, "".
        confidence, evidence: how sure, and what it goes by.
    """

    at_m: float
    what: str
    gap_m: float | None
    gets_off: str
    must: str
    metres: int
    opens: str
    confidence: Confidence
    evidence: str

    @property
    def shut(self) -> str:
        """Hours at which it is shut every day, "" where there are none or they are not plain."""
        match = _DAILY.fullmatch(self.opens)
        if not match:
            return ""
        opens, shuts = match[1].replace("24:00", "00:00"), match[2].replace("00:00", "24:00")
        if opens == shuts or (opens, shuts) == ("00:00", "24:00"):
            return ""
        return f"{shuts.replace('24:00', '00:00')}-{opens.replace('00:00', '24:00')}"


def obstacles(network: Network, chain: Chain) -> list[Obstacle]:
    """Return what stands on a ride, in riding order."""
    found: list[Obstacle] = []
    for passed in passes(network, chain):
        tags = network.node_tags.get(passed.node, {})
        on_road = all(_is_road(network, p.edge) for p in (passed.before, passed.after))
        made = _obstacle(passed.at_m, tags, on_road=on_road)
        if made:
            found.append(made)
    return found


def _is_road(network: Network, edge: int) -> bool:
    return road_class(network.tags(edge)) in MAIN_CLASSES + MINOR_CLASSES


def _obstacle(at_m: float, tags: Tags, *, on_road: bool) -> Obstacle | None:
    """Return what the tags of a node say.

    What a pedestrian crossing says of cycles is for those who cross by it, not for those who ride
    along the road.
    """
    kind = tags.get("barrier", "")
    across = on_road and not kind and "crossing" in (tags.get("highway"), *tags)
    dismount = tags.get("bicycle") == "dismount" and not across
    if kind not in _WORDS and not dismount:
        return None
    gap = next((_width(tags[key]) for key in _WIDTHS if key in tags), None)
    gets_off = ""
    if kind in _GET_OFF:
        gets_off = _WORDS[kind]
    elif dismount:
        gets_off = "cycles are to be pushed"
    elif tags.get("bicycle") in ("no", "private"):
        gets_off = "no cycling"
    if kind in _PASSED_EASILY and gap is None and not gets_off:
        return None
    rides = tags.get("bicycle") in ("yes", "designated", "permissive")
    confidence: Confidence = "sure" if rides or gets_off else "check"
    evidence = ", ".join(
        f"{key}={tags[key]}"
        for key in ("barrier", "bicycle", "access", "locked", *_WIDTHS, "opening_hours")
        if key in tags
    )
    if not rides and not gets_off:
        evidence += ": can it be opened, and passed with a wide cycle?"
    return Obstacle(
        at_m,
        _WORDS.get(kind, ""),
        gap,
        gets_off,
        "barrier" if kind in _GET_OFF else "law",
        _WALKED_M,
        tags.get("opening_hours", ""),
        confidence,
        evidence,
    )


def _width(text: str) -> float | None:
    """Return a width in metres, of several the least: `1.2`, `1,2 m`, `120 cm`, `4'`, `3'6"`."""
    values = []
    for part in map(str.strip, text.split(";")):
        if feet := _INCHES.fullmatch(part):
            values.append(float(feet[1]) * 0.3048 + float(feet[2]) * 0.0254)
        elif match := _LENGTH.fullmatch(part):
            values.append(float(match[1].replace(",", ".")) * _UNITS_M[match[2] or "m"])
    value = round(min(values), 2) if values else 0.0
    return value if 0.1 < value < 20 else None
