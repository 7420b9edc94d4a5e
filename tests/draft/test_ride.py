"""A recording becomes a ride: what is left out, what is refused, what is said."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from building import gpx_text, line_east
from softpedal.draft.ride import LONGEST_M, Ride, RideError, cleaned, read_ride
from softpedal.library.gpx_reader import Limits
from softpedal.library.gpx_writer import write_gpx

if TYPE_CHECKING:
    from pathlib import Path

    from numpy.typing import NDArray

START = 1_780_000_000.0


def _ride(
    metres: float = 1000.0, seconds: float | None = 1.0, east: NDArray[np.float64] | None = None
) -> Ride:
    """A ride due east at 5 m/s with a fix each second, or moved along by metres."""
    lat, lon = np.array(line_east(metres, step=5.0)).T
    if east is not None:
        lon = lon + east / 71_700.0
    n = len(lat)
    times = None if seconds is None else (START + np.arange(n) * seconds).astype(np.float64)
    return Ride(lat, lon, np.full(n, np.nan), np.zeros(n, dtype=np.intp), times)


def test_a_spike_is_left_out_and_told() -> None:
    ride = _ride()
    lat = ride.lat.copy()
    lat[100] += 0.002  # 222 m to the north, in one second, and back in the next
    found = cleaned(Ride(lat, ride.lon, ride.height, ride.part, ride.time_s))
    assert found.lat.max() < 50.0001
    assert found.track.length_m == pytest.approx(1000, abs=0.5)
    assert found.remarks[0] == "1 point far out of the line left out"


def test_two_spikes_of_which_neither_hides_the_other() -> None:
    ride = _ride()
    lat = ride.lat.copy()
    lat[[50, 150]] += 0.002
    found = cleaned(Ride(lat, ride.lon, ride.height, ride.part, ride.time_s))
    assert found.track.length_m == pytest.approx(1000, abs=1)


def test_a_fast_ride_is_no_row_of_spikes() -> None:
    """By train at 25 m/s every hop is fast, and so is the way past each point."""
    found = cleaned(_ride(2000, seconds=0.2))
    assert found.track.length_m == pytest.approx(2000, abs=0.5)
    assert not any("far out" in remark or "jump" in remark for remark in found.remarks)


def test_points_on_the_one_before_are_left_out_and_the_stop_stays_in_the_clock() -> None:
    ride = _ride()
    at = np.sort(np.concatenate([np.arange(len(ride.lat)), np.full(30, 100)]))
    times = (START + np.arange(len(at))).astype(np.float64)
    stood = Ride(ride.lat[at], ride.lon[at], ride.height[at], ride.part[at], times)
    found = cleaned(stood)
    assert found.time_s is not None
    assert found.stood_s is not None
    assert found.time_s[-1] - found.time_s[0] == len(at) - 1
    assert found.stood_s.sum() == pytest.approx(30, abs=2)
    assert found.remarks[0].startswith("1 stop of 3")


def test_noise_makes_a_line_longer_and_smoothing_takes_most_of_it_away() -> None:
    """White noise of 1.5 m to the side at 5 m steps; the way is 1000 m long."""
    ride = _ride()
    side = np.random.default_rng(3).normal(0, 1.5, len(ride.lat)) / 111_200
    noisy = Ride(ride.lat + side, ride.lon, ride.height, ride.part, ride.time_s)
    raw, smooth = noisy.track.length_m - 1000, cleaned(noisy).track.length_m - 1000
    assert raw > 60
    assert abs(smooth) < raw / 4


def test_ends_of_parts_stay_where_they_are() -> None:
    ride = _ride()
    part = (np.arange(len(ride.lat)) >= 80).astype(np.intp)
    lat = ride.lat + np.where(part == 1, 0.01, 0.0)
    found = cleaned(Ride(lat, ride.lon, ride.height, part, ride.time_s))
    new = int(np.argmax(found.part == 1))
    raw, kept = [0, 79, 80, len(lat) - 1], [0, new - 1, new, len(found.lat) - 1]
    assert np.abs(found.lat[kept] - lat[raw]).max() < 1e-7
    assert np.abs(found.lon[kept] - ride.lon[raw]).max() < 1e-7


def test_a_drawn_line_is_not_smoothed() -> None:
    ride = _ride(seconds=None)
    found = cleaned(ride)
    assert np.abs(found.lon - ride.lon).max() < 1e-7
    assert found.time_s is None


@pytest.mark.parametrize("fault", ["backwards", "missing"])
def test_a_clock_that_is_wrong_is_not_used(fault: str) -> None:
    """The order of the file is the truth: nothing is sorted."""
    ride = _ride()
    assert ride.time_s is not None
    times = ride.time_s.copy()
    times[50:60] = np.nan if fault == "missing" else START
    found = cleaned(Ride(ride.lat, ride.lon, ride.height, ride.part, times))
    assert found.time_s is None
    assert len(found.lat) == len(ride.lat)
    assert (np.diff(found.lon) > 0).all()
    assert found.remarks == (
        "times are missing or run backwards: the clock of the ride is not used",
    )


def test_what_is_published_is_to_the_digit_what_was_drafted(tmp_path: Path) -> None:
    """A checksum of the one is that of the other: else every draft were a changed track."""
    rng = np.random.default_rng(1)
    ride = _ride(east=rng.normal(0, 0.5, 201))
    found = cleaned(ride)
    path = tmp_path / "track.gpx"
    path.write_text(write_gpx(found.lat, found.lon, found.height, found.part, "A ride"))
    again = read_ride(path, published=True)
    assert (again.lat == found.lat).all()
    assert (again.lon == found.lon).all()
    assert again.track.checksum == found.track.checksum


def test_a_published_line_is_taken_as_it_is(tmp_path: Path) -> None:
    points = [*line_east(500), *line_east(500)[-1:]]
    path = tmp_path / "track.gpx"
    path.write_text(gpx_text(points))
    assert len(read_ride(path, published=True).lat) == len(points)
    assert len(read_ride(path).lat) == len(points) - 1


@pytest.mark.parametrize("metres", [20.0, 49.0])
def test_what_stays_within_a_stones_throw_stands_still(metres: float) -> None:
    with pytest.raises(RideError, match=f"all of it lies within {metres:.0f} m"):
        cleaned(_ride(metres, seconds=None))


def test_a_short_ride_is_one() -> None:
    assert cleaned(_ride(60, seconds=None)).track.length_m == pytest.approx(60, abs=0.1)


def test_too_long_a_ride_is_refused_with_what_to_do() -> None:
    lat, lon = np.array(line_east(LONGEST_M + 1000, step=500)).T
    n = len(lat)
    ride = Ride(lat, lon, np.full(n, np.nan), np.zeros(n, dtype=np.intp), None)
    with pytest.raises(RideError, match="151 km long, more than 150 km") as caught:
        cleaned(ride)
    assert caught.value.hint == "Cut the stretch out of it that you mean."


def test_a_file_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(RideError, match=r"none\.gpx cannot be read: No such file"):
        read_ride(tmp_path / "none.gpx")
    (tmp_path / "bad.gpx").write_text("<gpx")
    with pytest.raises(RideError, match=r"bad\.gpx:.*gpx-syntax"):
        read_ride(tmp_path / "bad.gpx")


def test_limits_are_those_of_the_reader(tmp_path: Path) -> None:
    path = tmp_path / "long.gpx"
    path.write_text(gpx_text(line_east(2000)))
    with pytest.raises(RideError, match="gpx-"):
        read_ride(path, Limits(points=50))
