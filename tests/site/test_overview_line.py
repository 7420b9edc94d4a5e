"""A line for the map of all routes."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from building import line_east, line_north, track_of
from softpedal.site.overview_line import MOST_POINTS, SCALE, overview_line, packed, thinned


def unpacked(content: dict[str, list[int]], origin: tuple[int, int]) -> np.ndarray:
    return np.cumsum(np.array(content["d"]).reshape(-1, 2), axis=0) + origin


def winding(count: int = 3000) -> list[tuple[float, ...]]:
    """Bends of some 80 m every 300 m."""
    return [
        (50 + 0.0008 * math.sin(i / 5) + 0.0004 * math.sin(i / 1.7), -20 + i * 0.0003)
        for i in range(count)
    ]


def test_a_straight_line_keeps_its_two_ends() -> None:
    ((start, *between, end),) = overview_line(track_of(line_east(2000)))
    assert between == []
    assert start == (500_000, -200_000)
    assert end[0] == 500_000
    assert end[1] - start[1] == pytest.approx(
        2000 / (111_320 * math.cos(math.radians(50))) * SCALE, abs=2
    )


def test_a_winding_line_has_at_most_so_many_points_and_keeps_its_ends() -> None:
    points = winding()
    ((*line,),) = overview_line(track_of(points))
    assert 100 < len(line) <= MOST_POINTS
    for got, wanted in ((line[0], points[0]), (line[-1], points[-1])):
        assert got == pytest.approx(np.array(wanted) * SCALE, abs=0.5)


def test_a_line_with_room_stays_near_its_track() -> None:
    points = winding(150)
    ((*line,),) = overview_line(track_of(points))
    drawn = shapely.LineString(line)
    off = max(drawn.distance(shapely.Point(p)) for p in np.array(points) * SCALE)
    assert off < 2  # integers: 22 m


def test_nothing_is_drawn_over_a_gap() -> None:
    first, second = line_east(500), line_north(500, lat=50.02)
    parts = overview_line(track_of([*first, *second], parts=[len(first)]))
    assert [len(part) for part in parts] == [2, 2]
    assert packed(parts, (0, 0))["n"] == [2, 2]


def test_a_line_with_very_many_gaps_still_keeps_to_the_limit() -> None:
    points = line_east(4000)
    parts = overview_line(track_of(points, parts=range(2, len(points), 2)))
    assert sum(map(len, parts)) <= MOST_POINTS


def test_a_route_all_in_one_place_is_still_a_line() -> None:
    ((a, b),) = overview_line(track_of(line_east(3, step=1)))
    assert a == b


def test_packed_integers_give_the_points_back() -> None:
    parts = overview_line(track_of(winding(200)))
    origin = (499_000, -201_000)
    found = unpacked(packed(parts, origin), origin)
    assert found.tolist() == [list(p) for p in parts[0]]


def test_a_line_may_be_thinned_further() -> None:
    parts = overview_line(track_of(winding()))
    assert len(thinned(parts, 40)[0]) <= 40
    assert thinned(parts, 1000) is parts


def test_fewer_than_two_points_are_refused() -> None:
    with pytest.raises(ValueError, match="two points or more"):
        overview_line(track_of(line_east(100)), most=1)
