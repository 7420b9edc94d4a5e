"""Made-up rides on a real network, of which the true way is known, with noise like a receiver's.

A ride goes by way of random places, along ways that are the cheapest by a cost that differs at
random from street to street, so that they are no exact shortest ways. It is ridden at 4 to 6 m/s,
slower round corners, with stops at some junctions, and pushed at 1.2 m/s where one may not ride.
Noise is a first-order autoregressive process for each of the two axes: the standard deviations
given are those of one axis, and a bias is a vector of that length in a random direction, one for
each ride.
"""

from __future__ import annotations

from dataclasses import dataclass
from heapq import heappop, heappush
from typing import TYPE_CHECKING

import numpy as np
import shapely

from softpedal.draft.ride import Ride
from softpedal.streets.access import cycle_access, is_main

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from softpedal.streets.country import Country
    from softpedal.streets.network import Network

#: Time in which the noise forgets itself.
CORRELATION_S = 25.0
PUSH_M_S = 1.2
#: A push costs so many times its length, by the two speeds: rides have some, as rides do.
_PUSH_COST = 4.0
_NO_WAYS = frozenset({"corridor", "bus_guideway"})


@dataclass(frozen=True, eq=False)
class Truth:
    """Where a made ride truly went.

    Attributes:
        steps: (edge, whether along it) in order.
        edge: edge on which each point of the ride truly is, (n,).
        forward: whether it is ridden along its drawn direction, (n,).
        metres: true distance ridden at each point, (n,).
        pushed: whether each point is pushed, (n,).
    """

    steps: list[tuple[int, bool]]
    edge: NDArray[np.intp]
    forward: NDArray[np.bool_]
    metres: NDArray[np.float64]
    pushed: NDArray[np.bool_]


class Riders:
    """Makes rides on one network."""

    def __init__(self, network: Network, country: Country) -> None:
        self.network = network
        codes = {"ride": 0, "push": 1, "no": 2}
        by_way = []
        for tags in network.way_tags:
            access = cycle_access(tags, country)
            ok = tags.get("highway", "") not in _NO_WAYS | {""} and not _hidden(tags)
            found = [codes[access.forward], codes[access.backward]] if ok else [2, 2]
            by_way.append([*found, is_main(tags)])
        table = np.array(by_way)[network.edge_way]
        self.code = table[:, :2]
        self.main = table[:, 2].astype(bool)
        self.node_edges = network.edges_at
        names = [t.get("name") or str(i) for i, t in enumerate(network.way_tags)]
        self.street = np.unique(names, return_inverse=True)[1][network.edge_way]
        self._keep_largest()

    def _keep_largest(self) -> None:
        """Rides stay in the largest part that hangs together."""
        net, group = self.network, np.full(self.network.n_nodes, -1)
        usable = (self.code < 2).all(axis=1)
        for seed in range(net.n_nodes):
            if group[seed] >= 0:
                continue
            group[seed], todo = seed, [seed]
            while todo:
                node = todo.pop()
                for e in self.node_edges[node]:
                    other = net.other_end(e, node)
                    if usable[e] and group[other] < 0:
                        group[other] = seed
                        todo.append(other)
        names, counts = np.unique(group, return_counts=True)
        self.nodes = np.flatnonzero(group == names[counts.argmax()])

    def path(self, rng: np.random.Generator) -> list[tuple[int, bool]]:
        """Return the steps of a ride of 3 to 8 km."""
        net, aim = self.network, rng.uniform(3000, 8000)
        factor = rng.uniform(0.6, 1.8, self.street.max() + 1)[self.street]
        base = net.edge_m * factor * np.where(self.main, 1.2, 1.0)
        scale = np.array([1.0, _PUSH_COST, np.inf])
        cost = base[:, None] * scale[self.code]
        at, steps, ridden = int(rng.choice(self.nodes)), [], 0.0
        xy = net.node_xy
        while ridden < aim:
            far = np.hypot(*(xy[self.nodes] - xy[at]).T)
            near = self.nodes[(far > 300) & (far < 1500)]
            if not len(near):
                at, steps, ridden = int(rng.choice(self.nodes)), [], 0.0
                continue
            goal = int(rng.choice(near))
            leg = self._shortest(at, goal, cost, steps[-1][0] if steps else -1)
            if not leg:
                continue
            steps += leg
            ridden += float(net.edge_m[[e for e, _ in leg]].sum())
            at = goal
        return steps

    def _shortest(
        self, start: int, goal: int, cost: NDArray[np.float64], last: int
    ) -> list[tuple[int, bool]]:
        """Return the cheapest steps; turning back at the start is avoided where one can."""
        net, done, came = self.network, set(), {}
        heap = [(0.0, start, -1, -1)]
        while heap:
            total, node, edge, before = heappop(heap)
            if node in done:
                continue
            done.add(node)
            came[node] = (edge, before)
            if node == goal:
                break
            for e in self.node_edges[node]:
                other = net.other_end(e, node)
                price = cost[e, 0 if net.edge_from[e] == node else 1]
                if other not in done and np.isfinite(price):
                    turn = 400.0 if node == start and e == last else 0.0
                    heappush(heap, (total + price + turn, other, e, node))
        if goal not in came:
            return []
        steps, node = [], goal
        while node != start:
            edge, before = came[node]
            steps.append((edge, bool(net.edge_from[edge] == before)))
            node = before
        return steps[::-1]

    def ride(
        self,
        seed: int,
        noise_m: float,
        bias_m: float = 0.0,
        *,
        backward: bool = False,
        timed: bool = True,
    ) -> tuple[Ride, Truth]:
        """Return a ride and its truth.

        Args:
            seed: the same seed gives the same way, whatever the noise.
            noise_m: standard deviation on each axis.
            bias_m: length of the constant error.
            backward: the same way ridden from its finish to its start.
            timed: whether the recording has times.
        """
        rng = np.random.default_rng(seed)
        steps = self.path(rng)
        if backward:
            steps = [(e, not f) for e, f in steps[::-1]]
        rng = np.random.default_rng(seed + (500_000 if backward else 0))
        xy, truth = self._ridden(steps, rng)
        n = len(xy)
        keep = np.exp(-1.0 / CORRELATION_S)
        drawn = rng.normal(0, 1, (n, 2)) * np.sqrt(1 - keep**2)
        drawn[0] /= np.sqrt(1 - keep**2)
        for i in range(1, n):
            drawn[i] += keep * drawn[i - 1]
        angle = rng.uniform(0, 2 * np.pi)
        xy = xy + drawn * noise_m + bias_m * np.array([np.cos(angle), np.sin(angle)])
        lon, lat = shapely.get_coordinates(self.network.plane.degrees(shapely.points(xy))).T
        seconds = 1.7e9 + np.arange(n, dtype=np.float64)
        ride = Ride(
            lat.copy(),
            lon.copy(),
            np.full(n, np.nan),
            np.zeros(n, dtype=np.intp),
            seconds if timed else None,
        )
        return ride, truth

    def _ridden(
        self, steps: list[tuple[int, bool]], rng: np.random.Generator
    ) -> tuple[NDArray[np.float64], Truth]:
        """Return metres in the plane at each second, (n, 2), and the truth."""
        net, lines = self.network, []
        for e, f in steps:
            points = shapely.get_coordinates(net.lines[e])
            lines.append(points if f else points[::-1])
        points = np.concatenate([lines[0][:1], *(line[1:] for line in lines)])
        owner = np.repeat(np.arange(len(steps)), [len(line) - 1 for line in lines])
        hop = np.hypot(*np.diff(points, axis=0).T)
        run = np.concatenate([[0.0], np.cumsum(hop)])
        heading = np.arctan2(*np.diff(points, axis=0).T[::-1])
        turn = np.abs((np.diff(heading) + np.pi) % (2 * np.pi) - np.pi)
        corner = run[1:-1][turn > np.radians(50)]
        node_run = run[1:][np.append(np.diff(owner) != 0, True)]
        stops = set(node_run[rng.random(len(node_run)) < 0.03].tolist())
        pushed = np.array([self.code[e, 0 if f else 1] == 1 for e, f in steps])
        cruise, pace, s = rng.uniform(4.0, 6.0), 1.0, 0.0
        where, waits = [], sorted(stops)
        while s < run[-1]:
            where.append(s)
            i = min(int(np.searchsorted(run, s, side="right")) - 1, len(owner) - 1)
            pace += 0.1 * (1.0 - pace) + rng.normal(0, 0.05)
            speed = PUSH_M_S if pushed[owner[i]] else max(cruise * pace, 1.5)
            if not pushed[owner[i]] and len(corner):
                k = int(np.searchsorted(corner, s - 4))
                if k < len(corner) and corner[k] < s + 8:
                    speed = min(speed, 3.2)
            while waits and waits[0] <= s + speed:
                at = waits.pop(0)
                where += [at] * int(rng.integers(5, 40))
            s += speed
        where.append(float(run[-1]))
        metres = np.array(where)
        xy = np.column_stack([np.interp(metres, run, points[:, k]) for k in (0, 1)])
        i = np.clip(np.searchsorted(run, metres, side="right") - 1, 0, len(owner) - 1)
        edges = np.array([e for e, _ in steps])
        ways = np.array([f for _, f in steps])
        truth = Truth(steps, edges[owner[i]], ways[owner[i]], metres, pushed[owner[i]])
        return xy, truth


def _hidden(tags: dict[str, str]) -> bool:
    """Whether nobody rides there: ways in buildings and under the ground."""
    layer = tags.get("layer", "0")
    deep = layer.lstrip("-").isdigit() and int(layer) <= -2
    return (
        tags.get("indoor") == "yes"
        or tags.get("route") == "ferry"
        or (tags.get("highway") == "service" and (deep or tags.get("tunnel") == "yes"))
    )
