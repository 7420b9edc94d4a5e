"""Reads the line of a GPX file, or all of them, and says where a faulty file is wrong."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from softpedal.library.gpx_elements import Gathering, Line, Waypoint
from softpedal.library.gpx_xml import Faults, Limits, Refused

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from softpedal.problems import Problem

__all__ = ["Gpx", "Limits", "Waypoint", "read_gpx", "read_gpx_chunks", "read_gpx_lines"]


@dataclass(frozen=True, slots=True, eq=False)
class Gpx:
    """The line that a GPX file holds, as arrays with one value for each of its n points.

    Attributes:
        lat: latitude, WGS84 degrees, shape (n,).
        lon: longitude, WGS84 degrees, shape (n,).
        height: metres, nan where not recorded, shape (n,).
        time_s: POSIX seconds, nan where not recorded, shape (n,); None without any time.
        part: index of the <trkseg> that a point belongs to, counted over those that have at least
            two points, shape (n,). Points of shorter ones are left out.
        name: name of the track, else of the file, else "".
        waypoints: the named places, in the order of the file.
        is_drawn: whether the line comes from a <rte>, and so was drawn and not recorded.
        private: (kind, line, column) of the first of each kind of thing that a published track
            must not carry, in the order of the file: "time", "extensions" (any element that GPX
            does not know is one), "author", "copyright", "email", "link", "source",
            "description", "device". `creator` is not among them: GPX demands one, and it names
            a program.
    """

    lat: NDArray[np.float64]
    lon: NDArray[np.float64]
    height: NDArray[np.float64]
    time_s: NDArray[np.float64] | None
    part: NDArray[np.intp]
    name: str
    waypoints: tuple[Waypoint, ...]
    is_drawn: bool
    private: tuple[tuple[str, int, int], ...]


_DEFAULT_LIMITS = Limits()


def read_gpx(
    data: bytes, file: str, limits: Limits = _DEFAULT_LIMITS
) -> tuple[Gpx | None, list[Problem]]:
    """Return the line in a GPX 1.1 or 1.0 file, and what is wrong with the file.

    The line is None where a problem is an error. Never raises for what the bytes hold. `file` is
    the name that the problems carry.
    """
    return read_gpx_chunks((data,), file, limits)


def read_gpx_chunks(
    chunks: Iterable[bytes], file: str, limits: Limits = _DEFAULT_LIMITS
) -> tuple[Gpx | None, list[Problem]]:
    """Do what `read_gpx` does for a file that comes in pieces; takes no piece past a limit."""
    faults = Faults(file)
    gathering = Gathering(faults, limits)
    gpx = None
    try:
        gathering.gather(chunks)
    except Refused:
        pass
    else:
        gpx = _one_line(gathering, faults)
    problems = faults.listed()
    return (None if any(problem.is_error for problem in problems) else gpx), problems


def read_gpx_lines(
    data: bytes, file: str, limits: Limits = _DEFAULT_LIMITS
) -> tuple[list[Gpx], list[Problem]]:
    """Return every <trk> and <rte> in a file, in its order, and what is wrong with the file.

    Each is a line of its own, with the waypoints of the file; lines whose points are all the same
    are left out. The list is empty where a problem is an error. Never raises for what the bytes
    hold.
    """
    faults = Faults(file)
    gathering = Gathering(faults, limits, keep_all=True)
    lines: list[Gpx] = []
    try:
        gathering.gather((data,))
    except Refused:
        pass
    else:
        whole = [_arrays(line, gathering) for line in gathering.kept]
        lines = [gpx for gpx in whole if not _stands_still(gpx)]
        if whole and not lines:
            _report_still(gathering.kept[0], whole[0], faults)
        elif not whole:
            _report_empty(gathering, faults)
    problems = faults.listed()
    return ([] if any(problem.is_error for problem in problems) else lines), problems


def _one_line(gathering: Gathering, faults: Faults) -> Gpx | None:
    """Return the track, or the route where there is no track, and report any other line."""
    line = gathering.first.get("trk") or gathering.first.get("rte")
    if line is None:
        _report_empty(gathering, faults)
        return None
    if (count := gathering.lines[line.tag]) > 1:
        faults.add(
            "gpx-several",
            gathering.second[line.tag],
            f"found {count} <{line.tag}> of two points or more, expected one",
            "keep the line that was ridden; its parts may be several <trkseg> of one <trk>",
        )
    if line.tag == "trk" and (beside := gathering.first.get("rte")):
        faults.add(
            "gpx-several",
            beside.place,
            "a <rte> stands beside the <trk> and is not read",
            "take it out, or keep it in a file of its own",
            "advice",
        )
    gpx = _arrays(line, gathering)
    if _stands_still(gpx):
        _report_still(line, gpx, faults)
    return gpx


def _stands_still(gpx: Gpx) -> bool:
    return bool(np.all((gpx.lat == gpx.lat[0]) & (gpx.lon == gpx.lon[0])))


def _report_still(line: Line, gpx: Gpx, faults: Faults) -> None:
    faults.add(
        "gpx-empty",
        line.place,
        f"all {len(gpx.lat)} points of the <{line.tag}> are the same, expected a line",
        "take the file of the whole ride, or record the way again",
    )


def _arrays(line: Line, gathering: Gathering) -> Gpx:
    lat, lon, height, time = np.array(line.values).reshape(-1, 4).T.copy()
    return Gpx(
        lat=lat,
        lon=lon,
        height=height,
        time_s=None if np.isnan(time).all() else time,
        part=np.repeat(np.arange(len(line.starts)), np.diff([*line.starts, len(lat)])),
        name=line.name or gathering.name,
        waypoints=tuple(gathering.waypoints),
        is_drawn=line.tag == "rte",
        private=gathering.private(),
    )


def _report_empty(gathering: Gathering, faults: Faults) -> None:
    if faults.has("gpx-coordinate"):
        return  # the points are there, and what is wrong with them is said
    message = "found no <trk> or <rte> with two points or more"
    if alone := gathering.points - len(gathering.waypoints):
        message += f"; points that stand alone in their part: {alone}"
    if gathering.strays:
        message += f"; points outside a part or in another namespace: {gathering.strays}"
    hint = "a line is <trk><trkseg> with <trkpt> elements, all in the namespace of <gpx>"
    faults.add("gpx-empty", (1, 1), message, hint)
