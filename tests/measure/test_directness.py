"""Detour factor and direct ratio, and where there is none."""

from __future__ import annotations

import pytest
from geographiclib.geodesic import Geodesic

from building import gpx_text, line_east, line_north, measures_of, notes


def there_and_towards(out, back):
    """Go east, then turn round on the same line."""
    points = line_east(out)
    return points + points[::-1][1 : 1 + round(back / 10)]


def bend(east, north):
    first = line_east(east)
    return first + line_north(north, lat=first[-1][0], lon=first[-1][1])[1:]


def test_the_detour_factor_is_length_over_the_geodesic_between_the_ends():
    points = bend(1500, 2000)
    (lat, lon), (to_lat, to_lon) = points[0], points[-1]
    apart = Geodesic.WGS84.Inverse(lat, lon, to_lat, to_lon)["s12"]
    measures = measures_of(notes(), points)
    for direction in (measures.outbound, measures.way_back):
        assert direction.detour_factor == pytest.approx(3500 / apart, rel=1e-9)
        assert direction.detour_factor == pytest.approx(1.4, abs=0.001)  # a 3-4-5 triangle


def test_a_straight_line_is_no_detour():
    assert measures_of(notes(), line_north(2000)).outbound.detour_factor == pytest.approx(1)


def test_a_loop_has_no_detour_factor_but_its_direct_ratio():
    points = there_and_towards(2000, 2000)
    measures = measures_of(notes(direct={"km": 3.2}), points)
    assert measures.outbound.length_m == pytest.approx(4000)
    assert measures.outbound.detour_factor is None
    assert measures.outbound.direct_ratio == pytest.approx(1.25)


@pytest.mark.parametrize(("back", "is_loop"), [(1630, False), (1640, True)])
def test_ends_nearer_than_a_tenth_of_the_length_make_a_loop(back, is_loop):
    """Back 1,630 m: 370 m apart on 3,630 m, 10.2 %. Back 1,640 m: 360 m on 3,640 m, 9.9 %."""
    factor = measures_of(notes(), there_and_towards(2000, back)).outbound.detour_factor
    if is_loop:
        assert factor is None
    else:
        assert factor == pytest.approx(3630 / 370, rel=1e-6)


@pytest.mark.parametrize(("missing", "is_known"), [(4, True), (6, False)])
def test_a_gap_of_more_than_50_m_leaves_both_unknown(missing, is_known):
    points = line_east(2000)
    gapped = gpx_text(points[:101] + points[100 + missing :], parts=[101])
    measures = measures_of(notes(direct={"km": 1.6}), gpx=gapped)
    for direction in (measures.outbound, measures.way_back):
        assert (direction.detour_factor is not None) is is_known
        assert (direction.direct_ratio is not None) is is_known


def test_no_direct_ratio_without_a_direct_way():
    assert measures_of(notes()).outbound.direct_ratio is None


def test_the_line_of_the_direct_road_counts_where_the_notes_say_nothing():
    """A bow of 2,500 m beside a direct road of 2,000 m; noted as 1.6 km, the notes hold."""
    out = bend(1500, 1000)
    straight = [out[0], out[-1]]  # 1,803 m, the hypotenuse
    files = {"direct.gpx": gpx_text(straight)}
    by_line = measures_of(notes(), out, files=files)
    for direction in (by_line.outbound, by_line.way_back):
        assert direction.direct_ratio == pytest.approx(2500 / 1802.8, rel=1e-3)
    noted = measures_of(notes(direct={"km": 2.0}), out, files=files)
    assert noted.outbound.direct_ratio == pytest.approx(1.25)
