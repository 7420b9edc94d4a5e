"""Main roads crossed, joined and left, on the smallest networks that show each."""

from __future__ import annotations

import pytest

from draft.ridden import ridden
from softpedal.draft.junctions import is_grade, layer_of, met_roads
from softpedal.streets.country import country_of
from streets.small_network import network

O = (0, 0)  # noqa: E741
NORTH, EAST, SOUTH, WEST = (0, 100), (100, 0), (0, -100), (-100, 0)
LEFT, RIGHT = "GB", "DE"


def met(streets, *points, nodes=None, country=LEFT, **ends):
    net = network(streets, nodes)
    return met_roads(net, ridden(net, *points, **ends), country_of(country))


def told(streets, *points, **other):
    return [(m.road, m.movement) for m in met(streets, *points, **other)]


def over(road, ride="residential Mill Lane"):
    """Return a road from west to east and a street from south to north over it."""
    return [((WEST, O, EAST), road), ((SOUTH, O, NORTH), ride)]


@pytest.mark.parametrize("country", [LEFT, RIGHT])
@pytest.mark.parametrize("points", [(SOUTH, O, NORTH), (NORTH, O, SOUTH)])
def test_a_main_road_on_both_sides_is_crossed(country, points):
    (found,) = met(over("primary Dock Road"), *points, country=country)
    assert (found.road, found.movement, found.control) == ("Dock Road", "cross", "none")
    assert found.at_m == pytest.approx(100, abs=0.5)


@pytest.mark.parametrize(
    ("road", "count"),
    [
        ("tertiary Dock Road", 1),
        ("secondary_link Dock Road", 1),
        ("residential Dock Road", 0),
        ("unclassified Dock Road", 0),
        ("primary Dock Road; motor_vehicle=no", 0),
    ],
)
def test_only_main_roads_that_carry_cars_count(road, count):
    assert len(met(over(road), SOUTH, O, NORTH)) == count


# a street from the south meets a main road: T, joining, leaving

TEE = [((WEST, O, EAST), "primary Dock Road"), ((SOUTH, O), "residential Mill Lane")]


@pytest.mark.parametrize(
    ("points", "crosses_when_driving"),
    [
        ((SOUTH, O, EAST), LEFT),
        ((SOUTH, O, WEST), RIGHT),
        ((WEST, O, SOUTH), LEFT),
        ((EAST, O, SOUTH), RIGHT),
    ],
)
def test_joining_and_leaving_across_the_traffic(points, crosses_when_driving):
    """Joining to the right, or leaving to the right, crosses traffic where one drives left."""
    for country in (LEFT, RIGHT):
        wanted = [("Dock Road", "turn")] if country == crosses_when_driving else []
        assert told(TEE, *points, country=country) == wanted


@pytest.mark.parametrize("points", [(WEST, O, EAST), (EAST, O, WEST)])
def test_riding_along_a_main_road_past_a_street_is_nothing(points):
    assert told(TEE, *points) == []


def test_riding_past_the_bend_of_a_main_road_touches_it():
    streets = [
        ((EAST, O, (100, 60)), "primary Dock Road"),
        ((SOUTH, O, NORTH), "residential Mill Lane"),
    ]
    assert told(streets, SOUTH, O, NORTH) == []


def test_joining_with_the_traffic_of_a_one_way_road_crosses_none():
    one_way = [((WEST, O, EAST), "primary Dock Road; oneway=yes"), TEE[1]]
    assert told(TEE, SOUTH, O, EAST) == [("Dock Road", "turn")]
    assert told(one_way, SOUTH, O, EAST) == []


def test_one_main_road_over_another():
    streets = over("primary Dock Road", "secondary Vine Street")
    assert told(streets, SOUTH, O, NORTH) == [("Dock Road", "cross")]
    assert told(streets, WEST, O, EAST) == [("Vine Street", "cross")]


def test_main_roads_without_names_are_crossed_too():
    assert told(over("primary", "tertiary"), SOUTH, O, NORTH) == [("Primary road", "cross")]


def test_a_road_that_ends_at_the_gap_of_a_dual_carriageway_is_touched():
    """Along Dock Road: Vine Street on the left, the gap to the other carriageway on the right."""
    streets = [
        ((WEST, O, EAST), "primary Dock Road; oneway=yes"),
        (((100, -10), (0, -10), (-100, -10)), "primary Dock Road; oneway=yes"),
        ((O, (0, -10)), "primary Dock Road"),
        ((O, NORTH), "secondary Vine Street"),
    ]
    assert told(streets, WEST, O, EAST) == []


def test_turning_over_a_crossroads():
    streets = over("primary Dock Road")
    assert told(streets, SOUTH, O, EAST) == [("Dock Road", "turn")]
    assert told(streets, SOUTH, O, WEST) == []


# one junction is one event


def dual(gap, second="primary Dock Road; oneway=yes"):
    return [
        ((WEST, O, EAST), "primary Dock Road; oneway=yes"),
        (((100, gap), (0, gap), (-100, gap)), second),
        ((SOUTH, O, (0, gap), (0, 300)), "residential Mill Lane"),
    ]


@pytest.mark.parametrize("gap", [10, 30, 44])
def test_a_dual_carriageway_counts_once(gap):
    found = told(dual(gap), SOUTH, O, (0, gap), (0, 300))
    assert found == [("Dock Road", "cross")]


def test_two_roads_60_m_apart_count_twice():
    found = told(dual(60, "secondary Vine Street"), SOUTH, O, (0, 60), (0, 300))
    assert found == [("Dock Road", "cross"), ("Vine Street", "cross")]


def test_the_same_road_60_m_on_counts_twice():
    assert len(met(dual(60), SOUTH, O, (0, 60), (0, 300))) == 2


def test_two_roads_30_m_apart_count_twice():
    found = told(dual(30, "secondary Vine Street"), SOUTH, O, (0, 30), (0, 300))
    assert [road for road, _ in found] == ["Dock Road", "Vine Street"]


def half_and_half(first, second, gap=30):
    points = SOUTH, O, (0, gap), (0, 300)
    (found,) = met(dual(gap), *points, nodes={O: first, (0, gap): second})
    return found


ZEBRA = "highway=crossing; crossing=zebra"
TOUCAN = "highway=crossing; crossing=traffic_signals; bicycle=yes"
UNMARKED = "highway=crossing; crossing=unmarked"


def test_a_zebra_on_one_carriageway_does_not_protect_on_the_other():
    for pair in ((ZEBRA, UNMARKED), (UNMARKED, ZEBRA)):
        found = half_and_half(*pair)
        assert (found.control, found.confidence) == ("none", "check")
    assert half_and_half(ZEBRA, ZEBRA).control == "zebra"


def test_signals_on_one_carriageway_are_to_be_checked():
    for pair in ((TOUCAN, UNMARKED), (UNMARKED, TOUCAN)):
        found = half_and_half(*pair)
        assert (found.control, found.confidence) == ("toucan", "check")
    assert half_and_half(TOUCAN, TOUCAN).confidence == "sure"


@pytest.mark.parametrize("country", [LEFT, RIGHT])
def test_staggered_streets_cross_once(country):
    """From the south on to Dock Road, 30 m along it to the east, and off it to the north."""
    streets = [
        ((WEST, O, (30, 0), EAST), "primary Dock Road"),
        ((SOUTH, O), "residential Mill Lane"),
        (((30, 0), (30, 100)), "residential Vine Street"),
    ]
    found = told(streets, SOUTH, O, (30, 0), (30, 100), country=country)
    assert found == [("Dock Road", "turn")]
    back = told(streets, (30, 100), (30, 0), O, SOUTH, country=country)
    assert back == [("Dock Road", "turn")]


# controls


@pytest.mark.parametrize(
    ("tags", "control"),
    [
        ("highway=traffic_signals", "signals"),
        (TOUCAN, "toucan"),
        ("highway=crossing; crossing=traffic_signals; crossing_ref=pelican", "pedestrian signals"),
        (ZEBRA, "zebra"),
        ("highway=crossing; crossing_ref=tiger", "parallel"),
        ("highway=crossing; crossing=unmarked; crossing:island=yes", "refuge"),
        (UNMARKED, "none"),
    ],
)
def test_the_control_of_a_crossing(tags, control):
    (found,) = met(over("primary Dock Road", "cycleway"), SOUTH, O, NORTH, nodes={O: tags})
    assert (found.movement, found.control) == ("cross", control)


def test_a_turn_is_stopped_by_signals_only():
    (lights,) = met(TEE, SOUTH, O, EAST, nodes={O: "highway=traffic_signals"})
    assert lights.control == "signals"
    streets = [((WEST, O, (12, 0), EAST), "primary Dock Road"), TEE[1]]
    near = {(12, 0): "highway=traffic_signals"}
    (found,) = met(streets, SOUTH, O, (12, 0), EAST, nodes=near)
    assert (found.movement, found.control, found.confidence) == ("turn", "none", "check")
    assert "near by: signals" in found.evidence


def test_a_crossing_on_a_pavement_beside_is_noise():
    """A street is ridden; a footway crosses it, without a main road: nothing."""
    streets = [
        ((SOUTH, O, NORTH), "residential Mill Lane"),
        ((WEST, O, EAST), "footway"),
    ]
    assert met(streets, SOUTH, O, NORTH, nodes={O: UNMARKED}) == []


# without a node


def apart(road, ride):
    return [((WEST, EAST), road), ((SOUTH, NORTH), ride)]


@pytest.mark.parametrize(
    ("road", "ride", "control", "confidence"),
    [
        ("primary Dock Road", "cycleway; bridge=yes; layer=1", "bridge", "sure"),
        ("primary Dock Road", "cycleway; bridge=yes", "bridge", "sure"),
        ("primary Dock Road", "cycleway; tunnel=yes; layer=-1", "underpass", "sure"),
        ("primary Dock Road; bridge=yes; layer=1", "cycleway", "underpass", "sure"),
        ("primary Dock Road", "residential Mill Lane", "none", "check"),
    ],
)
def test_bridge_underpass_and_slip(road, ride, control, confidence):
    (found,) = met(apart(road, ride), SOUTH, NORTH)
    assert (found.movement, found.control, found.confidence) == ("cross", control, confidence)
    assert found.at_m == pytest.approx(100, abs=1)
    assert is_grade(found) == (control != "none")


def test_the_place_of_a_bridge_in_the_other_direction_and_in_part_of_an_edge():
    streets = [((WEST, EAST), "primary Dock Road"), ((SOUTH, (0, 60)), "cycleway; bridge=yes")]
    (found,) = met(streets, (0, 60), SOUTH)
    assert found.at_m == pytest.approx(60, abs=1)
    (found,) = met(streets, SOUTH, (0, 60), start_m=30)
    assert found.at_m == pytest.approx(70, abs=1)
    assert met(streets, (0, 60), SOUTH, left_out_m=120) == []


def test_a_road_in_a_tunnel_below_is_not_met():
    assert met(apart("primary Dock Road; tunnel=yes", "residential Mill Lane"), SOUTH, NORTH) == []
    assert met(apart("residential Dock Road", "cycleway"), SOUTH, NORTH) == []


@pytest.mark.parametrize(
    ("text", "layer"),
    [
        ({"layer": "-2"}, -2),
        ({"bridge": "yes"}, 1),
        ({"tunnel": "yes"}, -1),
        ({}, 0),
        ({"layer": "a"}, 0),
        ({"bridge": "no"}, 0),
        ({"layer": "0", "bridge": "yes"}, 0),
    ],
)
def test_layers(text, layer):
    assert layer_of(text) == layer


# roundabouts


def test_a_mini_roundabout_on_a_main_road():
    nodes = {O: "highway=mini_roundabout"}
    (found,) = met(over("primary Dock Road"), SOUTH, O, NORTH, nodes=nodes)
    assert (found.road, found.movement, found.control) == ("Dock Road", "roundabout", "roundabout")
    assert len(met(over("primary Dock Road"), WEST, O, EAST, nodes=nodes)) == 1
    assert met(over("residential Dock Road"), SOUTH, O, NORTH, nodes=nodes) == []


def ring(kind="primary"):
    """A roundabout of 20 m radius with four roads."""
    s, e, n, w = (0, -20), (20, 0), (0, 20), (-20, 0)
    streets = [
        ((s, e, n, w, s), f"{kind}; junction=roundabout"),
        ((SOUTH, s), f"{kind} Dock Road"),
        ((EAST, e), f"{kind} Vine Street"),
        ((NORTH, n), f"{kind} Dock Road"),
        ((WEST, w), f"{kind} Vine Street"),
    ]
    return streets, (SOUTH, s, e, n, NORTH)


def test_a_ring_is_one_event():
    streets, points = ring()
    (found,) = met(streets, *points, country=RIGHT)
    assert (found.movement, found.control) == ("roundabout", "roundabout")
    assert found.road == "Dock Road"
    assert found.at_m == pytest.approx(80, abs=0.5)


def test_a_ring_of_small_streets_is_none():
    streets, points = ring("residential")
    assert met(streets, *points, country=RIGHT) == []


def test_a_turn_within_the_noise_of_an_end_is_not_told():
    assert len(met(TEE, SOUTH, O, EAST)) == 1
    assert met(TEE, SOUTH, O, EAST, left_out_m=85) == []
    assert met(TEE, SOUTH, O, EAST, start_m=85) == []
    assert len(met(over("primary Dock Road"), SOUTH, O, NORTH, start_m=85)) == 1
