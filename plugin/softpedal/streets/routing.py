"""The cheapest way over the network between two places, with turn bans obeyed.

A* (Hart, Nilsson & Raphael 1968) over edges with their direction, so that it is known from where
one comes to a node. At a node without a turn ban, the first edge by which it is reached is the
best for going on over every other edge, and the next one for going on over that edge itself: only
nodes with a ban are looked at from each side. Nobody turns round on the way: a ban is not evaded
by riding on, turning about and coming back.
"""

from __future__ import annotations

import heapq
from collections import defaultdict
from dataclasses import dataclass, field
from itertools import count
from typing import TYPE_CHECKING

import numpy as np
import shapely

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from softpedal.streets.costs import Costs
    from softpedal.streets.network import Network

#: An edge and whether one goes along it as it is drawn.
Step = tuple[int, bool]


@dataclass(frozen=True, slots=True)
class Stop:
    """A place on an edge: metres along it as drawn, and metres from the place that was meant."""

    edge: int
    along_m: float
    off_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Found:
    """A way: the edges in order, the first and the last perhaps in part, and what it costs."""

    steps: list[Step]
    cost: float


@dataclass(slots=True)
class _Bans:
    no: set[tuple[int, int, int]] = field(default_factory=set)
    only: dict[tuple[int, int], set[int]] = field(default_factory=lambda: defaultdict(set))
    nodes: set[int] = field(default_factory=set)

    def allow(self, node: int, way_in: int, way_out: int) -> bool:
        wanted = self.only.get((node, way_in))
        if wanted is not None and way_out not in wanted:
            return False
        return (node, way_in, way_out) not in self.no


def shortest(network: Network, from_node: int, to_node: int, costs: Costs) -> list[Step] | None:
    """Return the cheapest way from a node to another, None where there is none."""
    if from_node == to_node:
        return []
    search = _Search(network, costs, *network.node_xy[to_node].tolist())
    for step, cost in search.leaving(from_node):
        search.push(cost, step, None)
    found = search.run(goal_node=to_node)
    return None if found is None else found.steps


def shortest_between(network: Network, start: Stop, end: Stop, costs: Costs) -> Found | None:
    """Return the cheapest way from a place on an edge to another, None where there is none."""
    line = network.lines[end.edge]
    point = shapely.line_interpolate_point(line, _share(network, end), normalized=True)
    search = _Search(network, costs, *shapely.get_coordinates(point)[0].tolist())
    a, b = _share(network, start), _share(network, end)
    ahead, back = costs.forward[start.edge], costs.backward[start.edge]
    if start.edge == end.edge:
        along = (b - a) * ahead if b >= a else (a - b) * back
        search.finish(float(along) if a != b else 0.0, (start.edge, b >= a), None)
    search.push(float((1 - a) * ahead) if a < 1 else 0.0, (start.edge, True), None)
    search.push(float(a * back) if a > 0 else 0.0, (start.edge, False), None)
    ahead, back = costs.forward[end.edge], costs.backward[end.edge]
    # Whoever stands at the edge's node is there, even where the edge itself cannot be entered.
    goals = {
        (end.edge, True): b * ahead if b > 0 else 0.0,
        (end.edge, False): (1 - b) * back if b < 1 else 0.0,
    }
    return search.run(goals={s: float(c) for s, c in goals.items() if np.isfinite(c)})


def _share(network: Network, stop: Stop) -> float:
    length = float(network.edge_m[stop.edge])
    return min(1.0, max(0.0, stop.along_m / length)) if length > 0 else 0.0


class _Search:
    """One search towards a point in metres of the network's plane."""

    def __init__(self, network: Network, costs: Costs, x: float, y: float) -> None:
        self._at = network.edges_at
        self._from: list[int] = network.edge_from.tolist()
        self._to: list[int] = network.edge_to.tolist()
        self._way: list[int] = network.edge_way.tolist()
        self._cost: dict[bool, list[float]] = {
            True: costs.forward.tolist(),
            False: costs.backward.tolist(),
        }
        self._pushed = {True: costs.pushed_forward, False: costs.pushed_backward}
        self._closed = costs.closed
        self._bans = _bans(network)
        far = np.hypot(network.node_xy[:, 0] - x, network.node_xy[:, 1] - y)
        self._least: list[float] = (far * _least_rate(network, costs)).tolist()
        self._heap: list[tuple[float, int, float, Step, Step | None, bool]] = []
        self._number = count()  # equal costs come out in the order in which they went in

    def head(self, step: Step) -> int:
        """Return the node to which a step leads."""
        return self._to[step[0]] if step[1] else self._from[step[0]]

    def leaving(self, node: int) -> Iterable[tuple[Step, float]]:
        """Give the steps that lead away from a node, with their costs."""
        for edge in self._at[node]:
            if self._from[edge] == node:
                yield (edge, True), self._cost[True][edge]
            if self._to[edge] == node:
                yield (edge, False), self._cost[False][edge]

    def push(self, cost: float, step: Step, before: Step | None) -> None:
        """Note that the end of a step can be reached at this cost."""
        if cost < np.inf:
            sum_ = cost + self._least[self.head(step)]
            heapq.heappush(self._heap, (sum_, next(self._number), cost, step, before, False))

    def finish(self, cost: float, step: Step, before: Step | None) -> None:
        """Note that the goal can be reached at this cost, somewhere along a step."""
        if cost < np.inf:
            heapq.heappush(self._heap, (cost, next(self._number), cost, step, before, True))

    def run(
        self, goals: Mapping[Step, float] | None = None, goal_node: int | None = None
    ) -> Found | None:
        """Search until a goal is reached: a node, or some way along one of the steps."""
        goals = goals or {}
        before: dict[Step, Step | None] = {}
        reached: dict[int, int] = {}
        while self._heap:
            _, _, cost, step, came, is_end = heapq.heappop(self._heap)
            if is_end:
                return Found([*_back(before, came), step], cost)
            if step in before:
                continue
            before[step] = came
            node = self.head(step)
            if node == goal_node:
                return Found(_back(before, step), cost)
            if node in self._closed:
                continue
            for onward, more in self._onward(node, step, reached):
                if onward in goals:
                    self.finish(cost + goals[onward], onward, step)
                if onward not in before:
                    self.push(cost + more, onward, step)
        return None

    def _onward(self, node: int, step: Step, reached: dict[int, int]) -> list[tuple[Step, float]]:
        """Return the steps worth taking from a node to which `step` led."""
        edge = step[0]
        if node in self._bans.nodes:
            return [
                (to, cost)
                for to, cost in self.leaving(node)
                if to[0] != edge and self._may_turn(node, step, to)
            ]
        first = reached.setdefault(node, edge)
        if first == edge:
            return [(to, cost) for to, cost in self.leaving(node) if to[0] != edge]
        if first < 0:
            return []
        reached[node] = -1
        return [(to, cost) for to, cost in self.leaving(node) if to[0] == first]

    def _may_turn(self, node: int, step: Step, to: Step) -> bool:
        """Whether a turn is allowed: bans hold for riding, not for pushing."""
        if self._pushed[step[1]][step[0]] or self._pushed[to[1]][to[0]]:
            return True
        return self._bans.allow(node, self._way[step[0]], self._way[to[0]])


def _back(before: Mapping[Step, Step | None], step: Step | None) -> list[Step]:
    steps = []
    while step is not None:
        steps.append(step)
        step = before[step]
    return steps[::-1]


def _bans(network: Network) -> _Bans:
    bans = _Bans()
    for rule in network.turns:
        if not rule.for_cycles or (rule.sort == "no" and rule.from_way == rule.to_way):
            continue  # nobody turns round anyway
        bans.nodes.add(rule.via)
        if rule.sort == "no":
            bans.no.add((rule.via, rule.from_way, rule.to_way))
        else:
            bans.only[rule.via, rule.from_way].add(rule.to_way)
    return bans


def _least_rate(network: Network, costs: Costs) -> float:
    """Return the least cost of a metre as the crow flies, so that no estimate is too high."""
    metres = shapely.length(network.lines)
    least = np.minimum(costs.forward, costs.backward)
    known = np.isfinite(least) & (metres > 0)
    return float((least[known] / metres[known]).min()) * (1 - 1e-9) if known.any() else 0.0
