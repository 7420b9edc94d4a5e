"""Which arms of a junction lie left and right of the line ridden."""

from __future__ import annotations

import numpy as np
import pytest

from draft.ridden import names, off_the_map, ridden
from softpedal.draft.passes import bearing_from, entry_node, exit_node, passes
from streets.drawn_network import node_at
from streets.small_network import network

O = (0, 0)  # noqa: E741
NORTH, EAST, SOUTH, WEST = (0, 100), (100, 0), (0, -100), (-100, 0)


def crossroads():
    """Four streets, two of them drawn towards the middle and two away from it."""
    return network(
        [
            ((O, NORTH), "residential North"),
            ((EAST, O), "residential East"),
            ((O, SOUTH), "residential South"),
            ((WEST, O), "residential West"),
        ]
    )


@pytest.mark.parametrize(
    ("a", "b", "left", "right", "turn"),
    [
        (SOUTH, NORTH, {"West"}, {"East"}, 0),
        (NORTH, SOUTH, {"East"}, {"West"}, 0),
        (WEST, EAST, {"North"}, {"South"}, 0),
        (EAST, WEST, {"South"}, {"North"}, 0),
        (SOUTH, EAST, {"North", "West"}, set(), 90),
        (SOUTH, WEST, set(), {"North", "East"}, -90),
        (NORTH, EAST, set(), {"South", "West"}, -90),
        (WEST, SOUTH, {"North", "East"}, set(), 90),
        (EAST, NORTH, {"South", "West"}, set(), 90),
    ],
)
def test_arms_at_a_crossroads(a, b, left, right, turn):
    net = crossroads()
    (passed,) = passes(net, ridden(net, a, O, b))
    assert passed.node == node_at(net, *O)
    assert passed.at_m == pytest.approx(100, abs=0.5)
    assert names(net, passed.left) == left
    assert names(net, passed.right) == right
    assert passed.turn == pytest.approx(turn, abs=1)
    assert set(passed.others) == set(passed.left + passed.right)


def test_the_way_back_sees_left_and_right_the_other_way_round():
    net = crossroads()
    chain = ridden(net, SOUTH, O, NORTH)
    (out,), (back,) = passes(net, chain), passes(net, chain.turned())
    assert (back.left, back.right) == (out.right, out.left)
    assert back.at_m == pytest.approx(chain.length_m - out.at_m)


def test_turning_round_on_the_way_passes_no_node_and_at_a_node_passes_it():
    net = crossroads()
    there = ridden(net, SOUTH, O, left_out_m=30)
    back = there.turned()
    chain = type(there)(
        (*there.pieces, *(p.turned(0.0).turned(there.length_m) for p in back.pieces)),
        (),
        2 * there.length_m,
        5.0,
    )
    assert passes(net, chain) == []
    (passed,) = passes(net, ridden(net, SOUTH, O, SOUTH))
    assert abs(passed.turn) == pytest.approx(180, abs=1e-3)
    assert len(passed.others) == 3


def test_a_break_at_a_node_passes_none():
    net = crossroads()
    chain = ridden(net, SOUTH, O, NORTH)
    assert len(passes(net, chain)) == 1
    assert passes(net, off_the_map(chain, 0, 40.0)) == []


def test_ends_by_direction():
    net = crossroads()
    (piece,) = ridden(net, EAST, O).pieces
    (other,) = ridden(net, O, EAST).pieces
    assert (entry_node(net, piece), exit_node(net, piece)) == (
        node_at(net, *EAST),
        node_at(net, *O),
    )
    assert (entry_node(net, other), exit_node(net, other)) == (
        node_at(net, *O),
        node_at(net, *EAST),
    )


def test_bearing_of_both_ends():
    net = crossroads()
    assert bearing_from(net, 0, at_start=True) == pytest.approx(np.pi / 2, abs=0.01)
    assert bearing_from(net, 0, at_start=False) == pytest.approx(-np.pi / 2, abs=0.01)


def test_a_way_over_a_square_is_no_arm():
    net = crossroads()
    net.edge_across[3] = True
    (passed,) = passes(net, ridden(net, SOUTH, O, NORTH))
    assert (names(net, passed.left), names(net, passed.right)) == (set(), {"East"})
