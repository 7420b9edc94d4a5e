"""Positions on the old line and on the new one, and the notes that are written with them."""

import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from building import gpx_text, track_of
from softpedal.draft.written import metres_of
from softpedal.library.gpx_reader import Limits, Waypoint
from softpedal.upkeep.reriding.line_cover import Stretch
from softpedal.upkeep.reriding.line_splice import spliced
from softpedal.upkeep.reriding.moved_notes import KIND_UNTIL_SAID, NoAdoptionError, moves
from softpedal.upkeep.reriding.moved_text import data_of, moved_text
from softpedal.upkeep.reriding.reanchor import Reanchor
from upkeep.noisy_lines import degrees, points

STRAIGHT = points([(0, 0), (1000, 0)], 10.0)
OLD = track_of(degrees(STRAIGHT))
#: From 400 to 600 m the ride goes 100 m aside: 400 m instead of 200 m.
RIDE = track_of(degrees(points([(0, 2), (400, 2), (400, 100), (600, 100), (600, 2), (1000, 2)])))
DETOUR = Stretch(400.0, 600.0, 400.0, 796.0)
HEAD = """\
title: T   # as people say
area: [A]
start: S
finish: F
summary: S.
status: published
ridden: [{on: 2026-05-16, direction: both}]
"""


def reanchor(*stretches, waypoints=()):
    content = gpx_text(degrees(STRAIGHT), waypoints={w.name: (w.lat, w.lon) for w in waypoints})
    new = spliced(content.encode(), OLD, RIDE, stretches, Limits())
    return Reanchor(OLD, waypoints, new, 15.0)


def moved(notes, *stretches):
    text = HEAD + notes
    found = moves(data_of(text), (), reanchor(*stretches))
    return moved_text(text, (), found, "Gone"), found


def test_the_new_line_takes_the_stretch_and_leaves_the_rest():
    new = reanchor(DETOUR).spliced
    assert new.track.length_m == pytest.approx(1196, abs=6)
    assert new.shift_m == pytest.approx([0.0, 196.0], abs=6)
    kept = [x for x in gpx_text(degrees(STRAIGHT)).splitlines() if "trkpt" in x]
    written = [x for x in new.content.decode().splitlines() if "trkpt" in x]
    assert kept[:41] == written[:41]
    assert kept[61:] == written[-40:]


def test_places_are_kept_moved_or_gone():
    places = reanchor(DETOUR)
    assert places.new_m(390.0) == 390.0
    assert places.new_m(500.0) is None
    assert places.new_m(700.0) == pytest.approx(896.0, abs=6)
    assert places.new_m(408.0) == pytest.approx(400.0, abs=8)
    assert places.new_m(1000.0) == pytest.approx(places.spliced.track.length_m)


def test_a_stretch_in_the_notes_keeps_what_is_left_of_it():
    places = reanchor(DETOUR)
    assert places.ends(450.0, 550.0) is None
    assert places.ends(300.0, 500.0) == (300.0, pytest.approx(400.0, abs=6))
    assert places.ends(500.0, 700.0) == (pytest.approx(796, abs=8), pytest.approx(896, abs=6))
    assert places.ends(300.0, 700.0) == (300.0, pytest.approx(896, abs=6))


@pytest.mark.parametrize(
    ("written", "now"),
    [
        ("0.70 km", r"0\.(89|90) km"),
        ("700 m", r"8\d\d m|90\d m"),
        ("0.435 mi", r"0\.55\d mi"),
        ("0.30 km", "0.30 km"),
        ("start", "start"),
        ("finish", "finish"),
    ],
)
def test_a_position_keeps_its_form(written, now):
    places = reanchor(DETOUR)
    text = places.text(written, places.new_m(places.old_m(written)))
    assert re.fullmatch(now, text), text


def test_coordinates_stay_and_what_is_near_them_moves():
    places = reanchor(DETOUR)
    (lat, lon), *_ = degrees(np.array([[800.0, 0.0]]))
    plain = f"{lat:.5f}, {lon:.5f}"
    assert places.text(plain, places.new_m(places.old_m(plain))) == plain
    near = f"{plain} near 0.80 km"
    assert places.text(near, places.new_m(places.old_m(near))).startswith(f"{plain} near 0.99")


def test_a_waypoint_stays_a_waypoint():
    (lat, lon), *_ = degrees(np.array([[800.0, 5.0]]))
    places = reanchor(DETOUR, waypoints=(Waypoint(lat, lon, "Gate", 1),))
    assert places.text("waypoint Gate", places.new_m(places.old_m("waypoint Gate"))) == (
        "waypoint Gate"
    )


LEGS = """\
legs:
  # by the water
  - from: start
    street: Quay   # cobbled
    kind: back street
    cue: Off you go.
  - from: 0.45 km
    street: Mid Street
    kind: filtered street
    closed_by: posts
  - from: 0.55 km
    street: Far Street
    kind: back street
"""


def test_legs_are_cut_left_out_and_put_in():
    text, found = moved(LEGS, DETOUR)
    legs = data_of(text)["legs"]
    assert [leg["street"] for leg in legs] == ["Quay", "Street to be named", "Far Street"]
    assert [leg["kind"] for leg in legs] == ["back street", KIND_UNTIL_SAID, "back street"]
    assert metres_of(legs[1]["from"], 0.0) == pytest.approx(400, abs=2)
    assert metres_of(legs[2]["from"], 0.0) == pytest.approx(796, abs=10)
    assert [gone.words for gone in found.gone] == ["legs at 0.45 km, Mid Street"]
    assert "  # Gone:\n  # - from: 0.45 km\n  #   street: Mid Street\n" in text
    assert "  # by the water\n  - from: start\n    street: Quay   # cobbled\n" in text


def test_a_leg_on_both_sides_comes_again_behind_the_new_one():
    text, _ = moved("legs:\n  - {from: start, street: Quay, kind: back street, cue: Go.}\n", DETOUR)
    legs = data_of(text)["legs"]
    assert [leg["street"] for leg in legs] == ["Quay", "Street to be named", "Quay"]
    assert "cue" in legs[0]
    assert "cue" not in legs[2]


def test_a_short_cut_needs_no_leg():
    cut = Stretch(400.0, 600.0, 400.0, 420.0)
    _, found = moved("legs:\n  - {from: start, street: Quay, kind: back street}\n", cut)
    assert (found.legs, found.gone) == ([], [])


def test_another_first_leg_begins_at_the_start():
    text, _ = moved(LEGS, Stretch(0.0, 500.0, 0.0, 696.0))
    legs = data_of(text)["legs"]
    assert legs[0] == {"from": "start", "street": "Street to be named", "kind": KIND_UNTIL_SAID}
    assert "  #   cue: Off you go." in text


ITEMS = """\
legs:
  - {from: start, street: Quay, kind: back street}
hazards:
  - {at: 0.35 km, to: 0.50 km, what: setts}
  - at: 0.47 km   # by the shop
    to: 0.52 km
    what: humps
    note: |
      Two lines
      of text.
  - {at: 0.80 km, what: a drain}
barriers:
- at: 0.50 km
  what: posts
hardest: {at: 0.5 km, text: "Here, really."}
skip: [{at: 0.10 km, what: a}, {at: 0.50 km, what: "b, c"}, {at: 0.90 km, what: d}]
wishes: [{at: 0.50 km, what: e}]
signed: [{from: 0.10 km, to: finish, as: f}]   # all along
"""


def test_items_without_a_place_become_comments():
    text, found = moved(ITEMS, DETOUR)
    data = data_of(text)
    assert [h["what"] for h in data["hazards"]] == ["setts", "a drain"]
    assert metres_of(data["hazards"][0]["to"], 0.0) == pytest.approx(400, abs=10)
    assert metres_of(data["hazards"][1]["at"], 0.0) == pytest.approx(996, abs=10)
    assert "barriers" not in data
    assert "hardest" not in data
    assert [s["what"] for s in data["skip"]] == ["a", "d"]
    assert data["wishes"] == []
    for kept in ("# - at: 0.47 km   # by the shop", "#     Two lines", "# barriers:", '"b, c"}'):
        assert kept in text
    assert '# hardest: {at: 0.5 km, text: "Here, really."}' in text
    assert "signed: [{from: 0.10 km, to: finish, as: f}]   # all along" in text
    assert len(found.gone) == 5


def test_windows_line_ends_stay():
    text = (HEAD + ITEMS).replace("\n", "\r\n")
    found = moves(data_of(text), (), reanchor(DETOUR))
    new = moved_text(text, (), found, "Gone")
    assert new.count("\n") == new.count("\r\n")
    assert data_of(new) == data_of(moved(ITEMS, DETOUR)[0])


def test_a_variant_that_hangs_in_the_air_is_refused():
    leg = "{from: start, street: Q, kind: back street}"
    notes = f"legs:\n  - {leg}\nvariants:\n  - file: v.gpx\n    leave: 0.50 km\n"
    notes += f"    rejoin: 0.90 km\n    why: w\n    legs: [{leg}]\n"
    with pytest.raises(NoAdoptionError, match=r"v\.gpx leaves the route at 0\.50 km"):
        moved(notes, DETOUR)


@settings(deadline=None, max_examples=40)
@given(st.lists(st.floats(0.0, 1000.0), min_size=1, max_size=6))
def test_without_a_stretch_nothing_is_changed(places):
    rows = "".join(f"  - {{at: {at / 1000:.3f} km, what: x}}\n" for at in places)
    notes = f"{LEGS}landmarks:\n{rows}"
    text, found = moved(notes)
    assert text == HEAD + notes
    assert (found.texts, found.gone, found.legs) == ({}, [], [])
    assert reanchor().spliced.content == gpx_text(degrees(STRAIGHT)).encode()


@settings(deadline=None, max_examples=60)
@given(st.floats(0.0, 700.0), st.floats(60.0, 300.0), st.floats(0.0, 1000.0))
def test_places_off_the_stretch_stay_where_they_are_on_the_ground(start, long, at):
    stretch = Stretch(start, start + long, start, start + long)
    places = reanchor(stretch)
    new = places.new_m(at)
    if new is not None:
        here, there = OLD.at(at), places.spliced.track.at(new)
        assert here == pytest.approx(there, abs=0.0003)
    else:
        assert start <= at <= start + long
