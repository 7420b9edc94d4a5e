from __future__ import annotations

import numpy as np
import pytest

from building import make_route
from softpedal.draft.direct import direct_gpx, direct_road
from softpedal.library.load import load_route
from softpedal.streets.country import country_of
from streets.drawn_network import degrees, drawn

ROAD = {"highway": "residential"}
ANYWHERE = country_of(None)


def town():
    """A block of 300 m by 200 m with a footway through its middle, and a path for cycles."""
    return drawn(
        [
            (((0, 0), (300, 0), (300, 200)), {"highway": "primary"}),
            (((0, 0), (0, 200), (300, 200)), {**ROAD, "oneway": "yes"}),
            (((0, 0), (300, 200)), {"highway": "footway"}),
            (((0, 200), (300, 500)), {"highway": "path", "bicycle": "designated"}),
            (((300, 200), (300, 500)), {"highway": "motorway"}),
        ]
    )


def test_by_hand():
    """(0, 0) to (300, 200) by the edges of the block, not by the footway: 500 m, 2 min."""
    found = direct_road(town(), ANYWHERE, *degrees(0, 0), *degrees(300, 200))
    assert found.km == pytest.approx(0.5, abs=0.001)
    assert found.minutes == pytest.approx(2.0, abs=0.005)  # at 15 km/h
    assert found.track.length_m == pytest.approx(found.km * 1000)


def test_parts_of_edges_count():
    """From the middle of the southern side to a place 50 m up the eastern one: 150 + 50 m."""
    found = direct_road(town(), ANYWHERE, *degrees(150, -20), *degrees(330, 50))
    assert found.km == pytest.approx(0.2, abs=0.001)
    wanted = np.array([degrees(*p) for p in ((150, 0), (300, 0), (300, 50))])
    line = np.column_stack([found.track.lat, found.track.lon])
    assert line == pytest.approx(wanted, abs=1e-6)


def test_a_path_for_cycles_is_a_direct_road_and_a_motor_road_is_none():
    """By the one-way street and the path: 200 + 424 m; by the motorway it would be 800 m."""
    out = direct_road(town(), ANYWHERE, *degrees(0, 0), *degrees(300, 500))
    assert out.km == pytest.approx(0.2 + 0.4243, abs=0.001)


def test_the_way_back_is_another_where_streets_are_one_way():
    """From (0, 200) to (0, 0): not 200 m down the one-way street, but round the block, 800 m."""
    found = direct_road(town(), ANYWHERE, *degrees(0, 200), *degrees(0, 0))
    assert found.km == pytest.approx(0.8, abs=0.002)


def test_the_speed_is_the_library_s():
    slow = direct_road(town(), ANYWHERE, *degrees(0, 0), *degrees(300, 200), cruising_kmh=10)
    assert slow.minutes == pytest.approx(3.0, abs=0.01)


@pytest.mark.parametrize("place", [(0, -150), (5000, 5000)])
def test_no_street_near_is_no_direct_road(place):
    assert direct_road(town(), ANYWHERE, *degrees(*place), *degrees(300, 200)) is None


def test_both_ends_at_one_place_is_no_direct_road():
    assert direct_road(town(), ANYWHERE, *degrees(50, 0), *degrees(50, 0)) is None


def test_its_gpx_is_what_a_route_folder_takes(tmp_path):
    found = direct_road(town(), ANYWHERE, *degrees(0, 0), *degrees(300, 500))
    line = [degrees(0, 0), degrees(0, 200), degrees(300, 500)]
    folder = make_route(tmp_path, points=line, files={"direct.gpx": direct_gpx(found.track)})
    loaded = load_route(folder)
    assert [p for p in loaded.problems if p.file.endswith("direct.gpx")] == []
    assert loaded.route.direct_line.length_m == pytest.approx(found.track.length_m, abs=0.01)
