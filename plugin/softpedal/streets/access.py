"""Who may go where: tags of a way or a node → what motor traffic and a cycle may do there."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from softpedal.streets.country import Country
    from softpedal.streets.network import Tags

#: The main road network, from the fastest to the slowest; links belong to their road.
MAIN_CLASSES = ("motorway", "trunk", "primary", "secondary", "tertiary")
#: Other ways open to motor traffic where no tag says otherwise.
MINOR_CLASSES = ("unclassified", "residential", "living_street", "service", "road", "track")

_NO = frozenset({"no", "private", "none"})
#: Signs that let some in: a rule that is obeyed or not, but no wall.
_SIGNED_WORDS = (
    "destination delivery customers permit residents agricultural forestry permissive_no "
    "discouraged resident employees military official"
)
_SIGNED = frozenset(_SIGNED_WORDS.split())
_NOT_ALL = _NO | {"forestry", "agricultural"}
_CLOSED_TO_CARS = frozenset({"bus", "psv", "taxi", "emergency", "hgv", "disabled", "use_sidepath"})
_YES = frozenset({"yes", "designated", "permissive", "official", "destination", "customers"})

_ONE_WAY = {"yes": 1, "true": 1, "1": 1, "-1": -1, "reverse": -1, "no": 0, "false": 0, "0": 0}

Ride = Literal["ride", "push", "no"]


@dataclass(frozen=True, slots=True)
class MotorAccess:
    """What private motor traffic may do on a way.

    Attributes:
        forward, backward: whether it may drive along, and against, the drawn line.
        sign_only: whether a sign alone lets only some in (`motor_vehicle=destination`).
        private: whether it is closed as private ground or a private gate may close it.
    """

    forward: bool
    backward: bool
    sign_only: bool = False
    private: bool = False


@dataclass(frozen=True, slots=True)
class CycleAccess:
    """What a cycle may do on a way, and why it may not more.

    Attributes:
        forward, backward: along and against the drawn line.
        why_forward, why_backward: "" where one rides, else in words ("no entry", "pedestrians").
    """

    forward: Ride
    backward: Ride
    why_forward: str = ""
    why_backward: str = ""


def road_class(tags: Tags) -> str:
    """Return the class of a road without `_link`, "" for what is none."""
    return tags.get("highway", "").removesuffix("_link")


def is_main(tags: Tags) -> bool:
    """Whether a way belongs to the main road network."""
    return road_class(tags) in MAIN_CLASSES


def is_ring(tags: Tags) -> bool:
    """Whether a way is part of a roundabout."""
    return tags.get("junction") in ("roundabout", "circular")


def one_way(tags: Tags, *, cycles: bool = False) -> int:
    """Return 1 where one may go along the drawn line only, −1 against it only, 0 both ways."""
    if cycles and (own := tags.get("oneway:bicycle", "")) in _ONE_WAY:
        return _ONE_WAY[own]
    if cycles and _has_contraflow(tags):
        return 0
    if (value := tags.get("oneway", "")) in _ONE_WAY:
        return _ONE_WAY[value]
    return int(is_ring(tags) or tags.get("highway") == "motorway")


def _has_contraflow(tags: Tags) -> bool:
    sides = ("", ":left", ":right", ":both")
    return any(
        tags.get(f"cycleway{side}", "").startswith("opposite")
        or tags.get(f"cycleway{side}:oneway") in ("no", "-1")
        for side in sides
    )


def motor_access(tags: Tags) -> MotorAccess:
    """Return what private motor traffic may do on a way."""
    kind = road_class(tags)
    said = next(
        (tags[k] for k in ("motorcar", "motor_vehicle", "vehicle", "access") if k in tags), None
    )
    if tags.get("route") == "ferry" and not kind:
        goes = said in _YES
    elif kind in MAIN_CLASSES or kind in MINOR_CLASSES:
        goes = said not in _NO and said not in _CLOSED_TO_CARS
    else:
        own = [tags[k] for k in ("motorcar", "motor_vehicle") if k in tags]
        goes = bool(own) and own[0] not in _NO and own[0] not in _CLOSED_TO_CARS
    if tags.get("area") == "yes" and kind not in MAIN_CLASSES:
        goes = goes and said in _YES | {None}
    way = one_way(tags)
    return MotorAccess(
        forward=goes and way >= 0,
        backward=goes and way <= 0,
        sign_only=goes and said in _SIGNED,
        private=not goes and said == "private" and (kind in MINOR_CLASSES or kind in MAIN_CLASSES),
    )


def cycle_access(tags: Tags, country: Country) -> CycleAccess:
    """Return what a cycle may do on a way in each direction.

    `bicycle` goes before `vehicle` and `access`, they before the default of the road's class.
    Where one may not ride, one may push if people may walk there.
    """
    ride, why = _may_ride(tags, country)
    if ride != "ride":
        return CycleAccess(ride, ride, why, why)
    way = one_way(tags, cycles=True)
    on_foot: Ride = "no" if tags.get("foot") in _NO and road_class(tags) == "motorway" else "push"
    return CycleAccess(
        "ride" if way >= 0 else on_foot,
        "ride" if way <= 0 else on_foot,
        "" if way >= 0 else "no entry",
        "" if way <= 0 else "no entry",
    )


def _may_ride(tags: Tags, country: Country) -> tuple[Ride, str]:
    """Return what one may do on a way that goes both ways, and why not more."""
    own = tags.get("bicycle", "")
    on_foot: Ride = "no" if tags.get("foot") in _NO else "push"
    if own == "dismount":
        return "push", "cycles are to be pushed"
    if own not in _YES and own != "use_sidepath":
        if tags.get("highway") == "steps":
            return "push", "steps"
        if own in _NO:
            return on_foot, "no cycling"
        return _by_others(tags, on_foot) or _by_default(tags, country, on_foot)
    return "ride", ""


def _by_others(tags: Tags, on_foot: Ride) -> tuple[Ride, str] | None:
    """Return what tags for all vehicles, or for everybody, say; None where they say nothing."""
    if tags.get("highway") == "motorway" or tags.get("motorroad") == "yes":
        return "no", "motor road"
    if tags.get("route") == "ferry" and "highway" not in tags:
        return "push", "ferry"
    if tags.get("vehicle") in _NOT_ALL:
        return on_foot, "no vehicles"
    if tags.get("vehicle") in _YES:
        return "ride", ""
    if tags.get("access") in _NOT_ALL:
        walks = tags.get("foot") in _YES
        return (on_foot, "no vehicles") if walks else ("no", "private")
    return None


def _by_default(tags: Tags, country: Country, on_foot: Ride) -> tuple[Ride, str]:
    rides, why = {
        "trunk": (country.ride_trunk, "no cycling"),
        "bridleway": (country.ride_bridleway, "bridleway"),
        "footway": (country.ride_footway, "pedestrians only"),
        "pedestrian": (country.ride_pedestrian, "pedestrians only"),
        "corridor": (False, "indoors"),
    }.get(tags.get("highway", ""), (True, ""))
    return ("ride", "") if rides else (on_foot, why)


BarrierEffect = Literal["stops", "gate", "passes"]

_STOPPING_WORDS = (
    "bollard block planter cycle_barrier kissing_gate stile turnstile jersey_barrier log "
    "chain motorcycle_barrier bus_trap sump_buster full-height_turnstile horse_stile debris "
    "wall fence hedge ditch step bollards rope tank_trap delineators wicket_gate"
)
_STOPPING = frozenset(_STOPPING_WORDS.split())
_GATES_WORDS = "gate lift_gate swing_gate sliding_gate hampshire_gate yes"
_GATES = frozenset(_GATES_WORDS.split())


def barrier_effect(tags: Tags) -> BarrierEffect:
    """Return what a node does to private motor traffic: stops it, is a gate, or lets it pass.

    A node that nobody has heard of lets it pass: nothing is called filtered because of it.
    """
    said = next((tags[k] for k in ("motorcar", "motor_vehicle", "vehicle") if k in tags), None)
    kind = tags.get("barrier", "")
    if said in _YES or (not kind and said is None):
        return "passes"
    if not kind:
        return "stops" if said in _NO else "passes"
    if said in _NO or (said is None and tags.get("access") in _NO and kind in _GATES | _STOPPING):
        can_open = kind in _GATES or tags.get("bollard") in ("removable", "rising", "foldable")
        return "gate" if can_open else "stops"
    if kind in _STOPPING:
        movable = tags.get("bollard") in ("removable", "rising", "foldable")
        opens = movable or (tags.get("access") in _YES and "bicycle" not in tags)
        return "gate" if opens else "stops"
    return "gate" if kind in _GATES else "passes"


_CONDITION = re.compile(r"\s*([^@;]+?)\s*@\s*(?:\(([^)]*)\)|([^;]*))\s*(?:;|$)")


def conditions(value: str) -> list[tuple[str, str]]:
    """Return the (value, condition) pairs of a `:conditional` tag: `no @ (Mo-Sa 08:00-18:00)`."""
    return [(m[1], (m[2] or m[3] or "").strip()) for m in _CONDITION.finditer(value)]
