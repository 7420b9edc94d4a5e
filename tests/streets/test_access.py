"""Who may go where, by the tags of a way or a node.

Values after the OpenStreetMap wiki: Key:access, Key:bicycle, Key:oneway, Key:barrier,
Conditional restrictions; the defaults by country after "OSM tags for routing/Access restrictions".
"""

import pytest

from softpedal.streets.access import (
    barrier_effect,
    conditions,
    cycle_access,
    is_main,
    motor_access,
    one_way,
)
from softpedal.streets.country import country_of


def tags(text):
    return dict(part.split("=", 1) for part in text.split("; "))


@pytest.mark.parametrize(
    ("text", "cars", "cycles"),
    [
        ("highway=residential", 0, 0),
        ("highway=residential; oneway=yes", 1, 1),
        ("highway=residential; oneway=-1", -1, -1),
        ("highway=residential; oneway=yes; oneway:bicycle=no", 1, 0),
        ("highway=residential; oneway=yes; cycleway:left=opposite_lane", 1, 0),
        ("highway=residential; oneway=yes; cycleway:right:oneway=no", 1, 0),
        ("highway=primary; junction=roundabout", 1, 1),
        ("highway=primary; junction=roundabout; oneway=no", 0, 0),
        ("highway=motorway", 1, 1),
        ("highway=residential; oneway=perhaps", 0, 0),
    ],
)
def test_one_way_streets(text, cars, cycles):
    assert one_way(tags(text)) == cars
    assert one_way(tags(text), cycles=True) == cycles


@pytest.mark.parametrize(
    ("text", "may", "why"),
    [
        ("highway=residential", "ride", ""),
        ("highway=steps", "push", "steps"),
        ("highway=footway", "push", "pedestrians only"),
        ("highway=footway; bicycle=yes", "ride", ""),
        ("highway=pedestrian", "push", "pedestrians only"),
        ("highway=path", "ride", ""),
        ("highway=cycleway; bicycle=dismount", "push", "cycles are to be pushed"),
        ("highway=residential; bicycle=no", "push", "no cycling"),
        ("highway=residential; bicycle=no; foot=no", "no", "no cycling"),
        ("highway=service; access=no", "no", "private"),
        ("highway=service; access=no; bicycle=yes", "ride", ""),
        ("highway=service; access=no; vehicle=yes", "ride", ""),
        ("highway=service; access=no; foot=yes", "push", "no vehicles"),
        ("highway=residential; vehicle=no", "push", "no vehicles"),
        ("highway=primary; bicycle=use_sidepath", "ride", ""),
        ("highway=motorway", "no", "motor road"),
        ("highway=trunk; motorroad=yes", "no", "motor road"),
        ("route=ferry", "push", "ferry"),
    ],
)
def test_what_a_cycle_may_do(text, may, why):
    access = cycle_access(tags(text), country_of(None))
    assert (access.forward, access.why_forward) == (may, why)
    assert (access.backward, access.why_backward) == (may, why)


def test_against_a_one_way_street_one_pushes():
    access = cycle_access(tags("highway=residential; oneway=yes"), country_of("GB"))
    assert (access.forward, access.backward, access.why_backward) == ("ride", "push", "no entry")


@pytest.mark.parametrize(
    ("way", "code", "may"),
    [
        ("bridleway", "GB", "ride"),
        ("bridleway", "DE", "push"),
        ("pedestrian", "SE", "ride"),
        ("pedestrian", "GB", "push"),
        ("trunk", "CH", "push"),
        ("trunk", "GB", "ride"),
        ("footway", "NO", "ride"),
    ],
)
def test_defaults_differ_by_country(way, code, may):
    assert cycle_access({"highway": way}, country_of(code)).forward == may


def test_sides_of_the_road():
    assert country_of("GB").drives_left
    assert country_of("JP").drives_left
    assert not country_of("FR").drives_left
    assert not country_of(None).drives_left


@pytest.mark.parametrize(
    ("text", "forward", "sign", "private"),
    [
        ("highway=residential", True, False, False),
        ("highway=residential; motor_vehicle=no", False, False, False),
        ("highway=residential; motor_vehicle=destination", True, True, False),
        ("highway=service; access=private", False, False, True),
        ("highway=residential; access=no; motor_vehicle=yes", True, False, False),
        ("highway=residential; motor_vehicle=psv", False, False, False),
        ("highway=cycleway", False, False, False),
        ("highway=cycleway; motor_vehicle=yes", True, False, False),
        ("highway=pedestrian", False, False, False),
        ("highway=track", True, False, False),
        ("highway=nobody_knows", False, False, False),
    ],
)
def test_what_motor_traffic_may_do(text, forward, sign, private):
    access = motor_access(tags(text))
    assert (access.forward, access.sign_only, access.private) == (forward, sign, private)


@pytest.mark.parametrize(
    ("text", "effect"),
    [
        ("barrier=bollard", "stops"),
        ("barrier=bollard; bollard=rising", "gate"),
        ("barrier=bollard; motor_vehicle=yes", "passes"),
        ("barrier=planter; motor_vehicle=no", "stops"),
        ("barrier=gate", "gate"),
        ("barrier=gate; access=private; locked=yes", "gate"),
        ("barrier=cattle_grid", "passes"),
        ("barrier=cattle_grid; motor_vehicle=no", "stops"),
        ("barrier=never_heard_of", "passes"),
        ("highway=crossing; bicycle=no", "passes"),
        ("barrier=bus_trap; bus=yes", "stops"),
    ],
)
def test_what_a_node_does_to_motor_traffic(text, effect):
    assert barrier_effect(tags(text)) == effect


def test_links_belong_to_their_road():
    assert is_main({"highway": "primary_link"})
    assert not is_main({"highway": "residential"})


def test_conditional_values():
    assert conditions("no @ (Mo-Sa 08:00-18:00); yes @ wet") == [
        ("no", "Mo-Sa 08:00-18:00"),
        ("yes", "wet"),
    ]
    assert conditions("no") == []
