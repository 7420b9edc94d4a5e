"""The map's data: decoded again, within 1e-6 degrees and 2 m at equal chainage."""

from __future__ import annotations

import json
from itertools import accumulate

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pyproj import Geod

from browser.sample_page import ROUTE, sample_map, sample_track
from softpedal.library.track import Track
from softpedal.site.map_data import MapData, MapLeg, MapLine, MapMarker, MapVariant, map_script

WGS84 = Geod(ellps="WGS84")


def decode(script: str) -> dict:
    first, second, end = script.split("\n")
    assert first == "window.softpedalMaps = window.softpedalMaps || {};"
    assert end == ""
    return json.loads(second.split(" = ", 1)[1].removesuffix(";"))


def decoded_line(packed: dict) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    lat, lon, at = (np.array([*accumulate(packed[key])], float) for key in ("lat", "lon", "at"))
    return lat / 1e6, lon / 1e6, at / 10


def make_line(east, north, parts=(0,)) -> MapLine:
    east, north = np.asarray(east, float), np.asarray(north, float)
    lat = 50 + north / 111_200
    lon = -20 + east / (111_200 * np.cos(np.radians(50)))
    part = np.zeros(len(lat), dtype=np.int64)
    part[list(parts)[1:]] = 1
    return MapLine.of(Track(lat, lon, np.full(len(lat), np.nan), np.cumsum(part)))


def make_map(line: MapLine, **more) -> MapData:
    end = float(line.chainage[-1])
    return MapData("a", line, (MapLeg(0, end, "bus lane", "Dock Road"),), **more)


def error_m(line: MapLine, packed: dict) -> float:
    lat, lon, at = decoded_line(packed)
    found = np.interp(line.chainage, at, lon), np.interp(line.chainage, at, lat)
    _, _, metres = WGS84.inv(*found, line.lon, line.lat)
    return float(np.max(metres))


def test_line_comes_back_within_2_m_at_every_chainage() -> None:
    line = MapLine.of(sample_track())
    packed = decode(map_script(sample_map(sample_track())))["line"]
    assert len(packed["lat"]) < len(line.lat) / 3
    assert error_m(line, packed) < 2.2  # 2 m and a step of the integers


def test_kept_points_come_back_within_half_a_millionth_of_a_degree() -> None:
    line = make_line([0, 300, 300, 900], [0, 0, 400, 800])
    lat, lon, at = decoded_line(decode(map_script(make_map(line)))["line"])
    assert np.abs(lat - line.lat).max() <= 0.51e-6
    assert np.abs(lon - line.lon).max() <= 0.51e-6
    assert np.abs(at - line.chainage).max() <= 0.051


def test_turning_back_on_a_straight_keeps_its_chainage() -> None:
    line = make_line([*range(0, 200, 5), *range(200, 120, -5), *range(120, 400, 5)], np.zeros(112))
    assert error_m(line, decode(map_script(make_map(line)))["line"]) < 2.2


@given(st.lists(st.tuples(st.integers(-40, 40), st.integers(-40, 40)), min_size=2, max_size=60))
def test_any_line_comes_back_within_2_m(steps) -> None:
    east, north = np.cumsum(np.array(steps), axis=0).T
    if np.ptp(east) + np.ptp(north) == 0:
        return
    line = make_line(east, north)
    assert error_m(line, decode(map_script(make_map(line)))["line"]) < 2.3


def test_parts_keep_their_gap() -> None:
    line = make_line([0, 100, 200, 260, 300, 400], np.zeros(6), parts=(0, 3))
    packed = decode(map_script(make_map(line)))["line"]
    lat, lon, at = decoded_line(packed)
    first = packed["parts"][1]
    assert packed["parts"][0] == 0
    assert at[first] == at[first - 1]
    assert WGS84.inv(lon[first - 1], lat[first - 1], lon[first], lat[first])[2] == pytest.approx(
        60, abs=0.3
    )


def test_second_pass_of_a_spur_is_found_and_a_crossing_is_not() -> None:
    out_and_back = make_line([0, 500, 0], [0, 0, 2])
    ((start, end),) = decode(map_script(make_map(out_and_back)))["again"]
    assert start == pytest.approx(5200, abs=250)
    assert end == pytest.approx(10000, abs=150)
    crossing = make_line([0, 500, 500, 250, 250], [0, 0, 300, 300, -300])
    assert decode(map_script(make_map(crossing)))["again"] == []


def test_nothing_ends_the_script() -> None:
    nasty = "</script><!-- \u2028\u2029 & 'x' \\ \"y\""
    line = make_line([0, 100], [0, 0])
    data = MapData(
        nasty, line, (MapLeg(0, 100, "bus lane", nasty),), (MapMarker(5, "hazard", nasty),)
    )
    script = map_script(data)
    assert not {"<", ">", "&", "\u2028", "\u2029"} & set(script)
    content = decode(script)
    assert content["legs"][0]["name"] == nasty
    assert content["markers"][0]["label"] == nasty


def test_markers_are_in_riding_order_and_legs_carry_their_look() -> None:
    content = decode(map_script(sample_map(sample_track())))
    places = [marker["at"] for marker in content["markers"]]
    assert places == sorted(places)
    assert [leg["look"] for leg in content["legs"]][:3] == ["foot", "filtered", "away"]
    assert set(content["looks"]) == {"away", "filtered", "light", "among", "foot"}


def test_bounds_hold_the_way_back_too() -> None:
    back = make_line([100, 0], [-500, 0])
    content = decode(map_script(make_map(make_line([0, 100], [0, 0]), back=back)))
    assert content["bounds"][0][0] == pytest.approx(back.lat.min(), abs=1e-6)
    assert len(content["back"]["lat"]) == 2


def test_the_direct_road_is_a_line_of_its_own_look() -> None:
    line, other = make_line([0, 500], [0, 0]), make_line([0, 200, 500], [0, 80, 0])
    lines = MapVariant(other, "By Quay"), MapVariant(other, "The direct road", is_direct=True)
    packed = decode(map_script(make_map(line, variants=lines)))["variants"]
    assert [each.get("direct") for each in packed] == [None, True]
    assert [each["label"] for each in packed] == ["By Quay", "The direct road"]


def test_script_is_deterministic_and_under_its_id() -> None:
    script = map_script(sample_map(sample_track()))
    assert script == map_script(sample_map(sample_track()))
    assert f'softpedalMaps["{ROUTE}"] = ' in script


def test_faulty_lines_are_refused_with_their_numbers() -> None:
    line = make_line([0, 100], [0, 0])
    with pytest.raises(ValueError, match="2, 2, 1"):
        map_script(make_map(MapLine(line.lat, line.lon, line.chainage[:1])))
    with pytest.raises(ValueError, match="not 1"):
        map_script(make_map(MapLine(line.lat[:1], line.lon[:1], line.chainage[:1])))
