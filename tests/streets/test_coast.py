"""The sea from its coastlines: hand-made coasts in metres, land on their left."""

from __future__ import annotations

import pytest
import shapely
from shapely import LineString, Point

from softpedal.streets.coast import sea_polygons

BOX = (0.0, 0.0, 5000.0, 5000.0)
WHOLE = 5000.0**2


def sea(*coasts):
    return shapely.unary_union(sea_polygons([LineString(c) for c in coasts], BOX))


def square(x, y, side, *, land_inside=True):
    points = [(x, y), (x + side, y), (x + side, y + side), (x, y + side), (x, y)]
    return points if land_inside else points[::-1]


def test_a_straight_coast_from_edge_to_edge_parts_sea_and_land() -> None:
    east = [(-50, 2000), (5050, 2000)]
    assert sea(east).area == pytest.approx(5000 * 2000)
    assert sea(east[::-1]).area == pytest.approx(5000 * 3000)


def test_a_closed_island_is_a_hole_in_the_sea() -> None:
    found = sea(square(1000, 1000, 500))
    assert found.area == pytest.approx(WHOLE - 500**2)
    assert not found.contains(Point(1200, 1200))
    assert len(found.interiors) == 1


def test_a_closed_coast_with_its_land_outside_is_a_lagoon() -> None:
    assert sea(square(1000, 1000, 500, land_inside=False)).area == pytest.approx(500**2)


def test_an_island_off_a_coast_in_two_pieces() -> None:
    west, east = [(0, 2000), (2500, 2200)], [(2500, 2200), (5000, 2000)]
    found = sea(west, east, square(1000, 500, 300))
    assert found.area == pytest.approx(5000 * 2000 + 0.5 * 5000 * 200 - 300**2)


def test_a_strait_has_land_on_both_sides() -> None:
    south, north = [(5000, 1000), (0, 1000)], [(0, 3000), (5000, 3000)]
    found = sea(south, north)
    assert found.area == pytest.approx(5000 * 2000)
    assert found.contains(Point(2500, 2000))


def test_a_coast_cut_at_its_last_node_before_the_edge_is_carried_on_to_it() -> None:
    assert sea([(60, 2000), (4900, 2000)]).area == pytest.approx(5000 * 2000)


def test_a_coast_that_ends_in_the_middle_parts_nothing() -> None:
    assert sea([(0, 2000), (2500, 2000)]).area in (0.0, WHOLE)
    assert sea([(2000, 2500), (3000, 2500)]).area == 0


def test_a_coast_that_leaves_the_box_and_comes_back() -> None:
    bay = [(1000, 5100), (1000, 2000), (-300, 2000), (-300, 1000), (1500, 1000), (1500, -100)]
    found = sea(bay)
    assert not found.contains(Point(3000, 2500))
    assert found.contains(Point(500, 3000))
    assert found.contains(Point(500, 500))
    assert not found.contains(Point(500, 1500))


def test_no_coast_no_sea() -> None:
    assert sea_polygons([], BOX) == []
    assert sea([(9000, 9000), (9900, 9900)]).is_empty
