"""Climbing from noisy heights, and the steepest bit."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from building import gpx_text, line_east, measures_of, notes, track_of
from softpedal.measure.height import climbed, profile, rises_and_falls, smooth

STEP_M = 5.0
LENGTH_M = 20_000.0
ALONG = np.arange(0, LENGTH_M + STEP_M, STEP_M)
POINTS = line_east(LENGTH_M, STEP_M)
SHAPES = {
    "flat": np.zeros_like(ALONG),
    "rolling": 19.3 * (1 - np.cos(2 * np.pi * ALONG / 4000)),  # 5 hills of 38.6 m: 193 m
    "hilly": 60.25 * (1 - np.cos(2 * np.pi * ALONG / 5000)),  # 4 hills of 120.5 m: 482 m
}


def noise(seed, correlated_over_m):
    """Noise of 1.5 m: white, or fading over a distance."""
    white = np.random.default_rng(seed).normal(0, 1.5, len(ALONG))
    keep = np.exp(-STEP_M / correlated_over_m) if correlated_over_m else 0.0
    out = [white[0]]
    for fresh in white[1:]:
        out.append(keep * out[-1] + np.sqrt(1 - keep**2) * fresh)
    return np.array(out)


def ascent(heights):
    points = [(lat, lon, h) for (lat, lon), h in zip(POINTS, heights, strict=True)]
    changes = rises_and_falls(profile(track_of(points)))
    return sum(change.rise_m for change in changes if change.rise_m > 0)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize(
    ("name", "over_m", "least", "most"),
    [
        ("flat", 0, 0, 0),
        ("flat", 50, 1, 38),
        ("rolling", 0, 190, 198),
        ("rolling", 50, 190, 205),
        ("hilly", 0, 479, 485),
        ("hilly", 50, 479, 490),
    ],
)
def test_noise_of_1_5_m_on_20_km_hardly_climbs(name, over_m, least, most, seed):
    """The design's figures: flat 0 to 38 m, rolling 193 → 192-202, hilly 482 → 480-484."""
    assert least <= ascent(SHAPES[name] + noise(seed, over_m)) <= most


def test_a_raw_sum_of_the_flat_one_says_thousands():
    """The design: 3,372 m; expected of white noise is n·σ/√π."""
    assert climbed(noise(0, 0), threshold_m=0)[0] == pytest.approx(3372, rel=0.03)


def heights_of(height, metres=3000.0, direction="outbound"):
    return measures_of(notes(), line_east(metres, height=height)).of(direction)


def ramp(start, end, rise):
    """Flat, then a constant gradient from `start` to `end`, then flat."""
    return lambda s: 100 + rise * min(1, max(0, (s - start) / (end - start)))


def test_a_constant_gradient_between_flats_climbs_its_rise():
    out = heights_of(ramp(1000, 2000, 20.0)).heights
    assert (out.ascent_m, out.descent_m) == (pytest.approx(20, abs=1e-6), 0)
    back = heights_of(ramp(1000, 2000, 20.0), direction="return").heights
    assert (back.ascent_m, back.descent_m) == (0, pytest.approx(20, abs=1e-6))


@pytest.mark.parametrize(("rise", "counts"), [(2.9, False), (3.1, True)])
def test_a_rise_counts_only_beyond_3_m(rise, counts):
    out = heights_of(ramp(1000, 2000, rise)).heights
    assert out.ascent_m == (pytest.approx(rise, abs=1e-6) if counts else 0)


@pytest.mark.parametrize(
    ("heights", "up", "down"),
    [
        ([2, 0, 5], 5, 0),  # the dip before the first swing that counts does not count
        ([0, 2, -3], 0, 5),
        ([0, 10, 8, 12], 12, 0),  # a dip within a rise
        ([0, 10, 5, 12], 17, 5),
        ([0, 10, 8], 10, 0),  # a last dip
        ([0, 10, 6.5, 7], 10, 3.5),
        ([5], 0, 0),
        ([5, 8], 0, 0),  # 3 m do not exceed 3 m
        ([5, 8, 8.1], 3.1, 0),
    ],
)
def test_swings_by_hand(heights, up, down):
    assert climbed(np.array(heights, dtype=float)) == (pytest.approx(up), pytest.approx(down))


@given(arrays(float, st.integers(2, 40), elements=st.floats(-20, 20)), st.floats(0, 6))
def test_climbed_less_descended_is_within_a_threshold_of_the_difference(heights, threshold):
    up, down = climbed(heights, threshold)
    assert abs((up - down) - (heights[-1] - heights[0])) <= 2 * threshold + 1e-9
    turned_up, turned_down = climbed(heights[::-1], threshold)
    assert (turned_up, turned_down) == (pytest.approx(down), pytest.approx(up))


@given(arrays(float, st.integers(2, 40), elements=st.floats(-20, 20)), st.floats(0, 5))
def test_a_higher_threshold_never_counts_more(heights, threshold):
    assert climbed(heights, threshold + 1)[0] <= climbed(heights, threshold)[0] + 1e-9
    assert climbed(heights, 0)[0] == pytest.approx(np.clip(np.diff(heights), 0, None).sum())


def test_the_gaussian_keeps_a_straight_slope_and_a_level():
    assert smooth(np.full(80, 7.0), 10) == pytest.approx(7.0)
    slope = np.arange(200) * 0.3
    assert smooth(slope, 10)[25:-25] == pytest.approx(slope[25:-25])
    assert smooth(slope, 10)[0] > slope[0]  # the edge value is repeated


def test_the_gaussian_has_a_sigma_of_50_m_and_is_cut_at_5():
    """One spike of 1 m in 10 m steps: at 0 and 50 m as 1 and e^(−1/2), nothing beyond 250 m."""
    spike = np.zeros(201)
    spike[100] = 1.0
    smoothed = smooth(spike, 10)
    assert smoothed[105] / smoothed[100] == pytest.approx(np.exp(-0.5))
    assert smoothed[100] == pytest.approx(10 / (50 * np.sqrt(2 * np.pi)), rel=1e-5)
    assert smoothed[125] > 0 == smoothed[126]
    assert smoothed.sum() == pytest.approx(1)


def test_a_track_is_resampled_every_10_m():
    sparse = track_of(line_east(3000, step=150, height=ramp(1000, 2000, 20.0)))
    shape = profile(sparse)
    assert np.diff(shape.chainage_m) == pytest.approx(10)
    assert len(shape.chainage_m) == len(shape.height_m) == 301


def test_heights_that_cannot_be_are_dropped():
    points = line_east(3000, height=ramp(1000, 2000, 20.0))
    for index, wrong in {40: 32767.0, 41: -9999.0, 180: float("nan"), 250: float("inf")}.items():
        points[index] = (*points[index][:2], wrong)
    changes = [change.rise_m for change in rises_and_falls(profile(track_of(points)))]
    up, down = sum(c for c in changes if c > 0), -sum(c for c in changes if c < 0)
    assert (up, down) == (pytest.approx(20, abs=0.01), 0)


def test_no_heights_are_not_recorded_never_0():
    measures = measures_of(notes(), line_east(2000))
    for direction in (measures.outbound, measures.way_back):
        assert direction.heights is None
        assert direction.steepest is None
        assert direction.profile is None


@pytest.mark.parametrize(("gap", "is_recorded"), [(490, True), (510, False)])
@pytest.mark.parametrize("where", ["start", "middle", "end"])
def test_a_long_stretch_without_heights_is_not_recorded(where, gap, is_recorded):
    """The limit of 500 m is ours."""
    bare_at = {"start": (-1, gap), "middle": (600, 600 + gap), "end": (2000 - gap, 2001)}
    from_m, to_m = bare_at[where]
    points = line_east(2000, height=10.0)
    bare = [p[:2] if from_m < 10 * i < to_m else p for i, p in enumerate(points)]
    heights = measures_of(notes(), gpx=gpx_text(bare)).outbound.heights
    assert (heights is not None) is is_recorded


def test_two_points_with_heights_are_a_recorded_slope():
    out = heights_of(lambda s: s / 20, metres=400.0)
    assert out.heights.ascent_m > 3
    two = track_of([(*POINTS[0], 0.0), (*POINTS[80], 20.0)])  # 400 m apart
    assert profile(two).height_m == pytest.approx(out.profile.height_m, abs=1e-6)


def test_nothing_is_climbed_between_parts():
    """Two flat parts, 50 m apart in height."""
    points = line_east(2000, height=lambda s: 10 if s < 1000 else 60)
    measures = measures_of(notes(), gpx=gpx_text(points, parts=[100]))
    out = measures.outbound
    assert (out.heights.ascent_m, out.heights.descent_m) == (0, 0)
    assert out.steepest.gradient == pytest.approx(0, abs=1e-12)


def test_the_climbs_are_told_with_their_places():
    (climb,) = rises_and_falls(profile(track_of(line_east(3000, height=ramp(1000, 2000, 20.0)))))
    assert climb.rise_m == pytest.approx(20, abs=1e-6)
    assert climb.to_m == pytest.approx(2000, abs=260)
    assert climb.severity == pytest.approx(climb.rise_m**2 / (climb.to_m - climb.from_m))


def steepest(steep=(), height=None, direction="outbound", metres=3000.0):
    points = line_east(metres, height=height)
    return measures_of(notes(steep=list(steep)), points).of(direction).steepest


def test_the_steepest_of_a_constant_gradient_is_that():
    found = steepest(height=ramp(1000, 2000, 45.0))
    assert found.gradient == pytest.approx(0.045, abs=1e-6)
    assert 1000 < found.at_m < 2000
    assert (found.metres, found.source) == (50, "recorded")


def test_on_the_way_back_the_descent_is_the_climb():
    found = steepest(height=ramp(1000, 1800, -24.0), direction="return")
    assert found.gradient == pytest.approx(0.03, abs=1e-6)
    assert 1200 < found.at_m < 2000
    assert steepest(height=ramp(1000, 1800, -24.0)).gradient == pytest.approx(0, abs=1e-9)


def test_8_percent_over_50_m_reads_3_percent_after_smoothing():
    """The design says so, and the page too."""
    assert steepest(height=ramp(1500, 1550, 4.0)).gradient == pytest.approx(0.03, abs=0.003)


RAMP = {"at": "1.5 km", "metres": "40 m", "gradient": "8 %"}


def test_a_steep_note_beats_what_was_computed_there():
    found = steepest([RAMP], height=ramp(1500, 1550, 4.0))
    assert (found.gradient, found.source) == (pytest.approx(0.08), "notes")
    assert (found.at_m, found.metres) == (pytest.approx(1500), pytest.approx(40))
    gentle = {**RAMP, "at": "1.3 km", "metres": "500 m", "gradient": "2 %"}
    found = steepest([gentle], height=ramp(1500, 1550, 4.0))
    assert (found.gradient, found.source) == (pytest.approx(0.02), "notes")


def test_a_steep_note_needs_no_recorded_heights():
    assert steepest([RAMP]).gradient == pytest.approx(0.08)


def test_a_steep_note_turns_its_sign_on_the_way_back():
    assert steepest([RAMP], direction="return") is None
    down = {**RAMP, "gradient": "-8 %"}
    assert steepest([down]) is None
    found = steepest([down], direction="return")
    assert found.gradient == pytest.approx(0.08)
    assert found.at_m == pytest.approx(3000 - 1540, abs=1e-6)
    assert found.metres == pytest.approx(40)


def test_a_way_back_of_its_own_has_notes_in_its_own_order():
    data = notes(**{"return": {"legs": [{"from": "start", "street": "Quay", "kind": "bus lane"}]}})
    data["return"]["steep"] = [RAMP]
    back = gpx_text(line_east(3000)[::-1])
    measures = measures_of(data, line_east(3000), return_gpx=back)
    assert measures.outbound.steepest is None
    assert measures.way_back.steepest.gradient == pytest.approx(0.08)
    assert measures.way_back.steepest.at_m == pytest.approx(1500)
