"""A town's figures, counted by hand, and its verdicts as GeoJSON."""

from __future__ import annotations

import json

import pytest

from softpedal.streets.country import country_of
from softpedal.streets.survey import survey, verdicts_geojson
from softpedal.streets.through_traffic import through_traffic
from streets.small_network import network

STREETS = [
    ([(0, 0), (0, 200), (0, 1200), (800, 1200)], "tertiary Mill Road"),
    ([(800, 0), (800, 1200)], "secondary High Street"),
    ([(0, 0), (400, 0), (800, 0)], "residential Barrel Street"),
    ([(400, 0), (400, 100)], "residential Larch Close"),
    ([(0, 200), (300, 200)], "residential Orchard Lane"),
    ([(400, 100), (400, 600)], "cycleway"),
    ([(400, 600), (400, 610)], "footway"),
]


@pytest.fixture(scope="module")
def town():
    found = network(STREETS, cut=[(300, 200)])
    return found, through_traffic(found)


def test_the_figures(town) -> None:
    found = survey(*town, country_of("GB"))
    assert (found.ways, found.edges) == (7, 10)
    assert found.main_roads == ("High Street", "Mill Road")
    assert found.portals == 3
    assert found.cut_ends == 1
    assert found.km_by_class == pytest.approx(
        {"tertiary": 2.0, "residential": 1.2, "secondary": 1.2, "cycleway": 0.5, "footway": 0.01},
        rel=2e-3,
    )
    assert next(iter(found.km_by_class)) == "tertiary"
    assert found.km_to_ride == pytest.approx(4.9, rel=2e-3)
    assert found.km_by_grade == pytest.approx(
        {"sure": 0.1, "sign only": 0, "gate": 0, "one-ways": 0, "edge": 0.3, "through": 0.8},
        rel=2e-3,
    )
    assert found.share_by_grade["through"] == pytest.approx(2 / 3, rel=2e-3)


def test_the_short_cuts(town) -> None:
    found = survey(*town, country_of("GB"))
    assert [cut.street for cut in found.short_cuts] == ["Barrel Street"]
    cut = found.short_cuts[0]
    assert cut.metres == pytest.approx(800, rel=2e-3)
    assert cut.seconds == pytest.approx(3200 * 3.6 / 40 - 800 * 3.6 / 25, rel=2e-3)
    assert not survey(*town, country_of("GB"), listed=0).short_cuts


def test_the_text(town) -> None:
    text = "\n".join(survey(*town, country_of("GB")).lines())
    assert "High Street, Mill Road" in text
    assert "  through              0.8    67%" in text
    assert "Barrel Street: " in text


def test_a_town_without_streets_has_no_shares() -> None:
    roads = network(STREETS[:1])
    found = survey(roads, through_traffic(roads), country_of(""))
    assert set(found.share_by_grade.values()) == {0.0}
    assert found.lines()


def test_geojson_has_a_feature_for_each_way_and_what_is_said(town) -> None:
    collection = verdicts_geojson(*town)
    json.dumps(collection, allow_nan=False)
    assert collection["type"] == "FeatureCollection"
    by_way = {f["properties"]["way"] - 100: f for f in collection["features"]}
    assert sorted(by_way) == [0, 1, 2, 3, 4]
    assert len(collection["features"]) == 5
    barrel = by_way[2]["properties"]
    assert barrel["grade"] == "through"
    assert "→ this street →" in barrel["evidence"]
    assert by_way[3]["properties"] == {
        "way": 103,
        "name": "Larch Close",
        "grade": "sure",
        "closed_by": "a dead end",
        "evidence": "A dead end for motor traffic; a path goes on.",
    }
    shape = by_way[0]["geometry"]
    assert shape["type"] == "MultiLineString"
    assert [len(line) for line in shape["coordinates"]] == [4]
    lon, lat = shape["coordinates"][0][0]
    assert (lon, lat) == (-20.0, 50.0)
