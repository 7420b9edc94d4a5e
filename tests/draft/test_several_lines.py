"""Which line of a file is meant: tracks in a row, plans, repeats, and files from planners."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import pytest

from building import GPX_HEAD
from draft.lines_in_metres import START, degrees, dense
from softpedal.draft.ride import RideError, cleaned
from softpedal.draft.several_lines import rides_in
from softpedal.library.gpx_reader import Limits

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

Corners = list[tuple[float, float]]


def _points(tag: str, corners: Corners, step: float, start_s: float | None) -> str:
    lat, lon = degrees(dense(corners, step))
    found = []
    for i, (north, east) in enumerate(zip(lat, lon, strict=True)):
        when = ""
        if start_s is not None:
            when = f"<time>{np.datetime64(round(START + start_s + i), 's')}Z</time>"
        found.append(f'<{tag} lat="{north:.7f}" lon="{east:.7f}">{when}</{tag}>')
    return "".join(found)


def _trk(*parts: Corners, name: str = "", step: float = 5.0, start_s: float | None = None) -> str:
    named = f"<name>{name}</name>" if name else ""
    segments = "".join(f"<trkseg>{_points('trkpt', p, step, start_s)}</trkseg>" for p in parts)
    return f"<trk>{named}{segments}</trk>\n"


def _rte(corners: Corners, name: str = "", step: float = 1e6, start_s: float | None = None) -> str:
    return f"<rte><name>{name}</name>{_points('rtept', corners, step, start_s)}</rte>\n"


def _file(tmp_path: Path, *lines: str, waypoints: Sequence[str] = ()) -> Path:
    places = "".join(f'<wpt lat="50" lon="-20"><name>{name}</name></wpt>\n' for name in waypoints)
    path = tmp_path / "ride.gpx"
    path.write_text(f'{GPX_HEAD} version="1.1" creator="a test">\n{places}{"".join(lines)}</gpx>')
    return path


EAST: Corners = [(0, 0), (300, 0)]
ON: Corners = [(320, 0), (700, 0)]
AWAY: Corners = [(0, 500), (0, 900)]


def test_one_line_is_that_line(tmp_path: Path) -> None:
    ride = rides_in(_file(tmp_path, _trk(EAST, name="East", start_s=0), waypoints=["Gate"]))
    assert ride.name == "East"
    assert ride.track.length_m == pytest.approx(300, abs=0.5)
    assert ride.time_s is not None
    assert [w.name for w in ride.waypoints] == ["Gate"]
    assert ride.remarks == ()


@pytest.mark.parametrize("timed", [True, False])
def test_tracks_that_follow_on_each_other_are_one_ride(tmp_path: Path, timed: bool) -> None:
    first, second = (0, 400) if timed else (None, None)
    two_parts: list[Corners] = [ON, [(700, 10), (900, 10)]]
    path = _file(
        tmp_path, _trk(EAST, name="A", start_s=first), _trk(*two_parts, name="B", start_s=second)
    )
    ride = rides_in(path)
    assert ride.name == "A"
    assert np.unique(ride.part).tolist() == [0, 1, 2]
    assert ride.track.length_m == pytest.approx(300 + 380 + 200, abs=0.5)
    assert (ride.time_s is not None) == timed
    assert ride.remarks == ("2 tracks that follow on each other taken as one ride",)


def test_where_only_some_tracks_have_times_cleaning_says_so(tmp_path: Path) -> None:
    ride = rides_in(_file(tmp_path, _trk(EAST, start_s=0), _trk(ON)))
    assert ride.time_s is not None
    assert np.isnan(ride.time_s).sum() == len(dense(ON))
    assert cleaned(ride).time_s is None


@pytest.mark.parametrize("second", [_trk(AWAY), _trk([(351, 0), (700, 0)]), _trk(ON[::-1])])
def test_tracks_that_do_not_follow_are_listed(tmp_path: Path, second: str) -> None:
    path = _file(tmp_path, _trk(EAST, name="To the mill"), second)
    with pytest.raises(RideError) as error:
        rides_in(path)
    listed = str(error.value).split("\n")
    assert listed[0] == "ride.gpx holds several lines that do not follow on each other:"
    assert listed[1] == "  1. a <trk> “To the mill”, 0.30 km, 61 points"
    assert listed[2].startswith("  2. a <trk>, 0.")
    assert error.value.hint == "Say which one is meant, like `--track 2`."


def test_a_track_that_was_ridden_before_does_not_follow(tmp_path: Path) -> None:
    with pytest.raises(RideError, match="do not follow"):
        rides_in(_file(tmp_path, _trk(EAST, start_s=5000), _trk(ON, start_s=0)))


def test_a_line_can_be_chosen(tmp_path: Path) -> None:
    path = _file(tmp_path, _trk(EAST, name="A"), _rte(EAST, name="Plan"), _trk(AWAY, name="C"))
    assert [rides_in(path, track=n).name for n in (1, 2, 3)] == ["A", "Plan", "C"]
    assert rides_in(path, track=3).track.length_m == pytest.approx(400, abs=0.5)
    with pytest.raises(RideError, match="do not follow") as error:
        rides_in(path)
    assert "--track 3" in error.value.hint


@pytest.mark.parametrize("track", [0, -1, 3])
def test_a_line_that_is_not_there(tmp_path: Path, track: int) -> None:
    path = _file(tmp_path, _trk(EAST), _trk(AWAY))
    with pytest.raises(RideError, match=rf"ride\.gpx has no track {track}:\n  1\.") as error:
        rides_in(path, track=track)
    assert error.value.hint == "Choose one from 1 to 2."
    with pytest.raises(RideError) as alone:
        rides_in(_file(tmp_path, _trk(EAST)), track=2)
    assert alone.value.hint == "Leave `--track` out."


def test_a_plan_beside_a_ride_and_a_track_that_repeats_one_are_passed_over(tmp_path: Path) -> None:
    path = _file(tmp_path, _rte(AWAY), _trk(EAST), _trk(EAST, name="again"), _trk(ON), _rte(ON))
    ride = rides_in(path)
    assert ride.track.length_m == pytest.approx(680, abs=0.5)
    assert ride.remarks == (
        "2 drawn lines (<rte>) beside the track passed over",
        "1 line with the same points as another passed over",
        "2 tracks that follow on each other taken as one ride",
    )


def test_a_track_that_stands_still_is_no_line(tmp_path: Path) -> None:
    still = '<trk><trkseg><trkpt lat="1" lon="1"/><trkpt lat="1" lon="1"/></trkseg></trk>'
    assert rides_in(_file(tmp_path, still, _trk(EAST), still)).remarks == ()
    with pytest.raises(RideError, match="all 2 points of the <trk> are the same"):
        rides_in(_file(tmp_path, still, still))


def test_many_lines_are_not_all_listed(tmp_path: Path) -> None:
    lines = [_trk([(0, 200.0 * i), (90, 200.0 * i)], step=90) for i in range(30)]
    with pytest.raises(RideError) as error:
        rides_in(_file(tmp_path, *lines))
    assert str(error.value).endswith("\n  20. a <trk>, 0.09 km, 2 points\n  and 10 more")


@pytest.mark.parametrize("line", [_rte, _trk])
@pytest.mark.parametrize("closed", [True, False])
def test_a_planners_line_keeps_every_corner(tmp_path: Path, line: object, closed: bool) -> None:
    """Points hundreds of metres apart, one of them twice, sharp corners, and no times."""
    corners: Corners = [(0, 0), (400, 0), (400, 0), (410, 350), (0, 20), (600, 900)]
    corners += [(0, 0)] if closed else []
    text = _rte(corners) if line is _rte else _trk(corners, step=1e6)
    lat, lon = degrees(corners)
    found = cleaned(rides_in(_file(tmp_path, text, waypoints=["Start", "Bridge"])))
    assert found.time_s is None
    assert [w.name for w in found.waypoints] == ["Start", "Bridge"]
    kept = [0, 1, *range(3, len(corners))]
    assert np.abs(found.lat - lat[kept]).max() < 1e-7
    assert np.abs(found.lon - lon[kept]).max() < 1e-7
    assert (found.track.ends_apart_m < 0.1) == closed


def test_the_times_of_a_drawn_line_are_no_ride(tmp_path: Path) -> None:
    """A planner's times are a forecast."""
    assert rides_in(_file(tmp_path, _rte(EAST, step=50, start_s=0))).time_s is None


def test_what_is_wrong_with_the_file_is_said_as_ever(tmp_path: Path) -> None:
    with pytest.raises(RideError, match=r"none\.gpx cannot be read: No such file"):
        rides_in(tmp_path / "none.gpx")
    (tmp_path / "bad.gpx").write_text("<gpx")
    with pytest.raises(RideError, match=r"bad\.gpx:.*gpx-syntax"):
        rides_in(tmp_path / "bad.gpx")
    with pytest.raises(RideError, match="more than 100 points"):
        rides_in(_file(tmp_path, _trk(EAST), _trk(ON)), Limits(points=100))


def test_lines_in_a_row_keep_the_order_of_the_file(tmp_path: Path) -> None:
    pieces = [_trk([(x, 0), (x + 90, 0)], start_s=x) for x in (0, 100, 200, 300)]
    ride = rides_in(_file(tmp_path, *pieces))
    assert all(a < b for a, b in pairwise(ride.lon))
    assert ride.part[-1] == 3
