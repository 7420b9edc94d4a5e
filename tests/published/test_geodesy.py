"""Published lengths on the ellipsoid, run through the track's own chainage."""

from __future__ import annotations

import math

import pytest
from geographiclib.geodesic import Geodesic
from geographiclib.test.test_geodesic import GeodesicTest

from building import track_of


def degrees(whole: int, minutes: int, seconds: float) -> float:
    return math.copysign(abs(whole) + minutes / 60 + seconds / 3600, whole)


def chainage(*points: tuple[float, float]) -> float:
    return float(track_of(points).chainage_m[-1])


def test_flinders_peak_to_buninyong_geoscience_australia():
    """Geoscience Australia, GDA technical manual: the worked example, with its coordinates."""
    flinders_peak = (degrees(-37, 57, 3.72030), degrees(144, 25, 29.52440))
    buninyong = (degrees(-37, 39, 10.15610), degrees(143, 55, 35.38390))
    assert chainage(flinders_peak, buninyong) == pytest.approx(54_972.271, abs=0.0005)


def test_lands_end_to_john_o_groats_vincenty_on_wgs84():
    """The usual worked example of Vincenty's formulas on WGS84, in its decimal degrees.

    The same places in degrees, minutes and seconds to two places are 5 cm nearer to each other.
    """
    lands_end, john_o_groats = (50.06632, -5.71475), (58.64402, -3.07009)
    assert chainage(lands_end, john_o_groats) == pytest.approx(969_954.166, abs=0.0005)
    lands_end = (degrees(50, 3, 58.76), degrees(-5, 42, 53.10))
    john_o_groats = (degrees(58, 38, 38.48), degrees(-3, 4, 12.34))
    assert chainage(lands_end, john_o_groats) == pytest.approx(969_954.114, abs=0.0005)


def test_a_degree_of_longitude_at_the_equator_is_an_arc_of_the_wgs84_circle():
    """WGS84: 2πa/360 with a = 6 378 137 m."""
    assert chainage((0, 0), (0, 1)) == pytest.approx(111_319.4908, abs=5e-5)
    assert chainage((0, 0), (0, 1)) == pytest.approx(math.pi * 6_378_137 / 180, abs=1e-6)


def test_a_degree_of_latitude_from_the_equator_on_wgs84():
    """The meridian arc from 0° to 1° on WGS84."""
    assert chainage((0, 0), (1, 0)) == pytest.approx(110_574.3886, abs=5e-5)


@pytest.mark.parametrize("case", GeodesicTest.testcases, ids=lambda case: f"{case[6]:.0f} m")
def test_reference_geodesics_of_geographiclib(case):
    """C. F. F. Karney's reference geodesics, which the `geographiclib` package carries."""
    lat, lon, _, to_lat, to_lon, _, metres, *_ = case
    assert chainage((lat, lon), (to_lat, to_lon)) == pytest.approx(metres, abs=1e-6)


def test_there_are_20_reference_geodesics():
    assert len(GeodesicTest.testcases) == 20


def test_chainage_is_within_a_thousandth_east_and_west_where_a_sphere_is_not():
    """Geodesic of geographiclib; the sphere is the mean one of 6 371 008.8 m."""
    lat, turn = 51.5, 0.01
    reference = Geodesic.WGS84.Inverse(lat, -20, lat, -20 + turn)["s12"]
    on_sphere = 6_371_008.8 * math.radians(turn) * math.cos(math.radians(lat))
    assert 1 - on_sphere / reference == pytest.approx(0.0032, abs=0.0001)
    assert abs(chainage((lat, -20), (lat, -20 + turn)) / reference - 1) < 0.001


def test_heights_do_not_lengthen_the_chainage():
    flat = track_of([(50, -20, 0.0), (50.001, -20, 0.0)])
    steep = track_of([(50, -20, 0.0), (50.001, -20, 90.0)])
    assert steep.length_m == flat.length_m


def test_no_distance_is_added_between_parts():
    points = [(50, -20), (50.001, -20), (50.002, -20), (50.003, -20)]
    whole, parted = track_of(points), track_of(points, parts=[2])
    assert parted.chainage_m[1] == parted.chainage_m[2]
    assert parted.length_m == pytest.approx(whole.steps_m[0] + whole.steps_m[2], abs=1e-9)
    assert parted.gaps_m.tolist() == [whole.steps_m[1]]
