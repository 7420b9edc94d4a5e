"""The background: decoded again, cut at the corridor's box, holes kept."""

from __future__ import annotations

import gzip
import json

import numpy as np
import pytest
from shapely.geometry import Polygon

from browser.sample_page import sample_track
from browser.sample_town import sample_background
from softpedal.site.basemap import SCALE, Background

METRE = 1 / 111_200


def box(west, south, east, north) -> list[list[float]]:
    return [[west, south], [east, south], [east, north], [west, north], [west, south]]


def feature(layer, kind, coordinates, **properties) -> dict:
    return {
        "type": "Feature",
        "properties": {"layer": layer, **properties},
        "geometry": {"type": kind, "coordinates": coordinates},
    }


@pytest.fixture
def read(tmp_path):
    def read_features(*features) -> Background:
        path = tmp_path / "town.geojson"
        path.write_text(json.dumps({"type": "FeatureCollection", "features": features}))
        return Background.read(path)

    return read_features


LAT = np.array([0.0, 0.01])
LON = np.array([0.0, 0.0])


def decode(script: str) -> dict[str, list[dict]]:
    data = json.loads(script.split("] = ", 1)[1].removesuffix(";\n"))
    assert data["scale"] == SCALE
    layers = {}
    for name, packed in data["layers"].items():
        points = np.cumsum(np.array(packed["d"]).reshape(-1, 2), axis=0) / SCALE + data["at"]
        shapes: list[dict] = []
        first = 0
        for count in packed["n"]:
            ring = points[first : first + abs(count), ::-1]
            first += abs(count)
            if count < 0:
                shapes[-1]["rings"].append(ring)
            else:
                label = packed.get("names", {}).get(str(len(shapes)), "")
                shapes.append({"rings": [ring], "name": label})
        assert first == len(points)
        layers[name] = shapes
    return layers


def test_polygon_comes_back_with_its_hole_and_name(read) -> None:
    outer, inner = box(0.0005, 0.001, 0.0025, 0.003), box(0.001, 0.0015, 0.002, 0.0025)
    background = read(feature("water", "Polygon", [outer, inner], name="Basin"))
    (shape,) = decode(background.corridor(LAT, LON))["water"]
    assert shape["name"] == "Basin"
    back = Polygon(shape["rings"][0], shape["rings"][1:])
    want = Polygon(outer, [inner])
    assert back.symmetric_difference(want).area < 0.01 * want.area


def test_shapes_are_cut_at_the_box_around_the_corridor(read) -> None:
    line = [[-0.1, 0.005], [0.1, 0.005]]
    background = read(feature("street", "LineString", line, name="Long Street"))
    (shape,) = decode(background.corridor(LAT, LON, half_width_m=300))["street"]
    ring = shape["rings"][0]
    assert ring[:, 0].max() == pytest.approx(300 * METRE, abs=2e-5)
    assert ring[:, 0].min() == pytest.approx(-300 * METRE, abs=2e-5)


def test_what_lies_off_the_corridor_is_left_out(read) -> None:
    near = box(0.001, 0.001, 0.0012, 0.0012)
    far = box(0.02, 0.001, 0.0202, 0.0012)
    background = read(feature("building", "Polygon", [near]), feature("building", "Polygon", [far]))
    assert len(decode(background.corridor(LAT, LON))["building"]) == 1
    assert background.corridor(LAT + 5, LON) == ""


def test_a_street_cut_in_two_keeps_its_name_on_both_pieces(read) -> None:
    there_and_back = [[0.0, 0.002], [0.02, 0.002], [0.02, 0.006], [0.0, 0.006]]
    background = read(
        feature("street", "LineString", [[0.0, 0.004], [0.001, 0.004]]),
        feature("street", "LineString", there_and_back, name="Bend"),
    )
    names = [shape["name"] for shape in decode(background.corridor(LAT, LON))["street"]]
    assert names == ["", "Bend", "Bend"]


def test_many_shapes_in_one_feature_are_all_drawn(read) -> None:
    two = [[box(0.001, 0.001, 0.0015, 0.0015)], [box(0.001, 0.002, 0.0015, 0.0025)]]
    background = read(feature("green", "MultiPolygon", two))
    assert len(decode(background.corridor(LAT, LON))["green"]) == 2


def test_specks_are_left_out(read) -> None:
    speck = box(0.001, 0.001, 0.00103, 0.00103)
    assert read(feature("building", "Polygon", [speck])).corridor(LAT, LON) == ""


def test_script_enters_itself_under_its_own_address_and_is_safe(read) -> None:
    background = read(feature("path", "LineString", [[0, 0], [0.001, 0.001]], name="</script>"))
    script = background.corridor(LAT, LON)
    assert "softpedalGround[document.currentScript.src] = " in script
    assert "</script" not in script


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("{", "not readable as GeoJSON"),
        ("[]", "expected a GeoJSON FeatureCollection"),
        ('{"features": [{}]}', "feature 1: expected a feature with properties"),
        ('{"features": [{"properties": {"layer": "sky"}}]}', "feature 1: layer 'sky' is none of"),
        ('{"features": [{"properties": {"layer": "path"}}]}', "feature 1: not a readable geometry"),
    ],
)
def test_faults_name_the_file_and_the_feature(tmp_path, text, words) -> None:
    path = tmp_path / "town.geojson"
    path.write_text(text)
    with pytest.raises(ValueError, match=rf"town\.geojson: {words}"):
        Background.read(path)


def test_corridor_stays_under_5_kb_a_km_and_is_deterministic(tmp_path) -> None:
    path = tmp_path / "town.geojson"
    path.write_text(json.dumps(sample_background()))
    track = sample_track()
    script = Background.read(path).corridor(track.lat, track.lon)
    assert script == Background.read(path).corridor(track.lat, track.lon)
    assert len(gzip.compress(script.encode())) < 5000 * track.length_m / 1000
