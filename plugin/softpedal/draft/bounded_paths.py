"""The shortest ways from one place to another nearby, found once for each node and kept.

Riding against a one-way street is dearer but never forbidden: the rider is the truth.
"""

from __future__ import annotations

from heapq import heappop, heappush
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: One step out of a node: the node at its other end, edge, whether along it, metres, cost.
Step = tuple[int, int, bool, float, float]
#: How a node was reached: metres from the start, first edge, last step, the node before.
_Reached = tuple[float, int, Step | None, int]


class _Search:
    """Dijkstra's algorithm from one node, which can be taken up again where it was left."""

    __slots__ = ("_best", "_heap", "_steps", "found")

    def __init__(self, start: int, steps: list[list[Step]]) -> None:
        self._steps = steps
        self._best = {start: 0.0}
        self._heap: list[tuple[float, int, _Reached]] = [(0.0, start, (0.0, -1, None, start))]
        self.found: dict[int, _Reached] = {}

    def reach(self, ends: list[int], bound: float) -> None:
        """Search until all ends are found, or all that is left is dearer than the bound."""
        found, heap, best, steps = self.found, self._heap, self._best, self._steps
        missing = {end for end in ends if end not in found}
        while missing and heap and heap[0][0] <= bound:
            cost, node, reached = heappop(heap)
            if node in found:
                continue
            found[node] = reached
            missing.discard(node)
            length, first = reached[0], reached[1]
            for step in steps[node]:
                total = cost + step[4]
                if total < best.get(step[0], np.inf):
                    best[step[0]] = total
                    begun = step[1] if first < 0 else first
                    heappush(heap, (total, step[0], (length + step[3], begun, step, node)))


class BoundedPaths:
    """Ways between the nodes of a corridor, none dearer than a bound.

    Args:
        tail: node at which each edge is drawn from, (C,).
        head: node that it is drawn to, (C,).
        metres: length of each edge, (C,).
        dear: factor on the length forward and backward, 1 or more, (C, 2).
        n_nodes: how many nodes there are.
    """

    def __init__(
        self,
        tail: NDArray[np.intp],
        head: NDArray[np.intp],
        metres: NDArray[np.float64],
        dear: NDArray[np.float64],
        n_nodes: int,
    ) -> None:
        self._steps: list[list[Step]] = [[] for _ in range(n_nodes)]
        self._searches: dict[int, _Search] = {}
        self._n = n_nodes
        costs = (metres[:, None] * dear).tolist()
        ends = zip(tail.tolist(), head.tolist(), metres.tolist(), costs, strict=True)
        for edge, (a, b, length, (along, against)) in enumerate(ends):
            self._steps[a].append((b, edge, True, length, along))
            self._steps[b].append((a, edge, False, length, against))

    def between(
        self, start: NDArray[np.intp], end: NDArray[np.intp], bound: NDArray[np.float64]
    ) -> tuple[NDArray[np.float64], NDArray[np.intp], NDArray[np.intp]]:
        """Return metres (inf where there is no way), first edge and last edge of many ways, (Q,).

        Args:
            start: nodes that the ways start from, (Q,).
            end: nodes that they go to, (Q,).
            bound: the greatest cost that is of interest for each, (Q,).
        """
        if not len(start):
            return np.empty(0), np.empty(0, dtype=np.intp), np.empty(0, dtype=np.intp)
        asked, which = np.unique(start.astype(np.int64) * self._n + end, return_inverse=True)
        bounds = np.zeros(len(asked))
        np.maximum.at(bounds, which, bound)
        starts, firsts = np.unique(asked // self._n, return_index=True)
        most = np.maximum.reduceat(bounds, firsts).tolist()
        ends = (asked % self._n).tolist()
        lasts = [*firsts[1:].tolist(), len(ends)]
        values: list[tuple[float, int, int]] = []
        nowhere = (np.inf, -1, -1)
        for node, a, b, limit in zip(starts.tolist(), firsts.tolist(), lasts, most, strict=True):
            search = self._searches.get(node)
            if search is None:
                search = self._searches[node] = _Search(node, self._steps)
            search.reach(ends[a:b], limit)
            for other in ends[a:b]:
                hit = search.found.get(other)
                if hit is None:
                    values.append(nowhere)
                else:
                    values.append((hit[0], hit[1], hit[2][1] if hit[2] else -1))
        table = np.array(values, dtype=np.float64).reshape(-1, 3)[which]
        return table[:, 0], table[:, 1].astype(np.intp), table[:, 2].astype(np.intp)

    def way(self, start: int, end: int) -> list[tuple[int, bool]]:
        """Return the (edge, whether along it) steps of a way that `between` has found."""
        found = self._searches[start].found
        steps: list[tuple[int, bool]] = []
        node = end
        while (last := found[node][2]) is not None:
            steps.append((last[1], last[2]))
            node = found[node][3]
        return steps[::-1]
