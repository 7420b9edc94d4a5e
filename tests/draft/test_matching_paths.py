"""The bounded search against Floyd and Warshall's algorithm on random networks, and the grades."""

from __future__ import annotations

import numpy as np
import pytest

from softpedal.draft.bounded_paths import BoundedPaths
from softpedal.draft.confidence import chances, grade
from softpedal.draft.hidden_states import States

BOUND = 60.0


@pytest.mark.parametrize("seed", range(5))
def test_every_way_within_the_bound_is_found(seed: int) -> None:
    rng = np.random.default_rng(seed)
    n, edges = 25, 45
    tail, head = rng.integers(0, n, edges), rng.integers(0, n, edges)
    metres = rng.uniform(5, 30, edges)
    dear = rng.uniform(1, 1.5, (edges, 2))
    cost = np.full((n, n), np.inf)
    np.fill_diagonal(cost, 0.0)
    for e in range(edges):
        a, b = tail[e], head[e]
        cost[a, b] = min(cost[a, b], metres[e] * dear[e, 0])
        cost[b, a] = min(cost[b, a], metres[e] * dear[e, 1])
    for k in range(n):
        cost = np.minimum(cost, cost[:, [k]] + cost[[k], :])

    paths = BoundedPaths(tail, head, metres, dear, n)
    start, end = (x.ravel() for x in np.meshgrid(np.arange(n), np.arange(n), indexing="ij"))
    for bound in (BOUND / 2, BOUND):  # a search is taken up again where it was left
        length, first, last = paths.between(start, end, np.full(n * n, bound))
        near = cost.ravel() <= bound
        assert np.isfinite(length[near]).all()
        for a, b, total, begun, ended in zip(start, end, length, first, last, strict=True):
            if not np.isfinite(total):
                continue
            steps = paths.way(int(a), int(b))
            assert ([e for e, _ in steps[:1]] or [-1]) == [begun]
            assert ([e for e, _ in steps[-1:]] or [-1]) == [ended]
            assert total == pytest.approx(sum(metres[e] for e, _ in steps))
            paid = sum(metres[e] * dear[e, 0 if f else 1] for e, f in steps)
            assert paid == pytest.approx(cost[a, b])
            at = a
            for e, forward in steps:
                assert at == (tail if forward else head)[e]
                at = (head if forward else tail)[e]
            assert at == b


def test_nothing_asked_nothing_answered() -> None:
    one = np.array([0]), np.array([1]), np.array([5.0]), np.ones((1, 2))
    nothing = np.empty(0, dtype=np.intp)
    found = BoundedPaths(*one, 2).between(nothing, nothing, np.empty(0))
    assert [len(x) for x in found] == [0, 0, 0]


def test_two_ways_alike_are_a_guess() -> None:
    """Two directed places on two ways, of the same costs: each has half the chance."""
    edge = np.array([[0, 1]] * 3)
    cost = np.array([[1.0, 1.0, np.inf]] * 3)
    move = np.zeros((2, 3, 3))
    how = np.zeros((2, 2, 2), dtype=np.int8)
    forward = np.array([True, True])
    hidden = States(edge, forward, np.zeros((3, 2)), cost, move, how)
    row = np.zeros(3, dtype=np.intp)
    assert chances(hidden, edge, row) == pytest.approx([0.5] * 3)
    same_way = np.zeros((3, 2), dtype=np.intp)
    assert chances(hidden, same_way, row) == pytest.approx([1.0] * 3)


@pytest.mark.parametrize(
    ("chance", "name"),
    [(1.0, "sure"), (0.95, "sure"), (0.9, "check"), (0.7, "check"), (0.69, "guess")],
)
def test_grades(chance: float, name: str) -> None:
    assert grade(chance) == name
