"""The data of a route: RFC 7946, every leg and point, and under whose licence."""

from __future__ import annotations

import json

import numpy as np
import pytest

from building import crossing, gpx_text, leg, line_east, notes, route_of
from softpedal.library.track import WGS84
from softpedal.measure.route_measures import measure
from softpedal.settings import Settings
from softpedal.site.downloads import gpx_files

SETTINGS = Settings(background_attribution="Map by the town, CC0")
NOTES = notes(
    legs=[
        leg("start", "back street"),
        leg("1 km", "protected track", street="Tar <Lane>"),
    ],
    crossings=[crossing("0.5 km", "zebra", road="Grain Road")],
)


def data(changed=None, **more) -> dict:
    route = route_of(NOTES | (changed or {}), **more)
    found = gpx_files(route, measure(route, SETTINGS), SETTINGS)
    (content,) = [file.content for file in found if file.path.endswith(".geojson")]
    return json.loads(content)


def coordinates(feature) -> list:
    geometry = feature["geometry"]
    depth = {"Point": 0, "LineString": 1, "MultiLineString": 2}[geometry["type"]]
    flat = (
        np.array(geometry["coordinates"], dtype=float)
        if depth < 2
        else np.concatenate([np.array(piece, dtype=float) for piece in geometry["coordinates"]])
    )
    return np.atleast_2d(flat).tolist()


def test_it_is_a_collection_in_degrees_longitude_first_with_six_decimals() -> None:
    collection = data()
    assert collection["type"] == "FeatureCollection"
    assert "crs" not in collection  # RFC 7946, 4: always WGS84
    for feature in collection["features"]:
        assert feature["type"] == "Feature"
        for lon, lat in coordinates(feature):
            assert -20.1 < lon < -19.9
            assert 49.9 < lat < 50.1
            assert lon == round(lon, 6)
            assert lat == round(lat, 6)


def test_legs_follow_each_other_and_tell_their_kind() -> None:
    legs = [
        feature
        for feature in data()["features"]
        if feature["properties"]["sort"] == "leg"
        and feature["properties"]["direction"] == "outbound"
    ]
    first, second = legs
    assert coordinates(first)[-1] == coordinates(second)[0]
    told = second["properties"]
    assert (told["street"], told["kind"], told["level"]) == ("Tar <Lane>", "protected track", 1)
    assert told["quiet"] is True
    assert first["properties"]["quiet"] is False
    assert (told["from_m"], told["to_m"]) == (1000, 2000)
    ends = np.array(coordinates(second))
    _, _, metres = WGS84.inv(*ends[0], *ends[-1])
    assert metres == pytest.approx(1000, abs=0.5)


def test_points_lie_where_they_are_met_in_each_direction() -> None:
    met = [f for f in data()["features"] if f["properties"]["sort"].endswith("crossing")]
    assert [f["properties"]["at_m"] for f in met] == [500, 1500]
    assert coordinates(met[0]) == coordinates(met[1])
    assert "Grain Road" in met[0]["properties"]["text"]


def test_a_gap_in_the_track_stays_a_gap() -> None:
    points = line_east(2000)
    jump = [(lat, lon + 0.0004) for lat, lon in points[101:]]
    features = data(
        {"legs": [leg("start", "back street")]}, gpx=gpx_text([*points[:101], *jump], [101])
    )["features"]
    legs = [f for f in features if f["properties"]["sort"] == "leg"]
    assert {f["geometry"]["type"] for f in legs} == {"MultiLineString"}
    assert all(len(f["geometry"]["coordinates"]) == 2 for f in legs)


def test_it_names_the_licence() -> None:
    collection = data()
    assert collection["attribution"] == "Map by the town, CC0"
    assert "Quiet is not a promise of safety" in collection["description"]
