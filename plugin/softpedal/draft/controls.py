"""How a road is crossed: the tags of the nodes about → the control, in the notes' words."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from softpedal.draft.passes import AT_END_M, entry_node, exit_node
from softpedal.streets.access import MAIN_CLASSES, MINOR_CLASSES, road_class

if TYPE_CHECKING:
    from softpedal.draft.chain import Chain, Confidence
    from softpedal.library.notes import Control
    from softpedal.streets.network import Network, Tags

#: Signals and markings this near along the route or along the road crossed belong to the crossing.
NEAR_M = 15.0
#: Signals this near are told as near by, not as the crossing's.
NEARBY_M = 50.0

#: From the most protection to the least.
_BY_PROTECTION: tuple[Control, ...] = (
    "bridge",
    "underpass",
    "cycle signals",
    "toucan",
    "signals",
    "pedestrian signals",
    "parallel",
    "zebra",
    "roundabout",
    "refuge",
    "none",
)


#: Kinds of signals by name; older maps give them as the value of `crossing`.
_SIGNALLED = frozenset(["toucan", "pelican", "puffin", "pegasus"])
#: Controls by lights.
SIGNALS: frozenset[Control] = frozenset(
    ["signals", "toucan", "cycle signals", "pedestrian signals"]
)
_SHOWN = ("highway", "crossing", "crossing_ref", "crossing:markings", "crossing:island")


class Found(NamedTuple):
    """A control with how sure it is and what it goes by."""

    control: Control
    confidence: Confidence
    evidence: str


def better(one: Found, other: Found) -> Found:
    """Return the control that protects more."""
    return min(one, other, key=lambda found: _BY_PROTECTION.index(found.control))


def control_of(tags: Tags) -> Found | None:
    """Return the control that a node's own tags speak of, None where they speak of none.

    Crossing values after the OpenStreetMap wiki, Key:crossing; toucan, pelican, zebra and tiger
    (a parallel crossing) are Key:crossing_ref.
    """
    evidence = " ".join(f"{key}={tags[key]}" for key in _SHOWN if key in tags)
    kind = tags.get("highway", "")
    if kind == "mini_roundabout":
        return Found("roundabout", "sure", evidence)
    if kind == "traffic_signals":
        return Found("signals", "sure", evidence)
    if kind != "crossing" and "crossing" not in tags and "crossing_ref" not in tags:
        return None
    names = {tags.get("crossing"), tags.get("crossing_ref")}
    said = tags.get("crossing:signals", "no")
    if "traffic_signals" in names or names & _SIGNALLED or said != "no":
        return _signals(tags, evidence)
    return _marked(tags, evidence)


def _signals(tags: Tags, evidence: str) -> Found:
    if tags.get("crossing:cycle_stage", "no") != "no" or tags.get("bicycle") == "designated":
        return Found("cycle signals", "sure", evidence)
    names = {tags.get("crossing"), tags.get("crossing_ref")}
    on_foot = tags.get("bicycle") in ("no", "dismount")
    if not on_foot and ("toucan" in names or tags.get("bicycle") == "yes"):
        return Found("toucan", "sure", evidence)
    is_said = "bicycle" in tags or bool(names & _SIGNALLED)
    return Found("pedestrian signals", "sure" if is_said else "check", evidence)


def _marked(tags: Tags, evidence: str) -> Found | None:
    kind, ref = tags.get("crossing", ""), tags.get("crossing_ref", "")
    markings = tags.get("crossing:markings", "")
    is_zebra = bool({kind, ref} & {"zebra", "tiger"}) or "zebra" in markings
    on_foot = tags.get("bicycle") in ("no", "dismount")
    if (ref == "tiger" and not on_foot) or (
        is_zebra and tags.get("bicycle") in ("yes", "designated")
    ):
        return Found("parallel", "sure", evidence)
    if is_zebra:
        return Found("zebra", "sure", evidence)
    if tags.get("crossing:island") == "yes" or kind == "island":
        return Found("refuge", "sure", evidence)
    if kind in ("marked", "uncontrolled") and markings not in ("no", "dashes", "dots"):
        return Found("zebra", "check", f"{evidence}: a zebra, or marked otherwise?")
    return None


def control_at(network: Network, chain: Chain, at_m: float, node: int, road: list[int]) -> Found:
    """Return how the road is crossed at a node: by the node's tags, else by those near it.

    Signals over one arm of a junction of streets stand for the junction's, to be checked; for who
    crosses on a path they are another crossing.

    Args:
        network: the network.
        chain: the ride.
        at_m: chainage of the node.
        node: index of the node.
        road: the edges of the road that is crossed, at the node.
    """
    own = control_of(network.node_tags.get(node, {}))
    if own:
        return own
    best: Found | None = None
    lights = nearby = ""
    on_street = _rides_street(network, chain, at_m)
    ridden = {piece.edge for piece in chain.pieces}
    on_route = _on_route(network, chain, at_m)
    passed = {other for _, other in on_route}
    for metres, other in sorted({*on_route, *_on_road(network, node, road)}):
        found = control_of(network.node_tags.get(other, {}))
        if found is None or found.control == "roundabout" or other == node:
            continue
        arms = set(network.edges_at[other]) - ridden
        is_here = other in passed and any(_is_one_road(network, arm, road) for arm in arms)
        if metres <= NEAR_M and (found.control == "signals" or is_here):
            best = better(best, found) if best else found
        elif metres <= NEAR_M and found.control in SIGNALS and on_street:
            lights = lights or f"signals {metres:.0f} m away, so the junction has them"
        elif found.control in SIGNALS:
            nearby = nearby or f"signals {metres:.0f} m away"
    if best:
        return best
    if lights:
        return Found("signals", "check", lights)
    if nearby:
        return Found("none", "check", f"no control mapped at the crossing itself; {nearby}")
    said = network.node_tags.get(node, {}).get("crossing", "")
    evidence = f"crossing={said}" if said else "nothing is mapped there"
    return Found("none", "sure" if said in ("unmarked", "no") else "check", evidence)


def _rides_street(network: Network, chain: Chain, at_m: float) -> bool:
    """Whether one rides on carriageways about a chainage: signals of the junction hold for one."""
    around = [p for p in chain.pieces if p.from_m <= at_m + 1 and p.to_m >= at_m - 1]
    classes = MAIN_CLASSES + MINOR_CLASSES
    return bool(around) and all(road_class(network.tags(p.edge)) in classes for p in around)


def _is_one_road(network: Network, edge: int, road: list[int]) -> bool:
    """Whether an edge belongs to a road: the other carriageway, or the same one further on."""
    tags = network.tags(edge)
    return any(
        road_class(tags) == road_class(network.tags(other))
        and network.name(edge) == network.name(other)
        for other in road
    )


def _on_route(network: Network, chain: Chain, at_m: float) -> list[tuple[float, int]]:
    """Return the nodes along the ride about a chainage, with their distance along it.

    A piece that begins or ends on its edge does not pass the node there.
    """
    found = []
    for piece in chain.pieces:
        if piece.to_m < at_m - NEARBY_M or piece.from_m > at_m + NEARBY_M:
            continue
        first, last = 0.0, float(network.edge_m[piece.edge])
        if not piece.forward:
            first, last = last, first
        if abs(piece.edge_from_m - first) <= AT_END_M:
            found.append((abs(piece.from_m - at_m), entry_node(network, piece)))
        if abs(piece.edge_to_m - last) <= AT_END_M:
            found.append((abs(piece.to_m - at_m), exit_node(network, piece)))
    return [(metres, node) for metres, node in found if metres <= NEARBY_M]


def _on_road(network: Network, node: int, road: list[int]) -> list[tuple[float, int]]:
    """Return the nodes along the road that is crossed, with their distance along it."""
    found = []
    seen = {node}
    ahead = [(0.0, node)]
    while ahead:
        run, at = ahead.pop()
        for edge in road if at == node else network.edges_at[at]:
            metres, other = run + float(network.edge_m[edge]), network.other_end(edge, at)
            if other in seen or metres > NEARBY_M or not _is_one_road(network, edge, road):
                continue
            seen.add(other)
            found.append((metres, other))
            ahead.append((metres, other))
    return found
