"""What is read of an extract, and what of a broken one."""

from __future__ import annotations

import sys

import numpy as np
import pytest
import shapely

from softpedal.streets.extract import ExtractError
from softpedal.streets.ground import read_ground
from softpedal.streets.ground_layers import LAYERS, layer_of
from streets.small_extract import EAST_M, NORTH_M, degrees, extract, ring


def of_layer(ground, layer) -> list:
    return list(ground.shapes[ground.layers == LAYERS.index(layer)])


def area_m2(shape) -> float:
    return shape.area * EAST_M * NORTH_M


@pytest.mark.parametrize(
    ("tags", "layer"),
    [
        ({"highway": "primary_link"}, "main_road"),
        ({"highway": "residential", "name": "Reed Lane"}, "street"),
        ({"highway": "service"}, "street"),
        ({"highway": "service", "service": "driveway"}, None),
        ({"highway": "footway"}, "path"),
        ({"highway": "footway", "footway": "sidewalk"}, None),
        ({"highway": "trail"}, "path"),
        ({"highway": "corridor"}, None),
        ({"highway": "proposed"}, None),
        ({"highway": "path", "layer": "-1"}, "path"),
        ({"highway": "path", "layer": "-3"}, None),
        ({"highway": "path", "layer": "ground"}, "path"),
        ({"railway": "tram"}, "rail"),
        ({"railway": "tram", "tunnel": "yes"}, None),
        ({"railway": "abandoned"}, None),
        ({"waterway": "canal"}, "river"),
        ({"waterway": "stream", "tunnel": "culvert"}, None),
        ({"waterway": "ditch"}, "stream"),
        ({"building": "yes"}, None),
    ],
)
def test_open_ways(tags, layer) -> None:
    assert layer_of(tags, is_area=False) == layer


@pytest.mark.parametrize(
    ("tags", "layer"),
    [
        ({"building": "yes"}, "building"),
        ({"building": "no"}, None),
        ({"leisure": "park"}, "green"),
        ({"leisure": "park", "area": "no"}, None),
        ({"landuse": "allotments"}, "green"),
        ({"amenity": "grave_yard"}, "green"),
        ({"natural": "wood"}, "green"),
        ({"landuse": "industrial"}, None),
        ({"natural": "water"}, "water"),
        ({"waterway": "riverbank"}, "water"),
        ({"waterway": "river"}, "river"),
        ({"highway": "pedestrian", "area": "yes"}, "paved"),
        ({"highway": "residential"}, "street"),
        ({"landuse": "gr\u00fcn"}, None),
    ],
)
def test_closed_ways(tags, layer) -> None:
    assert layer_of(tags, is_area=True) == layer


def test_a_relation_makes_an_area_with_its_island(tmp_path) -> None:
    outer, inner = ring(0, 0, 400), ring(100, 100, 100)
    path = extract(
        tmp_path / "town.osm",
        [(outer[:3], {}), (outer[2:], {}), (inner, {})],
        [((0, 1, 2), {"type": "multipolygon", "natural": "water", "name": "Basin"})],
    )
    ground = read_ground(path)
    (water,) = of_layer(ground, "water")
    assert area_m2(water) == pytest.approx(400**2 - 100**2, rel=1e-3)
    assert len(water.interiors) == 1
    assert ground.names.tolist() == ["Basin"]
    assert water.contains(shapely.Point(degrees(50, 50)))
    assert not water.contains(shapely.Point(degrees(150, 150)))


def test_a_ring_with_members_missing_costs_that_area_only(tmp_path) -> None:
    outer = ring(0, 0, 400)
    path = extract(
        tmp_path / "town.osm",
        [(outer[:3], {}), (ring(600, 0, 50), {"building": "yes"})],
        [((0, 77), {"type": "multipolygon", "natural": "water"})],
    )
    ground = read_ground(path)
    assert [LAYERS[i] for i in ground.layers] == ["building"]


def test_a_node_that_is_missing_is_passed_over(tmp_path) -> None:
    path = extract(
        tmp_path / "town.osm",
        [([(0, 0), None, (200, 0)], {"highway": "path"}), ([(0, 9), None], {"highway": "path"})],
    )
    (line,) = of_layer(read_ground(path), "path")
    assert line.equals_exact(shapely.LineString([degrees(0, 0), degrees(200, 0)]), 1e-6)


def test_pieces_of_one_street_become_one_line_with_its_name(tmp_path) -> None:
    reed = {"highway": "residential", "name": "Reed Lane"}
    path = extract(
        tmp_path / "town.osm",
        [([(0, 0), (100, 0)], reed), ([(100, 0), (200, 0)], reed), ([(0, 50), (99, 50)], reed)],
    )
    ground = read_ground(path)
    assert sorted(len(s.coords) for s in of_layer(ground, "street")) == [2, 2]
    assert set(ground.names.tolist()) == {"Reed Lane"}


def test_lines_are_thinned_in_metres_not_degrees(tmp_path) -> None:
    """At 60° north a degree east is half a degree north: a bend of 0.8 m goes either way."""
    east = [(0, 0), (50, 0.8), (100, 0)]
    north = [(300, 0), (300.8, 50), (300, 100)]
    wide = [(500, 0), (501.5, 50), (500, 100)]
    ways = [
        (line, {"highway": "path", "name": str(i)}) for i, line in enumerate((east, north, wide))
    ]
    ground = read_ground(extract(tmp_path / "town.osm", ways))
    counts = dict(zip(ground.names, map(shapely.get_num_coordinates, ground.shapes), strict=True))
    assert counts == {"0": 2, "1": 2, "2": 3}


def test_specks_are_measured_in_square_metres(tmp_path) -> None:
    sheds = [ring(0, 0, 4.2), ring(50, 0, 4.7)]
    ground = read_ground(extract(tmp_path / "town.osm", [(s, {"building": "yes"}) for s in sheds]))
    assert [round(area_m2(s)) for s in ground.shapes] == [22]


def test_a_crossed_ring_is_mended(tmp_path) -> None:
    bow = [(0, 0), (100, 100), (100, 0), (0, 100), (0, 0)]
    ground = read_ground(extract(tmp_path / "town.osm", [(bow, {"leisure": "park"})]))
    assert sum(map(area_m2, ground.shapes)) == pytest.approx(5000, rel=1e-3)


def test_an_extract_of_nothing_is_empty(tmp_path) -> None:
    assert len(read_ground(extract(tmp_path / "town.osm", [])).shapes) == 0


def test_sea_comes_from_the_coastline_within_the_extracts_box(tmp_path) -> None:
    coast = [(-100, 300), (600, 300)]  # land to the north, on its left
    path = extract(
        tmp_path / "town.osm", [(coast, {"natural": "coastline"})], bounds=(0, 0, 500, 500)
    )
    (sea,) = of_layer(read_ground(path), "water")
    assert area_m2(sea) == pytest.approx(500 * 300, rel=1e-3)
    assert sea.contains(shapely.Point(degrees(250, 100)))


def test_a_nonsense_box_is_not_believed(tmp_path) -> None:
    ways = [([(0, 300), (500, 300)], {"natural": "coastline"}), (ring(0, 0, 500), {})]
    ways[1] = (ways[1][0], {"landuse": "grass"})
    far = (9000, 9000, 9500, 9500)
    (sea,) = of_layer(read_ground(extract(tmp_path / "town.osm", ways, bounds=far)), "water")
    assert area_m2(sea) == pytest.approx(500 * 300, rel=1e-3)


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("town.osm", b'<osm version="0.6"><node id="1" lat="50"', "cut short or no extract"),
        ("town.osm.pbf", b"\x00\x00\x00\x0d\x0a\x09OSMHeader\x18", "cut short or no extract"),
        ("town.osm.pbf", b"not an extract at all", "cut short or no extract"),
        ("town.zip", b"PK", "cut short or no extract"),
        (None, b"", "no such file"),
    ],
)
def test_an_unreadable_extract_says_so_without_machine_paths(
    tmp_path, name, content, words
) -> None:
    path = tmp_path / (name or "missing.osm")
    if name:
        path.write_bytes(content)
    with pytest.raises(ExtractError, match=words) as caught:
        read_ground(path)
    assert str(tmp_path) not in str(caught.value)
    assert caught.value.hint


def test_without_osmium_the_hint_names_what_to_install(tmp_path, monkeypatch) -> None:
    monkeypatch.setitem(sys.modules, "osmium", None)
    with pytest.raises(ExtractError, match="not installed") as caught:
        read_ground(extract(tmp_path / "town.osm", []))
    assert "pip install 'softpedal[streets]'" in caught.value.hint


def test_reading_is_the_same_each_time(tmp_path) -> None:
    ways = [(ring(i * 60, 0, 40), {"building": "yes"}) for i in range(5)]
    path = extract(tmp_path / "town.osm", ways)
    a, b = read_ground(path), read_ground(path)
    assert np.array_equal(shapely.to_wkb(a.shapes), shapely.to_wkb(b.shapes))
