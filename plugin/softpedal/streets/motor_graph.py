"""Where motor traffic can drive: a network → a graph of its minor streets, under a supposition.

Minor streets are those open to motor traffic that are not main roads. A node that stops motor
traffic is taken apart: each street that meets there gets an end of its own.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from softpedal.streets.access import (
    MAIN_CLASSES,
    MINOR_CLASSES,
    MotorAccess,
    barrier_effect,
    conditions,
    motor_access,
    one_way,
    road_class,
)

if TYPE_CHECKING:
    from collections.abc import Collection

    from numpy.typing import NDArray

    from softpedal.streets.network import Network, Tags

_MOTOR_KEYS = ("motorcar", "motor_vehicle", "vehicle", "access")
_SHUT = frozenset({"no", "private", "none"})


@dataclass(frozen=True, slots=True)
class Supposition:
    """Under what one asks whether motor traffic can drive through.

    Attributes:
        gates_open: gates stand open and private ways are driven on.
        signs_obeyed: nobody drives past a sign that lets only some in.
        cut_ends: where the extract ends, a main road may lie just beyond.
    """

    gates_open: bool = False
    signs_obeyed: bool = False
    cut_ends: bool = True


@dataclass(frozen=True, eq=False)
class Roads:
    """What the tags say about motor traffic, by edge (E,) and by node (N,).

    Attributes:
        forward, backward: private motor traffic may drive along, and against, the drawn line.
        open_forward, open_backward: the same, were gates open and private ways driven on.
        sign_only: only a sign keeps some out.
        main: the way is of a class of the main network.
        stops: motor traffic cannot pass the node, whatever is opened.
        opens: motor traffic cannot pass the node as tagged, but could if it were opened, or it is
            not known which of the three or more streets that meet there are parted.
    """

    forward: NDArray[np.bool_]
    backward: NDArray[np.bool_]
    open_forward: NDArray[np.bool_]
    open_backward: NDArray[np.bool_]
    sign_only: NDArray[np.bool_]
    main: NDArray[np.bool_]
    stops: NDArray[np.bool_]
    opens: NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class MotorGraph:
    """n nodes and M minor streets. Nodes from N on are ends at nodes that were taken apart.

    Attributes:
        node: the network's node that each node is, or was part of, (n,).
        edge: the network's edge that each street is, (M,).
        tail, head: indices of nodes, as the edge is drawn, (M,).
        forward, backward: whether one may drive along, and against, the drawn line, (M,).
        portal: whether the node lies on the main network, or may do so beyond a cut end, (n,).
    """

    node: NDArray[np.intp]
    edge: NDArray[np.intp]
    tail: NDArray[np.intp]
    head: NDArray[np.intp]
    forward: NDArray[np.bool_]
    backward: NDArray[np.bool_]
    portal: NDArray[np.bool_]

    def only(self, keep: NDArray[np.bool_] | NDArray[np.intp]) -> MotorGraph:
        """Return the graph with some of its streets, given as a mask or as indices."""
        arrays = ("edge", "tail", "head", "forward", "backward")
        return replace(self, **{name: getattr(self, name)[keep] for name in arrays})


def read_roads(network: Network, main_classes: Collection[str] = MAIN_CLASSES) -> Roads:
    """Return what a network's tags say about motor traffic."""
    rows = np.array([_way(tags, main_classes) for tags in network.way_tags], dtype=bool)
    by_edge = rows.reshape(-1, 6)[network.edge_way] & ~network.edge_across[:, None]
    forward, backward, open_forward, open_backward, sign_only, main = by_edge.T.copy()
    stops, opens = _nodes(network, open_forward | open_backward)
    return Roads(forward, backward, open_forward, open_backward, sign_only, main, stops, opens)


def motor_graph(network: Network, roads: Roads, supposition: Supposition) -> MotorGraph:
    """Return the minor streets that motor traffic can drive on under a supposition."""
    forward, backward = roads.forward, roads.backward
    stopped = roads.stops | roads.opens
    if supposition.gates_open:
        forward, backward = roads.open_forward, roads.open_backward
        stopped = roads.stops
    if supposition.signs_obeyed:
        forward, backward = forward & ~roads.sign_only, backward & ~roads.sign_only
    goes = forward | backward
    portal = np.zeros(network.n_nodes, dtype=bool)
    main = goes & roads.main
    portal[network.edge_from[main]] = portal[network.edge_to[main]] = True
    if supposition.cut_ends:
        portal |= network.node_cut
    edge = np.flatnonzero(goes & ~roads.main)
    ends = np.stack([network.edge_from[edge], network.edge_to[edge]])
    apart = stopped[ends]
    parts = ends[apart]
    ends[apart] = network.n_nodes + np.arange(len(parts))
    return MotorGraph(
        node=np.concatenate([np.arange(network.n_nodes), parts]),
        edge=edge,
        tail=ends[0],
        head=ends[1],
        forward=forward[edge],
        backward=backward[edge],
        portal=np.concatenate([portal, np.zeros(len(parts), dtype=bool)]),
    )


def _way(tags: Tags, main_classes: Collection[str]) -> tuple[bool, ...]:
    access = motor_access(tags)
    opened = access
    may_open = access.private or _is_yard(tags) or _opens_at_times(tags)
    if not (access.forward or access.backward) and may_open:
        way = one_way(tags)
        opened = MotorAccess(forward=way >= 0, backward=way <= 0)
    return (
        access.forward,
        access.backward,
        opened.forward,
        opened.backward,
        access.sign_only,
        road_class(tags) in main_classes,
    )


def _is_yard(tags: Tags) -> bool:
    """Whether a service road is closed to all: its owners drive there, as on a private one."""
    shut = tags.get("access") in _SHUT and not any(key in tags for key in _MOTOR_KEYS[:-1])
    return road_class(tags) == "service" and shut and not ({"bus", "psv"} & tags.keys())


def _opens_at_times(tags: Tags) -> bool:
    """Whether a way that is closed to motor traffic is open to it at certain hours."""
    if road_class(tags) not in (*MAIN_CLASSES, *MINOR_CLASSES, "pedestrian"):
        return False
    return any(
        value not in _SHUT
        for key in _MOTOR_KEYS
        for value, _ in conditions(tags.get(f"{key}:conditional", ""))
    )


def _nodes(
    network: Network, drivable: NDArray[np.bool_]
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Return which nodes stop motor traffic, and which do so unless opened.

    A barrier where three or more streets meet parts some of them, but the map does not say which:
    it counts among those that open. Where the extract is cut, nothing is known to be closed.
    """
    ends = np.concatenate([network.edge_from[drivable], network.edge_to[drivable]])
    arms = np.bincount(ends, minlength=network.n_nodes)
    stops, opens = np.zeros((2, network.n_nodes), dtype=bool)
    for node, tags in network.node_tags.items():
        effect = barrier_effect(tags)
        if effect == "passes" or network.node_cut[node]:
            continue
        timed = any(f"{key}:conditional" in tags for key in _MOTOR_KEYS)
        sure = effect == "stops" and arms[node] <= 2 and not timed
        (stops if sure else opens)[node] = True
    return stops, opens
