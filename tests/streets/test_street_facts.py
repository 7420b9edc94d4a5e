"""What tags say about a leg, in forms that the notes accept; tag values as on the wiki."""

from __future__ import annotations

import pytest

from softpedal.library.note_items import Leg
from softpedal.streets.country import country_of
from softpedal.streets.street_facts import (
    facts_of,
    lanes,
    lighting,
    parking,
    speed_limit,
    surface_of,
)
from streets.reading import ROAD, network_of, tags_of


def facts(folder, text, *, forward=True, country="GB"):
    network = network_of(folder, (ROAD, text))
    return facts_of(network, 0, forward, country_of(country))


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        ("30 mph", "30 mph"),
        ("20mph", "20 mph"),
        ("50", "50 km/h"),
        ("50 km/h", "50 km/h"),
        ("30;50", "50 km/h"),
        ("DE:zone:30", "30 km/h"),
        ("GB:nsl_single", "60 mph"),
        ("GB:nsl_dual", "70 mph"),
        ("FI:urban", None),
        ("walk", None),
        ("none", None),
        ("signals", None),
        ("0", None),
        ("", None),
    ],
)
def test_speed_limit(value, expected):
    assert speed_limit({"maxspeed": value}) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("lanes=2", 2),
        ("lanes=2;3", 3),
        ("lanes:forward=2; lanes:backward=1", 3),
        ("lanes:forward=1; lanes:backward=1; lanes:both_ways=1", 3),
        ("lanes:forward=1", None),
        ("lanes=1.5", None),
        ("lanes=0", None),
        ("lanes=40", None),
        ("highway=residential", None),
    ],
)
def test_lanes(text, expected):
    assert lanes(tags_of(text)) == expected


@pytest.mark.parametrize(
    ("surface", "smoothness", "expected"),
    [
        ("asphalt", "", "smooth"),
        ("asphalt", "intermediate", "fair"),
        ("asphalt", "bad", "rough"),
        ("", "very_bad", "rough"),
        ("paving_stones", "", "fair"),
        ("paving_stones", "excellent", "smooth"),
        ("sett", "", "cobbles"),
        ("sett", "bad", "cobbles"),
        ("sett", "good", "fair"),
        ("gravel", "", "loose"),
        ("gravel", "good", "loose"),
        ("fine_gravel", "", "fair"),
        ("ground", "", "rough"),
        ("asphalt;sett", "", "cobbles"),
        ("moon_dust", "", None),
        ("", "", None),
    ],
)
def test_surface(surface, smoothness, expected):
    assert surface_of(surface, smoothness) == expected


def test_a_track_without_surface_goes_by_its_grade():
    assert surface_of("", "", "grade1") == "fair"
    assert surface_of("asphalt", "", "grade3") == "smooth"


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        ("yes", "yes"),
        ("24/7", "yes"),
        ("no", "no"),
        ("limited", "partly"),
        ("Mo-Su 05:00-23:00", "partly"),
        ("unknown", None),
    ],
)
def test_lit(value, expected):
    assert lighting({"lit": value}) == expected
    assert lighting({}) is None


@pytest.mark.parametrize(
    ("text", "left", "right"),
    [
        ("parking:left=lane; parking:right=no", True, False),
        ("parking:both=street_side", True, True),
        ("parking:lane:right=parallel", None, True),
        ("parking:lane:both=no_stopping", False, False),
        ("parking:left=separate", None, None),
        ("highway=residential", None, None),
    ],
)
def test_parking_has_a_side(text, left, right):
    assert parking(tags_of(text), "left") is left
    assert parking(tags_of(text), "right") is right


def test_all_that_tags_can_say_is_what_a_leg_takes(tmp_path):
    text = (
        "highway=residential; maxspeed=30 mph; lanes=2; surface=asphalt; smoothness=bad; lit=yes; "
        "parking:left=lane; parking:left:width=2; cycleway:left=lane; cycleway:left:width=1.40 m; "
        "divider=median; lane_markings=no; flood_prone=yes"
    )
    found = facts(tmp_path, text)
    assert found == {
        "speed_limit": "30 mph",
        "lanes": 2,
        "surface": "rough",
        "lit": "yes",
        "parking": True,
        "parking_width": "2 m",
        "lane_width": "1.4 m",
        "median": True,
        "centre_line": False,
        "residential": True,
        "wet": "liable to flood",
    }
    leg = Leg.model_validate(
        {"from": "start", "street": "Mill Lane", "kind": "painted lane", **found}
    )
    assert leg.speed_limit.mph == 30
    assert leg.lane_width.outbound == pytest.approx(1.4)


def test_what_no_tag_says_is_left_out(tmp_path):
    assert facts(tmp_path, "highway=tertiary") == {}
    assert facts(tmp_path, "highway=steps") == {"steps": True}


@pytest.mark.parametrize(
    ("width", "expected"),
    [("5'", "1.52 m"), ("4'11\"", "1.5 m"), ("150 cm", "1.5 m"), ("wide", None)],
)
def test_widths(tmp_path, width, expected):
    network = network_of(tmp_path, (ROAD, "highway=primary; cycleway:left=lane"))
    network.way_tags[0]["cycleway:left:width"] = width
    assert facts_of(network, 0, True, country_of("GB")).get("lane_width") == expected


def test_side_and_direction_count(tmp_path):
    text = (
        "highway=primary; cycleway:left=lane; cycleway:left:width=1.4; parking:right=lane; "
        "maxspeed:forward=40; maxspeed:backward=60"
    )
    along = {"speed_limit": "40 km/h", "lane_width": "1.4 m"}
    against = {"speed_limit": "60 km/h", "parking": True}
    assert facts(tmp_path, text) == along
    assert facts(tmp_path, text, forward=False) == against
    assert facts(tmp_path, text, forward=True, country="DE") == {
        "speed_limit": "40 km/h",
        "parking": True,
    }


def test_a_path_has_no_lanes_nor_limit(tmp_path):
    text = "highway=cycleway; maxspeed=20; lanes=2; surface=fine_gravel; lit=no"
    assert facts(tmp_path, text) == {"surface": "fair", "lit": "no"}


def test_a_tracks_surface_is_its_own(tmp_path):
    text = "highway=primary; surface=sett; cycleway:left=track"
    assert "surface" not in facts(tmp_path, text)
    assert facts(tmp_path, f"{text}; cycleway:left:surface=asphalt")["surface"] == "smooth"
    assert facts(tmp_path, text, forward=False)["surface"] == "cobbles"
