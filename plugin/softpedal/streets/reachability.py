"""Which streets one can drive through, from one point of the main network to another."""

from __future__ import annotations

from collections import deque
from typing import TYPE_CHECKING

import numpy as np

from softpedal.streets.blocks import Blocks, blocks

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from softpedal.streets.motor_graph import MotorGraph

#: Adjacency for one direction of driving: where each node's entries start, and the neighbours.
Arcs = tuple[list[int], list[int]]


def blocks_from_outside(graph: MotorGraph) -> Blocks:
    """Return the blocks of a graph whose portals are joined to one node outside, (M + portals)."""
    outside = len(graph.portal)
    portals = np.flatnonzero(graph.portal)
    tail = np.concatenate([graph.tail, portals])
    head = np.concatenate([graph.head, np.full(len(portals), outside)])
    return blocks(outside + 1, tail, head, first=outside)


def joined(graph: MotorGraph) -> NDArray[np.bool_]:
    """Return which streets lie on a path between two portals if no street were one-way, (M,).

    In a block any two edges lie on one ring; a ring over the node outside is such a path.
    """
    found = blocks_from_outside(graph)
    n_streets = len(graph.edge)
    ways_out = np.bincount(found.of_edge[n_streets:], minlength=len(found.top))
    of_street = found.of_edge[:n_streets]
    return (of_street >= 0) & (np.append(ways_out, 0)[of_street] >= 2)


def driven_through(graph: MotorGraph) -> NDArray[np.bool_]:
    """Return which streets lie on a drive from a portal to another one, one-ways obeyed, (M,).

    No drive uses a street that fails one of the two tests, so that both are asked again of what
    is left until nothing more falls away. What is left may still hold streets that nobody can
    drive through; no street that somebody can is missing.

    Args:
        graph: streets that have all passed `joined`.
    """
    left = np.arange(len(graph.edge))
    while True:
        keep = drivable(graph.only(left))
        if keep.all():
            break
        left = left[keep]
        left = left[joined(graph.only(left))]
    found = np.zeros(len(graph.edge), dtype=bool)
    found[left] = True
    return found


def drivable(graph: MotorGraph) -> NDArray[np.bool_]:
    """Return which streets may lie on a drive from a portal to another one, (M,).

    For each node up to two portals are kept from which one can reach it, and up to two that can be
    reached from it, other portals ending the search: more than two add nothing. A street from u to
    v passes if some portal reaches u and another one is reached from v. The drives to u and from v
    may meet, so that this may call too many streets drivable, but never too few.
    """
    reached_from = two_portals(graph, backwards=False)
    reaches = two_portals(graph, backwards=True)
    along = graph.forward & _two_differ(reached_from[graph.tail], reaches[graph.head])
    against = graph.backward & _two_differ(reached_from[graph.head], reaches[graph.tail])
    return along | against


def two_portals(graph: MotorGraph, *, backwards: bool) -> NDArray[np.intp]:
    """Return up to two portals from which one can drive to each node, -1 for none, (n, 2).

    Args:
        graph: the streets.
        backwards: return the portals to which one can drive instead.
    """
    at, nbr = arcs(graph, backwards=backwards)
    first, second = [-1] * len(graph.portal), [-1] * len(graph.portal)
    portals = np.flatnonzero(graph.portal).tolist()
    for portal in portals:
        first[portal] = portal
    is_portal = graph.portal.tolist()
    queue = deque((portal, portal) for portal in portals)
    while queue:
        u, portal = queue.popleft()
        for w in nbr[at[u] : at[u + 1]]:
            if is_portal[w] or first[w] == portal or second[w] >= 0:
                continue
            if first[w] < 0:
                first[w] = portal
            else:
                second[w] = portal
            queue.append((w, portal))
    return np.column_stack([first, second]).astype(np.intp)


def arcs(graph: MotorGraph, *, backwards: bool) -> Arcs:
    """Return where one can drive to from each node, or from where, streets being one-way."""
    out = np.concatenate([graph.tail[graph.forward], graph.head[graph.backward]])
    into = np.concatenate([graph.head[graph.forward], graph.tail[graph.backward]])
    if backwards:
        out, into = into, out
    order = np.argsort(out, kind="stable")
    at = np.searchsorted(out[order], np.arange(len(graph.portal) + 1))
    return at.tolist(), into[order].tolist()


def _two_differ(a: NDArray[np.intp], b: NDArray[np.intp]) -> NDArray[np.bool_]:
    """Return in which rows one of `a` and one of `b` are two different portals, (M,)."""
    differ = (a[:, :, None] != b[:, None, :]) & (a[:, :, None] >= 0) & (b[:, None, :] >= 0)
    return differ.any(axis=(1, 2))  # type: ignore[no-any-return]
