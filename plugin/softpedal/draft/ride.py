"""A recording as it comes off the device → a ride: arrays with times, cleaned."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from softpedal.draft.cleaning import clean
from softpedal.library.gpx_reader import read_gpx
from softpedal.library.track import Track
from softpedal.problems import CannotDoError

if TYPE_CHECKING:
    from pathlib import Path

    from numpy.typing import NDArray

    from softpedal.library.gpx_reader import Limits, Waypoint

#: A recording whose points all lie this near to each other stood still.
STANDING_M = 50.0
#: More than this is no ride through a town.
LONGEST_M = 150_000.0


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

    def only(self, which: NDArray[np.bool_] | slice) -> Ride:
        """Return the ride with some of its points, all that is known of each with it."""
        return replace(
            self,
            lat=self.lat[which],
            lon=self.lon[which],
            height=self.height[which],
            part=self.part[which],
            time_s=None if self.time_s is None else self.time_s[which],
            stood_s=None if self.stood_s is None else self.stood_s[which],
        )

    def turned(self) -> Ride:
        """Return the line in the other order, without its clock."""
        track = self.track.reversed()
        return replace(
            self,
            lat=track.lat,
            lon=track.lon,
            height=track.height,
            part=track.part,
            time_s=None,
            stood_s=None,
        )


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
    """Return a raw recording cleaned (see `cleaning`).

    Raises:
        RideError: it stands still, or is no ride through a town.
    """
    found = clean(ride)
    _refuse(found)
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
