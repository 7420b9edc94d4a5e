"""What is true of the town and of each ride, for measuring a drafting tool against."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any

from extract import cut_streets, way_ids
from grid import points, to_degrees
from ride_line import record, stretches, true_distances
from shapely import LineString

if TYPE_CHECKING:
    from junctions import Network
    from ride_line import Recording, Stretch
    from ride_plan import Crossing, Dismount, Ride
    from street import Street

_NOTE = (
    "Known by construction. Chainages are metres along the published track of each file, in its "
    "own direction, and `line` is where the rider truly went (degrees); `return` facts are given "
    "along the same line, so that they run backwards. "
    "A zebra and pedestrian signals are pushed over and are not listed again as dismounts. "
    "A crossing is `busy` by its road's class, trunk to secondary, unless by bridge or underpass. "
    "`kind` holds for riding a way as it is drawn, `against` for the other way."
)


def facts(network: Network, rides: tuple[Ride, ...]) -> dict[str, Any]:
    """Return the truth about every street, every edge and every ride."""
    ids = way_ids(network)
    mapped = [street for street in network.streets.values() if street.mapped]
    return {
        "note": _NOTE,
        "streets": {s.key: _street(s) | {"ways": ids[s.key]} for s in mapped},
        "edges": [edge for s in mapped for edge in _edges(network, s, ids[s.key])],
        "rides": {f"{r.route}/{r.file}": ride_facts(network, r) for r in rides},
    }


def ride_facts(network: Network, ride: Ride) -> dict[str, Any]:
    """Return the legs, crossings and dismounts of one ride by published chainage."""
    recording = record(network, ride)
    pieces = stretches(network, ride)
    return {
        "length_m": round(recording.chainage_m[-1], 1),
        "true_length_m": round(recording.true_m[-1], 1),
        "line": [to_degrees(point) for point in recording.true_line],
        "outbound": _one_way(network, ride, recording, pieces, "outbound"),
        "return": _one_way(network, ride, recording, pieces, "return"),
    }


def _street(street: Street) -> dict[str, Any]:
    found: dict[str, Any] = {
        "name": street.name,
        "kind": street.kind,
        "against": street.against,
        "filtered": bool(street.closed_by),
        "closed_by": street.closed_by,
        "main": street.is_main,
    }
    return found | ({"hours": street.hours} if street.hours else {})


def _edges(network: Network, street: Street, ways: list[int]) -> list[dict[str, Any]]:
    parts = zip(ways, cut_streets(network)[street.key], strict=True)
    return [
        {
            "street": street.key,
            "way": way,
            "from": network.nodes[a].id,
            "to": network.nodes[b].id,
            "kind": street.kind,
            "against": street.against,
            "filtered": bool(street.closed_by),
        }
        for way, line in parts
        for a, b in pairwise(line)
    ]


def _one_way(
    network: Network, ride: Ride, recording: Recording, pieces: list[Stretch], direction: str
) -> dict[str, Any]:
    return {
        "legs": _legs(network, recording, pieces, direction),
        "crossings": [
            {
                "at": at,
                "road": c.road,
                "control": c.control,
                "movement": c.movement,
                "busy": c.busy,
            }
            for c, at in _placed(ride.crossings, recording, direction)
        ],
        "dismounts": [
            {"at": at, "why": d.why, "metres": d.metres, "must": d.must}
            for d, at in _placed(ride.dismounts, recording, direction)
        ],
    }


def _legs(
    network: Network, recording: Recording, pieces: list[Stretch], direction: str
) -> list[dict[str, Any]]:
    """Return the legs: pieces one after another, merged where name and kind go on unchanged."""
    legs: list[dict[str, Any]] = []
    travelled = 0.0
    for piece in pieces:
        street = network.streets[piece.street]
        as_drawn = piece.forward == (direction == "outbound")
        kind = _ridden_kind(street, direction, as_drawn=as_drawn)
        start, travelled = travelled, travelled + LineString(piece.line).length
        to = round(recording.published(travelled), 1)
        last = legs[-1] if legs else None
        if last and last["street"] == street.name and last["kind"] == kind:
            last["to"] = to
            last["streets"].append(street.key)
            continue
        leg = {"from": round(recording.published(start), 1), "to": to, "street": street.name}
        legs.append(leg | {"kind": kind, "streets": [street.key]})
        if street.hours:
            legs[-1]["hours"] = street.hours
    return legs


def _ridden_kind(street: Street, direction: str, *, as_drawn: bool) -> str:
    """Return the kind ridden; the way back has Dock Road's lane and the gyratory's far half."""
    if street.key == "dock-track" and direction == "return":
        return "painted lane"
    if street.tags.get("junction") == "roundabout":
        return street.kind
    return street.kind if as_drawn else street.against


def _placed(
    things: tuple[Crossing, ...] | tuple[Dismount, ...], recording: Recording, direction: str
) -> list[tuple[Any, float]]:
    """Return what holds in a direction with its chainage, at its first pass."""
    found = []
    for thing in things:
        if thing.direction not in (direction, "both"):
            continue
        passes = true_distances(recording.true_line, points(thing.at)[0])
        if not passes:
            raise ValueError(f"the ride does not pass {thing.at} ({thing})")
        found.append((thing, round(recording.published(passes[0]), 1)))
    return sorted(found, key=lambda pair: pair[1])
