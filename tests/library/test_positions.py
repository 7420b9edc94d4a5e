"""Positions of every form, resolved against a track."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from building import gpx_text, line_east, load, make_route, notes
from library.small_library import out_and_back
from softpedal.library.positions import Unplaced, chainage_of
from softpedal.library.values import parse_position


def resolved(tmp_path, at, gpx=None):
    """Return where a hazard is, in metres."""
    route = load(make_route(tmp_path, notes(hazards=[{"at": at, "what": "humps"}]), gpx=gpx))
    return route.along.hazards[0].at_m


@pytest.mark.parametrize(
    ("at", "metres"),
    [
        ("start", 0.0),
        ("finish", 2000.0),
        ("1.24 km", 1240.0),
        ("1.24km", 1240.0),
        ("310 m", 310.0),
        ("0.8 mi", 1287.4752),
        ("0 m", 0.0),
        ("2 km", 2000.0),
        ("2.0099 km", 2000.0),  # notes are rounded: within 10 m of the end is the end
        ("  1.24   km ", 1240.0),
    ],
)
def test_ends_and_chainages(tmp_path, at, metres):
    assert resolved(tmp_path, at) == pytest.approx(metres, abs=1e-6)


def test_coordinates_mean_the_nearest_point_of_the_track(tmp_path):
    # 2 km due east from 20° W at 50° N; one degree of longitude there is 71.696 km (WGS84).
    at = resolved(tmp_path, "50.0002, -19.99")
    assert at == pytest.approx(716.96, abs=0.1)


@pytest.mark.parametrize(
    ("near", "metres"), [("0.4 km", 430), ("1.5 km", 1575), ("1 mi", 1575), ("0 m", 430)]
)
def test_near_chooses_between_passes(tmp_path, near, metres):
    at = resolved(tmp_path, f"50.00001, -19.99400 near {near}", out_and_back())
    assert at == pytest.approx(metres, abs=1)


def test_near_is_harmless_where_the_track_passes_once(tmp_path):
    assert resolved(tmp_path, "50.0, -19.99 near 2 km") == pytest.approx(716.96, abs=0.1)


def test_passes_less_than_150_m_apart_along_the_track_are_one(tmp_path):
    # At 940 m the way back is met 120 m further on.
    at = resolved(tmp_path, "50.00002, -19.98689", out_and_back())
    assert at == pytest.approx(940, abs=1) or at == pytest.approx(1060, abs=1)


def test_a_waypoint_stands_for_its_coordinates(tmp_path):
    gpx = gpx_text(line_east(2000), waypoints={"Weir gate": (50.0001, -19.99), "Lock": (50, -20)})
    assert resolved(tmp_path, "waypoint Weir gate", gpx) == pytest.approx(716.96, abs=0.1)


def test_a_waypoint_of_a_variant_is_looked_for_in_the_variants_file(tmp_path):
    variant = {
        "file": "quay.gpx",
        "leave": "0.5 km",
        "rejoin": "1 km",
        "why": "Level.",
        "legs": [
            {"from": "start", "street": "Quay", "kind": "back street"},
            {"from": "waypoint Lock", "street": "Quay", "kind": "on foot"},
        ],
    }
    quay = gpx_text(line_east(600), waypoints={"Lock": (50.0, -19.997)})
    folder = make_route(tmp_path, notes(variants=[variant]), files={"quay.gpx": quay})
    (variant,) = load(folder).variants
    assert variant.line.legs[1].at_m == pytest.approx(0.003 * 71696, abs=0.1)


def test_a_place_beside_a_gap_between_parts_is_on_neither_side_of_it(tmp_path):
    """Across a gap there is no track: a place in its middle is off the track."""
    points = line_east(2000, step=100)
    folder = make_route(tmp_path, gpx=gpx_text(points, parts=[11]))
    track = load(folder).along.track
    middle = f"50.0, {(points[10][1] + points[11][1]) / 2}"
    with pytest.raises(Unplaced) as no:
        chainage_of(parse_position(middle), track)
    assert no.value.code == "position-off-track"


LONG_TRACK_M = 2000.0


@pytest.fixture(scope="module")
def straight(tmp_path_factory):
    return load(make_route(tmp_path_factory.mktemp("library"))).along.track


@given(metres=st.integers(0, 2010))
def test_a_chainage_in_metres_is_itself_up_to_the_end(straight, metres):
    at = chainage_of(parse_position(f"{metres} m"), straight)
    assert at == pytest.approx(min(metres, LONG_TRACK_M), abs=1e-6)


@given(metres=st.integers(2011, 10**8))
def test_a_chainage_more_than_10_m_past_the_end_is_refused(straight, metres):
    with pytest.raises(Unplaced) as no:
        chainage_of(parse_position(f"{metres} m"), straight)
    assert no.value.code == "position-beyond"


@given(metres=st.floats(0, 2000))
def test_coordinates_taken_from_the_track_lead_back_to_their_chainage(straight, metres):
    lat, lon = straight.at(metres)
    at = chainage_of(parse_position(f"{lat:.9f}, {lon:.9f}"), straight)
    assert math.isclose(at, metres, abs_tol=0.01)
