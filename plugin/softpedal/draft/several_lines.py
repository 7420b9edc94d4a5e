"""A file of several lines → the one that is meant: tracks in a row, a plan beside its ride."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from softpedal.draft.ride import Ride, RideError
from softpedal.library.faults import shown
from softpedal.library.gpx_reader import read_gpx_lines
from softpedal.library.gpx_writer import DEGREE_DECIMALS
from softpedal.library.plain_text import counted, printable
from softpedal.library.track import MAX_GAP_M, WGS84

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from softpedal.library.gpx_reader import Gpx, Limits

#: So many lines are listed in a message.
_MOST_LISTED = 20


def rides_in(path: Path, limits: Limits | None = None, track: int | None = None) -> Ride:
    """Return the one line of a file, as it is.

    Args:
        path: a GPX file, with one line or several.
        limits: how large it may be.
        track: which of its lines is meant, from 1, in the order of the file.

    Raises:
        RideError: it cannot be read, has no line, or has several and none was chosen.
    """
    name = printable(path.name)
    try:
        data = path.read_bytes()
    except OSError as error:
        raise RideError(f"{name} cannot be read: {error.strerror}.") from error
    lines, problems = read_gpx_lines(data, name, *([limits] if limits else []))
    if not lines:
        raise RideError("\n".join(str(p) for p in problems if p.is_error))
    return one_line(lines, name, track)


def one_line(lines: Sequence[Gpx], name: str, track: int | None = None) -> Ride:
    """Return the line that is meant among the lines of one file.

    Tracks that follow on each other are one ride. A <rte> beside a track is what was planned, and
    is passed over, as is a track that repeats another.

    Args:
        lines: at least one, in the order of the file.
        name: of the file, for messages.
        track: which line is meant, from 1; None to find out.

    Raises:
        RideError: there is no such line, or there are several that do not follow on each other.
    """
    if track is not None:
        if not 1 <= track <= len(lines):
            raise RideError(
                f"{name} has no track {track}:{_listed(lines)}",
                f"Choose one from 1 to {len(lines)}." if len(lines) > 1 else "Leave `--track` out.",
            )
        return _ride(lines[track - 1])
    kept, remarks = _without_plans(lines)
    kept, repeated = _without_repeats(kept)
    remarks += repeated
    if len(kept) > 1 and not all(_follows(one, other) for one, other in pairwise(kept)):
        raise RideError(
            f"{name} holds several lines that do not follow on each other:{_listed(lines)}",
            f"Say which one is meant, like `--track {lines.index(kept[1]) + 1}`.",
        )
    if len(kept) > 1:
        remarks.append(f"{counted(len(kept), 'track')} that follow on each other taken as one ride")
    ride = _together([_ride(line) for line in kept])
    return replace(ride, remarks=tuple(remarks))


def _ride(line: Gpx) -> Ride:
    """Return a line as a ride; what was drawn has no times, whatever its file says."""
    times = None if line.is_drawn else line.time_s
    return Ride(line.lat, line.lon, line.height, line.part, times, line.name, line.waypoints)


def _without_plans(lines: Sequence[Gpx]) -> tuple[list[Gpx], list[str]]:
    tracks = [line for line in lines if not line.is_drawn]
    plans = len(lines) - len(tracks)
    if not tracks or not plans:
        return list(lines), []
    return tracks, [f"{counted(plans, 'drawn line')} (<rte>) beside the track passed over"]


def _without_repeats(lines: Sequence[Gpx]) -> tuple[list[Gpx], list[str]]:
    kept: dict[bytes, Gpx] = {}
    for line in lines:
        points = np.round(np.stack([line.lat, line.lon]), DEGREE_DECIMALS)
        kept.setdefault(points.tobytes(), line)
    again = len(lines) - len(kept)
    said = [f"{counted(again, 'line')} with the same points as another passed over"]
    return list(kept.values()), said if again else []


def _follows(one: Gpx, other: Gpx) -> bool:
    """Whether a line begins where and when another ends, or later."""
    _, _, metres = WGS84.inv(one.lon[-1], one.lat[-1], other.lon[0], other.lat[0])
    if metres > MAX_GAP_M:
        return False
    if one.time_s is None or other.time_s is None:
        return True
    ends, begins = one.time_s[~np.isnan(one.time_s)], other.time_s[~np.isnan(other.time_s)]
    return bool(begins.min() >= ends.max())


def _together(rides: Sequence[Ride]) -> Ride:
    first = rides[0]
    if len(rides) == 1:
        return first
    parts, begin = [], 0
    for ride in rides:
        parts.append(ride.part + begin)
        begin = int(parts[-1][-1]) + 1
    times = None
    if any(ride.time_s is not None for ride in rides):
        # Where only some are timed, cleaning finds times missing and says so.
        blank = [np.full(len(ride.lat), np.nan) for ride in rides]
        times = np.concatenate(
            [none if r.time_s is None else r.time_s for r, none in zip(rides, blank, strict=True)]
        )
    return replace(
        first,
        lat=np.concatenate([ride.lat for ride in rides]),
        lon=np.concatenate([ride.lon for ride in rides]),
        height=np.concatenate([ride.height for ride in rides]),
        part=np.concatenate(parts),
        time_s=times,
    )


def _listed(lines: Sequence[Gpx]) -> str:
    """Return the lines of a file, numbered, for a message."""
    told = []
    for number, line in enumerate(lines[:_MOST_LISTED], 1):
        km = _ride(line).track.length_m / 1000
        what = "a drawn <rte>" if line.is_drawn else "a <trk>"
        name = f" “{shown(line.name)}”" if line.name else ""
        points = counted(len(line.lat), "point")
        told.append(f"\n  {number}. {what}{name}, {km:.2f} km, {points}")
    if len(lines) > _MOST_LISTED:
        told.append(f"\n  and {len(lines) - _MOST_LISTED} more")
    return "".join(told)
