"""From a position as written to a chainage along a track."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from softpedal.library.faults import shown, shown_list
from softpedal.library.track import nearest_on_track

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from softpedal.library.gpx_reader import Waypoint
    from softpedal.library.track import Floats, Track
    from softpedal.library.values import Position

#: How far beyond the end a chainage may lie, in metres: notes are rounded.
END_SLACK_M = 10.0
#: How far from the track coordinates may lie, in metres.
MAX_OFF_TRACK_M = 30.0
#: How far apart along the track two passes of one place are, in metres.
PASSES_APART_M = 150.0


class Unplaced(Exception):  # noqa: N818 - a verdict on what an author wrote, not a program error
    """A position that does not lie on the track."""

    def __init__(self, code: str, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.code, self.message, self.hint = code, message, hint


def chainage_of(position: Position, track: Track, waypoints: Sequence[Waypoint] = ()) -> float:
    """Return the chainage in metres that a position means.

    Raises:
        Unplaced: it lies beyond the end, off the track, or the track passes it more than once.
    """
    if position.form == "start":
        return 0.0
    if position.form == "finish":
        return track.length_m
    if position.form == "chainage":
        return _within(position, position.metres or 0.0, track.length_m)
    if position.form == "waypoint":
        lat, lon = _waypoint(position.name, waypoints)
    else:
        lat, lon = position.lat, position.lon
    return _nearest(position, track, lat, lon)


def km(metres: float) -> str:
    """Return a chainage as an author writes it."""
    return f"{metres / 1000:.2f} km"


def _within(position: Position, metres: float, length_m: float) -> float:
    if metres > length_m + END_SLACK_M:
        raise Unplaced(
            "position-beyond",
            f"`{shown(position.text)}` lies beyond the end of the track, which is "
            f"{km(length_m)} long.",
            f"Write at most `{km(length_m)}`, or `finish`.",
        )
    return min(metres, length_m)


def _waypoint(name: str, waypoints: Sequence[Waypoint]) -> tuple[float, float]:
    found = [w for w in waypoints if w.name.strip() == name]
    if len(found) == 1:
        return found[0].lat, found[0].lon
    names = shown_list(w.name for w in waypoints) or "none"
    how_many = f"{len(found)} waypoints" if found else "no waypoint"
    raise Unplaced(
        "position-waypoint",
        f"The track file has {how_many} named `{shown(name)}`.",
        "Rename all but one in the track file." if found else f"Waypoints there: {names}.",
    )


def _nearest(position: Position, track: Track, lat: float, lon: float) -> float:
    off_m, chainage_m = nearest_on_track(track, lat, lon)
    if off_m.min() > MAX_OFF_TRACK_M:
        raise Unplaced(
            "position-off-track",
            f"`{shown(position.text)}` is {off_m.min():,.0f} m from the track; at most "
            f"{MAX_OFF_TRACK_M:.0f} m is allowed.",
            f"The nearest point of the track is at {km(chainage_m[off_m.argmin()])}.",
        )
    passes = passes_of(off_m, chainage_m)
    if len(passes) > 1 and position.metres is not None:
        near_m = position.metres
        return min(passes, key=lambda at: abs(at - near_m))
    if len(passes) > 1:
        places = " and ".join(f"`{km(at)}`" for at in passes)
        lat_lon = f"{lat:.5f}, {lon:.5f}"
        choices = " or ".join(f"`{lat_lon} near {km(at)}`" for at in passes)
        raise Unplaced(
            "position-ambiguous",
            f"The track passes `{shown(position.text)}` more than once, at {places}.",
            f"Write {choices}.",
        )
    return passes[0]


def nearest_steps(off_m: Floats, within_m: float) -> NDArray[np.bool_]:
    """Return which steps of a track come nearer to a place than those beside them, (n,).

    Args:
        off_m: (n,) distance of the place from each step, metres.
        within_m: steps farther away are none of them.
    """
    around = np.concatenate(([np.inf], off_m, [np.inf]))
    found: NDArray[np.bool_] = (off_m <= around[:-2]) & (off_m <= around[2:]) & (off_m <= within_m)
    return found


def passes_of(off_m: Floats, chainage_m: Floats, within_m: float = MAX_OFF_TRACK_M) -> list[float]:
    """Return the chainages at which a track passes a place, in riding order.

    Args:
        off_m: (n,) distance of the place from each step, metres.
        chainage_m: (n,) chainage of the nearest point of each step.
        within_m: how far the place may be off.
    """
    passes: list[float] = []
    for index in sorted(np.flatnonzero(nearest_steps(off_m, within_m)), key=lambda i: off_m[i]):
        at = float(chainage_m[index])
        if all(abs(at - other) > PASSES_APART_M for other in passes):
            passes.append(at)
    return sorted(passes)
