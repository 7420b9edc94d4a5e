"""Where the background comes from, and what is advised when it cannot."""

from __future__ import annotations

import json
import sys

import pytest

from softpedal.settings import Settings
from softpedal.site.background_file import EXTRACT_ATTRIBUTION, background_file
from softpedal.site.basemap import LAYERS, Background
from streets.small_extract import extract, ring

HOUSE = (ring(0, 0, 40), {"building": "yes"})
COLLECTION = json.dumps(
    {
        "type": "FeatureCollection",
        "features": [
            {
                "type": "Feature",
                "properties": {"layer": "path"},
                "geometry": {"type": "LineString", "coordinates": [[-20, 60], [-20, 60.01]]},
            }
        ],
    }
)


def layers(path) -> list[str]:
    return [LAYERS[i] for i in Background.of(path).layers]


def test_without_either_the_ground_is_plain(tmp_path) -> None:
    found = background_file(tmp_path, Settings())
    assert (found.path, found.attribution, found.problems) == (None, "", ())


def test_an_extract_goes_before_a_collection(tmp_path) -> None:
    extract(tmp_path / "town.osm", [HOUSE])
    (tmp_path / "town.geojson").write_text(COLLECTION)
    settings = Settings(
        extract="town.osm", background="town.geojson", background_attribution="Ours, CC0"
    )
    found = background_file(tmp_path, settings)
    assert layers(found.path) == ["building"]
    assert (found.attribution, found.problems) == ("Ours, CC0", ())
    assert found.path.parent == (tmp_path / ".softpedal").resolve()


def test_an_extract_that_nobody_signed_gets_the_usual_words_and_advice(tmp_path) -> None:
    extract(tmp_path / "town.osm", [HOUSE])
    found = background_file(tmp_path, Settings(extract="town.osm"))
    assert found.attribution == EXTRACT_ATTRIBUTION == "© OpenStreetMap contributors"
    (advice,) = found.problems
    assert not advice.is_error
    assert "background_attribution" in advice.hint


@pytest.mark.parametrize("content", [None, b"<osm", b"\x00\x00"])
def test_a_bad_extract_falls_back_to_the_collection(tmp_path, content) -> None:
    (tmp_path / "town.geojson").write_text(COLLECTION)
    if content is not None:
        (tmp_path / "town.osm").write_bytes(content)
    found = background_file(tmp_path, Settings(extract="town.osm", background="town.geojson"))
    assert layers(found.path) == ["path"]
    (advice,) = found.problems
    assert not advice.is_error
    assert "town.osm" in advice.message
    assert str(tmp_path) not in str(advice)


def test_without_osmium_the_advice_says_what_to_install(tmp_path, monkeypatch) -> None:
    monkeypatch.setitem(sys.modules, "osmium", None)
    extract(tmp_path / "town.osm", [HOUSE])
    found = background_file(tmp_path, Settings(extract="town.osm"))
    assert found.path is None
    (advice,) = found.problems
    assert "softpedal[streets]" in advice.hint


def test_a_folder_that_cannot_be_written_to_is_advised_about(tmp_path) -> None:
    extract(tmp_path / "town.osm", [HOUSE])
    (tmp_path / ".softpedal").write_text("in the way")
    (advice,) = background_file(tmp_path, Settings(extract="town.osm")).problems
    assert "cannot be kept" in advice.message


def test_a_dense_town_is_narrowed_until_a_corridor_is_light(tmp_path) -> None:
    """Ten thousand odd houses on a square kilometre cannot all be on the map."""
    import gzip

    import numpy as np

    from softpedal.site.basemap import BYTES_PER_KM
    from streets.small_extract import degrees

    odd = np.random.default_rng(1)
    ways = []
    for x in range(-500, 500, 10):
        for y in range(-500, 500, 10):
            a, b, c, d = odd.uniform(4, 9, 4)
            house = [(x, y), (x + a, y), (x + b, y + c), (x, y + d), (x, y)]
            ways.append((house, {"building": "yes"}))
    ways.append(([(-500, 5), (500, 5)], {"highway": "residential", "name": "Reed Lane"}))
    extract(tmp_path / "town.osm", ways)
    found = background_file(tmp_path, Settings(extract="town.osm", background_attribution="Ours"))
    background = Background.of(found.path)
    (west, lat), (east, _) = degrees(-500, 5), degrees(500, 5)
    script = background.corridor(np.array([lat, lat]), np.array([west, east]))
    assert len(gzip.compress(script.encode())) < BYTES_PER_KM
    assert "Reed Lane" in script
