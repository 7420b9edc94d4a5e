"""Turn restrictions of the map against the turns of a ride, in both directions."""

from __future__ import annotations

from dataclasses import replace

import pytest

from draft.ridden import ridden
from softpedal.draft.banned_turns import banned_turns
from softpedal.streets.network_reader import read_network
from streets.small_network import network

O = (0, 0)  # noqa: E741
NORTH, EAST, SOUTH, WEST = (0, 100), (100, 0), (0, -100), (-100, 0)
STREETS = [
    ((O, NORTH), "residential North"),
    ((O, EAST), "residential East"),
    ((O, SOUTH), "residential South"),
    ((O, WEST), "residential West"),
]
N, E, S, W = range(4)


def bans(points, *turns, streets=STREETS):
    net = network(streets, turns=turns)
    return [ban.words for ban in banned_turns(net, ridden(net, *points))]


def test_no_right_turn_holds_one_way_only():
    rule = (S, O, E, "no")
    assert bans((SOUTH, O, EAST), rule) == ["no right turn"]
    assert bans((EAST, O, SOUTH), rule) == []
    assert bans((SOUTH, O, NORTH), rule) == []


def test_the_way_back_may_be_the_banned_one():
    net = network(STREETS, turns=[(S, O, E, "no")])
    chain = ridden(net, EAST, O, SOUTH)
    assert banned_turns(net, chain) == []
    (ban,) = banned_turns(net, chain.turned())
    assert ban.at_m == pytest.approx(100, abs=0.5)
    assert ban.evidence == "a turn restriction of the map (relation 1)"


@pytest.mark.parametrize(
    ("to", "words"),
    [(WEST, []), (NORTH, ["no straight on"]), (EAST, ["no right turn"]), (SOUTH, ["no U-turn"])],
)
def test_only_left_turn_bans_the_others(to, words):
    assert bans((SOUTH, O, to), (S, O, W, "only")) == words


def test_two_ways_that_one_must_go_are_both_free():
    rules = (S, O, W, "only"), (S, O, N, "only")
    assert bans((SOUTH, O, WEST), *rules) == []
    assert bans((SOUTH, O, NORTH), *rules) == []
    assert bans((SOUTH, O, EAST), *rules) == ["no right turn"]


def test_no_u_turn_bans_no_riding_on_along_the_same_way():
    streets = [((SOUTH, O, NORTH), "residential Long"), ((O, EAST), "residential East")]
    rule = (0, O, 0, "no")
    assert bans((SOUTH, O, NORTH), rule, streets=streets) == []
    assert bans((SOUTH, O, SOUTH), rule, streets=streets) == ["no U-turn"]


def test_a_rule_that_does_not_bind_cycles_bans_nothing():
    net = network(STREETS, turns=[(S, O, E, "no")])
    chain = ridden(net, SOUTH, O, EAST)
    assert len(banned_turns(net, chain)) == 1
    free = replace(net, turns=(replace(net.turns[0], for_cycles=False),))
    assert banned_turns(free, chain) == []


OSM = """<?xml version="1.0" encoding="UTF-8"?><osm version="0.6" generator="a test">
<node id="1" lat="50.0" lon="-20.0"/><node id="2" lat="49.999" lon="-20.0"/>
<node id="3" lat="50.0" lon="-19.999"/><node id="4" lat="50.001" lon="-20.0"/>
<way id="1"><nd ref="2"/><nd ref="1"/><tag k="highway" v="residential"/></way>
<way id="2"><nd ref="1"/><nd ref="3"/><tag k="highway" v="residential"/></way>
<way id="3"><nd ref="1"/><nd ref="4"/><tag k="highway" v="residential"/></way>
<relation id="77"><member type="way" ref="1" role="from"/><member type="node" ref="1" role="via"/>
<member type="way" ref="2" role="to"/><tag k="type" v="restriction"/>{}</relation></osm>"""


@pytest.mark.parametrize(
    ("tags", "right", "straight"),
    [
        ({"restriction": "no_right_turn"}, 1, 0),
        ({"restriction": "only_right_turn"}, 0, 1),
        ({"restriction": "no_right_turn", "except": "bicycle"}, 0, 0),
        ({"restriction": "no_right_turn", "except": "bus;bicycle"}, 0, 0),
        ({"restriction": "no_right_turn", "except": "bus"}, 1, 0),
        ({"restriction:bicycle": "no_right_turn"}, 1, 0),
        ({"restriction:motor_vehicle": "no_right_turn"}, 0, 0),
        ({"restriction": "no_right_turn", "restriction:bicycle": "none"}, 0, 0),
    ],
)
def test_restrictions_as_the_map_writes_them(tmp_path, tags, right, straight):
    path = tmp_path / "turns.osm"
    path.write_text(OSM.format("".join(f'<tag k="{k}" v="{v}"/>' for k, v in tags.items())))
    net = read_network(path)
    south, middle, east, north = (0, -111), (0, 0), (72, 0), (0, 111)
    assert len(banned_turns(net, ridden(net, south, middle, east))) == right
    assert len(banned_turns(net, ridden(net, south, middle, north))) == straight
