"""What the elements of GPX mean: gathers points, names and waypoints while a file is walked."""

from __future__ import annotations

import math
from array import array
from collections import Counter
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from softpedal.library.gpx_xml import Element, Faults, Limits, Place, Walk, quoted

if TYPE_CHECKING:
    from collections.abc import Iterable

_NAMESPACES = ("http://www.topografix.com/GPX/1/1", "http://www.topografix.com/GPX/1/0", "")

#: Elements of GPX 1.1 and 1.0 that say more about the ride than where it went, and the kind that
#: `Gpx.private` lists them under.
_PRIVATE = {
    "time": "time",
    "extensions": "extensions",
    "author": "author",
    "copyright": "copyright",
    "email": "email",
    **dict.fromkeys(("link", "url", "urlname"), "link"),
    "src": "source",
    **dict.fromkeys(("desc", "cmt"), "description"),
    **dict.fromkeys(("fix", "sat", "hdop", "vdop", "pdop", "ageofdgpsdata", "dgpsid"), "device"),
    **dict.fromkeys(("speed", "course", "magvar", "geoidheight"), "device"),
}
_HARMLESS = ("bounds", "ele", "keywords", "name", "number", "sym", "type")

#: All that a number in the pattern of xsd:decimal is made of.
_DECIMAL_CHARACTERS = "0123456789+-. \t\r\n"
_NUMBER_CHARACTERS = 64
_NAME_CHARACTERS = 200
_NAN = math.nan


@dataclass(frozen=True, slots=True)
class Waypoint:
    """A named place in a track file (WGS84 degrees), with the line of the file it begins on."""

    lat: float
    lon: float
    name: str
    line: int


@dataclass(slots=True, eq=False)
class Line:
    """A <trk> or <rte> while it is read.

    Attributes:
        tag: "trk" or "rte".
        place: where it begins in the file.
        values: lat, lon, height and time of the first point, of the second, and so on.
        starts: the points at which its parts begin.
    """

    tag: str
    place: Place
    name: str = ""
    values: array[float] = field(default_factory=lambda: array("d"))
    starts: list[int] = field(default_factory=list)


class Gathering:
    """The points, names and waypoints of one file.

    Attributes:
        name: the name of the file as a whole.
        waypoints: the named places, in the order of the file.
        first: the first line with each tag that has two points or more in one part.
        second: where the second such line with each tag begins; its points are not kept.
        lines: how many such lines there are with each tag.
        kept: all such lines, in the order of the file; none unless they are asked for.
        points: the number of points of all sorts.
        strays: the number of track and route points outside a part, or in a foreign namespace.
    """

    def __init__(self, faults: Faults, limits: Limits, *, keep_all: bool = False) -> None:
        self.name = ""
        self.waypoints: list[Waypoint] = []
        self.first: dict[str, Line] = {}
        self.second: dict[str, Place] = {}
        self.lines: Counter[str] = Counter()
        self.kept: list[Line] = []
        self.points = 0
        self.strays = 0
        self._faults = faults
        self._most_points = limits.points
        self._keep_all = keep_all
        self._walk = Walk(faults, limits, self._root, self._stray)
        self._line = Line("trk", (1, 1))
        self._begin = 0
        self._waypoint_name = ""
        self._waypoint_place = (_NAN, _NAN, 0)
        self._is_zone_missing = False

    def gather(self, chunks: Iterable[bytes]) -> None:
        """Walk through the file; raises Refused, having said why, where it must stop."""
        self._walk.run(chunks)

    def private(self) -> tuple[tuple[str, int, int], ...]:
        """Return what `Gpx.private` holds."""
        marks = sorted(self._walk.marks.items(), key=lambda mark: mark[1])
        return tuple((kind, *place) for kind, place in marks)

    def _root(self, name: str) -> Element:
        namespace, _, local = name.rpartition(" ")
        if local != "gpx" or namespace not in _NAMESPACES:
            where = f"in the namespace {quoted(namespace)}" if namespace else "without a namespace"
            self._walk.refuse(
                "gpx-not-gpx",
                f"found <{quoted(local)[1:-1]}> {where}, expected <gpx> of GPX 1.1 or 1.0",
                "export the track as GPX",
            )
        return self._elements(namespace and namespace + " ")

    def _elements(self, prefix: str) -> Element:
        """Return the tree of the elements that GPX knows, their names in one namespace."""

        def known(**own: Element) -> dict[str, Element]:
            harmless = {name: Element() for name in _HARMLESS}
            private = {name: Element(mark=kind, is_unasked=True) for name, kind in _PRIVATE.items()}
            return {prefix + name: do for name, do in (harmless | private | own).items()}

        height = Element(text=self._take_height)
        time = Element(text=self._take_time, mark="time")
        point = Element(known(ele=height, time=time), enter=self._add_point)
        segment = Element(known(trkpt=point), enter=self._begin_part, leave=self._end_part)
        line_name = Element(text=self._name_line)
        track = Element(
            known(name=line_name, trkseg=segment), enter=self._begin_track, leave=self._end_line
        )
        route = Element(
            known(name=line_name, rtept=point), enter=self._begin_route, leave=self._end_route
        )
        waypoint = Element(
            known(name=Element(text=self._name_waypoint)),
            enter=self._begin_waypoint,
            leave=self._end_waypoint,
        )
        name = Element(text=self._name_file)
        metadata = Element(known(name=name))
        return Element(known(name=name, metadata=metadata, wpt=waypoint, rte=route, trk=track))

    def _stray(self, name: str) -> None:
        """Take note of an element that GPX does not know at this place."""
        if "extensions" not in self._walk.marks:
            self._walk.marks["extensions"] = self._walk.place()
        self.strays += name.rpartition(" ")[2] in {"trkpt", "rtept"}

    def _begin_track(self, _attributes: dict[str, str]) -> None:
        self._line = Line("trk", self._walk.place())

    def _begin_route(self, attributes: dict[str, str]) -> None:
        self._line = Line("rte", self._walk.place())
        self._begin_part(attributes)

    def _end_route(self) -> None:
        self._end_part()
        self._end_line()

    def _end_line(self) -> None:
        line = self._line
        if not line.starts:
            return
        self.lines[line.tag] += 1
        if self._keep_all:
            self.kept.append(line)
        if line.tag not in self.first:
            self.first[line.tag] = line
        else:
            self.second.setdefault(line.tag, line.place)

    def _begin_part(self, _attributes: dict[str, str]) -> None:
        self._begin = len(self._line.values) // 4

    def _end_part(self) -> None:
        line = self._line
        if len(line.values) // 4 - self._begin >= 2:
            line.starts.append(self._begin)
        else:
            del line.values[self._begin * 4 :]

    def _add_point(self, attributes: dict[str, str]) -> None:
        lat, lon = self._coordinates(attributes)
        self._line.values.fromlist([lat, lon, _NAN, _NAN])

    def _coordinates(self, attributes: dict[str, str]) -> tuple[float, float]:
        self.points += 1
        if self.points > self._most_points:
            self._walk.refuse(
                "gpx-limit",
                f"the file has more than {self._most_points:,} points",
                "cut the file to the one ride that is meant",
            )
        lat, lon = _number(attributes.get("lat", "")), _number(attributes.get("lon", ""))
        if -90.0 <= lat <= 90.0 and -180.0 <= lon <= 180.0:
            return lat, lon
        faults = [
            f"{key} {_what_is_wrong(attributes.get(key), value, limit)}"
            for key, value, limit in (("lat", lat, 90), ("lon", lon, 180))
            if not abs(value) <= limit
        ]
        hint = 'degrees as decimal numbers, such as lat="50.0123" lon="-20.0456"'
        if 90 < abs(lat) <= 180 and abs(lon) <= 90:
            hint += "; are the two swapped?"
        self._faults.add("gpx-coordinate", self._walk.place(), " and ".join(faults), hint)
        return _NAN, _NAN

    def _take_height(self, text: str) -> None:
        height = _number(text)
        if not math.isnan(height):
            self._line.values[-2] = height
            return
        self._faults.add(
            "gpx-height",
            self._walk.place_of_value(text),
            f"height {quoted(text)} is not a decimal number and is left out",
            "write metres as a decimal number, such as 12.5, or take the <ele> out",
            "advice",
        )

    def _take_time(self, text: str) -> None:
        time = _time(text)
        if time is None:
            self._faults.add(
                "gpx-time",
                self._walk.place_of_value(text),
                f"time {quoted(text)} is not an ISO 8601 date and time and is left out",
                "write it as 2026-05-16T09:14:05Z, or take the <time> out",
                "advice",
            )
            return
        if time.tzinfo is None:
            time = time.replace(tzinfo=UTC)
            if not self._is_zone_missing:
                self._is_zone_missing = True
                self._faults.add(
                    "gpx-time",
                    self._walk.place_of_value(text),
                    f"time {quoted(text)} names no zone; such times are taken as UTC",
                    "write it as 2026-05-16T09:14:05Z",
                    "advice",
                )
        self._line.values[-1] = time.timestamp()

    def _name_line(self, text: str) -> None:
        self._line.name = _one_line(text)

    def _name_file(self, text: str) -> None:
        self.name = _one_line(text)

    def _begin_waypoint(self, attributes: dict[str, str]) -> None:
        self._waypoint_name = ""
        self._waypoint_place = (*self._coordinates(attributes), self._walk.place()[0])

    def _name_waypoint(self, text: str) -> None:
        self._waypoint_name = _one_line(text)

    def _end_waypoint(self) -> None:
        lat, lon, line = self._waypoint_place
        self.waypoints.append(Waypoint(lat, lon, self._waypoint_name, line))


def _number(text: str) -> float:
    """Return the number that text writes in the pattern of xsd:decimal, else nan.

    Without letters and underscores, `float` reads that pattern and nothing else.
    """
    if text.strip(_DECIMAL_CHARACTERS) or len(text) > _NUMBER_CHARACTERS:
        return _NAN
    try:
        return float(text)
    except ValueError:
        return _NAN


def _time(text: str) -> datetime | None:
    text = text.strip()
    try:
        time = datetime.fromisoformat(text)
    except ValueError:
        return None
    return time if text[10:11] == "T" else None


def _what_is_wrong(written: str | None, value: float, limit: int) -> str:
    if written is None:
        return "is missing"
    if math.isnan(value):
        return f"{quoted(written)} is not a decimal number"
    return f"{quoted(written)} is not between -{limit} and {limit}"


def _one_line(text: str) -> str:
    return " ".join(text.split())[:_NAME_CHARACTERS]
