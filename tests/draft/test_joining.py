"""Rides that follow on each other become one line: overlaps, gaps, clocks, and what is refused."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from draft.lines_in_metres import ride_in_metres as ride
from softpedal.draft.joining import joined
from softpedal.draft.ride import Ride, RideError
from softpedal.library.gpx_reader import Waypoint


def _moved(one: Ride, north_m: float) -> Ride:
    """The same ride as another receiver has it, so many metres to the north."""
    return replace(one, lat=np.round(one.lat + north_m / 111_229, 7))


def test_one_ride_stays_as_it_is() -> None:
    one = ride([(0, 0), (300, 0)], start_s=0)
    assert joined([one]) is one


def test_ends_that_are_near_are_joined_into_one_part() -> None:
    first = ride([(0, 0), (300, 0)], start_s=0)
    second = ride([(340, 0), (340, 200)], start_s=86_400)
    whole = joined([first, second])
    assert set(whole.part) == {0}
    assert whole.track.length_m == pytest.approx(540, abs=0.5)
    assert whole.remarks == ("ride 2 joined on, 40 m from the end of the one before",)
    assert whole.time_s is not None
    assert (np.diff(whole.time_s) > 0).all()
    assert (whole.lat[: len(first.lat)] == first.lat).all()
    assert (whole.lat[len(first.lat) :] == second.lat).all()


def test_a_gap_stays_a_gap_and_is_told_with_its_metres() -> None:
    whole = joined([ride([(0, 0), (300, 0)]), ride([(620, 0), (900, 0)])])
    assert whole.track.length_m == pytest.approx(580, abs=0.5)
    assert whole.track.gaps_m == pytest.approx([320], abs=0.5)
    assert whole.remarks == (
        "ride 2 begins 320 m from where the line before it ends: the way between them is a gap",
    )


@pytest.mark.parametrize("north_m", [0, 6, -15])
def test_what_two_devices_both_have_is_taken_once_from_the_first(north_m: float) -> None:
    """A second device from 600 m on; the first gives up at 1000 m."""
    first = ride([(0, 0), (1000, 0)], start_s=0)
    second = _moved(ride([(600, 0), (1500, 0), (1500, 500)], start_s=120), north_m)
    whole = joined([first, second])
    assert whole.track.length_m == pytest.approx(2000, abs=abs(north_m) + 1)
    assert (whole.lat[: len(first.lat)] == first.lat).all()
    assert whole.time_s is not None
    assert (np.diff(whole.time_s) > 0).all()
    assert whole.time_s[-1] - whole.time_s[0] == pytest.approx(400)
    assert whole.remarks == ("ride 2 begins 400 m before the one before ends: taken once",)
    assert set(whole.part) == {0}


def test_a_short_overlap_makes_no_step_back() -> None:
    whole = joined([ride([(0, 0), (1000, 0)]), ride([(970, 0), (1500, 0)])])
    assert whole.track.length_m == pytest.approx(1500, abs=0.5)
    assert (np.diff(whole.lon) > 0).all()


def test_a_first_ride_that_goes_home_is_left_where_the_second_leaves_it() -> None:
    """The first turns off north at 800 m; the second day starts on its line, at 500 m."""
    first = ride([(0, 0), (800, 0), (800, 300)])
    second = ride([(500, 0), (800, 0), (1600, 0)])
    whole = joined([first, second])
    assert whole.track.length_m == pytest.approx(1600, abs=0.5)
    assert whole.track.gaps_m.size == 0
    assert whole.remarks == (
        (
            "ride 2 leaves the line of the one before at 0.50 km: "
            "the last 600 m of that one are left out"
        ),
    )


def test_a_place_passed_earlier_is_no_overlap() -> None:
    """The first passes (500, 0) going east, comes round and ends there going south."""
    first = ride([(0, 0), (800, 0), (800, 400), (500, 400), (500, 10)])
    whole = joined([first, ride([(500, 0), (900, 0)])])
    assert whole.track.length_m == pytest.approx(first.track.length_m + 410, abs=0.5)


def test_a_second_ride_that_passes_the_join_again_keeps_its_loop() -> None:
    first = ride([(0, 0), (800, 0), (800, 400), (500, 400), (500, 10)])
    second = ride([(500, 0), (900, 0), (900, 420), (500, 420), (500, -300)])
    whole = joined([first, second])
    lengths = first.track.length_m + second.track.length_m
    assert whole.track.length_m == pytest.approx(lengths + 10, abs=0.5)


def test_a_ride_that_only_begins_at_a_crossing_of_the_line_cuts_nothing_off() -> None:
    whole = joined([ride([(0, 0), (900, 0)]), ride([(300, 0), (300, 700)])])
    assert whole.track.length_m == pytest.approx(1600, abs=0.5)
    assert whole.track.gaps_m == pytest.approx([600], abs=0.5)


def test_a_loop_is_closed() -> None:
    whole = joined([ride([(0, 0), (400, 0), (400, 400)]), ride([(400, 400), (0, 400), (0, 0)])])
    assert whole.track.length_m == pytest.approx(1600, abs=0.5)
    assert whole.track.ends_apart_m < 1
    assert (whole.track.steps_m > 0).all()


def test_three_rides() -> None:
    whole = joined([ride([(x, 0), (x + 300, 0)], start_s=x) for x in (0, 310, 900)])
    assert whole.part[-1] == 1
    assert whole.track.length_m == pytest.approx(910, abs=0.5)
    assert [text[:6] for text in whole.remarks] == ["ride 2", "ride 3"]


@pytest.mark.parametrize(
    ("second_s", "has_clock"), [(60, True), (59, True), (52, True), (30, False), (-500, False)]
)
def test_the_clock_runs_on_or_is_not_used(second_s: float, has_clock: bool) -> None:
    """The first ends at 60 s. Clocks of two devices differ by a few seconds, not by more."""
    first = ride([(0, 0), (300, 0)], start_s=0)
    whole = joined([first, ride([(310, 0), (800, 0)], start_s=second_s)])
    if has_clock:
        assert whole.time_s is not None
        assert (np.diff(whole.time_s) > 0).all()
        assert whole.stood_s is not None
    else:
        assert whole.time_s is None
        assert whole.remarks[-1] == (
            "ride 2 is not later than the one before: the clock of the rides is not used"
        )


def test_a_drawn_line_joined_on_has_no_clock_to_give() -> None:
    whole = joined([ride([(0, 0), (300, 0)], start_s=0), ride([(300, 0), (300, 400)])])
    assert whole.time_s is None
    assert "only one of the rides has times: the clock of the rides is not used" in whole.remarks
    drawn = joined([ride([(0, 0), (300, 0)]), ride([(300, 0), (300, 400)])])
    assert len(drawn.remarks) == 1


def test_stops_heights_and_marked_places_are_carried_along() -> None:
    a, b = Waypoint(50.0, -20.0, "Gate", 3), Waypoint(50.001, -20.0, "Steps", 4)
    first = ride([(0, 0), (300, 0)], start_s=0, waypoints=(a,))
    second = ride([(310, 0), (800, 0)], start_s=500, waypoints=(a, b))
    assert second.stood_s is not None
    stood = second.stood_s.copy()
    stood[7] = 33.0
    whole = joined([first, replace(second, stood_s=stood)])
    assert whole.waypoints == (a, b)
    assert whole.stood_s is not None
    assert whole.stood_s.sum() == whole.stood_s[len(first.lat) + 7] == 33
    assert (whole.height == np.concatenate([first.height, second.height])).all()


@pytest.mark.parametrize(
    ("second", "message", "hint"),
    [
        (
            [(800, 0), (300, 0)],
            "Ride 2 goes along the line before it in the other dir",
            "Give only",
        ),
        ([(400, 900), (400, 400), (900, 5)], "Ride 2 ends where the one before ends", "Ride that"),
        ([(0, 900), (0, 10)], "Ride 2 ends where the one before begins", "Give them the other"),
        ([(0, 5000), (0, 9000)], r"Ride 2 begins 5\.1 km from where the one before", "Give rides"),
        ([(0, 0), (800, 0)], "Ride 2 holds nothing new", "Leave it out"),
        ([(500, 0), (920, 0)], "Ride 2 holds nothing new", "Leave it out"),
        ([(0, 0), (200, 0), (200, 900)], "begins where the one before begins, and goes", "Give ri"),
    ],
)
def test_what_does_not_follow_is_refused_with_what_to_do(
    second: list[tuple[float, float]], message: str, hint: str
) -> None:
    with pytest.raises(RideError, match=message) as caught:
        joined([ride([(0, 0), (900, 0)]), ride(second)])
    assert caught.value.hint.startswith(hint)


@given(
    ends=st.floats(300, 900),
    overlap=st.floats(60, 250),
    more=st.floats(60, 900),
    step=st.sampled_from([3.0, 5.0, 12.0]),
    north_m=st.floats(-10, 10),
)
@settings(deadline=None, max_examples=40)
def test_an_overlap_adds_and_loses_nothing(
    ends: float, overlap: float, more: float, step: float, north_m: float
) -> None:
    first = ride([(0, 0), (ends, 0)], step, start_s=0)
    second = ride([(ends - overlap, 0), (ends + more, 0)], step, start_s=(ends - overlap) / 5)
    whole = joined([first, _moved(second, north_m)])
    assert whole.track.length_m == pytest.approx(ends + more, abs=abs(north_m) + 1)
    assert (np.diff(whole.track.chainage_m) > 0).all()
    assert (np.diff(whole.lon) > 0).all()
    assert whole.time_s is not None
    assert (np.diff(whole.time_s) > 0).all()
