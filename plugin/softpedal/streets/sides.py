"""What a carriageway has for cycles on the side, and in the direction, in which one rides.

Sides of a tag are those of the line as drawn. The rider's own side depends on the side that the
country drives on and on the direction of travel. A lane without an `oneway` of its own runs with
the traffic beside it. Tag meanings after the OpenStreetMap wiki's page "Key:cycleway" (from
memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from softpedal.streets.access import one_way

if TYPE_CHECKING:
    from softpedal.streets.network import Tags

Side = Literal["left", "right"]
What = Literal["", "track", "shared track", "lane", "bus", "shared lane"]

_LANES = frozenset(["lane", "advisory", "exclusive", "buffered_lane", "soft_lane"])
_APART = frozenset({"separate", "sidepath", "use_sidepath"})
_NOTHING = frozenset({"", "no", "none", "opposite", "yes", "crossing", "asl", "shoulder"})
#: What between a lane and the motor traffic makes a protected track of it.
_PROTECTING = frozenset(
    [
        "kerb",
        "bollard",
        "flex_post",
        "vertical_panel",
        "planter",
        "fence",
        "jersey_barrier",
        "guard_rail",
        "parking_lane",
        "tree_row",
        "grass_verge",
        "separation_kerb",
        "cycle_lane_defender",
        "island",
        "hedge",
        "structure",
    ]
)
#: Keys that may differ along and against the drawn line.
_DIRECTED = ("access", "vehicle", "bicycle", "foot", "maxspeed")


@dataclass(frozen=True, slots=True)
class Facility:
    """What there is for a rider going one way.

    Attributes:
        what: "" for nothing of its own; "shared lane" is a carriageway with cycles painted on it.
        side: on which side of the drawn line; the rider's own side where there is nothing.
        tag: as OpenStreetMap writes it, "" where there is nothing.
        apart: the tag which says that a track is mapped as a line of its own, "" if none does.
    """

    what: What
    side: Side
    tag: str = ""
    apart: str = ""


def own_side(forward: bool, drives_left: bool) -> Side:
    """Return the side of the drawn line on which one rides."""
    return "left" if forward == drives_left else "right"


def directed(tags: Tags, forward: bool) -> Tags:
    """Return the tags with those that hold in this direction only (`bicycle:forward`) put in."""
    end = ":forward" if forward else ":backward"
    own = {key: tags[key + end] for key in _DIRECTED if key + end in tags}
    if not own:
        return tags
    if own.get("bicycle") in ("yes", "designated") and one_way(tags) == (-1 if forward else 1):
        own["oneway:bicycle"] = "no"
    return {**tags, **own}


def facility(tags: Tags, forward: bool, *, drives_left: bool) -> Facility:
    """Return what the carriageway has for a rider along or against the drawn line.

    The rider's own side goes before the other one, which counts where its track or lane is
    ridden both ways, or against a one-way street.
    """
    own = own_side(forward, drives_left)
    if not any(key.startswith("cycleway") for key in tags):
        return Facility("", own)
    far: Side = "right" if own == "left" else "left"
    apart, shared = "", Facility("", own)
    for side in (own, far):
        value, key = _said(tags, side)
        if value in _APART:
            apart = apart or f"{key}={value}"
            continue
        if value in _NOTHING:
            continue
        if not _serves(tags, side, (value, key), forward=forward, drives_left=drives_left):
            continue
        what = _what(tags, side, value.removeprefix("opposite_"))
        if what == "shared lane":
            shared = Facility(what, side, f"{key}={value}")
        elif what:
            return Facility(what, side, f"{key}={value}", _own_apart(tags, own))
    return Facility(shared.what, shared.side, shared.tag, apart)


def detail(tags: Tags, side: Side, what: str) -> str:
    """Return a detail of the cycleway on a side (`cycleway:left:width`), "" if none is given."""
    for key in (f"cycleway:{side}:{what}", f"cycleway:both:{what}", f"cycleway:{what}"):
        if key in tags:
            return tags[key]
    return ""


def bus_lane(tags: Tags, forward: bool, *, drives_left: bool) -> str:
    """Return the tag of a bus lane for traffic in this direction, "" if there is none."""
    way = one_way(tags)
    with_traffic = way == 0 or (way == 1) == forward
    side = own_side(forward, drives_left)
    for key in (f"busway:{side}", "busway:both", "busway"):
        if tags.get(key) == "lane" and with_traffic:
            return f"{key}=lane"
    for key in ("busway", "busway:left", "busway:right"):
        if tags.get(key) == "opposite_lane" and not with_traffic:
            return f"{key}=opposite_lane"
    ends = [":forward" if forward else ":backward", *([""] if with_traffic else [])]
    for mode in ("bus", "psv"):
        for end in ends:
            count = tags.get(f"lanes:{mode}{end}", "")
            if count.isdigit() and int(count):
                return f"lanes:{mode}{end}={count}"
            lanes = tags.get(f"{mode}:lanes{end}", "")
            if "designated" in lanes.split("|"):
                return f"{mode}:lanes{end}={lanes}"
    return ""


def pavement_tag(tags: Tags, forward: bool, *, drives_left: bool) -> str:
    """Return the tag by which one may ride on the pavement of one's own side, "" if none."""
    side = own_side(forward, drives_left)
    for key in (f"sidewalk:{side}:bicycle", "sidewalk:both:bicycle", "sidewalk:bicycle"):
        if tags.get(key) in ("yes", "designated", "permissive"):
            return f"{key}={tags[key]}"
    return ""


def _said(tags: Tags, side: Side) -> tuple[str, str]:
    for key in (f"cycleway:{side}", "cycleway:both", "cycleway"):
        if key in tags:
            return tags[key], key
    return "", ""


def _own_apart(tags: Tags, side: Side) -> str:
    value, key = _said(tags, side)
    return f"{key}={value}" if value in _APART else ""


def _serves(
    tags: Tags, side: Side, said: tuple[str, str], *, forward: bool, drives_left: bool
) -> bool:
    """Whether what is on a side may be ridden in this direction."""
    value, key = said
    way = one_way(tags)
    with_traffic = way == 0 or (way == 1) == forward
    if value.startswith("opposite_"):
        return not with_traffic
    own_way = detail(tags, side, "oneway")
    if own_way in ("no", "yes", "-1"):
        return own_way == "no" or (own_way == "yes") == forward
    if way == 0:
        return side == own_side(forward, drives_left)
    against = own_side(way == -1, drives_left)
    exempt = one_way(tags, cycles=True) == 0 and key != "cycleway"
    return (exempt and side == against) != with_traffic


def _what(tags: Tags, side: Side, value: str) -> What:
    if value == "track":
        return "shared track" if detail(tags, side, "segregated") == "no" else "track"
    if value == "share_busway":
        return "bus"
    if value in ("shared_lane", "shared") or detail(tags, side, "lane") == "pictogram":
        return "shared lane"
    if value not in _LANES:
        return ""
    beyond = "right" if side == "left" else "left"
    between = {detail(tags, side, f"separation{end}") for end in (f":{beyond}", ":both", "")}
    kept = any(part in _PROTECTING for text in between for part in text.split(";"))
    return "track" if kept else "lane"
