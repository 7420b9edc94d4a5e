"""The blocks of a network: its largest parts that no single node cuts in two.

Tarjan (1972), "Depth-first search and linear graph algorithms", by number of edge, so that two
streets between the same two corners stay two streets. Written without recursion.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray


@dataclass(frozen=True, eq=False)
class Blocks:
    """B blocks of M edges, numbered so that a block comes after all that hang from it.

    Attributes:
        of_edge: number of the block of each edge, -1 for an edge from a node to itself, (M,).
        top: the node by which each block hangs from the start of the search, (B,).
        start: the node from which each block's search began, (B,).
    """

    of_edge: NDArray[np.intp]
    top: NDArray[np.intp]
    start: NDArray[np.intp]


def blocks(  # noqa: C901 - one search, one loop
    n_nodes: int, tail: NDArray[np.intp], head: NDArray[np.intp], first: int = 0
) -> Blocks:
    """Return the blocks of a graph of `n_nodes` nodes; the search begins at the node `first`."""
    n_edges = len(tail)
    at, nbr, via = incidence(n_nodes, tail, head)
    block_of = [-1] * n_edges
    tops: list[int] = []
    starts: list[int] = []
    seen, found = [False] * n_edges, [-1] * n_nodes
    low, pointer, clock = [0] * n_nodes, at[:-1].copy(), 0
    for root in (first, *range(n_nodes)) if n_nodes else ():
        if found[root] >= 0 or at[root] == at[root + 1]:
            continue
        found[root] = low[root] = clock
        clock += 1
        path, since, pending = [root], [], []
        while path:
            u = path[-1]
            i = pointer[u]
            if i < at[u + 1]:
                pointer[u] = i + 1
                edge, w = via[i], nbr[i]
                if seen[edge]:
                    continue
                seen[edge] = True
                if w == u:
                    continue
                pending.append(edge)
                if found[w] < 0:
                    found[w] = low[w] = clock
                    clock += 1
                    path.append(w)
                    since.append(len(pending) - 1)
                elif found[w] < low[u]:
                    low[u] = found[w]
                continue
            path.pop()
            if not path:
                continue
            parent, first_edge = path[-1], since.pop()
            if low[u] >= found[parent]:
                for edge in pending[first_edge:]:
                    block_of[edge] = len(tops)
                del pending[first_edge:]
                tops.append(parent)
                starts.append(root)
            elif low[u] < low[parent]:
                low[parent] = low[u]
    return Blocks(*(np.array(a, dtype=np.intp) for a in (block_of, tops, starts)))


def incidence(
    n_nodes: int, tail: NDArray[np.intp], head: NDArray[np.intp]
) -> tuple[list[int], list[int], list[int]]:
    """Return where each node's entries start, and the neighbour and the edge of each entry."""
    ends, others = np.concatenate([tail, head]), np.concatenate([head, tail])
    order = np.argsort(ends, kind="stable")
    at = np.searchsorted(ends[order], np.arange(n_nodes + 1))
    via = np.concatenate([np.arange(len(tail))] * 2)
    return at.tolist(), others[order].tolist(), via[order].tolist()
