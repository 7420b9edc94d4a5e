"""Riding time: legs at their speed, pushing at walking pace, waits."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from building import crossing, gpx_text, leg, line_east, measures_of, notes
from softpedal.settings import Settings


def ride_s(points, settings=None, direction="outbound", **more):
    measures = measures_of(notes(**more), points, settings or Settings())
    return measures.of(direction).leading.figures.ride_s


def test_on_the_flat_and_without_heights_it_is_cruising_speed():
    seconds = 3000 / (15 / 3.6)
    assert ride_s(line_east(3000)) == pytest.approx(seconds, abs=1e-6)
    assert ride_s(line_east(3000, height=12.0)) == pytest.approx(seconds, abs=1e-6)
    quick = Settings(cruising_speed=20.0)
    assert ride_s(line_east(3000), quick) == pytest.approx(540, abs=1e-6)


def test_a_constant_climb_and_the_same_way_down():
    """2 % all the way: 15 − 2.88 = 12.12 km/h up, 15 + 1.72 = 16.72 km/h down.

    The Gaussian rounds the profile off within 150 m of the ends, so the middle 2 km are compared.
    """
    points = line_east(3000, height=lambda s: s * 0.02)
    legs = [leg("start", "on foot"), leg("500 m", "back street"), leg("2.5 km", "on foot")]
    walked = 1000 / 1.2
    up, down = (ride_s(points, direction=d, legs=legs) - walked for d in ("outbound", "return"))
    assert up == pytest.approx(2000 / (12.12 / 3.6), abs=1e-6)
    assert down == pytest.approx(2000 / (16.72 / 3.6), abs=1e-6)


def test_pushed_legs_go_at_walking_speed_whatever_the_gradient():
    points = line_east(3000, height=lambda s: s * 0.04)
    legs = [leg("start", "on foot")]
    assert ride_s(points, legs=legs) == pytest.approx(2500, abs=1e-6)
    slow = Settings(walking_speed=1.0)
    assert ride_s(points, slow, legs=legs) == pytest.approx(3000, abs=1e-6)


def test_waits_are_added():
    plain = ride_s(line_east(2000))
    waits = [crossing("1 km", wait="75 s"), crossing("1.5 km", "signals")]
    assert ride_s(line_east(2000), crossings=waits) - plain == pytest.approx(95, abs=1e-9)


@given(st.lists(st.integers(1, 1999), min_size=1, max_size=5, unique=True))
def test_cutting_legs_does_not_change_the_time(starts):
    points = line_east(2000, height=lambda s: 20 + 8 * (s // 250 % 2) + s / 100)
    legs = [leg("start", "back street"), *(leg(f"{s} m", "back street") for s in sorted(starts))]
    assert ride_s(points, legs=legs) == pytest.approx(ride_s(points), abs=1e-6)


def test_no_time_is_added_across_a_gap_between_parts():
    points = line_east(3000, height=5.0)
    apart = [*points[:100], *points[200:]]
    gapped = measures_of(notes(), gpx=gpx_text(apart, parts=[100]))
    metres = 990 + 1000
    assert gapped.outbound.length_m == pytest.approx(metres, abs=1e-6)
    seconds = gapped.outbound.leading.figures.ride_s
    assert seconds == pytest.approx(metres / (15 / 3.6), abs=1e-6)
