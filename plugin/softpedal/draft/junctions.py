"""The main roads that a ride crosses, joins and leaves, one event for each, in one direction.

At each node passed the arms of main roads are looked at: on both sides of the line, it is crossed;
on the side from which traffic must be crossed to join or to leave, it is a turn; on the other side
only, it is touched and nothing happens. Arms are merged where they are one junction.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np
import shapely

from softpedal.draft.controls import SIGNALS, Found, better, control_at, control_of
from softpedal.draft.passes import STRAIGHT_DEGREES, entry_node, passes
from softpedal.streets.access import is_main, is_ring, motor_access, one_way, road_class

if TYPE_CHECKING:
    from softpedal.draft.chain import Chain, Confidence, Piece
    from softpedal.draft.passes import Pass
    from softpedal.library.notes import Control
    from softpedal.streets.country import Country
    from softpedal.streets.network import Network, Tags

#: Events this near, of one road, are one junction: a dual carriageway counts once.
SAME_ROAD_M = 45.0
#: Events this near are one junction whatever the road.
SAME_PLACE_M = 20.0
#: A turn this near to an end of the recording may be its noise.
END_M = 20.0

_CLASSES = ("motorway", "trunk", "primary", "secondary", "tertiary")
Movement = Literal["cross", "turn", "roundabout"]


@dataclass(frozen=True, slots=True)
class Met:
    """A main road that is crossed, or joined or left across its traffic.

    Attributes:
        at_m: chainage.
        road: name of the road.
        edge: an edge of the road, for its tags.
        movement: cross, turn or roundabout.
        control: how, in the notes' words.
        confidence: how sure that is.
        evidence: what it goes by.
        turn: degrees turned to the right there.
    """

    at_m: float
    road: str
    edge: int
    movement: Movement
    control: Control
    confidence: Confidence
    evidence: str
    turn: float = 0.0


def met_roads(network: Network, chain: Chain, country: Country) -> list[Met]:
    """Return the main roads met by riding a chain, in riding order."""
    events = _rings(network, chain)
    rings = [(event.at_m, _ring_end(network, chain, event.at_m)) for event in events]
    for passed in passes(network, chain):
        if any(a - 1 <= passed.at_m <= b + 1 for a, b in rings):
            continue
        event = _at_node(network, chain, passed, country)
        if event and not (event.movement == "turn" and _is_at_end(chain, event.at_m)):
            events.append(event)
    events += _without_node(network, chain)
    return _merged(sorted(events, key=lambda event: event.at_m))


def _is_at_end(chain: Chain, at_m: float) -> bool:
    """Whether a turn is within the noise of where the recording begins or ends."""
    return at_m < END_M or at_m > chain.length_m - END_M


def is_busy_class(tags: Tags) -> bool:
    """Whether a road is busy by its class alone, as the measures count it."""
    return road_class(tags) in _CLASSES[:4]


def layer_of(tags: Tags) -> int:
    """Return the level of a way: its layer, else that of a bridge or tunnel."""
    try:
        return int(tags.get("layer", ""))
    except ValueError:
        raised = tags.get("bridge", "no") != "no"
        return 1 if raised else -1 if tags.get("tunnel", "no") not in ("no", "") else 0


def _carries_cars(network: Network, edge: int) -> bool:
    tags = network.tags(edge)
    access = motor_access(tags)
    return is_main(tags) and (access.forward or access.backward)


def _rings(network: Network, chain: Chain) -> list[Met]:
    """Return one event for each stretch ridden round a main road's roundabout."""
    found = []
    before: Piece | None = None
    for piece in chain.pieces:
        ring = is_ring(network.tags(piece.edge)) and _carries_cars(network, piece.edge)
        if ring and not (before is not None and is_ring(network.tags(before.edge))):
            road = _ring_name(network, piece)
            evidence = "junction=roundabout"
            found.append(
                Met(piece.from_m, road, piece.edge, "roundabout", "roundabout", "sure", evidence)
            )
        before = piece
    return found


def _ring_name(network: Network, piece: Piece) -> str:
    """Return the name of the roundabout, else that of the road with the highest class there."""
    node = entry_node(network, piece)
    arms = [e for e in network.edges_at[node] if _carries_cars(network, e) and network.name(e)]
    named = [piece.edge] if network.name(piece.edge) else arms
    return network.name(_highest(network, named)) if named else "Roundabout"


def _ring_end(network: Network, chain: Chain, at_m: float) -> float:
    end = at_m
    for piece in chain.pieces:
        if piece.from_m >= at_m - 0.01 and piece.from_m <= end + 0.01:
            if not is_ring(network.tags(piece.edge)):
                break
            end = piece.to_m
    return end


def _at_node(network: Network, chain: Chain, passed: Pass, country: Country) -> Met | None:
    before, after = passed.before.edge, passed.after.edge
    left = [edge for edge in passed.left if _carries_cars(network, edge)]
    right = [edge for edge in passed.right if _carries_cars(network, edge)]
    ridden = [edge for edge in (before, after) if _carries_cars(network, edge)]
    own = {network.name(edge) for edge in ridden}
    across_left, across_right = (
        [edge for edge in side if network.name(edge) not in own - {""}] for side in (left, right)
    )
    movement: Movement | None = None
    arms: list[int] = []
    if network.node_tags.get(passed.node, {}).get("highway") == "mini_roundabout":
        arms = left + right + ridden
        arms = [e for e in arms if network.name(e) != network.name(before)] or arms
        movement = "roundabout"
    elif across_left and across_right and (not own or abs(passed.turn) < STRAIGHT_DEGREES):
        arms = across_left + across_right
        movement = "cross"
    elif ridden and not (len(ridden) == 2 and len(own) == 1):
        arms = left if country.drives_left else right
        with_traffic = before not in ridden and _flows(network, passed.after)
        movement = "turn" if abs(passed.turn) >= STRAIGHT_DEGREES and not with_traffic else None
    if movement is None or not arms:
        return None
    return _met(network, chain, passed, arms, movement)


def _flows(network: Network, piece: Piece) -> bool:
    """Whether the road is one-way in the direction ridden."""
    way = one_way(network.tags(piece.edge))
    return way == (1 if piece.forward else -1)


def _highest(network: Network, edges: list[int]) -> int:
    return min(edges, key=lambda e: (_CLASSES.index(road_class(network.tags(e))), e))


def _road_name(network: Network, edge: int) -> str:
    return network.name(edge) or road_class(network.tags(edge)).capitalize() + " road"


def _met(network: Network, chain: Chain, passed: Pass, arms: list[int], movement: Movement) -> Met:
    edge = _highest(network, arms)
    found = control_at(network, chain, passed.at_m, passed.node, arms)
    own = control_of(network.node_tags.get(passed.node, {}))
    if movement == "turn" and (own is None or own.control != "signals"):
        # What stands near by is for those who cross there; it does not stop the traffic here.
        near = f"; near by: {found.control}" if found.control != "none" else ""
        found = Found("none", "check", f"a turn across the traffic, no signals mapped there{near}")
    return Met(
        passed.at_m,
        _road_name(network, edge),
        edge,
        movement,
        found.control,
        found.confidence,
        found.evidence,
        passed.turn,
    )


def _without_node(network: Network, chain: Chain) -> list[Met]:
    """Return main roads that the line crosses where the map has no junction: bridges, and slips."""
    if not chain.pieces:
        return []
    is_main_way = np.array([is_main(tags) for tags in network.way_tags], dtype=bool)
    main = np.flatnonzero(is_main_way[network.edge_way])
    if not len(main):
        return []
    edges = np.array([piece.edge for piece in chain.pieces], dtype=np.intp)
    lines = network.lines
    pairs = shapely.STRtree(lines[main]).query(lines[edges], predicate="intersects")
    found = []
    for which, other in pairs.T.tolist():
        piece, edge = chain.pieces[which], int(main[other])
        ends = {int(network.edge_from[edge]), int(network.edge_to[edge])}
        shared = ends & {int(network.edge_from[piece.edge]), int(network.edge_to[piece.edge])}
        if shared or edge == piece.edge or not _carries_cars(network, edge):
            continue
        if _is_below_ground(network, edge) and layer_of(network.tags(piece.edge)) >= 0:
            continue
        met = shapely.intersection(lines[piece.edge], lines[edge])
        point = shapely.point_on_surface(met)
        along = float(shapely.line_locate_point(lines[piece.edge], point))
        low, high = sorted((piece.edge_from_m, piece.edge_to_m))
        if not low - 1 <= along <= high + 1:
            continue
        share = abs(along - piece.edge_from_m) / max(abs(piece.edge_to_m - piece.edge_from_m), 1e-9)
        at_m = piece.from_m + min(share, 1.0) * piece.length_m
        found.append(_over_or_under(network, piece.edge, edge, at_m))
    return found


def _is_below_ground(network: Network, edge: int) -> bool:
    """Whether a road runs in a tunnel, of which one sees nothing above."""
    tags = network.tags(edge)
    return tags.get("tunnel", "no") != "no" and layer_of(tags) < 0


def _over_or_under(network: Network, ridden: int, road: int, at_m: float) -> Met:
    ours, theirs = layer_of(network.tags(ridden)), layer_of(network.tags(road))
    name = _road_name(network, road)
    if ours == theirs:
        slip = "the map has no junction where the line crosses the road"
        return Met(at_m, name, road, "cross", "none", "check", slip)
    control: Control = "bridge" if ours > theirs else "underpass"
    return Met(
        at_m,
        name,
        road,
        "cross",
        control,
        "sure",
        f"layer {ours} over {theirs}" if ours > theirs else f"layer {ours} under {theirs}",
    )


def _merged(events: list[Met]) -> list[Met]:
    """Return events with those of one junction made one."""
    found: list[Met] = []
    for event in events:
        last = found[-1] if found else None
        apart = event.at_m - last.at_m if last else np.inf
        # Two turns are a stagger and no dual carriageway: one goes along the road between them.
        two_turns = last is not None and event.movement == last.movement == "turn"
        near = SAME_PLACE_M if two_turns or not last or event.road != last.road else SAME_ROAD_M
        if last and apart <= near:
            found[-1] = _one(last, event)
        else:
            found.append(event)
    return found


def _one(first: Met, second: Met) -> Met:
    order = ("roundabout", "cross", "turn")
    lead, other = sorted((first, second), key=lambda met: order.index(met.movement))
    if lead.movement == other.movement and is_grade(lead) == is_grade(other):
        told = _of_both(
            Found(lead.control, lead.confidence, lead.evidence),
            Found(other.control, other.confidence, other.evidence),
        )
        return replace(
            lead, control=told.control, confidence=told.confidence, evidence=told.evidence
        )
    if is_grade(lead) and not is_grade(other):
        lead = other
    return replace(lead, at_m=min(first.at_m, second.at_m))


def _of_both(first: Found, second: Found) -> Found:
    """Return how both halves of a junction are crossed.

    Signals of one half hold for the other, to be checked; else that which protects less counts.
    """
    more = better(first, second)
    less = second if more is first else first
    if more.control == less.control:
        return first if first.confidence == "sure" else second
    told = more if more.control in SIGNALS else less
    return Found(
        told.control,
        "check",
        f"{told.evidence}; the other half: {less.evidence}"
        if told is more
        else f"{told.evidence}; the other half: {more.evidence}",
    )


def is_grade(met: Met) -> bool:
    """Whether the road is passed over or under."""
    return met.control in ("bridge", "underpass")
