"""What is waited at a crossing on a route: our own constants, cap and order of evidence."""

from __future__ import annotations

import math

import pytest

from building import crossing, measures_of, notes
from softpedal.library.notes import Crossing
from softpedal.measure.waiting import crossing_wait_s
from softpedal.settings import Settings


def wait(control="none", settings=None, **more):
    noted = Crossing.model_validate(crossing("1 km", control, **more))
    return crossing_wait_s(noted, settings or Settings())


def by_hand(lanes, vehicles_per_day):
    """L = 3.5 m a lane, 1.2 m/s, 3 s to start, 7 % of the day's traffic in an hour."""
    gap = 3.5 * lanes / 1.2 + 3
    v = 0.07 * vehicles_per_day / 3600
    return (math.exp(v * gap) - v * gap - 1) / v


@pytest.mark.parametrize(("lanes", "vehicles"), [(1, 3000), (2, 9000), (3, 5000), (4, 4000)])
def test_an_unsignalised_wait_by_the_formula(lanes, vehicles):
    expected = by_hand(lanes, vehicles)
    assert 0 < expected < 120
    assert wait(lanes=lanes, vehicles_per_day=vehicles) == pytest.approx(expected, rel=1e-12)
    assert wait("roundabout", lanes=lanes, vehicles_per_day=vehicles) == pytest.approx(expected)


def test_a_wait_worked_out_with_a_pocket_calculator():
    """2 lanes, 9,000 a day: t_c 8.8333 s, v 0.175/s, v·t 1.54583, d (4.69187 − 2.54583) / v."""
    assert wait(lanes=2, vehicles_per_day=9000) == pytest.approx(12.263, abs=0.001)


def test_two_lanes_are_assumed():
    assert wait(vehicles_per_day=9000) == wait(lanes=2, vehicles_per_day=9000)


@pytest.mark.parametrize(("lanes", "half"), [(1, 1), (2, 1), (3, 2), (4, 2), (5, 3)])
def test_with_a_refuge_there_are_two_stages_each_against_its_own_traffic(lanes, half):
    """HCM, as its example problem 2 has it: half the width, half the vehicles, twice."""
    expected = 2 * by_hand(half, 4500)
    found = wait("refuge", lanes=lanes, vehicles_per_day=9000)
    assert found == pytest.approx(expected, rel=1e-12)


def test_a_refuge_never_makes_the_wait_longer():
    for lanes in (2, 4, 6):
        for vehicles in (1000, 4000, 9000):
            in_one_go = wait(lanes=lanes, vehicles_per_day=vehicles)
            assert wait("refuge", lanes=lanes, vehicles_per_day=vehicles) < in_one_go


def test_no_wait_is_counted_above_120_s():
    assert by_hand(6, 30000) > 120
    assert wait(lanes=6, vehicles_per_day=30000) == 120
    assert wait(lanes=12, vehicles_per_day=500_000) == 120
    assert wait("signals", Settings(signal_cycle=600, signal_green=10)) == 120


@pytest.mark.parametrize("control", ["zebra", "parallel", "bridge", "underpass"])
def test_where_one_goes_at_once(control):
    assert wait(control) == 0
    assert wait(control, vehicles_per_day=30000, lanes=4) == 0


@pytest.mark.parametrize("control", ["cycle signals", "toucan", "signals", "pedestrian signals"])
def test_signals_by_the_settings_cycle(control):
    assert wait(control) == pytest.approx(20, abs=1e-9)
    assert wait(control, vehicles_per_day=30000) == pytest.approx(20, abs=1e-9)
    assert wait(control, Settings(signal_cycle=60, signal_green=20)) == pytest.approx(13.3333333)


@pytest.mark.parametrize(
    "control", ["none", "refuge", "roundabout", "signals", "zebra", "parallel"]
)
def test_the_wait_in_the_notes_beats_all(control):
    assert wait(control, wait="75 s", vehicles_per_day=9000) == 75
    assert wait(control, wait="3 min", vehicles_per_day=9000) == 180  # the cap too
    assert wait(control, wait="0 s", vehicles_per_day=9000) == 0


@pytest.mark.parametrize("control", ["none", "refuge", "roundabout"])
def test_unknown_volume_is_an_unknown_wait_and_counted_as_nothing(control):
    assert wait(control, lanes=4, speed_limit="30 mph") is None
    crossings = [crossing("0.5 km", control), crossing("1 km", "signals")]
    plain = measures_of(notes()).outbound.leading.figures
    figures = measures_of(notes(crossings=crossings)).outbound.leading.figures
    assert (figures.wait_s, figures.waits_unknown) == (pytest.approx(20), 1)
    assert figures.ride_s - plain.ride_s == pytest.approx(20)


def test_an_empty_road_is_no_wait():
    assert wait(vehicles_per_day=0) == 0
