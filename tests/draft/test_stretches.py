"""Stretches left out and replaced: what changes, what does not, and what is refused."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from draft.lines_in_metres import degrees
from draft.lines_in_metres import ride_in_metres as ride
from softpedal.draft.ride import RideError
from softpedal.draft.stretch_text import parse_replacement, parse_stretch, stretch_m
from softpedal.draft.stretches import Replacement, dropped, edited, replaced
from softpedal.library.gpx_reader import Waypoint

#: 1 km east, 30 m into a yard on the way and out again 20 m on: 1060 m in all.
SHOP = [(0, 0), (500, 0), (500, 30), (520, 30), (520, 0), (1000, 0)]


def _place(east: float, north: float, name: str = "Gate") -> Waypoint:
    lat, lon = degrees([(east, north)])
    return Waypoint(float(lat[0]), float(lon[0]), name, 1)


def test_a_way_into_a_yard_is_left_out_and_the_line_goes_on() -> None:
    one = ride(SHOP, start_s=0)
    found = dropped(one, 500, 580)
    assert found.track.length_m == pytest.approx(1000, abs=0.5)
    assert set(found.part) == {0}
    assert found.remarks == ("0.50 km to 0.58 km left out: its ends are 20 m apart and are joined",)
    assert found.time_s is not None
    assert one.time_s is not None
    assert found.time_s[[0, -1]].tolist() == one.time_s[[0, -1]].tolist()
    assert np.diff(found.time_s).max() == pytest.approx(80 / 5)


def test_ends_that_are_far_apart_are_left_with_a_gap() -> None:
    found = dropped(ride([(0, 0), (1000, 0)]), 300, 480)
    assert found.track.length_m == pytest.approx(820, abs=0.5)
    assert found.track.gaps_m == pytest.approx([180], abs=0.5)
    assert found.remarks[0].endswith("its ends are 180 m apart and are left with a gap between")


def test_a_cut_between_two_points_sets_one_there() -> None:
    one = ride([(0, 0), (1000, 0)], step=100, start_s=0)
    found = dropped(one, 330, 370)
    assert found.track.chainage_m[[3, 4]] == pytest.approx([300, 330], abs=0.1)
    assert found.track.length_m == pytest.approx(1000, abs=0.5)
    assert found.time_s is not None
    assert found.time_s[[4, 5]] - found.time_s[0] == pytest.approx([66, 74], abs=0.1)
    assert found.height[[4, 5]] == pytest.approx([0.33, 0.37], abs=0.001)


def test_where_the_ride_stood_before_a_cut_the_way_there_takes_no_longer() -> None:
    """The ride leaves the point at 300 m after 60 s, and is at 400 m 20 s later."""
    one = ride([(0, 0), (1000, 0)], step=100, start_s=0)
    assert one.time_s is not None
    stood, times = np.zeros(11), one.time_s.copy()
    stood[3], times[4:] = 60, times[4:] + 60
    found = dropped(replace(one, time_s=times, stood_s=stood), 250, 350)
    assert found.time_s is not None
    assert found.stood_s is not None
    assert found.stood_s.sum() == 0
    assert found.time_s[[3, 4]] - times[0] == pytest.approx([50, 130], abs=0.1)


@pytest.mark.parametrize(
    ("from_m", "to_m", "left", "words"),
    [
        (0, 200, (200, 1000), "0.00 km to 0.20 km left out: the ride begins there"),
        (0.4, 200, (200, 1000), "0.00 km to 0.20 km left out: the ride begins there"),
        (700, 1000, (0, 700), "0.70 km to 1.00 km left out: the ride ends there"),
        (700, 1009, (0, 700), "0.70 km to 1.01 km left out: the ride ends there"),
    ],
)
def test_at_an_end_the_ride_is_only_shorter(
    from_m: float, to_m: float, left: tuple[float, float], words: str
) -> None:
    one = ride([(0, 0), (1000, 0)], start_s=0)
    found = dropped(one, from_m, to_m)
    assert found.track.length_m == pytest.approx(left[1] - left[0], abs=0.1)
    assert set(found.part) == {0}
    assert found.remarks == (words,)
    assert one.track.at(left[0]) == pytest.approx(found.track.at(0), abs=1e-6)


@pytest.mark.parametrize(
    ("from_m", "to_m", "message"),
    [
        (0, 1000, "0.00 km to 1.00 km is all of the ride"),
        (-5, 1500, "0.00 km to 1.50 km is all of the ride"),
        (30, 990, "Without 0.03 km to 0.99 km no more than 40 m of the ride are left"),
        (600, 500, "0.60 km to 0.50 km does not lie on the ride, which is 1.00 km long"),
        (1200, 1500, "does not lie on the ride"),
    ],
)
def test_what_cannot_be_left_out(from_m: float, to_m: float, message: str) -> None:
    with pytest.raises(RideError, match=message):
        dropped(ride([(0, 0), (1000, 0)]), from_m, to_m)


@pytest.mark.parametrize(("from_m", "to_m"), [(300, 600), (500, 600), (400, 500), (450, 520)])
def test_a_gap_in_the_recording_is_cut_like_any_other_place(from_m: float, to_m: float) -> None:
    one = ride([(0, 0), (1000, 0)], step=10, breaks=[500])
    assert one.track.length_m == pytest.approx(990, abs=0.5)
    found = dropped(one, from_m, to_m)
    assert found.track.length_m == pytest.approx(990 - (to_m - from_m), abs=11)
    assert (np.diff(found.track.chainage_m)[np.diff(found.part) == 0] > 0).all()
    assert np.unique(found.part).tolist() == list(range(int(found.part[-1]) + 1))
    assert np.bincount(found.part).min() >= 2


def test_a_marked_place_goes_with_its_stretch() -> None:
    places = (_place(200, 5, "Lock"), _place(510, 30, "Shop"), _place(600, 200, "Mill"))
    found = dropped(ride(SHOP, waypoints=places), 500, 580)
    assert [w.name for w in found.waypoints] == ["Lock", "Shop", "Mill"]  # 30 m from the line
    far = [(0, 0), (500, 0), (500, 60), (520, 60), (520, 0), (1000, 0)]
    places = (*places[:1], _place(510, 60, "Shop"), places[2])
    found = dropped(ride(far, waypoints=places), 500, 640)
    assert [w.name for w in found.waypoints] == ["Lock", "Mill"]
    assert found.remarks[-1] == "1 marked place there left out too"


@pytest.mark.parametrize("turned", [False, True])
def test_a_stretch_is_replaced_by_a_line_either_way_round(turned: bool) -> None:
    one = ride([(0, 0), (1000, 0)], start_s=0)
    detour = [(300, 10), (300, 200), (600, 200), (600, 5)]
    found = replaced(one, 300, 600, ride(detour[::-1] if turned else detour, step=40))
    expected = 300 + 10 + 190 + 300 + 195 + 5 + 400
    assert found.track.length_m == pytest.approx(expected, abs=1)
    assert set(found.part) == {0}
    said = "the replacing line was drawn the other way and is turned round"
    assert (said in found.remarks) == turned
    assert "0.30 km to 0.60 km replaced by a line of 685 m that was not ridden" in found.remarks
    assert (found.lon[:61] == one.lon[:61]).all()
    assert (found.lon[-81:] == one.lon[-81:]).all()
    assert found.name == "A ride"


def test_the_clock_before_and_after_a_replaced_stretch_stays() -> None:
    """60 s for 300 m of ride: a line of 600 m is taken to have been ridden in them, evenly."""
    one = ride([(0, 0), (1000, 0)], start_s=0)
    line = ride([(300, 0), (300, 150), (600, 150), (600, 0)], step=50, start_s=9e6)
    found = replaced(one, 300, 600, line)
    assert found.time_s is not None
    assert one.time_s is not None
    assert (np.diff(found.time_s) > 0).all()
    assert (found.time_s[:61] == one.time_s[:61]).all()
    assert (found.time_s[-80:] == one.time_s[-80:]).all()
    at = found.track.chainage_m
    assert np.interp([450, 600, 750], at, found.time_s) - one.time_s[0] == pytest.approx(
        [75, 90, 105], abs=0.2
    )
    assert found.stood_s is not None
    assert found.stood_s.sum() == 0
    assert found.remarks[-1] == (
        "the clock there goes evenly by distance: no pace can be read from it"
    )


def test_time_left_over_in_a_replaced_stretch_makes_no_walking_pace() -> None:
    """600 m in 120 s replaced by 60 m straight on: 20 s of riding, and 100 s at its start."""
    around = [(0, 0), (300, 0), (300, 270), (360, 270), (360, 0), (800, 0)]
    one = ride(around, start_s=0)
    found = replaced(one, 300, 900, ride([(300, 0), (360, 0)], step=10))
    assert found.time_s is not None
    assert one.time_s is not None
    seconds = np.diff(found.time_s)
    assert seconds.max() == pytest.approx(120 - 60 / 3, abs=4)
    assert sorted(seconds)[-2] < 4
    assert found.time_s[-1] == one.time_s[-1]


def test_where_it_fits_is_found_from_the_ends_of_the_line() -> None:
    one = ride([(0, 0), (1000, 0)])
    line = ride([(700, 20), (700, 100), (250, 100), (250, 20)])
    found = replaced(one, None, None, line)
    assert "0.25 km to 0.70 km replaced by a line of 610 m that was not ridden" in found.remarks
    assert found.track.length_m == pytest.approx(250 + 20 + 610 + 20 + 300, abs=1)


@pytest.mark.parametrize(
    ("from_m", "line", "message"),
    [
        (300, [(300, 60), (600, 0)], "its ends are 60 m and 0 m from where 0.30 km to 0.60 km"),
        (300, [(600, 20), (300, -70)], "its ends are 70 m and 20 m from where"),
        (None, [(300, 80), (600, 0)], "not pass where the replacing line begins: it comes no n"),
        (None, [(600, 0), (300, 80)], "not pass where the replacing line ends: it comes no nea"),
        (300, [(300, 0), (300, 0.2)], "The replacing line has no length"),
    ],
)
def test_a_line_that_does_not_fit_is_refused(
    from_m: float | None, line: list[tuple[float, float]], message: str
) -> None:
    with pytest.raises(RideError, match=message):
        replaced(ride([(0, 0), (1000, 0)]), from_m, None if from_m is None else 600, ride(line))


def test_a_line_of_one_point_is_refused() -> None:
    one, line = ride([(0, 0), (1000, 0)]), ride([(300, 0), (600, 0)])
    point = replace(line, **{k: getattr(line, k)[:1] for k in ("lat", "lon", "height", "part")})
    with pytest.raises(RideError, match="no length"):
        replaced(one, 300, 600, point)


def test_a_place_passed_twice_is_asked_about() -> None:
    one = ride([(0, 0), (600, 0), (600, 300), (300, 300), (300, -300)])
    with pytest.raises(
        RideError, match=r"begins more than once, at 0\.30 km and 1\.50 km"
    ) as error:
        replaced(one, None, None, ride([(300, 0), (450, -50), (600, 0)]))
    assert "2.1km-2.4km=detour.gpx" in error.value.hint


def test_at_the_start_and_the_finish_a_line_can_replace_too() -> None:
    one = ride([(0, 0), (1000, 0)], start_s=0)
    start = replaced(one, 0, 300, ride([(0, 30), (300, 30)]))
    assert start.track.length_m == pytest.approx(300 + 30 + 700, abs=1)
    finish = replaced(start, 730, start.track.length_m, ride([(700, 0), (700, 90), (1000, 20)]))
    assert finish.time_s is not None
    assert one.time_s is not None
    assert (np.diff(finish.time_s) > 0).all()
    assert (finish.time_s[[0, -1]] == one.time_s[[0, -1]]).all()


def test_a_shorter_start_leaves_the_time_at_which_one_set_out() -> None:
    one = ride([(0, 0), (0, 300), (300, 300), (300, 0), (800, 0)], start_s=0)
    found = replaced(one, 0, 900, ride([(0, 0), (300, 0)]))
    assert found.time_s is not None
    assert one.time_s is not None
    assert (found.time_s[[0, -1]] == one.time_s[[0, -1]]).all()
    assert np.diff(found.time_s).argmax() == 0


def test_several_stretches_all_lie_along_the_ride_as_it_was() -> None:
    one = ride([(0, 0), (2000, 0)], start_s=0)
    line = ride([(1000, 0), (1000, 50), (1200, 50), (1200, 0)])
    found = edited(one, [(1500, 1540), (200, 240)], [Replacement(line, 1000, 1200)])
    assert [text[:18] for text in found.remarks] == [
        "0.20 km to 0.24 km",
        "1.00 km to 1.20 km",
        "the clock there go",
        "1.50 km to 1.54 km",
    ]
    assert found.track.length_m == pytest.approx(2100, abs=1)
    assert set(found.part) == {0}
    assert edited(one) is not None


@pytest.mark.parametrize("second", [(250, 400), (100, 201), (210, 220), (200, 300)])
def test_stretches_that_overlap_are_refused(second: tuple[float, float]) -> None:
    with pytest.raises(RideError, match="overlap"):
        edited(ride([(0, 0), (1000, 0)]), [(200, 300), second])


def test_stretches_that_touch_are_not_refused() -> None:
    found = edited(ride([(0, 0), (1000, 0)]), [(200, 230), (230, 245)])
    assert found.track.length_m == pytest.approx(1000, abs=0.5)


@given(
    from_m=st.floats(0, 900),
    length=st.floats(0.5, 600),
    step=st.sampled_from([4.0, 25.0, 130.0]),
    broken=st.floats(200, 800),
)
@settings(deadline=None, max_examples=60)
def test_nothing_outside_of_a_stretch_changes(
    from_m: float, length: float, step: float, broken: float
) -> None:
    one = ride([(0, 0), (600, 0), (600, 600)], step, start_s=0, breaks=[broken])
    to_m = min(from_m + length, one.track.length_m - 5)
    if to_m <= from_m:
        return
    found = dropped(one, from_m, to_m)
    at = one.track.chainage_m
    points = set(zip(found.lat, found.lon, found.time_s, strict=True))
    before, after = at < from_m - 1, at > to_m + 1
    if from_m < 1:
        before[:] = False
    for keep in (before, after):
        assert points >= set(zip(one.lat[keep], one.lon[keep], one.time_s[keep], strict=True))
    assert len(found.lat) <= before.sum() + after.sum() + 6
    assert (np.diff(found.time_s) > 0).all()
    assert (np.diff(found.part) >= 0).all()
    inside = np.diff(found.part) == 0
    assert (np.diff(found.track.chainage_m)[inside] > 0).all()
    lost = one.track.length_m - found.track.length_m
    assert lost <= to_m - from_m + 1.1
    assert lost >= to_m - from_m - 51.1


@pytest.mark.parametrize(
    ("text", "first", "second"),
    [
        ("2.1km-2.4km", "2.1km", "2.4km"),
        (" 310 m - 0.5 mi ", "310 m", "0.5 mi"),
        ("start-310m", "start", "310m"),
        ("1.2 km–finish", "1.2 km", "finish"),
        ("50.01,-20.02-50.02,-20.03", "50.01,-20.02", "50.02,-20.03"),
        ("-50.01,-20.02--50.02,-20.03", "-50.01,-20.02", "-50.02,-20.03"),
        ("50.01,-20.02 near 2.5km-finish", "50.01,-20.02 near 2.5km", "finish"),
        ("waypoint Weir-3.1km", "waypoint Weir", "3.1km"),
    ],
)
def test_stretches_as_they_are_typed(text: str, first: str, second: str) -> None:
    begin, end = parse_stretch(text)
    assert (begin.text, end.text) == (first, second)


@pytest.mark.parametrize(
    "text", ["", "2.1km", "2.1-2.4km", "2.1km-", "2.1km-2.4km-3km", "a-b", "2.1km to 2.4km", "-"]
)
def test_what_is_no_stretch_is_shown_with_an_example(text: str) -> None:
    with pytest.raises(RideError, match="is not a stretch") as error:
        parse_stretch(text)
    assert f"`{text}`" in str(error.value)
    assert "`2.1km-2.4km`" in error.value.hint


def test_a_waypoint_with_a_hyphen_may_be_read_in_two_ways() -> None:
    with pytest.raises(RideError, match="can be read in more than one way"):
        parse_stretch("waypoint Weir-waypoint Mill-finish")
    assert parse_stretch("waypoint Weir-Mill-finish")[0].name == "Weir-Mill"


@pytest.mark.parametrize(
    ("text", "ends", "file"),
    [
        ("2.1km-2.4km=detour.gpx", ("2.1km", "2.4km"), "detour.gpx"),
        ("=../lines/a=b.gpx", None, "../lines/a=b.gpx"),
        ("start-310m = new start.gpx", ("start", "310m"), "new start.gpx"),
    ],
)
def test_replacements_as_they_are_typed(text: str, ends: tuple[str, str] | None, file: str) -> None:
    stretch, found = parse_replacement(text)
    assert found == file
    assert (stretch and tuple(end.text for end in stretch)) == ends


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("detour.gpx", "names no stretch"),
        ("2.1km-2.4km=", "names no file"),
        ("2.1km=detour.gpx", "is not a stretch"),
    ],
)
def test_what_is_no_replacement(text: str, message: str) -> None:
    with pytest.raises(RideError, match=message):
        parse_replacement(text)


def test_a_stretch_lies_along_the_ride() -> None:
    one = ride([(0, 0), (1000, 0)], waypoints=(_place(400, 3),))
    assert stretch_m(parse_stretch("start-0.25km"), one) == pytest.approx((0, 250))
    assert stretch_m(parse_stretch("waypoint Gate-finish"), one) == pytest.approx(
        (400, 1000), abs=1
    )
    with pytest.raises(RideError, match="lies beyond the end of the track") as error:
        stretch_m(parse_stretch("0.2km-1.4km"), one)
    assert "`finish`" in error.value.hint
    with pytest.raises(RideError, match=r"no length: it would go from 0\.90 km to 0\.20 km"):
        stretch_m(parse_stretch("0.9km-200m"), one)
