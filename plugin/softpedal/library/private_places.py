"""Holds all that a route folder would publish, or commit, against the author's private zones."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import numpy as np

from softpedal.library.folder_files import ROUTES
from softpedal.library.gpx_reader import read_gpx
from softpedal.library.photo_file import FORMATS, positions
from softpedal.library.plain_text import printable
from softpedal.problems import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from numpy.typing import NDArray

    from softpedal.library.private_zones import Bools, Floats, Zones

#: More of a file is not read: nothing of such a size is published.
_MAX_BYTES = 64 * 1024 * 1024
#: A latitude and a longitude stand this near to each other, in characters, and in either order.
_APART = 24
_NUMBER = re.compile(
    r"(?P<before>\b[SW]\s?)?(?:(?<![\d.])|(?<=\d)(?=-))(?P<number>-?\d{1,3}(?:\.\d{1,20})?)"
    r"(?![\d.]*\d)\s?°?\s?(?P<after>[SW]\b)?"
)
_LINE_PART = re.compile(
    r"<(?:[\w.-]+:)?(?:(?P<begin>trkseg|rte)|(?P<point>trkpt|rtept))\b(?P<attributes>[^>]*)"
)
_POINT = re.compile(r"<(?:[\w.-]+:)?(?:trkpt|rtept)\b[^>\n]*>")
_DEGREES = {
    key: re.compile(rf"\b{key}\s*=\s*[\"']\s*([-+]?[\d.]{{1,40}})") for key in ("lat", "lon")
}


def private_problems(folder: Path, zones: Zones) -> list[Problem]:
    """Return an error for each file of a route folder that holds a place in a private zone.

    Every file is looked into, also one that is faulty or named nowhere: points of tracks and
    places marked in them, the lines between points, coordinates written in any text (comments
    too), and the positions in photos. The message says where in the file, never which zone.
    """
    if not zones or folder.is_symlink():
        return []
    problems = []
    for path in sorted(folder.rglob("*")):
        if path.is_symlink() or not path.is_file():
            continue
        inside = path.relative_to(folder).as_posix()
        name = printable(f"{ROUTES}/{folder.name}/{inside}")
        try:
            line = _first_private(path, zones)
        except OSError as error:
            what = f"The file cannot be read, nor searched for private places: {error.strerror}."
            hint = "Give yourself the right to read it."
            problems.append(Problem("file-unreadable", name, 0, 0, what, hint))
            continue
        if line is not None:
            problems.append(
                Problem(
                    "private-zone",
                    name,
                    line,
                    0,
                    "The file holds a place that you keep private.",
                    "Take it out, or draft the route anew (`softpedal bare` cuts a recording). "
                    "If it was committed before, git still remembers it.",
                )
            )
    return problems


def _first_private(path: Path, zones: Zones) -> int | None:
    """Return the line of the first private place in a file, 0 for the whole of it, or None."""
    if path.suffix.lower() in FORMATS:
        return 0 if any(zones.holds(*position) for position in positions(path)) else None
    with path.open("rb") as file:
        content = file.read(_MAX_BYTES)
    text = _text(content)
    if path.suffix.lower() != ".gpx":
        return min(_in_text(text, zones), default=None)
    # The points are looked at as a line, which is faster; what stands beside them is text.
    found = [*_in_steps(text, zones), *_in_text(_POINT.sub("", text), zones)]
    if not found and "&#" in text and _in_line(content, zones):
        return 0
    return min(found, default=None)


def _text(content: bytes) -> str:
    """Return what a file says, whatever it is written in; bytes that are no text do no harm."""
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return content.decode("utf-16", errors="replace")
    if content[:2] in (b"<\0", b"\0<"):  # XML in UTF-16 needs no mark
        return content.decode("utf-16-le" if content[:1] == b"<" else "utf-16-be", "replace")
    return content.decode("utf-8", errors="replace")


def _in_text(text: str, zones: Zones) -> Iterator[int]:
    """Yield the lines in which two numbers side by side are a place in a zone, either first."""
    spans, values = [], []
    for match in _NUMBER.finditer(text.replace("%2C", " , ").replace("%2c", " , ")):
        value = float(match["number"])
        spans.append(match.span("number"))
        is_south_or_west = match["before"] or match["after"]
        values.append(-abs(value) if is_south_or_west else value)
    if len(values) < 2:
        return
    numbers, at = np.array(values), np.array(spans)
    near = np.flatnonzero(at[1:, 0] - at[:-1, 1] <= _APART)
    first, second = numbers[near], numbers[near + 1]
    for lat, lon in ((first, second), (second, first)):
        possible = np.flatnonzero((np.abs(lat) <= 90) & (np.abs(lon) <= 180))
        inside, _ = zones.enter(lat[possible], lon[possible])
        for index in near[possible[inside]]:
            yield _line_at(text, int(at[index, 0]))


def _in_steps(text: str, zones: Zones) -> Iterator[int]:
    """Yield where in the file a track enters a zone, also one that no reader would take."""
    values: list[tuple[float, float]] = []
    starts: list[int] = []
    parts: list[int] = []
    part = 0
    for match in _LINE_PART.finditer(text):
        if match["begin"]:
            part += 1
            continue
        degrees = [pattern.search(match["attributes"]) for pattern in _DEGREES.values()]
        try:
            lat, lon = (float(each[1]) for each in degrees if each)
        except ValueError:  # one is missing, or no number: no line goes there
            continue
        values.append((lat, lon))
        starts.append(match.start())
        parts.append(part)
    if values:
        lat, lon = np.array(values).T
        entered = _enters(lat, lon, np.array(parts), zones)
        yield from (_line_at(text, starts[index]) for index in np.flatnonzero(entered))


def _in_line(content: bytes, zones: Zones) -> bool:
    """Whether the line that is read from a GPX file enters a zone, also one written in entities."""
    gpx, _ = read_gpx(content, "")
    if gpx is None:
        return False
    places = np.array([(w.lat, w.lon) for w in gpx.waypoints]).reshape(-1, 2)
    marked, _ = zones.enter(*places.T)
    return bool(marked.any() or _enters(gpx.lat, gpx.lon, gpx.part, zones).any())


def _enters(lat: Floats, lon: Floats, part: NDArray[np.intp], zones: Zones) -> Bools:
    """Return which points lie in a zone, or are reached by a step through one, (n,)."""
    inside, through = zones.enter(lat, lon)
    inside[1:] |= through & (np.diff(part) == 0)
    return inside


def _line_at(text: str, index: int) -> int:
    return 1 + text.count("\n", 0, index)
