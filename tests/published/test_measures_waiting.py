"""Published delays: Highway Capacity Manual, and uniform delay at signals."""

from __future__ import annotations

import pytest

from softpedal.measure.waiting import critical_gap_s, gap_wait_s, signal_wait_s


@pytest.mark.parametrize(
    ("feet", "vehicles_per_hour", "gap_s", "wait_s"),
    [(46, 1700, 12.5, 761), (20, 850, 6.0, 7.2)],
    ids=["in one go", "to the refuge"],
)
def test_hcm_twsc_example_problem_2(feet, vehicles_per_hour, gap_s, wait_s):
    """Highway Capacity Manual, two-way stop control, example problem 2: 4 ft/s, start-up 1 s."""
    gap = critical_gap_s(feet, 4, 1)
    assert gap == gap_s
    assert gap_wait_s(vehicles_per_hour / 3600, gap) == pytest.approx(wait_s, rel=0.005)


@pytest.mark.parametrize(
    ("cycle_s", "green_s", "wait_s"),
    [(90, 30, 20.0), (60, 20, 13.333), (120, 40, 26.667), (90, 90, 0.0), (60, 80, 0.0)],
)
def test_uniform_delay_of_random_arrival_at_signals(cycle_s, green_s, wait_s):
    """Uniform delay d = (C − g)²/2C; no wait where it is always green."""
    assert signal_wait_s(cycle_s, green_s) == pytest.approx(wait_s, abs=0.0005)


def test_the_wait_for_a_gap_agrees_with_its_series_where_traffic_is_thin():
    """The first terms of the formula's own series: v·t²/2 + v²·t³/6."""
    for v in (1e-9, 1e-7, 9e-7, 2e-6, 1e-5, 1e-4):
        t = 10.0
        assert gap_wait_s(v, t) == pytest.approx(v * t**2 / 2 + v**2 * t**3 / 6, rel=1e-6)


def test_no_traffic_is_no_wait_and_endless_traffic_is_an_endless_one():
    assert gap_wait_s(0.0, 10) == 0.0
    assert gap_wait_s(100.0, 100) == float("inf")
