"""The way back of a line: where a track or a ring may not be ridden the other way round."""

from __future__ import annotations

from itertools import pairwise

import pytest

from draft.ridden import off_the_map, ridden, town_of
from softpedal.draft.passes import entry_node, exit_node
from softpedal.draft.way_back import way_back
from streets.small_network import network

#: A road due north, a track 8 m east of it between two joints, and a street at each end.
SOUTH, LOW, HIGH, NORTH = (0, 0), (0, 50), (0, 250), (0, 300)
EAST_LOW, EAST_HIGH = (8, 50), (8, 250)


def beside(road="primary Dock Road", track="cycleway; oneway=yes", low=LOW, high=HIGH):
    east_low, east_high = (8, low[1]), (8, high[1])
    net = network(
        [
            ((SOUTH, low, high, NORTH), road),
            ((east_low, east_high), track),
            ((low, east_low), "cycleway"),
            ((east_high, high), "cycleway"),
        ]
    )
    return net, ridden(net, SOUTH, low, east_low, east_high, high, NORTH)


def assert_goes_on(net, chain):
    """Each piece begins where the one before ends, in the network and along the track."""
    for a, b in pairwise(chain.pieces):
        assert exit_node(net, a) == entry_node(net, b)
        assert a.to_m == pytest.approx(b.from_m)
    assert chain.pieces[0].from_m == pytest.approx(0)
    assert chain.pieces[-1].to_m == pytest.approx(chain.length_m)


def ways(net, chain):
    return [net.tags(piece.edge)["highway"] for piece in chain.pieces]


@pytest.mark.parametrize("road", ["primary Dock Road", "residential Mill Lane"])
def test_a_one_way_track_beside_a_road_rides_the_road(road):
    net, chain = beside(road)
    back = way_back(town_of(net), chain)
    assert set(ways(net, back)) == {road.split()[0]}
    assert {p.confidence for p in back.pieces} == {"sure", "check"}
    assert back.length_m == chain.length_m
    assert_goes_on(net, back)


def test_a_track_for_both_ways_is_ridden_back():
    net, chain = beside(track="cycleway")
    assert way_back(town_of(net), chain) == chain.turned()


def test_a_short_one_way_track_is_pushed():
    net, chain = beside(low=(0, 50), high=(0, 85))
    assert way_back(town_of(net), chain) == chain.turned()


def test_no_road_beside_leaves_the_track():
    net = network(
        [
            ((SOUTH, (0, 200)), "cycleway; oneway=yes"),
            (((90, 0), (90, 200)), "primary Dock Road"),
            ((SOUTH, (90, 0)), "residential Mill Lane"),
            (((0, 200), (90, 200)), "residential Vine Street"),
        ]
    )
    chain = ridden(net, SOUTH, (0, 200))
    assert way_back(town_of(net), chain) == chain.turned()


def test_a_one_way_road_beside_is_no_way_back():
    net, chain = beside("primary Dock Road; oneway=yes")
    assert "cycleway" in ways(net, way_back(town_of(net), chain))


def test_a_road_closed_to_all_is_no_way_back():
    net, chain = beside("primary Dock Road; access=no")
    assert "cycleway" in ways(net, way_back(town_of(net), chain))


def test_a_break_is_not_ridden_over():
    net, chain = beside()
    broken = off_the_map(chain, 2, 40.0)
    back = way_back(town_of(net), broken)
    gap = broken.turned().breaks[0]
    assert all(p.to_m <= gap[0] + 1e-6 or p.from_m >= gap[1] - 1e-6 for p in back.pieces)


@pytest.mark.parametrize(
    ("kind", "radius"), [("primary", 30), ("residential", 30), ("primary", 12)]
)
def test_a_roundabout_is_ridden_by_its_other_half(kind, radius):
    """Driving on the left one rides round it clockwise: north by the west, back by the east."""
    s, w, n, e = (0, -radius), (-radius, 0), (0, radius), (radius, 0)
    low, high = (0, -200), (0, 200)
    net = network(
        [
            ((s, w, n, e, s), f"{kind}; junction=roundabout"),
            ((low, s), f"{kind} Dock Road"),
            ((n, high), f"{kind} Dock Road"),
        ]
    )
    chain = ridden(net, low, s, w, n, high)
    back = way_back(town_of(net), chain)
    assert_goes_on(net, back)
    there = {p.edge for p in chain.pieces if "junction" in net.tags(p.edge)}
    home = {p.edge for p in back.pieces if "junction" in net.tags(p.edge)}
    assert len(there) == len(home) == 2
    assert not there & home
    assert all(p.forward for p in back.pieces if p.edge in home)
    assert {p.confidence for p in back.pieces} == {"sure"}
