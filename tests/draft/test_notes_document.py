"""A line's notes from a chain: legs with cues, crossings, dismounts and barriers, both ways."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from draft.ridden import off_the_map, ridden, town_of
from softpedal.draft.junctions import Met
from softpedal.draft.line_crossings import crossings
from softpedal.draft.notes_document import draft_line
from softpedal.draft.written import comments_of, metres_of, position
from softpedal.library.positions import chainage_of
from softpedal.library.track import Track
from softpedal.library.values import parse_position
from streets.drawn_network import degrees
from streets.small_network import network

#: South to north over Dock Road, then east along Quay.
A, O, C, D = (0, -150), (0, 0), (0, 150), (200, 150)  # noqa: E741


def town(nodes=None, lane="residential Mill Lane", quay="primary Quay", turns=()):
    net = network(
        [
            (((-100, 0), O, (100, 0)), "secondary Dock Road; maxspeed=30 mph; lanes=2"),
            ((A, O, C), lane),
            ((C, D), quay),
            ((C, (-100, 150)), "residential Back Lane"),
        ],
        nodes,
        turns=turns,
    )
    return town_of(net), net


def drafted(*points, both=True, **other):
    found, net = town(**other)
    return draft_line(found, ridden(net, *(points or (A, O, C, D))), both=both)


def test_legs_with_cues_in_both_directions():
    first, second = drafted().items["legs"]
    assert (first["from"], first["street"], first["kind"]) == ("start", "Mill Lane", "back street")
    assert (second["from"], second["street"], second["kind"]) == ("300 m", "Quay", "busy road")
    assert first["cue"] == {"outbound": "Start along Mill Lane.", "return": "Left onto Mill Lane."}
    assert second["cue"]["return"] == "Start along Quay."
    assert second["cue"]["outbound"].startswith("Right")
    assert second["cue"]["outbound"].endswith("onto Quay.")
    assert {leg["source"] for leg in (first, second)} == {"map"}


def test_one_direction_has_one_cue_and_no_direction():
    found = drafted(both=False, nodes={C: "barrier=stile"}).items
    assert found["legs"][0]["cue"] == "Start along Mill Lane."
    assert found["dismounts"][0]["why"] == "stile"
    assert all("direction" not in item for items in found.values() for item in items)


def test_a_crossing_holds_in_both_directions_and_has_its_road_s_facts():
    (found,) = drafted(A, O, C, nodes={O: "highway=traffic_signals"}).items["crossings"]
    assert found == {
        "at": "150 m",
        "road": "Dock Road",
        "control": "signals",
        "road_class": "secondary",
        "speed_limit": "30 mph",
        "lanes": 2,
        "source": "map",
        "confidence": "sure",
        "evidence": "highway=traffic_signals",
    }


def test_a_turn_across_the_traffic_holds_in_its_direction():
    """Right on to Quay, driving left, from the south: across; back, left off it: with it."""
    found = drafted(A, O, C, D, quay="primary Quay").items["crossings"]
    assert [(c["road"], c.get("movement"), c.get("direction")) for c in found] == [
        ("Dock Road", None, None)
    ]
    found = drafted((-100, 0), O, C, D).items["crossings"]
    turns = [(c["road"], c["movement"], c["direction"], c["at"]) for c in found]
    assert turns == [("Dock Road", "turn", "return", "100 m")]


def test_a_bridge_has_no_facts_of_the_road_below():
    net = network(
        [
            (((-100, 0), (100, 0)), "secondary Dock Road; maxspeed=30 mph"),
            ((A, C), "cycleway; bridge=yes"),
        ]
    )
    (found,) = draft_line(town_of(net), ridden(net, A, C)).items["crossings"]
    assert found["control"] == "bridge"
    assert not {"speed_limit", "road_class", "lanes"} & set(found)


def test_a_one_way_street_is_pushed_home():
    line = drafted(A, O, C, lane="residential Mill Lane; oneway=yes")
    (leg,) = line.items["legs"]
    assert leg["kind"] == {"outbound": "back street", "return": "on foot"}
    assert "dismounts" not in line.items
    assert leg["cue"]["return"] == "Push along Mill Lane."


@pytest.mark.parametrize(("metres", "told"), [(20, True), (10, False)])
def test_a_short_push_is_a_dismount_with_metres_and_direction(metres, told):
    top = (0, 150 + metres)
    net = network(
        [
            ((A, C), "residential Mill Lane"),
            ((C, top), "residential Mill Lane; oneway=yes"),
            ((top, (0, 400)), "residential Mill Lane"),
        ]
    )
    line = draft_line(town_of(net), ridden(net, A, C, top, (0, 400)))
    assert [leg["kind"] for leg in line.items["legs"]] == ["back street"]
    found = line.items.get("dismounts", [])
    assert len(found) == told
    if told:
        assert (found[0]["at"], found[0]["metres"]) == (f"{300 + metres} m", metres)
        assert (found[0]["why"], found[0]["direction"]) == ("no entry", "return")


def test_short_steps_are_a_dismount_in_both_directions():
    top = (0, 155)
    net = network(
        [
            ((A, C), "residential Mill Lane"),
            ((C, top), "steps"),
            ((top, (0, 400)), "residential Mill Lane"),
        ]
    )
    (found,) = draft_line(town_of(net), ridden(net, A, C, top, (0, 400))).items["dismounts"]
    assert (found["why"], found["must"], found["steps"]) == ("steps", "barrier", True)
    assert (found["metres"], "direction" in found) == (5, False)


def test_a_banned_turn_is_a_dismount_of_its_direction():
    """From Quay back into Mill Lane: no left turn (street 2, node C, street 1)."""
    found = drafted(turns=[(2, C, 1, "no")]).items["dismounts"]
    assert [(d["why"], d["direction"], d["at"]) for d in found] == [
        ("no left turn", "return", "300 m")
    ]
    assert found[0]["evidence"] == "a turn restriction of the map (relation 1)"


def test_a_kissing_gate_is_a_barrier_and_a_dismount():
    net = network([((A, O, C), "path Weir Path")], {O: "barrier=kissing_gate"})
    items = draft_line(town_of(net), ridden(net, A, O, C)).items
    (gate,), (off,) = items["barriers"], items["dismounts"]
    assert (gate["at"], gate["what"]) == ("150 m", "kissing gate")
    assert (off["at"], off["why"], off["must"]) == ("150 m", "kissing gate", "barrier")
    assert "direction" not in off


def test_a_chicane_has_its_gap_and_a_gate_its_hours():
    net = network(
        [((A, O, C, (0, 300)), "path Weir Path")],
        {
            O: "barrier=cycle_barrier; width=120 cm; bicycle=yes",
            C: "barrier=gate; opening_hours=07:00-20:00",
        },
    )
    line = draft_line(town_of(net), ridden(net, A, O, C, (0, 300)))
    chicane, gate = line.items["barriers"]
    assert (chicane["gap"], chicane["confidence"]) == ("1.2 m", "sure")
    assert (gate["confidence"], "07:00-20:00" in gate["note"]) == ("check", True)
    assert line.closed == ("20:00-07:00",)


def test_a_break_is_told_as_a_guess():
    found, net = town()
    chain = off_the_map(ridden(net, A, O, C, D), 0, 90.0)
    legs = draft_line(found, chain).items["legs"]
    (off,) = [leg for leg in legs if leg["street"] == "Off the map"]
    assert (off["kind"], off["confidence"], off["from"]) == ("mixed street", "guess", "150 m")


def test_hours_are_told_by_expression():
    lane = "residential Mill Lane; bicycle:conditional=no @ (Mo-Sa 08:00-18:00)"
    (leg,) = drafted(A, O, C, lane=lane).items["legs"]
    assert leg["hours"] == {"Mo-Sa 08:00-18:00": "on foot", "otherwise": "back street"}
    assert "kind" not in leg


def test_a_short_leg_between_two_corners_has_its_turns_both_ways():
    """East, 30 m north, east again: left then right; home the same, right then left is wrong."""
    west, low, high, east = (-200, 0), (0, 0), (0, 30), (200, 30)
    net = network(
        [
            ((west, low), "residential Mill Lane"),
            ((low, high), "residential Short Row"),
            ((high, east), "residential Back Lane"),
        ]
    )
    legs = draft_line(town_of(net), ridden(net, west, low, high, east)).items["legs"]
    assert [leg["cue"]["outbound"] for leg in legs] == [
        "Start along Mill Lane.",
        "Left onto Short Row.",
        "Right onto Back Lane.",
    ]
    assert [leg["cue"]["return"] for leg in legs] == [
        "Right onto Mill Lane.",
        "Left onto Short Row.",
        "Start along Back Lane.",
    ]


def test_what_closes_a_filtered_street_is_told_of_it_only():
    net = network([((A, O), "residential Mill Lane"), ((O, C), "primary Dock Road")])
    found = town_of(net, grade="sure")
    found.reader._verdicts.closed_by[0] = "posts"
    first, second = draft_line(found, ridden(net, A, O, C)).items["legs"]
    assert (first["kind"], first["closed_by"]) == ("filtered street", "posts")
    through = draft_line(town_of(net), ridden(net, A, O, C)).items["legs"]
    assert all("closed_by" not in leg for leg in through)
    assert second["street"] == "Dock Road"


def test_what_is_met_on_a_pushed_leg_is_no_dismount_of_its_own():
    """A stile, and a banned turn, on a footway that is pushed along anyway."""
    corner = (0, 150)
    net = network(
        [((A, O, corner), "footway"), ((corner, D), "footway")],
        {O: "barrier=stile"},
        turns=[(0, corner, 1, "no")],
    )
    items = draft_line(town_of(net), ridden(net, A, O, corner, D)).items
    assert {leg["kind"] for leg in items["legs"]} == {"on foot"}
    assert [b["what"] for b in items["barriers"]] == ["stile"]
    assert "dismounts" not in items


def test_a_turn_across_the_traffic_is_not_told_where_it_is_pushed():
    """Against a one-way street on to a one-way road, on foot on both sides of the corner."""
    roads = [
        ((A, O), "residential Mill Lane; oneway=-1"),
        (((-100, 0), O, (100, 0)), "primary Dock Road"),
    ]
    points = (A, O, (100, 0))
    net = network(roads)
    assert len(draft_line(town_of(net), ridden(net, *points), both=False).items["crossings"]) == 1
    net = network([roads[0], (roads[1][0], "primary Dock Road; oneway=-1")])
    assert "crossings" not in draft_line(town_of(net), ridden(net, *points), both=False).items


def test_pushes_of_both_directions_far_apart_are_two():
    """20 m against a one-way on the way out, and 20 m against another one on the way back."""
    y = (0, 100, 120, 300, 320, 500)
    one_way = {1: "; oneway=-1", 3: "; oneway=yes"}
    net = network(
        [
            (((0, y[i]), (0, y[i + 1])), "residential Mill Lane" + one_way.get(i, ""))
            for i in range(5)
        ]
    )
    items = draft_line(town_of(net), ridden(net, *((0, each) for each in y))).items
    assert [(d["at"], d["direction"]) for d in items["dismounts"]] == [
        ("100 m", "outbound"),
        ("320 m", "return"),
    ]


def met_at(at_m, road="Dock Road", control="none", movement="cross"):
    return Met(at_m, road, 0, movement, control, "sure", "")


def ring_at(at_m):
    return met_at(at_m, control="roundabout", movement="roundabout")


@pytest.mark.parametrize(
    ("out", "back", "told"),
    [
        (met_at(150), met_at(150), [("150 m", None)]),
        (met_at(150), met_at(170), [("150 m", None)]),
        (met_at(150), met_at(120), [("150 m", "outbound"), ("180 m", "return")]),
        (ring_at(120), ring_at(130), [("120 m", None)]),
        (ring_at(120), ring_at(90), [("120 m", "outbound"), ("210 m", "return")]),
        (
            met_at(150),
            met_at(150, "Vine Street"),
            [("150 m", "outbound"), ("150 m", "return")],
        ),
        (
            met_at(150),
            met_at(150, control="signals"),
            [("150 m", "outbound"), ("150 m", "return")],
        ),
        (
            met_at(150),
            met_at(150, movement="turn"),
            [("150 m", "outbound"), ("150 m", "return")],
        ),
    ],
)
def test_crossings_of_both_directions_are_one_where_they_are_the_same(out, back, told):
    found, _ = town()
    items = crossings(found, {"outbound": [out], "return": [back]}, 300.0)
    assert [(item["at"], item.get("direction")) for item in items] == told


# positions


@given(st.floats(0, 30_000))
def test_a_position_is_read_as_it_was_written(metres):
    text = position(metres)
    assert abs(metres_of(text, 30_000.0) - metres) <= 0.5 + 1e-6
    assert position(metres_of(text, 30_000.0)) == text


@pytest.mark.parametrize(
    ("metres", "text"),
    [
        (0, "start"),
        (0.4, "start"),
        (0.5, "start"),
        (0.6, "1 m"),
        (999.4, "999 m"),
        (999.6, "1.000 km"),
        (1234.4, "1.234 km"),
        (12_000, "12.000 km"),
    ],
)
def test_how_a_position_is_written(metres, text):
    assert position(metres) == text


def test_the_finish_is_the_length():
    assert metres_of("finish", 812.0) == 812.0


def straight():
    lat, lon = np.array([degrees(0, 0), degrees(0, 1500)]).T
    return Track(lat.copy(), lon.copy(), np.full(2, np.nan), np.zeros(2, dtype=np.intp))


@given(st.floats(0, 1))
def test_the_library_reads_a_position_as_the_draft_wrote_it(share):
    track = straight()
    metres = share * track.length_m
    text = position(metres)
    assert chainage_of(parse_position(text), track) == pytest.approx(metres, abs=0.51)


def test_coordinates_stand_beside_each_position():
    items = {"legs": [{"from": "start"}, {"from": "1.000 km"}], "barriers": [{"at": "500 m"}]}
    found = comments_of(items, straight(), ("return",))
    assert set(found) == {
        ("return", "legs", 0, "from"),
        ("return", "legs", 1, "from"),
        ("return", "barriers", 0, "at"),
    }
    lat, lon = map(float, found["return", "barriers", 0, "at"].split(", "))
    assert (lat, lon) == pytest.approx(degrees(0, 500), abs=2e-5)
