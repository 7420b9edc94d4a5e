"""A report → YAML that is pasted into its route's notes, and where it goes."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from softpedal.draft.notes_text import flow, item_lines, plain
from softpedal.library.folder_files import NOTES, ROUTES
from softpedal.library.positions import END_SLACK_M, MAX_OFF_TRACK_M, km
from softpedal.library.track import WGS84, nearest_on_track
from softpedal.library.yaml_source import read_yaml
from softpedal.problems import CannotDoError

if TYPE_CHECKING:
    from softpedal.library.reports import Report
    from softpedal.library.route import Line, Route
    from softpedal.library.yaml_source import Path, YamlSource

As = Literal["alert", "hazard", "dismount", "landmark", "barrier"]
#: The key of each sort's list in the notes, and the key of its words.
LISTS: dict[As, tuple[str, str]] = {
    "alert": ("alerts", "text"),
    "hazard": ("hazards", "what"),
    "dismount": ("dismounts", "why"),
    "landmark": ("landmarks", "what"),
    "barrier": ("barriers", "what"),
}
#: What the first words of a report are cut to, in characters.
MAX_WORDS = 120
#: Where chainage and place of a report are farther apart, the line has been drawn anew.
_MOVED_M = 50.0


@dataclass(frozen=True, slots=True)
class Pasted:
    """What is pasted where.

    Attributes:
        where: file, line and key, in words.
        lines: the YAML.
        below: the line of notes.yml under which it is pasted, 0 for its end.
        remarks: what to look at.
    """

    where: str
    lines: tuple[str, ...]
    below: int
    remarks: tuple[str, ...]


def pasted(report: Report, route: Route, sort: As) -> Pasted:
    """Return a report as an item of a list in its route's notes.

    The item says `source: reported` and is for the author to put into better words.

    Raises:
        CannotDoError: the report has no chainage, and the item needs one.
    """
    file = f"{ROUTES}/{route.id}/{NOTES}"
    source = _source(route, file)
    own_line = sort != "alert" and report.direction == "return" and route.back is not None
    key, _ = LISTS[sort]
    path: Path = ("return", key) if own_line else (key,)
    item, remarks = _item(report, route, sort, is_on_own_line=own_line)
    remarks.insert(0, "Put it into your own words, and leave out whoever is named in it.")
    head = [] if path in source.key_marks else [f"{key}:"]
    if not head and _is_in_brackets(source, path):
        line = source.key_marks[path][0]
        where = f"{file}, line {line}, inside the brackets of `{': '.join(map(str, path))}`"
        return Pasted(where, (f"{flow(plain(item))},",), line, tuple(remarks))
    column = _column(source, path)
    body = [" " * column + line for line in item_lines(key, plain(item), {}, path, column)]
    if head:
        inside = _inside(source) if own_line else 0
        lines = [" " * inside + head[0], *body]
        below = source.key_marks[("return",)][0] if own_line else 0
        where = f"{file}, " + (f"below line {below} (`return:`)" if below else "at its end")
        return Pasted(where, tuple(lines), below, tuple(remarks))
    below = source.key_marks[path][0]
    where = f"{file}, below line {below} (`{key}:`)"
    return Pasted(where, tuple(body), below, tuple(remarks))


def _item(
    report: Report, route: Route, sort: As, *, is_on_own_line: bool
) -> tuple[dict[str, Any], list[str]]:
    if sort == "alert":
        remarks = ["Give it `until:` when you know how long it holds."]
        return {"from": report.on, "text": f"A reader reports: {report.text}"}, remarks
    at_m, remarks = _at(report, route.line(report.direction))
    is_back = report.direction == "return"
    if is_back and not is_on_own_line:
        at_m = route.along.length_m - at_m
        remarks.append("`at` counts from the start of the way out, as in all of these notes.")
    words = _first_words(report.text)
    item: dict[str, Any] = {"at": km(at_m), LISTS[sort][1]: words, "source": "reported"}
    if report.text != words:
        item["note"] = report.text
    if is_back and not is_on_own_line and sort != "landmark":
        item["direction"] = "return"
    if sort == "dismount":
        remarks.append("It counts as required by law unless you write `must:`.")
    return item, remarks


def _at(report: Report, line: Line) -> tuple[float, list[str]]:
    """Return where a report is on the line as it is now."""
    at_m = report.at.metres if report.at else None
    near_m = off_m = None
    if report.place is not None:
        off, chainage_m = nearest_on_track(line.track, report.place.lat, report.place.lon)
        near_m, off_m = float(chainage_m[off.argmin()]), float(off.min())
    if at_m is not None and at_m <= line.length_m + END_SLACK_M:
        at_m = min(at_m, line.length_m)
        if report.place is None or off_m is None or near_m is None:
            return at_m, []
        lat, lon = line.track.at(at_m)
        _, _, apart_m = WGS84.inv(lon, lat, report.place.lon, report.place.lat)
        if apart_m <= _MOVED_M:
            return at_m, []
    if near_m is not None and off_m is not None and off_m <= MAX_OFF_TRACK_M:
        return near_m, ["The line has been drawn anew since: `at` goes by the place."]
    if at_m is not None and at_m <= line.length_m:
        return at_m, ["The line no longer passes the place that was meant: look at it."]
    raise CannotDoError(
        f"The report {report.key} has no chainage on {report.route}.",
        "Write `at:` beside it in reports.yml, or print it as an alert.",
    )


def _first_words(text: str) -> str:
    """Return the first sentence of a text, or what of it has room."""
    words = " ".join(text.split())
    sentence = re.split(r"(?<=[.!?])\s", words, maxsplit=1)[0].rstrip(".")
    if len(sentence) <= MAX_WORDS:
        return sentence or words
    return sentence[: MAX_WORDS - 1].rsplit(" ", 1)[0] + "…"


def _source(route: Route, file: str) -> YamlSource:
    source, problems = read_yaml((route.folder / NOTES).read_bytes(), file)
    if source is None:
        raise CannotDoError(str(problems[0]))
    return source


def _column(source: YamlSource, path: Path) -> int:
    """Return the columns before the hyphens of a list, or of one that is to be."""
    if path in source.marks and path in source.key_marks:
        if (*path, 0) in source.marks:
            return source.marks[path][1] - 1
        return source.key_marks[path][1] + 1
    return (_inside(source) if len(path) > 1 else 0) + 2


def _inside(source: YamlSource) -> int:
    """Return the column at which the keys of `return:` begin."""
    return source.marks[("return",)][1] - 1


def _is_in_brackets(source: YamlSource, path: Path) -> bool:
    """Whether a list begins in the line of its key."""
    return source.marks[path][0] == source.key_marks[path][0]
