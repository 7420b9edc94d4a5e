"""The control of a crossing: from a node's own tags, and from those of the nodes near by.

Values of tags: OpenStreetMap wiki, Key:crossing and Key:crossing_ref.
"""

from __future__ import annotations

import pytest

from draft.ridden import edge_between, ridden
from softpedal.draft.controls import Found, better, control_at, control_of
from streets.drawn_network import node_at
from streets.small_network import network, node_tags_of

O = (0, 0)  # noqa: E741
START, END = (0, -100), (0, 100)


@pytest.mark.parametrize(
    ("tags", "control", "confidence"),
    [
        ("highway=traffic_signals", "signals", "sure"),
        ("highway=mini_roundabout", "roundabout", "sure"),
        ("highway=crossing; crossing=traffic_signals; crossing_ref=toucan", "toucan", "sure"),
        ("highway=crossing; crossing=traffic_signals; bicycle=yes", "toucan", "sure"),
        ("highway=crossing; crossing=toucan", "toucan", "sure"),
        ("highway=crossing; crossing_ref=toucan; bicycle=no", "pedestrian signals", "sure"),
        ("highway=crossing; crossing=traffic_signals; bicycle=designated", "cycle signals", "sure"),
        (
            "highway=crossing; crossing=traffic_signals; crossing_ref=pelican",
            "pedestrian signals",
            "sure",
        ),
        ("highway=crossing; crossing_ref=pelican", "pedestrian signals", "sure"),
        ("highway=crossing; crossing=traffic_signals", "pedestrian signals", "check"),
        ("highway=crossing; crossing:signals=separate", "pedestrian signals", "check"),
        ("highway=crossing; crossing=zebra", "zebra", "sure"),
        ("highway=crossing; crossing=uncontrolled; crossing_ref=zebra", "zebra", "sure"),
        ("highway=crossing; crossing:markings=zebra", "zebra", "sure"),
        ("highway=crossing; crossing=zebra; bicycle=yes", "parallel", "sure"),
        ("highway=crossing; crossing=marked; crossing_ref=tiger", "parallel", "sure"),
        ("highway=crossing; crossing_ref=tiger; bicycle=dismount", "zebra", "sure"),
        ("highway=crossing; crossing=marked", "zebra", "check"),
        ("highway=crossing; crossing=unmarked; crossing:island=yes", "refuge", "sure"),
        ("highway=crossing; crossing=island", "refuge", "sure"),
    ],
)
def test_what_a_node_says(tags, control, confidence):
    found = control_of(node_tags_of(tags))
    assert (found.control, found.confidence) == (control, confidence)
    assert found.evidence.startswith(tags.split("; ")[0])


@pytest.mark.parametrize(
    "tags",
    [
        "",
        "barrier=bollard",
        "highway=crossing; crossing=unmarked",
        "highway=crossing",
        "highway=crossing; crossing=marked; crossing:markings=dashes",
        "highway=give_way",
    ],
)
def test_what_is_no_control(tags):
    assert control_of(node_tags_of(tags)) is None


def crossing(nodes, ride_kind="residential", road="primary Dock Road"):
    """Return the control at a road of 200 m from west to east, crossed from south to north."""
    spots = sorted({x for x, y in nodes if y == 0} | {0})
    line = [(-100, 0), *((x, 0) for x in spots), (100, 0)]
    steps = sorted({y for x, y in nodes if x == 0} | {0})
    ride = [START, *((0, y) for y in steps), END]
    net = network([(line, road), (ride, f"{ride_kind} Mill Lane")], nodes)
    east = next(x for x in (*spots, 100) if x > 0)
    west = next(x for x in (*reversed(spots), -100) if x < 0)
    arms = [edge_between(net, O, (x, 0))[0] for x in (west, east)]
    chain = ridden(net, *ride)
    return control_at(net, chain, 100.0, node_at(net, *O), arms)


SIGNALS = "highway=traffic_signals"
ZEBRA = "highway=crossing; crossing=zebra"
TOUCAN = "highway=crossing; crossing=traffic_signals; crossing_ref=toucan"


@pytest.mark.parametrize("place", [O, (12, 0), (-12, 0), (0, -12), (0, 12)])
def test_signals_at_the_node_or_near_it(place):
    assert crossing({place: SIGNALS}).control == "signals"


@pytest.mark.parametrize("place", [(40, 0), (-40, 0), (0, -40)])
def test_signals_further_away_are_near_by(place):
    found = crossing({place: SIGNALS})
    assert (found.control, found.confidence) == ("none", "check")
    assert "signals 40 m away" in found.evidence


def test_signals_that_lie_behind_another_node_are_near_by():
    found = crossing({(12, 0): "highway=give_way", (30, 0): "barrier=kerb", (45, 0): SIGNALS})
    assert "signals 45 m away" in found.evidence


def test_signals_too_far_away_are_not_told():
    found = crossing({(60, 0): SIGNALS})
    assert found == Found("none", "check", "nothing is mapped there")


def test_a_zebra_along_the_road_that_is_not_ridden_is_no_control():
    assert crossing({(12, 0): ZEBRA}).control == "none"


def test_a_toucan_along_the_road_is_another_crossing_for_who_crosses_on_a_path():
    found = crossing({(12, 0): TOUCAN}, ride_kind="cycleway")
    assert found.control == "none"
    assert "signals 12 m away" in found.evidence


@pytest.mark.parametrize("place", [(12, 0), (0, -12), (0, 12)])
def test_signals_over_an_arm_stand_for_those_of_a_junction_of_streets(place):
    found = crossing({place: TOUCAN})
    assert (found.control, found.confidence) == ("signals", "check")
    assert "signals 12 m away" in found.evidence


def test_a_crossing_over_the_street_ridden_is_none_of_the_road_crossed():
    """People walk over Mill Lane there; nothing stops the traffic of Dock Road."""
    assert crossing({(0, -8): ZEBRA}).control == "none"


def test_unmarked_is_none_and_sure():
    found = crossing({O: "highway=crossing; crossing=unmarked"})
    assert found == Found("none", "sure", "crossing=unmarked")


def test_signals_on_another_road_that_meets_the_one_crossed_are_not_its_own():
    """A street without a name meets a road without a name 8 m on; its signals are 4 m up it."""
    net = network(
        [
            (((-100, 0), O, (8, 0), (100, 0)), "primary"),
            ((START, O, END), "residential Mill Lane"),
            (((8, 0), (8, 4), (8, 60)), "service"),
        ],
        {(8, 4): SIGNALS},
    )
    arms = [edge_between(net, O, other)[0] for other in ((-100, 0), (8, 0))]
    found = control_at(net, ridden(net, START, O, END), 100.0, node_at(net, *O), arms)
    assert found.control == "none"


def test_signals_at_the_end_of_an_edge_that_is_ridden_in_part_are_as_far_as_they_are():
    net = network(
        [
            (((-100, 0), O, (100, 0)), "primary Dock Road"),
            ((START, O, (0, 60)), "residential Mill Lane"),
        ],
        {(0, 60): SIGNALS},
    )
    arms = [edge_between(net, O, other)[0] for other in ((-100, 0), (100, 0))]
    chain = ridden(net, START, O, (0, 60), left_out_m=50)
    assert control_at(net, chain, 100.0, node_at(net, *O), arms).control == "none"


def test_the_other_carriageway_near_by_counts():
    net = network(
        [
            (((-100, 0), O, (100, 0)), "primary Dock Road; oneway=yes"),
            (((100, 10), (0, 10), (-100, 10)), "primary Dock Road; oneway=yes"),
            ((START, O, (0, 10), END), "cycleway"),
        ],
        {(0, 10): TOUCAN},
    )
    arms = [edge_between(net, O, other)[0] for other in ((-100, 0), (100, 0))]
    chain = ridden(net, START, O, (0, 10), END)
    assert control_at(net, chain, 100.0, node_at(net, *O), arms).control == "toucan"


def test_better_is_what_protects_more():
    zebra, none = Found("zebra", "check", "a"), Found("none", "sure", "b")
    assert better(zebra, none) is zebra
    assert better(none, zebra) is zebra
    assert better(zebra, Found("bridge", "sure", "c")).control == "bridge"
