"""Which crossings are busy, which are controlled, and when they are there."""

from __future__ import annotations

import pytest

from building import crossing, measures_of, notes
from softpedal.library.notes import Crossing
from softpedal.measure.crossings import is_busy


def busy(control="none", **more):
    return is_busy(Crossing.model_validate(crossing("1 km", control, **more)))


def state_of(*crossings, direction="outbound", **more):
    return measures_of(notes(crossings=list(crossings), **more)).of(direction).leading


def test_nothing_known_is_not_busy():
    assert not busy()


def test_busy_by_the_notes():
    assert busy(busy=True)


@pytest.mark.parametrize(("vehicles", "is_it"), [(0, False), (2000, False), (2001, True)])
def test_busy_by_more_than_2000_vehicles_a_day(vehicles, is_it):
    assert busy(vehicles_per_day=vehicles) is is_it


@pytest.mark.parametrize(
    ("road_class", "is_it"),
    [
        ("trunk", True),
        ("primary", True),
        ("secondary", True),
        ("tertiary", False),
        ("unclassified", False),
        ("residential", False),
    ],
)
def test_busy_by_the_class_of_the_road(road_class, is_it):
    assert busy(road_class=road_class) is is_it


@pytest.mark.parametrize(
    ("speed", "lanes", "is_it"),
    [
        ("30 mph", 2, False),
        ("30 mph", 5, False),
        ("20 mph", 6, True),
        ("35 mph", 3, False),
        ("35 mph", 4, True),
        ("40 mph", 2, True),
        ("60 km/h", 4, True),
    ],
)
def test_busy_by_an_unsignalised_stress_of_3(speed, lanes, is_it):
    assert busy(speed_limit=speed, lanes=lanes) is is_it
    assert busy("zebra", speed_limit=speed, lanes=lanes) is is_it


def test_the_stress_with_a_refuge_is_that_of_the_refuge_table():
    assert busy("none", speed_limit="30 mph", lanes=6)
    assert busy("refuge", speed_limit="30 mph", lanes=6)
    assert busy("none", speed_limit="25 mph", lanes=6)
    assert not busy("refuge", speed_limit="25 mph", lanes=6)


def test_two_lanes_are_assumed_and_lanes_alone_say_nothing():
    assert busy(speed_limit="40 mph")
    assert not busy(speed_limit="35 mph")
    assert not busy(lanes=6)


@pytest.mark.parametrize(
    "control", ["cycle signals", "toucan", "signals", "pedestrian signals", "parallel", "zebra"]
)
def test_signals_and_zebras_remove_stress_not_busyness(control):
    assert busy(control, speed_limit="40 mph", lanes=4)
    assert busy(control, vehicles_per_day=9000)


@pytest.mark.parametrize("control", ["bridge", "underpass"])
def test_a_bridge_or_underpass_is_never_busy(control):
    everything = {
        "busy": True,
        "road_class": "trunk",
        "vehicles_per_day": 30000,
        "speed_limit": "50 mph",
        "lanes": 6,
    }
    assert not busy(control, **everything)


@pytest.mark.parametrize("movement", ["cross", "turn", "roundabout"])
def test_turning_across_traffic_and_roundabouts_count_like_a_crossing(movement):
    figures = state_of(crossing("1 km", movement=movement, vehicles_per_day=9000)).figures
    assert (figures.busy, figures.busy_uncontrolled, figures.crossings) == (1, 1, 1)


@pytest.mark.parametrize(
    ("control", "controlled"),
    [
        ("cycle signals", True),
        ("toucan", True),
        ("signals", True),
        ("pedestrian signals", True),
        ("parallel", True),
        ("zebra", True),
        ("refuge", False),
        ("roundabout", False),
        ("none", False),
    ],
)
def test_the_busy_crossings_with_neither_signals_nor_zebra_are_told(control, controlled):
    figures = state_of(
        crossing("0.5 km", control, busy=True), crossing("1 km", control), crossing("1.5 km")
    ).figures
    assert (figures.busy, figures.crossings) == (1, 3)
    assert figures.busy_uncontrolled == (0 if controlled else 1)


def test_a_crossing_of_one_direction_counts_there_only():
    one = crossing("0.5 km", busy=True, direction="return")
    assert state_of(one).figures.busy == 0
    back = state_of(one, direction="return")
    assert back.figures.busy == 1
    assert back.crossings[0].at_m == pytest.approx(1500, abs=1e-6)


def test_a_crossing_of_some_hours_counts_then_only():
    one = crossing("0.5 km", busy=True, hours="Mo-Fr 08:00-09:00")
    states = measures_of(notes(crossings=[one])).outbound.states
    assert [state.figures.busy for state in states] == [0, 1]


def test_the_worst_crossing_is_told_apart_by_its_level():
    state = state_of(
        crossing("0.2 km", road="Mill Lane"),
        crossing("0.8 km", speed_limit="40 mph", lanes=4, road="Dock Road"),
        crossing("1.2 km", speed_limit="40 mph", lanes=4, road="Grain Road"),
    )
    assert state.worst_crossing.crossing.road == "Dock Road"
    assert state_of().worst_crossing is None


@pytest.mark.parametrize(
    ("more", "level"),
    [
        ({"vehicles_per_day": 9000}, 3),
        ({}, 1),
        ({"vehicles_per_day": 9000, "control": "bridge"}, 1),
        ({"vehicles_per_day": 9000, "control": "toucan"}, 1),
    ],
)
def test_turning_across_a_busy_road_without_signals_is_at_least_3(more, level):
    """Our own rule: the published table knows straight crossings only."""
    turn = {"movement": "turn", "speed_limit": "30 mph", "lanes": 2, "control": "none"} | more
    measures = measures_of(notes(crossings=[crossing("400 m", **turn)]))
    assert measures.outbound.leading.crossings[0].level.level == level


def test_a_busy_road_without_signals_is_never_little_stress():
    """The table's level 1 stays; its words do not flatter."""
    busy = crossing("400 m", vehicles_per_day=9000, speed_limit="30 mph", lanes=2)
    met = measures_of(notes(crossings=[busy])).outbound.leading.crossings[0]
    assert (met.level.level, met.words) == (1, "some stress")
    met = measures_of(notes(crossings=[busy | {"control": "toucan"}])).outbound.leading.crossings[0]
    assert (met.level.level, met.words) == (1, "little stress")
