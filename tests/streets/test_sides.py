"""Which side's cycleway a rider has, by driving side and direction of travel."""

from __future__ import annotations

import pytest

from softpedal.streets.sides import bus_lane, detail, directed, facility, own_side, pavement_tag
from streets.reading import tags_of

LEFT_HAND, RIGHT_HAND = True, False


def what(text: str, forward: bool, drives_left: bool) -> str:
    return facility(tags_of(f"highway=residential; {text}"), forward, drives_left=drives_left).what


def test_one_rides_on_the_side_that_the_country_drives_on():
    assert own_side(forward=True, drives_left=True) == "left"
    assert own_side(forward=False, drives_left=True) == "right"
    assert own_side(forward=True, drives_left=False) == "right"
    assert own_side(forward=False, drives_left=False) == "left"


@pytest.mark.parametrize(
    ("text", "left_hand", "right_hand"),
    [  # (along the drawn line, against it)
        ("cycleway:left=lane", ("lane", ""), ("", "lane")),
        ("cycleway:right=track", ("", "track"), ("track", "")),
        ("cycleway:both=lane", ("lane", "lane"), ("lane", "lane")),
        ("cycleway=track", ("track", "track"), ("track", "track")),
        ("cycleway:left=track; cycleway:left:oneway=no", ("track", "track"), ("track", "track")),
        ("cycleway:left=track; cycleway:left:oneway=yes", ("track", ""), ("track", "")),
        ("cycleway:right=lane; cycleway:left=no", ("", "lane"), ("lane", "")),
        ("cycleway:left=separate; cycleway:right=lane", ("", "lane"), ("lane", "")),
        ("cycleway=no", ("", ""), ("", "")),
        ("cycleway=shared_lane", ("shared lane",) * 2, ("shared lane",) * 2),
        ("cycleway:both=lane; cycleway:both:lane=pictogram", ("shared lane",) * 2, None),
        ("cycleway:left=share_busway", ("bus", ""), ("", "bus")),
        ("cycleway:both=track; cycleway:both:segregated=no", ("shared track",) * 2, None),
    ],
)
def test_on_a_two_way_street(text, left_hand, right_hand):
    assert (what(text, True, LEFT_HAND), what(text, False, LEFT_HAND)) == left_hand
    if right_hand:
        assert (what(text, True, RIGHT_HAND), what(text, False, RIGHT_HAND)) == right_hand


@pytest.mark.parametrize(
    ("text", "drives_left", "along", "against"),
    [
        ("oneway=yes; cycleway=lane", LEFT_HAND, "lane", ""),
        ("oneway=yes; oneway:bicycle=no; cycleway=lane", LEFT_HAND, "lane", ""),
        ("oneway=yes; cycleway=opposite_lane", LEFT_HAND, "", "lane"),
        ("oneway=yes; cycleway=opposite_track", RIGHT_HAND, "", "track"),
        ("oneway=yes; cycleway=opposite", RIGHT_HAND, "", ""),
        ("oneway=-1; cycleway=opposite_lane", RIGHT_HAND, "lane", ""),
        ("oneway=yes; cycleway:left=lane", RIGHT_HAND, "lane", ""),
        ("oneway=yes; oneway:bicycle=no; cycleway:left=lane", RIGHT_HAND, "", "lane"),
        ("oneway=yes; oneway:bicycle=no; cycleway:left=lane", LEFT_HAND, "lane", ""),
        ("oneway=yes; cycleway:right=track; cycleway:right:oneway=-1", LEFT_HAND, "", "track"),
        ("oneway=yes; cycleway:right=track; cycleway:right:oneway=no", LEFT_HAND, "track", "track"),
        ("oneway=yes; oneway:bicycle=no; cycleway:both=lane", RIGHT_HAND, "lane", "lane"),
        ("oneway=yes; cycleway=opposite_share_busway", RIGHT_HAND, "", "bus"),
    ],
)
def test_on_a_one_way_street(text, drives_left, along, against):
    assert what(text, True, drives_left) == along
    assert what(text, False, drives_left) == against


@pytest.mark.parametrize(
    ("between", "expected"),
    [
        ("cycleway:left:separation:right=bollard", "track"),
        ("cycleway:left:separation:both=kerb;planter", "track"),
        ("cycleway:left:separation=flex_post", "track"),
        ("cycleway:left:separation:right=solid_line", "lane"),
        ("cycleway:left:separation:left=kerb", "lane"),  # that is the pavement's kerb
    ],
)
def test_posts_or_a_kerb_towards_the_traffic_make_a_track_of_a_lane(between, expected):
    assert what(f"cycleway:left=lane; {between}", True, LEFT_HAND) == expected


def test_a_track_mapped_apart_is_named_for_the_side_ridden_and_for_the_other_one():
    tags = tags_of("highway=primary; cycleway:left=no; cycleway:right=separate")
    assert facility(tags, True, drives_left=True).apart == "cycleway:right=separate"
    assert facility(tags, False, drives_left=True).apart == "cycleway:right=separate"


def test_with_a_lane_on_ones_own_side_the_other_sides_track_is_no_question():
    tags = tags_of("highway=primary; cycleway:left=lane; cycleway:right=separate")
    along = facility(tags, True, drives_left=True)
    assert (along.what, along.tag, along.apart) == ("lane", "cycleway:left=lane", "")
    against = facility(tags, False, drives_left=True)
    assert (against.what, against.apart) == ("", "cycleway:right=separate")


def test_details_are_those_of_the_side_then_of_both_then_of_any():
    tags = tags_of("cycleway:left:width=1.4; cycleway:both:width=1.8; cycleway:width=2")
    assert detail(tags, "left", "width") == "1.4"
    assert detail(tags, "right", "width") == "1.8"
    assert detail({}, "right", "width") == ""


@pytest.mark.parametrize(
    ("text", "along", "against"),
    [
        ("busway:left=lane", True, False),
        ("busway=lane", True, True),
        ("lanes=4; lanes:bus:forward=1", True, False),
        ("lanes:psv:backward=1", False, True),
        ("oneway=yes; lanes:bus=1", True, False),
        ("oneway=yes; busway=opposite_lane", False, True),
        ("bus:lanes:backward=yes|designated", False, True),
        ("oneway=yes; psv:lanes=designated|yes|yes", True, False),
        ("lanes:bus=0", False, False),
        ("bus:lanes=yes|yes", False, False),
        ("busway:right=lane", False, True),
    ],
)
def test_bus_lanes_have_a_direction(text, along, against):
    tags = tags_of(f"highway=primary; {text}")
    assert bool(bus_lane(tags, True, drives_left=True)) == along
    assert bool(bus_lane(tags, False, drives_left=True)) == against


def test_tags_of_one_direction_hold_in_that_one_only():
    tags = tags_of("highway=primary; maxspeed:forward=50; bicycle:backward=use_sidepath")
    assert directed(tags, True)["maxspeed"] == "50"
    assert "bicycle" not in directed(tags, True)
    assert directed(tags, False)["bicycle"] == "use_sidepath"
    plain = tags_of("highway=primary")
    assert directed(plain, True) is plain


def test_cycles_let_in_against_a_one_way_street_by_the_old_tag():
    tags = tags_of("highway=residential; oneway=yes; bicycle:backward=yes")
    assert directed(tags, False)["oneway:bicycle"] == "no"
    assert "oneway:bicycle" not in directed(tags, True)


def test_a_pavement_that_may_be_ridden_has_a_side():
    tags = tags_of("highway=primary; sidewalk:left:bicycle=yes")
    assert pavement_tag(tags, True, drives_left=True) == "sidewalk:left:bicycle=yes"
    assert pavement_tag(tags, False, drives_left=True) == ""
    assert pavement_tag(tags, False, drives_left=False) == "sidewalk:left:bicycle=yes"
