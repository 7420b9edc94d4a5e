"""What to do where a leg begins: turns from the geometry of streets, and words both ways."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from draft.ridden import ridden
from softpedal.draft.cues import Headings, cue
from softpedal.draft.junctions import Met
from softpedal.draft.spans import Span
from streets.small_network import network


def heads(*points):
    net = network([(points, "residential Mill Lane")])
    chain = ridden(net, *points)
    return Headings(net, chain), chain


def span(street, kind="back street", *, is_named=True):
    return Span(0.0, 100.0, street, is_named, kind)


def met(control="none", movement="cross", road="Dock Road", at_m=100.0):
    return Met(at_m, road, 0, movement, control, "sure", "")


LANE, QUAY = span("Mill Lane"), span("Quay")


@pytest.mark.parametrize(
    ("end", "degrees"),
    [((0, 200), 0), ((100, 100), 90), ((-100, 100), -90), ((70, 170), 45), ((80, 20), 135)],
)
def test_turns_are_those_of_the_streets(end, degrees):
    headings, chain = heads((0, 0), (0, 100), end)
    assert headings.turn(100, 0, chain.length_m) == pytest.approx(degrees, abs=2)
    back = Headings(network([(((0, 0), (0, 100), end), "residential")]), chain.turned())
    at = chain.length_m - 100
    assert back.turn(at, 0, chain.length_m) == pytest.approx(-degrees, abs=2)


def test_a_zigzag_of_a_few_metres_is_no_turn():
    """6 m to the east at a junction, then north again: the line before and after goes on."""
    headings, chain = heads((0, 0), (0, 100), (6, 100), (6, 200))
    assert abs(headings.turn(100, 0, chain.length_m)) < 30
    assert abs(headings.turn(106, 0, chain.length_m)) < 30


def test_a_zigzag_of_long_legs_is_two_turns():
    headings, chain = heads((0, 0), (0, 100), (100, 100), (100, 200))
    assert headings.turn(100, 0, 200) == pytest.approx(90, abs=2)
    assert headings.turn(200, 100, chain.length_m) == pytest.approx(-90, abs=2)


def test_what_lies_before_the_leg_before_is_not_looked_at():
    """The leg before begins at a corner 25 m back: it goes east, and not as what lies before it."""
    headings, chain = heads((0, 0), (0, 100), (25, 100), (25, 200))
    assert headings.turn(125, 100, chain.length_m) == pytest.approx(-90, abs=2)


def test_turns_are_true_far_from_the_origin_on_short_edges():
    """Edges of 5 m due north: each has its own latitude, and the line has no turn."""
    headings, chain = heads(*((0, y) for y in range(0, 205, 5)))
    for at in (50, 103, 150):
        assert headings.turn(at, 0, chain.length_m) == pytest.approx(0, abs=1)


@pytest.mark.parametrize(
    ("turn", "words"),
    [
        (0, "Straight on onto Quay."),
        (-29, "Straight on onto Quay."),
        (40, "Bear right onto Quay."),
        (-40, "Bear left onto Quay."),
        (90, "Right onto Quay."),
        (-90, "Left onto Quay."),
        (140, "Sharp right onto Quay."),
        (-140, "Sharp left onto Quay."),
    ],
)
def test_on_to_another_street(turn, words):
    assert cue(LANE, QUAY, turn, [], 100) == words


@pytest.mark.parametrize(
    ("control", "words"),
    [
        ("signals", "Straight on over Dock Road at the signals."),
        ("toucan", "Straight on over Dock Road at the toucan crossing."),
        ("zebra", "Straight on over Dock Road at the zebra."),
        ("refuge", "Straight on over Dock Road by the island."),
        ("none", "Straight on over Dock Road."),
        ("bridge", "Straight on over Dock Road by the bridge."),
        ("underpass", "Straight on under Dock Road."),
    ],
)
def test_straight_on_over_a_road(control, words):
    assert cue(LANE, LANE, 5, [met(control)], 110) == words


def test_over_a_road_into_another_street():
    assert cue(LANE, QUAY, -90, [met("signals")], 100) == (
        "Left over Dock Road at the signals, onto Quay."
    )


def test_a_turn_across_traffic():
    found = cue(LANE, span("Dock Road", "busy road"), 90, [met(movement="turn")], 100)
    assert found == "Right across the traffic, onto Dock Road."
    left = cue(span("Dock Road", "busy road"), QUAY, 90, [met(movement="turn")], 100)
    assert left == "Right across the traffic of Dock Road, onto Quay."


def test_a_roundabout():
    ring = met("roundabout", "roundabout")
    assert cue(LANE, QUAY, 3, [ring], 90) == "At the roundabout, straight on onto Quay."
    assert cue(LANE, QUAY, 80, [ring], 90) == "At the roundabout, right onto Quay."


def test_the_nearest_of_two_roads_is_told():
    roads = [met(road="Dock Road", at_m=75), met(road="Vine Street", at_m=101)]
    assert cue(LANE, LANE, 0, roads, 100) == "Straight on over Vine Street."


def test_a_road_further_away_is_not_told():
    assert cue(LANE, QUAY, 90, [met("signals", at_m=200)], 100) == "Right onto Quay."


def test_the_start():
    assert cue(None, LANE, 0, [], 0) == "Start along Mill Lane."
    steps = span("Steps", "on foot", is_named=False)
    assert cue(None, steps, 0, [], 0) == "Push along the steps."


def test_pushes_and_kinds_of_one_street():
    pushed = span("Mill Lane", "on foot")
    assert cue(LANE, pushed, 0, [], 100) == "Get off and push."
    assert cue(pushed, LANE, 0, [], 100) == "Ride again along Mill Lane."
    assert cue(LANE, span("Quay", "on foot"), -90, [], 100) == "Left onto Quay, on foot."
    assert cue(LANE, span("Mill Lane", "busy road"), 0, [], 100) == (
        "On along Mill Lane: now a busy road."
    )


def test_streets_without_a_name_and_tracks_beside_one():
    path = span("Cycle path", "traffic-free path", is_named=False)
    assert cue(LANE, path, 90, [], 100) == "Right onto the cycle path."
    track = span("Dock Road", "protected track")
    assert cue(LANE, track, 90, [], 100) == "Right onto the cycle track along Dock Road."
    assert cue(span("Dock Road"), track, 0, [], 100) == (
        "On along Dock Road: now a protected track."
    )


def test_a_hairpin_has_the_side_to_which_it_is_turned():
    """A turn of 150° made in steps of 50°, as read off a real map: to the left."""
    chain_points = [(0, 0), (-4, 20), (-16, 32), (-24, 28), (-28, 10)]
    net = network([(chain_points, "residential Mill Lane")])
    heads = Headings(net, ridden(net, *chain_points))
    middle = sum(math.dist(a, b) for a, b in pairwise(chain_points)) / 2
    assert heads.turn(middle, 0.0, 2 * middle) < -120


def test_a_road_is_told_at_the_nearest_start_of_a_leg_only():
    road = met(at_m=118)
    near = cue(LANE, span("Quay"), 90, [road], 120, [100, 120])
    far = cue(LANE, span("Quay"), 90, [road], 100, [100, 120])
    assert "Dock Road" in near
    assert "Dock Road" not in far
