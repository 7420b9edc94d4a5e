"""Timed tags become hours that the notes take, and nothing else does."""

from __future__ import annotations

import pytest

from softpedal.library.values import check_hours
from softpedal.streets.conditional import alternatives, hours_of
from streets.reading import tags_of


@pytest.mark.parametrize(
    "text",
    [
        "Mo-Sa 08:00-18:00",
        "21:00-06:00",
        "Mo-Fr 08:15-09:15,14:45-15:45",
        "Sa,Su,PH 07:00-20:00",
        "Tu-Su 12:00-19:00; Th 12:00-21:00",
        "sunset-sunrise",
    ],
)
def test_hours_are_kept_as_written(text):
    assert hours_of(f" {text} ") == text
    assert check_hours(hours_of(text)) == text


@pytest.mark.parametrize(
    "text",
    [
        "",
        "wet",
        "weight>7.5",
        "delivery",
        "Mo-Fr 07:00-19:00 AND wet",
        'Mo-Fr 08:00-15:00 "school days"',
        "stay < 2 h",
        "2020 Mar 01-2020 Apr 01",
        "Mon-Sat 8-18",
    ],
)
def test_what_is_no_hours_is_left_out(text):
    assert hours_of(text) == ""


def test_alternatives_are_the_tags_at_these_hours():
    tags = tags_of("highway=pedestrian; bicycle=yes; bicycle:conditional=no @ (Mo-Sa 08:00-18:00)")
    assert alternatives(tags) == [("Mo-Sa 08:00-18:00", {"bicycle": "no"})]


def test_the_last_clause_that_holds_wins_so_it_comes_first():
    tags = {"motor_vehicle:conditional": "no @ (Mo-Fr 08:00-18:00); delivery @ (Mo-Fr 10:00-11:00)"}
    assert alternatives(tags) == [
        ("Mo-Fr 10:00-11:00", {"motor_vehicle": "delivery"}),
        ("Mo-Fr 08:00-18:00", {"motor_vehicle": "no"}),
    ]


def test_two_keys_at_the_same_hours_hold_together():
    tags = {"bicycle:conditional": "yes @ (Su)", "motor_vehicle:conditional": "no @ (Su)"}
    assert alternatives(tags) == [("Su", {"bicycle": "yes", "motor_vehicle": "no"})]


def test_what_is_nothing_to_a_rider_is_left_out():
    assert alternatives({"maxweight:conditional": "7 @ (Mo-Fr 07:00-19:00)"}) == []
    assert alternatives({"parking:left:conditional": "no @ (Su)"}) == []
