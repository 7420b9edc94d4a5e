"""What stands between a closed street and a way through: the closures behind it, and their words.

A street that is no way through hangs from the rest by one node. What lies behind it, seen from
there, are its closures: barriers, closed ways, signs. Without any of them it is a dead end.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from softpedal.streets.access import MAIN_CLASSES, MINOR_CLASSES, is_main, road_class
from softpedal.streets.reachability import blocks_from_outside

if TYPE_CHECKING:
    from collections.abc import Mapping

    from softpedal.streets.motor_graph import MotorGraph
    from softpedal.streets.network import Network, Tags

#: Barrier → what it is called where it stands.
_WORDS = {
    "block": "blocks",
    "bollard": "bollards",
    "bollards": "bollards",
    "bus_trap": "the bus gate",
    "chain": "a chain",
    "cycle_barrier": "a cycle barrier",
    "debris": "rubble",
    "delineators": "posts",
    "ditch": "a ditch",
    "fence": "a fence",
    "full-height_turnstile": "a turnstile",
    "gate": "a gate",
    "hampshire_gate": "a gate",
    "hedge": "a hedge",
    "horse_stile": "a stile",
    "jersey_barrier": "concrete blocks",
    "kissing_gate": "a kissing gate",
    "lift_gate": "a lifting gate",
    "log": "logs",
    "motorcycle_barrier": "a cycle barrier",
    "planter": "planters",
    "rope": "a rope",
    "sliding_gate": "a sliding gate",
    "step": "a step",
    "stile": "a stile",
    "sump_buster": "a car trap",
    "swing_gate": "a swing gate",
    "tank_trap": "concrete blocks",
    "turnstile": "a turnstile",
    "wall": "a wall",
    "wicket_gate": "a wicket gate",
}
_FOR_BUSES = frozenset({"bus", "psv"})
#: A barrier is named after a cross street this near along its own street.
_CROSS_STREET_M = 60.0


@dataclass(frozen=True, slots=True, order=True)
class Closure:
    """Something that closes: a node of the network, or an edge.

    Attributes:
        sort: "barrier" at a node; "closed", "private" or "sign" for an edge's way.
        at: index of the node or of the edge.
    """

    sort: str
    at: int


def behind(
    graph: MotorGraph, closures: Mapping[int, frozenset[Closure]]
) -> list[frozenset[Closure]]:
    """Return the closures behind each street of a graph, seen from where it hangs, M sets.

    Args:
        graph: the streets.
        closures: by node of the graph, what closes there.

    A part that hangs from nowhere has all of its closures behind each of its streets.
    """
    none: frozenset[Closure] = frozenset()
    found = blocks_from_outside(graph)
    outside = len(graph.portal)
    portals = np.flatnonzero(graph.portal).tolist()
    inside: list[set[int]] = [set() for _ in found.top]
    ends = zip(
        found.of_edge.tolist(),
        [*graph.tail.tolist(), *portals],
        [*graph.head.tolist(), *[outside] * len(portals)],
        strict=True,
    )
    for block, tail, head in ends:
        if block >= 0:
            inside[block].update((tail, head))
    below: dict[int, frozenset[Closure]] = dict(closures)
    of_block = []
    for block, top in enumerate(found.top.tolist()):
        parts = (below.get(node) for node in inside[block] if node != top)
        all_parts = none.union(*(part for part in parts if part))
        of_block.append(all_parts)
        if all_parts:
            below[top] = below.get(top, none) | all_parts
    for block, start in enumerate(found.start.tolist()):
        if start != outside:
            of_block[block] = below.get(start, none)
    of_street = found.of_edge[: len(graph.edge)].tolist()
    loops = graph.tail.tolist()
    return [
        of_block[block] if block >= 0 else closures.get(loop, none)
        for block, loop in zip(of_street, loops, strict=True)
    ]


class Namer:
    """Gives closures their words, by the streets that they stand on and near."""

    def __init__(self, network: Network) -> None:
        self.network = network

    @cached_property
    def _named(self) -> list[str]:
        names = [tags.get("name", "") for tags in self.network.way_tags]
        return [names[way] for way in self.network.edge_way.tolist()]

    def is_on(self, closure: Closure, name: str) -> bool:
        """Whether a closure stands on the street of a name."""
        at_node = closure.sort == "barrier"
        edges = self.network.edges_at[closure.at] if at_node else [closure.at]
        return bool(name) and any(self._named[edge] == name for edge in edges)

    def words(self, closure: Closure, edge: int) -> str:
        """Return what closes a street and where: "planters at Mill Lane"."""
        own = self._named[edge]
        if closure.sort == "barrier":
            what = barrier_words(self.network.node_tags.get(closure.at, {}))
            return f"{what} {self._place(closure.at, own)}".strip()
        tags = self.network.tags(closure.at)
        name = self._named[closure.at]
        here = bool(name) and name == own
        if closure.sort == "sign":
            return "a sign for access only" + (f" on {name}" if name and not here else "")
        if closure.sort == "private":
            return f"private ground on {name}" if name and not here else "a private road"
        what = closed_words(tags)
        if what == "bus gate":
            return f"the bus gate on {name}" if name else "the bus gate"
        return f"the {what} {name}" if name else f"a {what}"

    def _place(self, node: int, own: str) -> str:
        """Return where a barrier stands: at a cross street of the own street, or on another."""
        streets = sorted({self._named[e] for e in self.network.edges_at[node]} - {""})
        if own in streets or not own:
            others = [name for name in streets if name != own]
            cross = others[0] if others else self._cross_street(node, own)
            if cross:
                return f"at {cross}"
            return f"on {own}" if own else ""
        return f"on {streets[0]}" if streets else self._near(node)

    def _near(self, node: int) -> str:
        cross = self._cross_street(node, "")
        return f"near {cross}" if cross else ""

    def _cross_street(self, node: int, own: str) -> str:
        """Return the nearest street with another name, along the own street, "" if none is near.

        Of streets that meet at the same corner a main road is named first.
        """
        network = self.network
        gone = {node: 0.0}
        ahead = [node]
        found: list[tuple[float, bool, str]] = []
        while ahead:
            at = min(ahead, key=lambda n: (gone[n], int(network.node_id[n])))
            ahead.remove(at)
            others = [e for e in network.edges_at[at] if self._named[e] not in ("", own)]
            if others and at != node:
                far_m = round(gone[at], 1)
                found += [(far_m, not is_main(network.tags(e)), self._named[e]) for e in others]
                continue
            for edge in network.edges_at[at]:
                reached = gone[at] + float(network.edge_m[edge])
                far = network.other_end(edge, at)
                if self._named[edge] != own or reached > _CROSS_STREET_M:
                    continue
                if reached < gone.get(far, np.inf):
                    gone[far] = reached
                    ahead = [*(n for n in ahead if n != far), far]
        return min(found)[2] if found else ""


def barrier_words(tags: Tags) -> str:
    """Return what a barrier is called: "planters", "a gate"."""
    kind = tags.get("barrier", "")
    if kind == "bollard" and tags.get("bollard") in ("rising", "removable", "foldable"):
        return f"{tags['bollard']} bollards"
    if kind == "gate" and (tags.get("bus") in ("yes", "designated") or "psv" in tags):
        return "the bus gate"
    if kind == "gate" and tags.get("locked") == "yes":
        return "a locked gate"
    return _WORDS.get(kind, "a barrier")


def closed_words(tags: Tags) -> str:
    """Return what a way that its tags close to motor traffic is called, without an article."""
    allowed = {key for key in _FOR_BUSES if tags.get(key) in ("yes", "designated")}
    said = {tags.get(key) for key in ("motor_vehicle", "motorcar", "vehicle", "access")}
    if allowed or said & _FOR_BUSES or tags.get("highway") == "busway":
        return "bus gate"
    if tags.get("highway") == "pedestrian":
        return "pedestrian square" if tags.get("area") == "yes" else "pedestrian street"
    return "closed road"


def is_wide_enough(tags: Tags) -> bool:
    """Whether motor traffic could drive on a closed way if it were opened: no path, no steps."""
    return road_class(tags) in (*MAIN_CLASSES, *MINOR_CLASSES, "pedestrian", "busway")


def closed_ways(network: Network, open_to_motors: list[bool]) -> dict[int, frozenset[Closure]]:
    """Return, by node, the closed ways that begin there and lead to another drivable street.

    Args:
        network: the streets.
        open_to_motors: by edge, whether it is drivable, gates open.
    """
    wide = [is_wide_enough(tags) for tags in network.way_tags]
    closed = [
        e
        for e, way in enumerate(network.edge_way.tolist())
        if wide[way] and not open_to_motors[e] and not network.edge_across[e]
    ]
    group: dict[int, int] = {}
    for e in closed:
        a, b = (_root(group, int(n)) for n in (network.edge_from[e], network.edge_to[e]))
        group[a] = b
    doors: dict[int, set[int]] = {}
    first: dict[int, int] = {}
    for e in closed:
        for node in (int(network.edge_from[e]), int(network.edge_to[e])):
            if any(open_to_motors[other] for other in network.edges_at[node]):
                doors.setdefault(_root(group, node), set()).add(node)
                best = first.get(node, e)
                first[node] = min(best, e, key=lambda i: (network.name(i) == "", network.name(i)))
    return {
        node: frozenset({Closure("closed", first[node])})
        for nodes in doors.values()
        if len(nodes) > 1
        for node in nodes
    }


def _root(group: dict[int, int], node: int) -> int:
    while (above := group.setdefault(node, node)) != node:
        group[node] = group.setdefault(above, above)
        node = above
    return node
