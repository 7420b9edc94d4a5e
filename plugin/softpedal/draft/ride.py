"""A recording as it comes off the device → a ride: arrays with times, cleaned."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from softpedal.library.gpx_reader import read_gpx
from softpedal.library.gpx_writer import DEGREE_DECIMALS
from softpedal.library.track import WGS84, Track
from softpedal.problems import CannotDoError

if TYPE_CHECKING:
    from pathlib import Path

    from numpy.typing import NDArray

    from softpedal.library.gpx_reader import Limits, Waypoint

#: A recording whose points all lie this near to each other stood still.
STANDING_M = 50.0
#: More than this is no ride through a town.
LONGEST_M = 150_000.0
#: Between two fixes: faster than this is a fault of the receiver.
SPIKE_M_S = 20.0


class RideError(CannotDoError):
    """A ride of which no draft can be made."""


@dataclass(frozen=True, eq=False)
class Ride:
    """A ride's line with what the recording knew; n points.

    Attributes:
        lat, lon: WGS84 degrees, (n,).
        height: metres, nan where not recorded, (n,).
        part: a number for each uninterrupted stretch, (n,).
        time_s: POSIX seconds, (n,); None where there are none, or where they run backwards.
        name: the recording's own name.
        waypoints: places marked on the ride.
        remarks: what was done to the recording, in words.
        stood_s: seconds that the ride stood at each point, (n,): the next point is passed so much
            later; None where nobody has looked for stops.
    """

    lat: NDArray[np.float64]
    lon: NDArray[np.float64]
    height: NDArray[np.float64]
    part: NDArray[np.intp]
    time_s: NDArray[np.float64] | None
    name: str = ""
    waypoints: tuple[Waypoint, ...] = ()
    remarks: tuple[str, ...] = ()
    stood_s: NDArray[np.float64] | None = None

    @cached_property
    def track(self) -> Track:
        """The line as it will be published: chainages of a draft are along it."""
        return Track(self.lat, self.lon, self.height, self.part)


def read_ride(path: Path, limits: Limits | None = None, *, published: bool = False) -> Ride:
    """Read a recording.

    A published line is taken as it is: its chainages are those of the notes.

    Raises:
        RideError: it cannot be read, stands still, or is no ride through a town.
    """
    try:
        data = path.read_bytes()
    except OSError as error:
        raise RideError(f"{path.name} cannot be read: {error.strerror}.") from error
    ride = line_of(data, path.name, limits)
    return ride if published else cleaned(ride)


def line_of(data: bytes, name: str, limits: Limits | None = None) -> Ride:
    """Return the line in the bytes of a GPX file, as it is.

    Raises:
        RideError: there is none, or the file is faulty.
    """
    gpx, problems = read_gpx(data, name, *([limits] if limits else []))
    if gpx is None:
        raise RideError("\n".join(str(p) for p in problems if p.is_error))
    return Ride(gpx.lat, gpx.lon, gpx.height, gpx.part, gpx.time_s, gpx.name, gpx.waypoints)


def cleaned(ride: Ride) -> Ride:
    """Return a ride without points that repeat the one before, and without single spikes.

    A recording with times is smoothed too.

    Raises:
        RideError: it stands still, or is no ride through a town.
    """
    ride = _rounded(ride)
    remarks = list(ride.remarks)
    time_s = ride.time_s
    if time_s is not None and (np.isnan(time_s).any() or (np.diff(time_s) < 0).any()):
        remarks.append("times are missing or run backwards: the clock of the ride is not used")
        time_s = None
    track = ride.track
    steps = np.concatenate([[np.inf], track.steps_m])
    starts = np.concatenate([[True], np.diff(ride.part) != 0])
    keep = (steps > 0) | starts
    if time_s is not None:
        spikes = _spikes(track, time_s)
        keep &= ~spikes
        if spikes.any():
            remarks.append(f"{_points(int(spikes.sum()))} far out of the line left out")
    if again := int(((steps == 0) & ~starts).sum()):
        remarks.append(f"{_points(again)} on the one before left out")
    found = Ride(
        ride.lat[keep],
        ride.lon[keep],
        ride.height[keep],
        ride.part[keep],
        time_s if time_s is None else time_s[keep],
        ride.name,
        ride.waypoints,
        tuple(remarks),
    )
    _refuse(found)
    return found if time_s is None else _rounded(_smoothed(found))


def _points(count: int) -> str:
    return f"{count} point{'' if count == 1 else 's'}"


def _rounded(ride: Ride) -> Ride:
    """Return a ride whose line is to the digit the one that its published file will hold."""
    lat, lon = (np.round(values, DEGREE_DECIMALS) for values in (ride.lat, ride.lon))
    return replace(ride, lat=lat, lon=lon)


def _smoothed(ride: Ride) -> Ride:
    """Return a recording with each point moved to the mean of itself and its two neighbours.

    Noise makes a recorded line longer than the way; a mean of three points takes most of that
    away and cuts no corner that is ridden. Ends of parts stay where they are.
    """
    if len(ride.lat) < 3:
        return ride
    inner = np.zeros(len(ride.lat), dtype=bool)
    inner[1:-1] = (ride.part[:-2] == ride.part[1:-1]) & (ride.part[2:] == ride.part[1:-1])
    lat, lon = (
        np.where(inner, np.convolve(values, np.full(3, 1 / 3), mode="same"), values)
        for values in (ride.lat, ride.lon)
    )
    return replace(ride, lat=lat, lon=lon)


def _spikes(track: Track, time_s: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Return which points are reached and left too fast, while the way past them is not, (n,)."""
    found = np.zeros(len(track.lat), dtype=bool)
    if len(found) < 3:
        return found
    seconds = np.maximum(np.diff(time_s), 1e-3)
    fast = (track.steps_m / seconds > SPIKE_M_S) & (np.diff(track.part) == 0)
    _, _, past = WGS84.inv(track.lon[:-2], track.lat[:-2], track.lon[2:], track.lat[2:])
    found[1:-1] = fast[:-1] & fast[1:] & (past / (seconds[:-1] + seconds[1:]) <= SPIKE_M_S)
    return found


def _refuse(ride: Ride) -> None:
    if len(ride.lat) < 2:
        raise RideError("The recording stands still: it has no line.", "Take the file of the ride.")
    box = Track(
        np.array([ride.lat.min(), ride.lat.max()]),
        np.array([ride.lon.min(), ride.lon.max()]),
        np.full(2, np.nan),
        np.zeros(2, dtype=np.intp),
    )
    if box.length_m < STANDING_M:
        raise RideError(
            f"The recording stands still: all of it lies within {box.length_m:.0f} m.",
            "Take the file of the whole ride.",
        )
    if ride.track.length_m > LONGEST_M:
        raise RideError(
            f"The recording is {ride.track.length_m / 1000:.0f} km long, more than "
            f"{LONGEST_M / 1000:.0f} km: no route through a town.",
            "Cut the stretch out of it that you mean.",
        )
