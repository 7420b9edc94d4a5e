"""What private zones take out of a ride: every pass, its waypoints, and pieces that trace it."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from softpedal.draft.privacy import PrivateLineError, refuse_private, without_private
from softpedal.draft.ride import Ride, RideError
from softpedal.library.gpx_reader import Waypoint
from softpedal.library.private_zones import NO_ZONES, Zone, Zones
from softpedal.library.track import WGS84

LAT, LON = 50.0, -20.0
SECRET = bytes(range(32))


@pytest.fixture(scope="module")
def zones():
    return Zones((), SECRET).with_zone(Zone("home", LAT, LON, 250.0))


def _ride(zones, corners, step=5.0, parts=(), **more):
    """Return a ride through corners in metres east and north of the circle's centre."""
    (circle,) = zones.circles()
    corners = np.array(corners, dtype=float)
    along = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))])
    at = np.unique(np.concatenate([np.arange(0, along[-1], step), along])) if step else along
    east, north = (np.interp(at, along, axis) for axis in corners.T)
    bearing = np.degrees(np.arctan2(east, north))
    n = len(at)
    lon, lat, _ = WGS84.fwd(
        np.full(n, circle.lon), np.full(n, circle.lat), bearing, np.hypot(east, north)
    )
    part = np.searchsorted(parts, np.arange(n), side="right").astype(np.intp)
    return Ride(lat, lon, at.copy(), part, at / 5.0, stood_s=np.zeros(n), **more)


def _enters(ride, zones) -> bool:
    inside, through = zones.enter(ride.lat, ride.lon)
    return bool(inside.any() or (through & (np.diff(ride.part) == 0)).any())


def test_both_ends_at_home_are_cut_and_the_rest_stays(zones):
    ride = _ride(zones, [(0, 0), (2000, 0), (2000, 300), (0, 300), (0, 0)])
    left, cut = without_private(ride, zones)
    assert not _enters(left, zones)
    assert set(left.part.tolist()) == {0}
    assert cut.start.metres == pytest.approx(253, abs=6)
    assert cut.finish.metres >= 250
    assert cut.middle.points == 0
    assert cut.start.points + cut.finish.points + len(left.lat) == len(ride.lat)
    begin, end = cut.words()
    assert re.fullmatch(r"private zones: 25\d m \(51 points\) cut off at the start", begin)
    assert end.endswith("cut off at the finish")


def test_all_that_is_known_of_a_point_goes_with_it(zones):
    ride = _ride(zones, [(0, 0), (2000, 0)])
    left, _ = without_private(ride, zones)
    kept = np.isin(ride.lon, left.lon)
    for name in ("lat", "height", "time_s", "stood_s"):
        assert getattr(left, name).tolist() == getattr(ride, name)[kept].tolist()


def test_a_pass_in_the_middle_is_cut_and_makes_a_gap(zones):
    left, cut = without_private(_ride(zones, [(-2000, 100), (2000, 100)]), zones)
    assert left.part[0] == 0
    assert left.part[-1] == 1
    assert (np.diff(left.part) >= 0).all()
    assert not _enters(left, zones)
    assert cut.middle.metres == pytest.approx(2 * math.sqrt(251**2 - 100**2), abs=11)
    assert cut.start.points == cut.finish.points == 0
    assert len(left.track.gaps_m) == 1


def test_a_step_between_two_points_outside_is_split(zones):
    ride = _ride(zones, [(-2000, 0), (-300, 0), (300, 0), (2000, 0)], step=0)
    left, cut = without_private(ride, zones)
    assert len(left.lat) == 4
    assert left.part.tolist() == [0, 0, 1, 1]
    assert cut.middle.metres == pytest.approx(600, abs=1)
    assert not _enters(left, zones)


def test_short_pieces_between_two_passes_are_dropped(zones):
    """In, out and in again would trace the circle; a longer way outside stays."""
    dips = [(-2000, 0), (0, 0), (0, 300), (60, 300), (60, 0), (2000, 0)]
    left, _ = without_private(_ride(zones, dips), zones)
    assert set(left.part.tolist()) == {0, 1}
    away = [(-2000, 0), (0, 0), (0, 900), (60, 900), (60, 0), (2000, 0)]
    assert set(without_private(_ride(zones, away), zones)[0].part.tolist()) == {0, 1, 2}


def test_a_head_and_a_tail_beside_the_zone_are_dropped(zones):
    """A receiver that finds its place late begins just outside: that shows the rim too."""
    left, cut = without_private(_ride(zones, [(0, 300), (0, 0), (2000, 0)]), zones)
    assert set(left.part.tolist()) == {0}
    assert cut.start.metres > 500


def test_the_line_goes_on_only_after_the_next_turn(zones):
    left, _ = without_private(_ride(zones, [(0, 0), (400, 0), (400, 2000)]), zones)
    first, second = left.track.at(0.0), left.track.at(40.0)
    bearing = WGS84.inv(first[1], first[0], second[1], second[0])[0]
    assert abs(bearing) < 5
    straight, _ = without_private(_ride(zones, [(0, 0), (2000, 0)]), zones)
    assert straight.track.length_m > 2000 - 251 - 6


def test_a_turn_far_from_the_zone_is_left_alone(zones):
    left, _ = without_private(_ride(zones, [(0, 0), (800, 0), (800, 2000)]), zones)
    assert left.track.length_m > 2800 - 251 - 6


def test_waypoints_inside_go_and_those_outside_stay(zones):
    (circle,) = zones.circles()
    far = Waypoint(LAT + 0.05, LON, "mill", 3)
    places = (Waypoint(circle.lat, circle.lon, "door", 1), far)
    left, cut = without_private(_ride(zones, [(-2000, 900), (2000, 900)], waypoints=places), zones)
    assert left.waypoints == (far,)
    assert cut.waypoints == 1
    assert "1 marked place left out" in cut.words()[0]


def test_a_waypoint_beside_a_stretch_that_is_cut_goes_with_it(zones):
    """Outside the circle, but before the first turn: it would show the way to the door."""
    ride = _ride(zones, [(0, 0), (400, 0), (400, 2000)])
    on_the_way = [int(np.searchsorted(ride.height, metres)) for metres in (300, 700)]
    names = ("corner shop", "mill")
    places = tuple(
        Waypoint(float(ride.lat[i]), float(ride.lon[i]), name, 1)
        for i, name in zip(on_the_way, names, strict=True)
    )
    left, cut = without_private(replace(ride, waypoints=places), zones)
    assert [w.name for w in left.waypoints] == ["mill"]
    assert cut.waypoints == 1


def test_the_times_that_were_cut_are_told_and_open_at_the_ends(zones):
    ride = _ride(zones, [(0, 0), (3000, 0), (3000, 900), (-3000, 900), (-3000, 0), (0, 0)])
    left, cut = without_private(ride, zones)
    assert cut.spans_s == ((-math.inf, left.time_s[0]), (left.time_s[-1], math.inf))
    ride = _ride(zones, [(-2000, 0), (2000, 0)])
    left, cut = without_private(ride, zones)
    ((start, end),) = cut.spans_s
    before = left.time_s[left.part == 0][-1]
    assert (start, end) == (before, left.time_s[left.part == 1][0])


def test_parts_that_were_there_stay_apart(zones):
    ride = _ride(zones, [(-2000, 900), (2000, 900)], parts=[100, 400])
    left, cut = without_private(ride, zones)
    assert left.part.tolist() == ride.part.tolist()
    assert not cut
    assert cut.spans_s == ()


def test_a_gap_between_parts_that_spans_a_zone_is_no_line_through_it(zones):
    ride = _ride(zones, [(-2000, 0), (-300, 0), (300, 0), (2000, 0)], step=0, parts=[2])
    left, cut = without_private(ride, zones)
    assert len(left.lat) == 4
    assert not cut


def test_without_zones_nothing_changes(zones):
    ride = _ride(zones, [(0, 0), (2000, 0)])
    left, cut = without_private(ride, NO_ZONES)
    assert left is ride
    assert not cut
    assert cut.words() == []


def test_a_ride_round_the_block_leaves_nothing(zones):
    with pytest.raises(RideError, match="nothing of it is left") as caught:
        without_private(_ride(zones, [(0, 0), (300, 0), (0, 0)]), zones)
    assert caught.value.hint


def test_words_say_nothing_of_where(zones):
    _, cut = without_private(_ride(zones, [(0, 0), (2000, 0)]), zones)
    said = " ".join(cut.words())
    assert "home" not in said
    assert "250" not in said
    assert "50.0" not in said


def test_a_line_in_a_zone_is_never_written(zones):
    ride = _ride(zones, [(-2000, 0), (-300, 0), (300, 0), (2000, 0)], step=0)
    with pytest.raises(PrivateLineError) as caught:
        refuse_private(ride.lat, ride.lon, ride.part, zones)
    assert "home" not in str(caught.value)
    left, _ = without_private(ride, zones)
    refuse_private(left.lat, left.lon, left.part, zones)
    (circle,) = zones.circles()
    door = (Waypoint(circle.lat, circle.lon, "door", 1),)
    with pytest.raises(PrivateLineError):
        refuse_private(left.lat, left.lon, left.part, zones, door)


@settings(deadline=None, derandomize=True, max_examples=150)
@given(
    st.lists(st.tuples(st.integers(-1500, 1500), st.integers(-1500, 1500)), min_size=2, max_size=8),
    st.sampled_from([0.0, 7.0, 60.0]),
)
def test_whatever_is_ridden_nothing_of_a_zone_is_left(corners, step):
    home = Zones((), SECRET).with_zone(Zone("home", LAT, LON, 250.0))
    zones = home.with_zone(Zone("work", LAT, LON + 0.012, 150.0))
    if len(set(corners)) < 2:
        corners = [*corners, (2000, 2000)]
    ride = _ride(home, corners, step)
    try:
        left, cut = without_private(ride, zones)
    except RideError:
        return
    assert not _enters(left, zones)
    assert np.unique(left.part, return_counts=True)[1].min() >= 2
    assert left.part.tolist() == sorted(left.part.tolist())
    taken = cut.start.points + cut.middle.points + cut.finish.points
    assert taken + len(left.lat) == len(ride.lat)
    gone = cut.start.metres + cut.middle.metres + cut.finish.metres
    assert gone + left.track.length_m == pytest.approx(ride.track.length_m, abs=0.01)
    for time in left.time_s[1:-1]:
        assert not any(start < time < end for start, end in cut.spans_s)
