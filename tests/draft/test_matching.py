"""Matching on networks of a few streets, where the way is plain to see."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from draft.small_network import (
    FOOTWAY,
    ROAD,
    STREET,
    assert_whole,
    network,
    points_ride,
    ridden,
    ways_of,
)
from softpedal.draft.matching import MatchError, Pins, match
from softpedal.streets.country import country_of

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.streets.network import Network

NOWHERE = country_of(None)


def test_one_straight_street(tmp_path: Path) -> None:
    net = network(tmp_path, [([(0, 0), (400, 0)], STREET)])
    ride = ridden([(50, 2), (350, 2)])
    chain = match(net, ride, NOWHERE)
    (piece,) = chain.pieces
    assert (piece.from_m, piece.to_m) == (0.0, ride.track.length_m)
    assert piece.forward
    assert piece.edge_from_m == pytest.approx(50, abs=1)
    assert piece.edge_to_m == pytest.approx(350, abs=2)
    assert piece.confidence == "sure"
    assert chain.breaks == ()


@pytest.mark.parametrize("seed", range(4))
def test_not_the_parallel_street(tmp_path: Path, seed: int) -> None:
    joined = [([(0, 0), (0, 30)], STREET), ([(600, 0), (600, 30)], STREET)]
    net = network(tmp_path, [([(0, 0), (600, 0)], STREET), ([(0, 30), (600, 30)], STREET), *joined])
    chain = match(net, ridden([(10, 0), (590, 0)], seed=seed, noise_m=5.0), NOWHERE)
    assert ways_of(net, chain) == [1]
    assert_whole(net, chain)


@pytest.mark.parametrize("timed", [True, False])
def test_turning_back_gives_two_pieces(tmp_path: Path, timed: bool) -> None:
    net = network(tmp_path, [([(0, 0), (400, 0)], STREET)])
    chain = match(net, ridden([(20, 0), (300, 0), (100, 0)], timed=timed), NOWHERE)
    assert [p.forward for p in chain.pieces] == [True, False]
    out, back = chain.pieces
    assert out.to_m == pytest.approx(280, abs=6)
    assert out.edge_to_m == pytest.approx(300, abs=6)
    assert back.edge_to_m == pytest.approx(100, abs=1)
    assert_whole(net, chain)


def _block() -> list[tuple[list[tuple[float, float]], dict[str, str]]]:
    return [
        ([(-200, 0), (0, 0)], STREET),
        ([(0, 0), (200, 0)], STREET),
        ([(200, 0), (200, 150)], STREET),
        ([(200, 150), (0, 150)], STREET),
        ([(0, 150), (0, 0)], STREET),
    ]


@pytest.mark.parametrize("seed", range(3))
def test_round_the_block_twice(tmp_path: Path, seed: int) -> None:
    net = network(tmp_path, _block())
    lap = [(0.0, 0.0), (200.0, 0.0), (200.0, 150.0), (0.0, 150.0)]
    chain = match(net, ridden([(-150, 0), *lap, *lap, (0, 0), (-150, 0)], seed=seed), NOWHERE)
    assert ways_of(net, chain) == [1, 2, 3, 4, 5, 2, 3, 4, 5, 1]
    assert_whole(net, chain)


def test_off_the_map_in_the_middle(tmp_path: Path) -> None:
    net = network(
        tmp_path,
        [([(0, 0), (300, 0)], STREET), ([(300, 0), (300, -900), (1100, -900)], STREET),
         ([(700, 0), (1100, 0)], STREET), ([(1100, 0), (1100, -900)], STREET)],
    )  # fmt: skip
    chain = match(net, ridden([(0, 0), (300, 0), (500, 150), (700, 0), (1000, 0)]), NOWHERE)
    ((start, end),) = chain.breaks
    assert start == pytest.approx(300, abs=35)
    assert end == pytest.approx(800, abs=35)
    assert ways_of(net, chain, 40) == [1, 3]
    assert_whole(net, chain)


def _road_with_footway(folder: Path) -> Network:
    return network(
        folder,
        [
            ([(0, 0), (250, 0), (500, 0), (750, 0)], ROAD),
            ([(0, 7), (250, 7), (500, 7), (750, 7)], FOOTWAY),
            ([(0, 0), (0, 7)], FOOTWAY),
            ([(250, 0), (250, 7)], FOOTWAY),
            ([(500, 0), (500, 7)], FOOTWAY),
            ([(750, 0), (750, 7)], FOOTWAY),
        ],
    )


def test_between_road_and_footway_speed_decides(tmp_path: Path) -> None:
    net = _road_with_footway(tmp_path)
    line = [(0, 3.7), (750, 3.7)]
    assert ways_of(net, match(net, ridden(line, 5.0), NOWHERE)) == [1]
    assert ways_of(net, match(net, ridden(line, 1.2), NOWHERE)) == [2]


def test_between_road_and_footway_without_times_the_road_is_likelier(tmp_path: Path) -> None:
    net = _road_with_footway(tmp_path)
    assert ways_of(net, match(net, ridden([(0, 3.7), (750, 3.7)], timed=False), NOWHERE)) == [1]


def test_a_push_in_the_middle_is_found(tmp_path: Path) -> None:
    net = network(
        tmp_path,
        [
            ([(0, 0), (200, 0)], STREET),
            ([(200, 0), (230, 0)], FOOTWAY),
            ([(230, 0), (500, 0)], STREET),
            ([(200, 0), (200, 60), (230, 60), (230, 0)], STREET),
        ],
    )
    ride = ridden([(0, 0), (200, 0), (230, 0), (500, 0)], [5.0, 1.2, 5.0], seed=3)
    assert ways_of(net, match(net, ride, NOWHERE)) == [1, 2, 3]


def test_against_a_one_way_street(tmp_path: Path) -> None:
    detour = [(0.0, 0.0), (0.0, 80.0), (300.0, 80.0), (300.0, 0.0)]
    net = network(
        tmp_path,
        [([(0, 0), (300, 0)], STREET | {"oneway": "yes"}), (detour, STREET)],
    )
    chain = match(net, ridden([(300, 0), (0, 0)], seed=1), NOWHERE)
    assert ways_of(net, chain) == [1]
    assert not any(p.forward for p in chain.pieces)


def test_pins_are_obeyed(tmp_path: Path) -> None:
    net = _road_with_footway(tmp_path)
    ride = ridden([(0, 0), (750, 0)])
    assert ways_of(net, match(net, ride, NOWHERE)) == [1]
    not_road = match(net, ride, NOWHERE, Pins(not_way=frozenset({1})))
    assert 1 not in ways_of(net, not_road)
    via = match(net, ride, NOWHERE, Pins(via_way=((375.0, 2),)))
    (there,) = [p for p in via.pieces if p.from_m <= 375 < p.to_m]
    assert net.way_id[net.edge_way[there.edge]] == 2


def test_a_pin_on_a_way_elsewhere_is_refused(tmp_path: Path) -> None:
    net = network(tmp_path, [([(0, 0), (900, 0)], STREET), ([(0, 0), (0, 900)], STREET)])
    with pytest.raises(MatchError, match=r"way 2 is not near the ride at 0\.80 km"):
        match(net, ridden([(0, 0), (900, 0)]), NOWHERE, Pins(via_way=((800.0, 2),)))


def test_standing_still_makes_no_side_trip(tmp_path: Path) -> None:
    net = network(
        tmp_path,
        [([(0, 0), (300, 0)], STREET), ([(300, 0), (600, 0)], STREET),
         ([(300, 0), (300, 200)], STREET)],
    )  # fmt: skip
    ride = ridden([(0, 0), (300, 0), (300.1, 0), (600, 0)], [5, 0.002, 5], seed=5)
    chain = match(net, ride, NOWHERE)
    assert ways_of(net, chain, 0.5) == [1, 2]
    assert len(chain.pieces) == 2
    assert_whole(net, chain)


@pytest.mark.parametrize("turned", [False, True])
def test_two_points_make_a_ride(tmp_path: Path, turned: bool) -> None:
    net = network(tmp_path, [([(0, 0), (300, 0)], STREET), ([(300, 0), (300, 200)], STREET)])
    x, y = [100.0, 300.0], [0.0, 100.0]
    chain = match(net, points_ride(x[:: -1 if turned else 1], y[:: -1 if turned else 1]), NOWHERE)
    assert ways_of(net, chain) == ([2, 1] if turned else [1, 2])
    assert_whole(net, chain)


def test_a_drawn_line_with_far_points(tmp_path: Path) -> None:
    net = network(tmp_path, _block())
    chain = match(
        net, points_ride([-150, -50, 0, 100, 200, 200, 200], [0, 0, 0, 0, 0, 100, 140]), NOWHERE
    )
    assert ways_of(net, chain) == [1, 2, 3]
    assert {p.confidence for p in chain.pieces} == {"sure"}


def test_over_the_edge_of_the_extract(tmp_path: Path) -> None:
    net = network(tmp_path, [([(0, 0), (400, 0)], STREET)])
    ride = ridden([(100, 0), (900, 0)])
    chain = match(net, ride, NOWHERE)
    ((start, end),) = chain.breaks
    assert start == pytest.approx(300, abs=45)
    assert end == ride.track.length_m
    assert_whole(net, chain)


def test_nothing_on_the_map(tmp_path: Path) -> None:
    net = network(tmp_path, [([(0, 0), (400, 0)], STREET)])
    with pytest.raises(MatchError, match="all 301 m are off it") as caught:
        match(net, ridden([(5000, 5000), (5300, 5000)]), NOWHERE)
    assert "extract" in caught.value.hint


def test_a_gap_in_the_recording_is_a_break(tmp_path: Path) -> None:
    net = network(tmp_path, [([(0, 0), (900, 0)], STREET)])
    x = np.concatenate([np.arange(0, 300, 5.0), np.arange(600, 900, 5.0)])
    ride = points_ride(x, np.zeros(len(x)), part=[0] * 60 + [1] * 60)
    chain = match(net, ride, NOWHERE)
    assert [a for a, _ in chain.breaks] == pytest.approx([295], abs=2)
    assert chain.breaks[0][0] == chain.breaks[0][1]
    assert_whole(net, chain)


@pytest.mark.parametrize(
    "tags",
    [
        {"route": "ferry"},
        {"highway": "corridor"},
        {"highway": "footway", "indoor": "yes"},
        {"highway": "service", "tunnel": "yes"},
        {"highway": "service", "layer": "-2"},
    ],
)
def test_ways_that_nobody_rides_are_left_out(tmp_path: Path, tags: dict[str, str]) -> None:
    net = network(tmp_path, [([(0, 0), (400, 0)], tags), ([(0, 12), (400, 12)], STREET)])
    assert ways_of(net, match(net, ridden([(0, 0), (400, 0)]), NOWHERE)) == [2]


def test_there_and_back_is_the_same_line(tmp_path: Path) -> None:
    net = network(tmp_path, _block())
    ride = ridden([(-150, 0), (200, 0), (200, 150), (0, 150)], timed=False, seed=2)
    back = replace(ride, lat=ride.lat[::-1].copy(), lon=ride.lon[::-1].copy())
    there, again = match(net, ride, NOWHERE), match(net, back, NOWHERE).turned()
    assert [(p.edge, p.forward) for p in there.pieces] == [
        (p.edge, p.forward) for p in again.pieces
    ]
    for a, b in zip(there.pieces, again.pieces, strict=True):
        assert a.from_m == pytest.approx(b.from_m, abs=12)
