"""Gates, chicanes and posts on a ride."""

from __future__ import annotations

import pytest

from draft.ridden import ridden
from softpedal.draft.obstacles import obstacles
from softpedal.library.values import check_hours
from streets.small_network import network

O = (0, 0)  # noqa: E741
START, END = (0, -100), (0, 100)


def on_the_way(tags, way="path Weir Path"):
    net = network([((START, O, END), way), ((O, (50, 0)), "footway")], {O: tags})
    return obstacles(net, ridden(net, START, O, END))


def one(tags, **other):
    (found,) = on_the_way(tags, **other)
    return found


@pytest.mark.parametrize(
    ("kind", "words"),
    [("kissing_gate", "kissing gate"), ("stile", "stile"), ("turnstile", "turnstile")],
)
def test_one_gets_off_at_a_kissing_gate_whatever_the_law_says(kind, words):
    for law in ("", "; bicycle=yes"):
        found = one(f"barrier={kind}{law}")
        assert (found.what, found.gets_off, found.must) == (words, words, "barrier")
        assert found.at_m == pytest.approx(100, abs=0.5)
        assert found.metres > 0


@pytest.mark.parametrize(
    ("said", "gap_m"),
    [
        ("width=1.2", 1.2),
        ("width=120 cm", 1.2),
        ("width=120cm", 1.2),
        ("width=1.2 m", 1.2),
        ("width=1,2 m", 1.2),
        ("width=1200 mm", 1.2),
        ("width=4'", 1.22),
        ("width=3'6\"", 1.07),
        ("width=5 ft", 1.52),
        ("width=1.5;1.2", 1.2),
        ("maxwidth:physical=0.9; width=3", 0.9),
        ("opening=1.1; width=3", 1.1),
        ("width=wide", None),
        ("width=0", None),
        ("width=90", None),
    ],
)
def test_how_wide_a_cycle_barrier_is(said, gap_m):
    found = one(f"barrier=cycle_barrier; bicycle=yes; {said}")
    assert found.what == "chicane barrier"
    assert found.gap_m == gap_m
    assert found.gets_off == ""
    assert said.split("; ")[0] in found.evidence


def test_a_gate_is_to_be_checked_unless_the_map_says_that_one_rides_through():
    found = one("barrier=gate")
    assert (found.what, found.confidence, found.gets_off) == ("gate", "check", "")
    assert "can it be opened" in found.evidence
    assert one("barrier=gate; locked=yes").confidence == "check"
    rides = one("barrier=gate; bicycle=yes")
    assert (rides.confidence, rides.evidence) == ("sure", "barrier=gate, bicycle=yes")


@pytest.mark.parametrize("kind", ["bollard", "block", "planter", "chain"])
def test_posts_are_told_only_with_a_width(kind):
    assert on_the_way(f"barrier={kind}") == []
    assert one(f"barrier={kind}; maxwidth=1.1").gap_m == 1.1


@pytest.mark.parametrize("tags", ["", "barrier=kerb", "highway=give_way", "barrier=entrance"])
def test_what_is_no_obstacle(tags):
    assert on_the_way(tags) == []


@pytest.mark.parametrize("law", ["no", "dismount"])
def test_a_barrier_that_cycles_may_not_ride_through(law):
    for kind in ("gate", "bollard"):
        found = one(f"barrier={kind}; bicycle={law}")
        assert found.gets_off
        assert found.must == "law"


@pytest.mark.parametrize(
    ("opens", "shut"),
    [
        ("07:00-20:00", "20:00-07:00"),
        ("Mo-Su 07:00-20:00", "20:00-07:00"),
        ("06:00-24:00", "00:00-06:00"),
        ("00:00-22:00", "22:00-24:00"),
        ("06:00-00:00", "00:00-06:00"),
        ("24/7", ""),
        ("00:00-24:00", ""),
        ("sunrise-sunset", ""),
        ("Mo-Fr 07:00-20:00", ""),
    ],
)
def test_opening_hours_are_hours_at_which_it_is_shut(opens, shut):
    found = one(f"barrier=gate; opening_hours={opens}")
    assert found.opens == opens
    assert found.shut == shut
    if shut:
        assert check_hours(shut)


def test_a_crossing_where_cycles_are_pushed():
    tags = "highway=crossing; crossing=zebra; bicycle=dismount"
    found = one(tags, way="cycleway Weir Path")
    assert (found.what, found.gets_off, found.must) == ("", "cycles are to be pushed", "law")


@pytest.mark.parametrize("law", ["dismount", "no"])
def test_what_a_crossing_says_of_cycles_is_not_for_those_who_ride_along_the_road(law):
    tags = f"highway=crossing; crossing=zebra; bicycle={law}"
    assert on_the_way(tags, way="residential Mill Lane") == []


def test_a_crossing_node_with_bicycle_no_does_not_close_the_path():
    assert on_the_way("highway=crossing; crossing=zebra; bicycle=no") == []


def test_an_obstacle_on_another_way_or_at_the_end_is_not_met():
    net = network(
        [((START, O, END), "path Weir Path"), ((O, (50, 0)), "footway")],
        {(50, 0): "barrier=stile", END: "barrier=gate"},
    )
    assert obstacles(net, ridden(net, START, O, END)) == []
