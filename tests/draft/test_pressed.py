"""Where the ride stood and where a button was pressed; where the film shows a place."""

from __future__ import annotations

import pytest

from building import line_east, track_of
from draft.heard_on import LENGTH_M, NO_MAP, SAID, at, by_map, merged, remark
from softpedal.draft.heard import leftovers, second_at
from softpedal.draft.observed import Observed, Stop
from softpedal.draft.pressed import marks_on
from softpedal.library.film_time import film_text
from softpedal.library.gpx_reader import Waypoint


@pytest.mark.parametrize("metres", [615.5, 645, 654])
def test_a_stop_before_a_crossing_is_its_wait(metres) -> None:
    item = at(merged(stops=((metres, 48.4),)), "crossings", "645 m")
    assert (item["wait"], item["evidence"]) == ("48 s", "tags; stood 48 s here on the ride")
    assert (item["confidence"], item["source"]) == ("sure", "map")


@pytest.mark.parametrize("metres", [614, 656])
def test_a_stop_further_off_is_not(metres) -> None:
    found = merged(stops=((metres, 48),))
    assert found == by_map()
    stopped = Observed(stops=(Stop(metres, 48),))
    at = f"{metres / 1000:.2f} km"
    said = f"stood 48 s at {at}, where the notes have nothing: perhaps a shop or a gate"
    assert leftovers(found, stopped) == [said]


def test_several_stops_before_one_crossing_are_one_wait() -> None:
    item = at(merged(stops=((620, 20), (640, 15))), "crossings", "645 m")
    assert item["wait"] == "35 s"


def test_a_wait_that_is_known_stays() -> None:
    items = by_map()
    items["crossings"][0]["wait"] = "75 s"
    item = at(merged(stops=((640, 15),), items=items), "crossings", "645 m")
    assert (item["wait"], item["evidence"]) == ("75 s", "tags; stood 15 s here on the ride")


def test_one_does_not_wait_for_a_bridge_nor_for_the_way_back() -> None:
    for more in ({"control": "bridge"}, {"direction": "return"}):
        items = by_map()
        items["crossings"][0] |= more
        assert merged(stops=((640, 15),), items=items) == items


def test_a_stop_at_a_gate_is_evidence_of_it() -> None:
    found = merged(stops=((1190, 20),))
    assert at(found, "barriers", "1.200 km")["evidence"] == "tags; stood 20 s here on the ride"
    assert leftovers(found, Observed(stops=(Stop(1190, 20),))) == []


def test_a_crossing_that_was_only_said_is_waited_at_too() -> None:
    found = merged(remark("crossing", 1000), items=NO_MAP, stops=((990, 30),))
    item = at(found, "crossings", "1.000 km")
    assert (item["wait"], item["evidence"]) == ("30 s", f"{SAID}; stood 30 s here on the ride")


def test_marks_are_landmarks_to_fill_in_in_the_order_of_pressing() -> None:
    marks = ((500, "1"), (800, 'The "weir"'), (800, "003"))
    found = merged(remark("cue", 600), marks=marks)["landmarks"]
    assert [(item["at"], item["what"]) for item in found] == [
        ("500 m", "To be filled in (waypoint 1)"),
        ("600 m", "So this is what I say here."),
        ("800 m", "To be filled in (waypoint \"The 'weir'\")"),
        ("800 m", "To be filled in (waypoint 003)"),
    ]
    assert {(item["source"], item["confidence"]) for item in found if "To be" in item["what"]} == {
        ("said", "guess")
    }


THERE_AND_BACK = [*line_east(1000), *line_east(1000)[-2::-1]]


def on_track(points, *waypoints):
    """Return marks and words for (metres east, name, degrees north) of a straight line."""
    east = line_east(1000, 1.0)
    found = [
        Waypoint(lat=east[m][0] + north, lon=east[m][1], name=name, line=1)
        for m, name, north in waypoints
    ]
    return marks_on(track_of(points), found)


def test_a_waypoint_is_at_the_first_pass_that_is_not_before_the_last_one() -> None:
    marks, words = on_track(THERE_AND_BACK, (300, "a", 0), (900, "b", 0), (500, "c", 0))
    assert [(m.name, round(m.at_m)) for m in marks] == [("a", 300), ("b", 900), ("c", 1500)]
    assert words == []


def test_two_waypoints_at_one_place_keep_their_order_in_spite_of_noise() -> None:
    marks, words = on_track(line_east(1000), (300, "a", 0), (295, "", 0), (300, "c", 0))
    assert [(m.name, round(m.at_m)) for m in marks] == [("a", 300), ("2", 300), ("c", 300)]
    assert words == []


def test_no_waypoint_is_lost_without_a_word() -> None:
    far = 0.0005  # 56 m
    marks, words = on_track(line_east(1000), (700, "a", 0), (300, "", far), (200, "c", 0))
    assert [(m.name, round(m.at_m)) for m in marks] == [("c", 200), ("a", 700)]
    assert words == [
        "waypoint 2 is left out: it is 56 m from the line, more than 30 m",
        (
            "waypoint “c” stands behind others in the file, but before them on the line: "
            "it is put at 0.20 km"
        ),
    ]


CUT = ((10.0, 100.0), (60.0, 300.0), (60.0, 500.0), (90.0, 500.0), (100.0, 600.0))


@pytest.mark.parametrize(
    ("at_m", "second"),
    [
        (99.5, 10.0),
        (98, None),
        (100, 10),
        (200, 35),
        (300, 60),
        (301, None),
        (499, None),
        (500, 60),
        (550, 95),
        (600.4, 100),
        (602, None),
    ],
)
def test_the_film_shows_a_place_unless_it_was_cut_out(at_m, second) -> None:
    assert second_at(CUT, at_m) == second
    assert second_at((), at_m) is None


@pytest.mark.parametrize(("second", "text"), [(0.9, "0:00"), (250.9, "4:10"), (3849, "1:04:09")])
def test_a_second_of_the_film_is_written_rounded_down(second, text) -> None:
    assert film_text(second) == text


def test_a_mark_beyond_the_end_is_put_at_the_end() -> None:
    (item,) = merged(marks=((LENGTH_M + 3, "end"),))["landmarks"]
    assert item["at"] == "2.000 km"
