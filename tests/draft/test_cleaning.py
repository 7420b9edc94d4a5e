"""Cleaning against rides whose truth is known: places, lengths, stops, corners."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from PIL import Image

from draft.raw_rides import START, Plan, Stop, a_plan, metres, recorded, ride_of
from softpedal.draft.cleaning import moving_standing, spikes_of, stops_of
from softpedal.draft.cleaning_plot import write_plot
from softpedal.draft.ride import cleaned
from softpedal.draft.thinning import APART_M

SEEDS = range(9000, 9012)  # nothing was tuned on these
CORNER = np.array([[0.0, 0.0], [500.0, 0.0], [500.0, 500.0]])


def _mean_off(line, truth) -> float:
    return float(shapely.distance(_along(line), truth).mean())


def _along(line):
    return shapely.line_interpolate_point(line, np.arange(0, line.length, 2.0))


@pytest.fixture(scope="module")
def rides():
    raws = [recorded(a_plan(seed), seed) for seed in SEEDS]
    return [(raw, cleaned(raw.ride)) for raw in raws]


def test_the_line_is_nearer_to_the_truth_than_before(rides) -> None:
    for raw, ride in rides:
        before, after = (shapely.LineString(metres(r)) for r in (raw.ride, ride))
        assert _mean_off(after, raw.line) < _mean_off(before, raw.line)


def test_the_length_is_within_one_per_cent(rides) -> None:
    """Of all rides together; of a single one, a few seconds of noise make up to 2 %."""
    shares = [ride.track.length_m / raw.line.length for raw, ride in rides]
    assert abs(np.mean(shares) - 1) < 0.01
    assert np.abs(np.array(shares) - 1).max() < 0.025


def test_stops_are_found_where_they_were_and_nowhere_else(rides) -> None:
    """At 4 m of noise a stop of 15 s and a push of 15 s cannot always be told apart."""
    true = found = false = 0
    for raw, ride in rides:
        xy = metres(ride)[ride.stood_s > 0]
        off = np.array([np.hypot(*(xy - raw.place(stop)).T) for stop in raw.plan.stops])
        near = off <= 15
        assert (near.sum(axis=1) <= 1).all(), "a stop is split"
        true += len(near)
        found += int(near.any(axis=1).sum())
        false += int((~near.any(axis=0)).sum())
    assert true == 8 * len(rides)
    assert found >= true - 1
    assert false <= 1


def test_all_spikes_go_and_nothing_else_does(rides) -> None:
    for raw, _ in rides:
        assert (spikes_of(raw.ride) == raw.spiky).all()


def test_no_corner_is_cut_by_more_than_5_m(rides) -> None:
    """Against the recording without spikes, and without its wandering while it stood."""
    for raw, ride in rides:
        corners = shapely.points(raw.plan.corners[1:-1])
        good = shapely.LineString(metres(raw.ride)[~raw.spiky & ~raw.stood])
        after = shapely.LineString(metres(ride))
        cut = shapely.distance(corners, after) - shapely.distance(corners, good)
        assert cut.max() < 5


def test_an_exact_recording_keeps_its_corner() -> None:
    raw = recorded(Plan(CORNER, noise_m=0.0, white_m=0.0), 1)
    line = shapely.LineString(metres(cleaned(raw.ride)))
    assert line.distance(shapely.Point(500, 0)) < 3


def test_parts_of_a_paused_recording_are_one(rides) -> None:
    assert all((ride.part == 0).all() for _, ride in rides)


def test_points_are_near_enough_for_the_pace() -> None:
    raw = recorded(Plan(CORNER, pushes=((200, 260, 1.1),)), 9100)
    assert cleaned(raw.ride).track.steps_m.max() < APART_M + 5


@pytest.mark.parametrize("pushes", [(), ((300, 320, 1.1),), ((300, 360, 1.0),)])
def test_a_push_is_no_stop(pushes) -> None:
    wrong = [
        seed
        for seed in range(9200, 9220)
        if stops_of(cleaned(recorded(Plan(CORNER, pushes=pushes), seed).ride))
    ]
    assert len(wrong) <= 1


def test_riding_round_a_square_is_no_stop() -> None:
    round_it = [[200 + x, y] for _ in range(6) for x, y in ((15, 0), (15, 15), (0, 15), (0, 0))]
    corners = np.array([[0, 0], [200, 0], *round_it, [500, 0]], dtype=float)
    for seed in range(9300, 9310):
        assert stops_of(cleaned(recorded(Plan(corners, speed_m_s=3.0), seed).ride)) == ()


def test_a_stop_has_its_seconds_and_the_clock_goes_on() -> None:
    raw = recorded(Plan(CORNER, stops=(Stop(300, 48),)), 9400)
    ride = cleaned(raw.ride)
    (stop,) = stops_of(ride)
    assert stop.seconds == pytest.approx(48, abs=4)
    assert stop.at_m == pytest.approx(300, abs=15)
    moving, standing = moving_standing(ride)
    assert standing == pytest.approx(48, abs=6)
    assert moving + standing == pytest.approx(raw.ride.time_s[-1] - raw.ride.time_s[0])


def test_a_sparse_recording_has_no_jumps_and_keeps_its_points() -> None:
    """One fix in 30 s at 5 m/s makes steps of 150 m."""
    xy = np.column_stack([np.arange(20) * 150.0, np.arange(20) % 2 * 60.0])
    ride = cleaned(ride_of(xy, START + np.arange(20) * 30.0))
    assert len(ride.lat) == 20
    assert ride.track.gaps_m.size == 0


def test_a_jump_begins_a_new_part_and_is_told() -> None:
    xy = np.column_stack([np.arange(200) * 5.0, np.zeros(200)])
    xy[100:, 1] += 400.0
    ride = cleaned(ride_of(xy, START + np.arange(200.0)))
    assert ride.part.max() == 1
    assert "1 jump of more than 100 m: a new part begins there" in ride.remarks
    assert ride.remarks[-1].startswith("1 gap in the recording, of 400 m")


def test_a_drawn_line_keeps_its_corners() -> None:
    xy = np.array([[0, 0], [60, 0], [60, 50], [62, 0], [200, 0], [200, 90], [400, 90]] * 3, float)
    xy[:, 0] += np.repeat([0, 500, 1000], 7)
    assert len(cleaned(ride_of(xy, None)).lat) == len(xy)


def test_a_few_missing_times_are_put_between_the_others() -> None:
    time_s = START + np.arange(200.0)
    time_s[100:102] = np.nan
    ride = cleaned(ride_of(np.column_stack([np.arange(200) * 5.0, np.zeros(200)]), time_s))
    assert ride.remarks[0] == "2 points without a time: taken between their neighbours"
    assert ride.time_s is not None


def test_a_cleaned_ride_stays_as_it_is(rides) -> None:
    for _, ride in rides:
        again = cleaned(ride)
        assert (again.lat == ride.lat).all()
        assert (again.stood_s == ride.stood_s).all()
        anew = cleaned(replace(ride, stood_s=None, remarks=()))
        assert anew.track.length_m == pytest.approx(ride.track.length_m, rel=0.02)


def test_the_picture_shows_both(rides, tmp_path) -> None:
    raw, ride = rides[0]
    write_plot([raw.ride], ride, tmp_path / "plot.png")
    with Image.open(tmp_path / "plot.png") as picture:
        colours = {colour for _, colour in picture.convert("RGB").getcolors(1_000_000)}
    assert {(0xCC, 0x33, 0x11), (0x00, 0x77, 0xBB), (0xEE, 0x77, 0x33)} <= colours
