"""The lines of all routes in one GeoJSON file: RFC 7946, and what GIS programs read in it."""

from __future__ import annotations

import datetime as dt
import json
import math

import geopandas
import numpy as np
import pytest
import shapely

from building import gpx_text, leg, line_east, make_route, notes
from demo_site import ROOT
from softpedal.library.load import load_route, load_settings
from softpedal.library.track import WGS84
from softpedal.site import wording
from softpedal.site.addresses import ROUTES_GEOJSON
from softpedal.site.plain_pages import Addresses
from softpedal.site.publish import publish

BASE = "https://lindenferry.example/rides"
TODAY = dt.date(2026, 11, 26)


def written(library, link=Addresses("directory", BASE)):  # noqa: B008 - it is frozen
    files = {file.path: file.content for file in publish(library, link, today=TODAY).files}
    return files.get(ROUTES_GEOJSON)


def collection_of(library):
    return json.loads(written(library))


@pytest.fixture
def library(tmp_path):
    """A winding route of two thirds quiet street, one of two parts, one withdrawn, one draft."""
    winding = [(50 + 2e-4 * math.sin(k / 9), lon) for k, (_, lon) in enumerate(line_east(2000))]
    text = notes(
        area=["Old Harbour", "Chapel Side"],
        legs=[leg("start", "busy road"), leg("680 m", "traffic-free path")],
    )
    make_route(tmp_path, text, winding, id="winding")
    parted = gpx_text([*line_east(1000), *line_east(1000, lon=-19.98)], [101])
    make_route(tmp_path, gpx=parted, id="parted")
    gone = {"why": "Shut."}
    make_route(tmp_path, notes(status="withdrawn", withdrawn=gone), id="gone")
    make_route(tmp_path, notes(status="draft"), id="draft")
    return tmp_path


def test_it_opens_as_a_table_of_lines(library, tmp_path) -> None:
    path = tmp_path / "routes.geojson"
    path.write_bytes(written(library))
    table = geopandas.read_file(path).set_index("id")
    assert table.crs == "EPSG:4326"
    assert sorted(table.index) == ["parted", "winding"]
    assert table.geometry.geom_type.to_dict() == {
        "parted": "MultiLineString",
        "winding": "LineString",
    }
    row = table.loc["winding"]
    assert row["area"] == "Old Harbour, Chapel Side"
    assert row["address"] == f"{BASE}/routes/winding/"
    assert row["difficulty"] == "demanding"
    assert row["level"] == 4
    assert 0.5 < row["quiet_share"] < 0.7
    assert wording.CAUTION_SHORT in row["caution"]


def test_it_is_a_feature_collection_with_a_box_around_all() -> None:
    """RFC 7946: 3.3 FeatureCollection, 3.2 Feature, 4 longitude first, 5 west south east north."""
    collection = collection_of(ROOT)
    assert collection["type"] == "FeatureCollection"
    assert "crs" not in collection  # section 4: it is gone from the format
    ids = [feature["id"] for feature in collection["features"]]
    assert len(set(ids)) == len(ids) >= 8
    for feature in collection["features"]:
        assert set(feature) == {"type", "id", "bbox", "geometry", "properties"}
        assert feature["type"] == "Feature"
        box = shapely.geometry.shape(feature["geometry"]).bounds
        west, south, east, north = feature["bbox"]
        assert west <= box[0] <= box[2] <= east
        assert south <= box[1] <= box[3] <= north
        assert -21 < west < -19
        whole = collection["bbox"]
        assert whole[0] <= west
        assert whole[1] <= south
        assert whole[2] >= east
        assert whole[3] >= north


@pytest.mark.parametrize("name", ["parted", "winding"])
def test_lines_are_thinned_to_within_two_metres(library, name) -> None:
    features = {feature["id"]: feature for feature in collection_of(library)["features"]}
    line = shapely.geometry.shape(features[name]["geometry"])
    settings, _ = load_settings(library / "softpedal.yml")
    track = load_route(library / "routes" / name, settings).route.along.track
    assert len(shapely.get_coordinates(line)) < len(track.lat) / 3
    for lat, lon in zip(track.lat, track.lon, strict=True):
        near = shapely.get_coordinates(_nearest(line, lon, lat))[0]
        _, _, metres = WGS84.inv(lon, lat, *near)
        assert metres <= 2.1  # two metres, and the sixth decimal


def _nearest(line, lon, lat):
    """Return the point of a line that is nearest on the ground, not in degrees."""
    wide = math.cos(math.radians(lat))
    scaled = shapely.transform(line, lambda xy: xy * np.array([wide, 1]))
    found = shapely.shortest_line(scaled, shapely.Point(lon * wide, lat)).coords[0]
    return shapely.Point(found[0] / wide, found[1])


def test_figures_are_not_flattered(library) -> None:
    text = notes(legs=[leg("start", "busy road"), leg("1 m", "traffic-free path")])
    make_route(library, text, line_east(30_000, step=100), id="long")
    features = {feature["id"]: feature for feature in collection_of(library)["features"]}
    assert features["long"]["properties"]["quiet_share"] == 0.9999  # of 0.99997


def test_a_site_without_an_address_has_none(library) -> None:
    assert written(library, Addresses()) is None


def test_a_library_without_routes_has_an_empty_one(tmp_path) -> None:
    """RFC 7946, section 3.3: the array of features may be empty; there is no box then."""
    (tmp_path / "routes").mkdir()
    collection = collection_of(tmp_path)
    assert collection["features"] == []
    assert "bbox" not in collection
