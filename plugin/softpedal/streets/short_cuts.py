"""How one would drive through a street: from which main road to which, and what it would save.

The seconds saved rank streets for the author, who looks at the worst first. They rest on two round
speeds, were never checked against counts of traffic, and enter no measure.
"""

from __future__ import annotations

from dataclasses import dataclass
from heapq import heappop, heappush
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from softpedal.streets.motor_graph import MotorGraph, Roads
    from softpedal.streets.network import Network

#: Round speeds of driving, stops included; nobody measured them.
MAIN_KM_H, MINOR_KM_H = 40.0, 25.0
#: Where main roads take longer than this, or do not lead there, there is nothing to compare with.
LONGEST_S = 600.0
#: A drive as short as this turns within a junction, or between the two sides of one road.
SHORTEST_S = 15.0


@dataclass(frozen=True, eq=False)
class Drives:
    """For each street of a graph the shortest drive through it, M streets.

    Attributes:
        enters, leaves: nodes of the main network between which it goes, -1 for none, (M,).
        seconds: how long it takes, inf for none, (M,).
    """

    enters: NDArray[np.intp]
    leaves: NDArray[np.intp]
    seconds: NDArray[np.float64]


def shortest_drives(graph: MotorGraph, length_m: NDArray[np.float64]) -> Drives:
    """Return the shortest drive through each street of a graph, between two different portals.

    Args:
        graph: the streets.
        length_m: of the network's edges, (E,).
    """
    seconds = length_m[graph.edge] * 3.6 / MINOR_KM_H
    start, start_s = _two_nearest(graph, seconds, backwards=False)
    goal, goal_s = _two_nearest(graph, seconds, backwards=True)
    nowhere = np.full(len(seconds), -1, dtype=np.intp)
    best = Drives(nowhere, nowhere.copy(), np.full(len(seconds), np.inf))
    for goes, u, v in (
        (graph.forward, graph.tail, graph.head),
        (graph.backward, graph.head, graph.tail),
    ):
        for i in range(2):
            for j in range(2):
                a, b = start[u, i], goal[v, j]
                total = start_s[u, i] + seconds + goal_s[v, j]
                better = goes & (a >= 0) & (b >= 0) & (a != b) & (total < best.seconds)
                best.enters[better], best.leaves[better] = a[better], b[better]
                best.seconds[better] = total[better]
    return best


def seconds_saved(network: Network, roads: Roads, drives: Drives) -> NDArray[np.float64]:
    """Return how much shorter each drive is than the one over main roads alone, seconds, (M,).

    nan where there is nothing to compare: no drive, one within a junction, one that starts or
    ends beyond the extract, or main roads that do not lead there.
    """
    at, arcs = _main_arcs(network, roads)
    on_main = np.append(np.diff(at) > 0, False)
    on_main[network.edge_from[roads.main]] = on_main[network.edge_to[roads.main]] = True
    on_main[-1] = False
    has = on_main[drives.enters] & on_main[drives.leaves] & (drives.seconds >= SHORTEST_S)
    saved = np.full(len(has), np.nan)
    wanted: dict[int, list[int]] = {}
    for street in np.flatnonzero(has).tolist():
        wanted.setdefault(int(drives.enters[street]), []).append(street)
    starts = at.tolist()
    for start, streets in wanted.items():
        goals = {int(drives.leaves[street]) for street in streets}
        times = _times(starts, arcs, start, goals)
        for street in streets:
            round_s = times.get(int(drives.leaves[street]), np.nan)
            saved[street] = round_s - drives.seconds[street]
    return saved


def _main_arcs(network: Network, roads: Roads) -> tuple[NDArray[np.intp], list[tuple[int, float]]]:
    along, against = roads.main & roads.forward, roads.main & roads.backward
    out = np.concatenate([network.edge_from[along], network.edge_to[against]])
    into = np.concatenate([network.edge_to[along], network.edge_from[against]])
    metres = np.concatenate([network.edge_m[along], network.edge_m[against]])
    order = np.argsort(out, kind="stable")
    at = np.searchsorted(out[order], np.arange(network.n_nodes + 1))
    seconds = metres[order] * 3.6 / MAIN_KM_H
    return at, list(zip(into[order].tolist(), seconds.tolist(), strict=True))


def _times(
    at: list[int], arcs: list[tuple[int, float]], start: int, goals: set[int]
) -> dict[int, float]:
    """Return the seconds to each goal over main roads, of those within LONGEST_S."""
    found: dict[int, float] = {}
    done: set[int] = set()
    heap = [(0.0, start)]
    left = set(goals)
    while heap and left:
        now, u = heappop(heap)
        if u in done:
            continue
        done.add(u)
        if u in left:
            left.discard(u)
            found[u] = now
        for w, seconds in arcs[at[u] : at[u + 1]]:
            if w not in done and now + seconds <= LONGEST_S:
                heappush(heap, (now + seconds, w))
    return found


def _two_nearest(
    graph: MotorGraph, seconds: NDArray[np.float64], *, backwards: bool
) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """Return the two nearest portals of each node and how far they are, (n, 2) both."""
    out = np.concatenate([graph.tail[graph.forward], graph.head[graph.backward]])
    into = np.concatenate([graph.head[graph.forward], graph.tail[graph.backward]])
    cost = np.concatenate([seconds[graph.forward], seconds[graph.backward]])
    if backwards:
        out, into = into, out
    order = np.argsort(out, kind="stable")
    at = np.searchsorted(out[order], np.arange(len(graph.portal) + 1)).tolist()
    arcs = list(zip(into[order].tolist(), cost[order].tolist(), strict=True))
    n_nodes = len(graph.portal)
    portal = np.full((n_nodes, 2), -1, dtype=np.intp)
    far = np.full((n_nodes, 2), np.inf)
    first, second = [-1] * n_nodes, [-1] * n_nodes
    portals = np.flatnonzero(graph.portal).tolist()
    is_portal = graph.portal.tolist()
    heap = [(0.0, p, p) for p in portals]
    while heap:
        now, u, label = heappop(heap)
        if first[u] == label or second[u] >= 0 or (is_portal[u] and u != label):
            continue
        rank = 0 if first[u] < 0 else 1
        (first, second)[rank][u] = label
        portal[u, rank], far[u, rank] = label, now
        for w, step in arcs[at[u] : at[u + 1]]:
            if not is_portal[w] and first[w] != label and second[w] < 0:
                heappush(heap, (now + step, w, label))
    return portal, far
