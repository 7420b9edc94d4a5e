"""What runs beside a road: parallel within 20°, within 25 m, over 60 % of its length."""

from __future__ import annotations

import math

import pytest

from softpedal.streets.beside import Beside
from streets.reading import edge_of, network_of

PATH = "highway=cycleway"
MAIN = "highway=secondary; name=Dock Road"
STREET = "highway=residential; name=Reed Lane"


def beside(folder, line, *roads):
    network = network_of(folder, (line, PATH), *roads)
    return Beside(network).of(edge_of(network, 0))


def long_road(y: float = 0.0) -> list[tuple[float, float]]:
    return [(-300.0, y), (500.0, y)]


@pytest.mark.parametrize(
    ("off", "road", "expected"),
    [
        (10, MAIN, True),
        (24, MAIN, True),
        (27, MAIN, False),
        (-24, MAIN, True),
        (12, STREET, True),
        (20, STREET, False),  # a path behind the houses
        (10, "highway=service", False),
        (10, "highway=track", False),
        (10, "highway=motorway", False),
        (10, "highway=primary_link", True),
        (10, "highway=footway", False),
        (10, "highway=secondary; tunnel=yes", False),
    ],
)
def test_distance(tmp_path, off, road, expected):
    found = beside(tmp_path, [(0.0, off), (200.0, off)], (long_road(), road))
    assert found.is_beside == expected
    assert found.share == (1.0 if expected else 0.0)


@pytest.mark.parametrize(("degrees", "expected"), [(0, True), (17, True), (23, False)])
def test_direction(tmp_path, degrees, expected):
    turn = math.radians(degrees)
    length = 60.0
    dx, dy = math.cos(turn) * length / 2, math.sin(turn) * length / 2
    found = beside(tmp_path, [(-dx, 12 - dy), (dx, 12 + dy)], (long_road(), MAIN))
    assert found.is_beside == expected


def test_it_makes_no_difference_which_way_either_is_drawn(tmp_path):
    found = beside(tmp_path, [(200.0, 8.0), (0.0, 8.0)], (long_road(), MAIN))
    assert found.is_beside
    assert found.name == "Dock Road"


@pytest.mark.parametrize(("share", "expected"), [(0.5, False), (0.7, True)])
def test_over_most_of_its_length(tmp_path, share, expected):
    bend = share * 400
    line = [(0.0, 8.0), (bend, 8.0), (bend, 8.0 + 400 - bend)]
    found = beside(tmp_path, line, (long_road(), MAIN))
    assert found.is_beside == expected
    assert found.share == pytest.approx(share, abs=0.03)


def test_what_goes_on_where_a_road_ends_is_not_beside_it(tmp_path):
    found = beside(tmp_path, [(0.0, 0.0), (20.0, 0.0)], ([(-200.0, 0.0), (0.0, 0.0)], STREET))
    assert not found.is_beside


def test_a_short_edge_is_looked_at_with_the_rest_of_its_way(tmp_path):
    way = [(0.0, 8.0), (100.0, 8.0), (104.0, 14.0), (108.0, 8.0), (200.0, 8.0)]
    side_streets = [([p, (p[0], 60.0)], "highway=footway") for p in (way[1], way[2], way[3])]
    network = network_of(tmp_path, (way, PATH), *side_streets, (long_road(), MAIN))
    found = Beside(network)
    assert network.edge_m[1] == pytest.approx(7.2, abs=0.1)
    assert [found.of(edge).is_beside for edge in range(4)] == [True] * 4


def test_the_road_it_runs_beside_longest_gives_the_name(tmp_path):
    roads = (
        ([(-50.0, 0.0), (60.0, 0.0)], "highway=primary; name=Mill Road"),
        ([(60.0, 0.0), (300.0, 0.0)], "highway=primary; name=Quay Road"),
    )
    found = beside(tmp_path, [(0.0, 9.0), (200.0, 9.0)], *roads)
    assert found.name == "Quay Road"
    assert found.share == 1.0


def test_a_path_in_a_tunnel_beside_the_road_in_it(tmp_path):
    network = network_of(
        tmp_path,
        ([(0.0, 8.0), (200.0, 8.0)], f"{PATH}; tunnel=yes"),
        (long_road(), f"{MAIN}; tunnel=yes"),
    )
    assert Beside(network).of(0).is_beside


def test_several_edges_at_once_as_one_by_one(tmp_path):
    ways = [([(0.0, y), (150.0, y)], PATH) for y in (5.0, 22.0, 40.0)]
    network = network_of(tmp_path, *ways, (long_road(), MAIN))
    together = Beside(network)
    together.look_at(range(3))
    assert [together.of(e) for e in range(3)] == [Beside(network).of(e) for e in range(3)]
    assert [together.of(e).is_beside for e in range(3)] == [True, True, False]


def test_without_any_road(tmp_path):
    assert beside(tmp_path, [(0.0, 0.0), (50.0, 0.0)]).share == 0.0
