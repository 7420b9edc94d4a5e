"""What makes a street filtered or not, in words: its closures, and the drive that uses it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from softpedal.streets.closures import (
    Closure,
    Namer,
    behind,
    closed_ways,
    is_wide_enough,
)
from softpedal.streets.motor_graph import motor_graph

if TYPE_CHECKING:
    from collections.abc import Collection

    from numpy.typing import NDArray

    from softpedal.streets.motor_graph import MotorGraph, Roads, Supposition
    from softpedal.streets.network import Network
    from softpedal.streets.short_cuts import Drives

DEAD_END = "a dead end"
ONE_WAYS = "opposed one-ways"
EDGE = "the edge of the extract"
_PATH = Closure("path", -1)
#: So many closures are named; the others are counted.
_MOST_NAMED = 2


class Witness:
    """Says what keeps motor traffic out of streets, under one supposition after another."""

    def __init__(self, network: Network, roads: Roads) -> None:
        self.network = network
        self.roads = roads
        self.namer = Namer(network)
        self.open = roads.open_forward | roads.open_backward
        self.tagged = roads.forward | roads.backward
        self.closed = closed_ways(network, self.open.tolist())
        self.arms, self.paths = self._count_arms()
        self.middle = (network.node_xy[network.edge_from] + network.node_xy[network.edge_to]) / 2.0

    def closures(
        self, supposition: Supposition, edges: NDArray[np.intp]
    ) -> dict[int, frozenset[Closure]]:
        """Return what closes each of some edges under a supposition, seen from where it hangs.

        An edge that nobody may drive on under it is closed by itself.
        """
        graph = motor_graph(self.network, self.roads, supposition)
        found = behind(graph, self._at_nodes(graph, supposition))
        by_edge = dict(zip(graph.edge.tolist(), found, strict=True))
        own = {e: frozenset({self._of_way(e)}) for e in edges.tolist() if e not in by_edge}
        return {e: own[e] if e in own else by_edge[e] for e in edges.tolist()}

    def words(self, closures: Collection[Closure], edge: int, first: str = "") -> list[str]:
        """Return closures in words without doubles: `first`, then the own street's, the nearest.

        Args:
            closures: what closes the street.
            edge: the street.
            first: what comes first: "gate" for all that can be opened, or a sort of closure.
        """
        ranked = sorted(
            (
                self._rank(closure, edge, first),
                self.namer.words(closure, edge),
            )
            for closure in closures
            if closure != _PATH
        )
        return list(dict.fromkeys(text for _, text in ranked))

    def opens(self, closure: Closure) -> bool:
        """Whether a closure is a gate or the like, or private ground."""
        at_node = closure.sort == "barrier" and bool(self.roads.opens[closure.at])
        return at_node or closure.sort == "private"

    def _rank(self, closure: Closure, edge: int, first: str) -> tuple[bool, bool, float]:
        at = (
            self.network.node_xy[closure.at]
            if closure.sort == "barrier"
            else self.middle[closure.at]
        )
        wanted = self.opens(closure) if first == "gate" else closure.sort == first
        own = self.namer.is_on(closure, self.network.tags(edge).get("name", ""))
        return not wanted, not own, round(float(np.hypot(*(at - self.middle[edge]))), 1)

    def _of_way(self, edge: int) -> Closure:
        if self.open[edge] and not self.tagged[edge]:
            return Closure("private", edge)
        return Closure("sign" if self.roads.sign_only[edge] else "closed", edge)

    def _at_nodes(
        self, graph: MotorGraph, supposition: Supposition
    ) -> dict[int, frozenset[Closure]]:
        found: dict[int, frozenset[Closure]] = {
            node: frozenset({_PATH}) for node in np.flatnonzero(self.paths[graph.node]).tolist()
        }
        n_nodes = self.network.n_nodes
        for part, node in enumerate(graph.node[n_nodes:].tolist()):
            if self.arms[node] > 1:
                at = n_nodes + part
                found[at] = found.get(at, frozenset()) | {Closure("barrier", node)}
        for node, ways in self.closed.items():
            found[node] = found.get(node, frozenset()) | ways
        left_out = ~self.tagged if not supposition.gates_open else np.zeros_like(self.tagged)
        if supposition.signs_obeyed:
            left_out = left_out | self.roads.sign_only
        for edge in np.flatnonzero(self.open & left_out).tolist():
            closure = frozenset({self._of_way(edge)})
            for node in (int(self.network.edge_from[edge]), int(self.network.edge_to[edge])):
                found[node] = found.get(node, frozenset()) | closure
        return found

    def _count_arms(self) -> tuple[NDArray[np.intp], NDArray[np.bool_]]:
        """Return how many drivable or closed streets meet at each node, and where a path joins."""
        network = self.network
        wide = np.array([is_wide_enough(tags) for tags in network.way_tags], dtype=bool)
        is_street = (wide[network.edge_way] & ~network.edge_across) | self.open
        ends = np.concatenate([network.edge_from[is_street], network.edge_to[is_street]])
        paths = np.zeros(network.n_nodes, dtype=bool)
        paths[network.edge_from[~is_street]] = paths[network.edge_to[~is_street]] = True
        return np.bincount(ends, minlength=network.n_nodes), paths


def sure_words(witness: Witness, closures: frozenset[Closure], edge: int) -> tuple[str, str]:
    """Return what closes a street that nobody can drive through, and a sentence about it."""
    words = witness.words(closures, edge)
    if words:
        return joined_words(
            words
        ), f"One could drive through only past {joined_words(words, 'or')}."
    goes_on = _PATH in closures
    return DEAD_END, "A dead end for motor traffic" + ("; a path goes on." if goes_on else ".")


def gate_words(witness: Witness, closures: frozenset[Closure], edge: int) -> tuple[str, str]:
    """Return the same for a street that depends on what may be opened."""
    opening = witness.words([c for c in closures if witness.opens(c)], edge)
    if not opening:
        return (
            f"{ONE_WAYS}, gates shut",
            "Only one-way streets and shut gates or private roads keep motor traffic out.",
        )
    return (
        joined_words(witness.words(closures, edge, "gate")),
        f"Closed only as long as it stays shut: {joined_words(opening, 'or')}.",
    )


def sign_words(witness: Witness, closures: frozenset[Closure], edge: int) -> tuple[str, str]:
    """Return the same for a street through which only a sign forbids to drive."""
    signs = witness.words([c for c in closures if c.sort == "sign"], edge)
    if not signs:
        return (
            f"{ONE_WAYS} and signs for access only",
            "Only one-way streets and signs for access only keep motor traffic out.",
        )
    return (
        joined_words(witness.words(closures, edge, "sign")),
        f"Closed only to those who obey it: {joined_words(signs, 'or')}.",
    )


def drive_words(network: Network, drives: Drives, street: int, names: dict[int, str]) -> str:
    """Return the drive through a street: "Mill Road → this street → High Street"."""
    ends = (int(drives.enters[street]), int(drives.leaves[street]))
    a, b = (names.get(end) or _unnamed(network, end) for end in ends)
    return f"{a} → this street → {b}"


def names_of_main(network: Network, roads: Roads) -> dict[int, str]:
    """Return, by node, the name of the main road that goes there, the first of the alphabet."""
    found: dict[int, str] = {}
    for edge in np.flatnonzero(roads.main).tolist():
        name = network.name(edge)
        for node in (int(network.edge_from[edge]), int(network.edge_to[edge])):
            known = found.get(node, "")
            found[node] = min(filter(None, (name, known)), default="")
    return {node: name or "a main road" for node, name in found.items()}


def _unnamed(network: Network, node: int) -> str:
    return EDGE if network.node_cut[node] else "a main road"


def joined_words(words: list[str], last: str = "and") -> str:
    """Return "a", "a and b" or "a, b and 3 more"."""
    named = words[:_MOST_NAMED]
    if len(words) > _MOST_NAMED:
        return f"{', '.join(named)} {last} {len(words) - _MOST_NAMED} more"
    return f" {last} ".join(named)
