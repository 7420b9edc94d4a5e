"""reports.yml: what readers reported, without names or addresses; beside `routes/`.

The file is the author's: what is added stands at its end, and of what is there only a report's
`state` is changed, so that comments and order stay as they are.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import AfterValidator, Field

from softpedal.library.faults import fault, shown
from softpedal.library.library_file import parse_list, read_beside
from softpedal.library.note_values import Direction, Strict
from softpedal.library.plain_text import LINE_END
from softpedal.library.values import (
    ROUTE_ID,
    Chainage,
    Coordinates,
    Date,
    Text,
)
from softpedal.library.whole_file import write_whole
from softpedal.library.yaml_source import MAX_BYTES, YamlSource
from softpedal.problems import CannotDoError, Problem

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence
    from pathlib import Path

FILE_NAME = "reports.yml"
HEAD = """\
# What readers reported, without names or addresses. Read what was added before you commit it.
# Only `state` is changed here by `softpedal reports done` and `reopen`; the rest is yours.
"""
#: Characters of a report's text that are kept.
MAX_TEXT = 2000

Sort = Literal["changed", "better way", "thanks", "other"]
State = Literal["open", "done"]


def _route(text: str) -> str:
    if text and not ROUTE_ID.fullmatch(text):
        raise fault(
            f"`{shown(text)}` cannot be a route's id.",
            "Write the name of a folder under routes/, or leave `route` out.",
        )
    return text


_CODE = "reports-value"


class Report(Strict):
    """One report."""

    key: Annotated[str, Field(pattern=r"^r[0-9a-f]{10}$")] = Field(examples=["r0a1b2c3d4e"])
    """r and ten digits or letters, by which commands name it; the same report has the same key"""
    route: Annotated[str, AfterValidator(_route)] = Field(
        "", examples=["ferry-steps-to-chapel-green"]
    )
    """the route's id; "" while nobody has said which is meant"""
    at: Chainage | None = Field(None, examples=["1.24 km"])
    """how far along the way, in the report's direction"""
    place: Coordinates | None = Field(None, examples=["50.01234, -20.04567"])
    """coordinates, where the report gave them"""
    direction: Direction = Field("outbound", examples=["return"])
    """along which way `at` is counted"""
    sort: Sort = Field(examples=["changed"])
    """what it is about"""
    on: Date = Field(examples=["2026-06-02"])
    """the day on which it was sent or received"""
    page: Date | None = Field(None, examples=["2026-05-16"])
    """the day that the page gave as that of the last ride"""
    text: Text = Field(examples=["The planters at Mill Lane are gone."])
    """what was reported, without names and addresses"""
    state: State = Field(examples=["open"])
    """whether you have dealt with it"""


class _Reports(Strict):
    reports: list[Report] = []  # noqa: RUF012 - a model's default is copied
    """in the order in which they were taken in"""


@dataclass(frozen=True)
class ReportsFile:
    """The file as it is read.

    Attributes:
        reports: in the order of the file.
        text: of the file; "" where there is none.
        source: its data with the place of each value, below the key `reports`.
    """

    reports: tuple[Report, ...]
    text: str
    source: YamlSource


def read_reports(library: Path) -> tuple[ReportsFile | None, list[Problem]]:
    """Read a library's reports.yml; a file that is not there means that nobody reported anything.

    Returns:
        The reports, or None and what is wrong with the file.
    """
    hint = "Give yourself the right to read the file."
    content, problems = read_beside(library / FILE_NAME, "reports", hint)
    if content is None:
        return None, problems
    return _parsed(content)


def load_reports(library: Path) -> ReportsFile:
    """Return a library's reports.

    Raises:
        CannotDoError: the file has faults; the message names the first.
    """
    found, problems = read_reports(library)
    if found is None:
        hint = "Mend it first: `softpedal check` lists all faults."
        raise CannotDoError(str(problems[0]), hint)
    return found


def add_reports(library: Path, new: Sequence[Report]) -> None:
    """Write reports behind those that are there.

    Raises:
        CannotDoError: the file has faults, is full, or is written in a way that nothing fits to.
    """
    file = load_reports(library)
    if not new:
        return
    text = file.text or f"{HEAD}\n"
    end = "\r\n" if "\r\n" in text else "\n"
    indent = " " * _indent(file.source)
    if not text.endswith(("\n", "\r")):
        text += end
    for report in new:
        lines = _lines(report)
        text += end if file.reports or report is not new[0] else ""
        text += "".join(f"{indent}{line}{end}" if line else end for line in lines)
    _write(library, text, (*file.reports, *new))


def set_state(library: Path, keys: Collection[str], state: State) -> int:
    """Set the state of reports, and change nothing else in the file; return how many differed.

    Raises:
        CannotDoError: the file has faults.
    """
    file = load_reports(library)
    starts = [0, *(match.end() for match in LINE_END.finditer(file.text))]
    text, after = file.text, []
    changed = [r.key in keys and r.state != state for r in file.reports]
    for index in reversed(range(len(file.reports))):
        report = file.reports[index]
        if changed[index]:
            line, column = file.source.place(("reports", index, "state"))
            at = text.index(report.state, starts[line - 1] + column - 1)
            text = text[:at] + state + text[at + len(report.state) :]
            report = report.model_copy(update={"state": state})
        after.append(report)
    if any(changed):
        _write(library, text, tuple(reversed(after)))
    return sum(changed)


def _parsed(content: bytes) -> tuple[ReportsFile | None, list[Problem]]:
    found, source, problems = parse_list(_Reports, content, FILE_NAME, _CODE, "- key: …")
    if found is None:
        return None, problems
    file = ReportsFile(tuple(found.reports), content.decode("utf-8-sig"), source)
    problems = _twice(file)
    return (None if problems else file), problems


def _twice(file: ReportsFile) -> list[Problem]:
    """Return a problem for each key that stands a second time."""
    first: dict[str, int] = {}
    problems = []
    for index, report in enumerate(file.reports):
        if first.setdefault(report.key, index) != index:
            line, _ = file.source.place(("reports", first[report.key], "key"))
            place = file.source.place(("reports", index, "key"))
            message = f"The key `{report.key}` is that of the report in line {line} too."
            hint = "Take one of the two away, or change a digit of its key."
            problems.append(Problem(_CODE, FILE_NAME, *place, message, hint))
    return problems


def _indent(source: YamlSource) -> int:
    """Return the columns before the hyphens of the list that is there."""
    items = (("reports",), ("reports", 0))
    if not all(path in source.marks for path in items):
        return 0
    return source.marks[items[0]][1] - 1


def _lines(report: Report) -> list[str]:
    """Return a report as the lines of an item of a list."""
    written = {
        "key": report.key,
        "route": report.route,
        "at": report.at and report.at.text,
        "place": report.place and _quoted(report.place.text),
        "direction": report.direction if report.at else None,
        "sort": report.sort,
        "on": report.on,
        "page": report.page,
        "text": _quoted(report.text),
        "state": report.state,
    }
    lines = [f"{name}: {value}" for name, value in written.items() if value]
    return [("  " if number else "- ") + line for number, line in enumerate(lines)]


def _quoted(text: str) -> str:
    """Return text in double quotes in one line; what YAML takes for a line's end is escaped."""
    escapes = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\r": "\\r", "\t": "\\t"}
    escapes |= {"\x85": "\\N", "\u2028": "\\L", "\u2029": "\\P", "\xa0": "\\_"}
    return '"' + "".join(escapes.get(c, c) for c in text) + '"'


def _write(library: Path, text: str, expected: tuple[Report, ...]) -> None:
    """Write the file beside and move it, once it reads back as what was meant."""
    content = text.encode()
    read, problems = _parsed(content)
    if len(content) > MAX_BYTES:
        raise CannotDoError(
            f"{FILE_NAME} would have more than the {MAX_BYTES:,} bytes that are read.",
            "Take reports that are done out of it: git remembers them.",
        )
    if read is None or read.reports != expected:
        why = f": {problems[0].message}" if problems else "."
        raise CannotDoError(
            f"{FILE_NAME} cannot be added to as it is written{why}",
            "Begin each report on a line of its own with a hyphen, without brackets or braces.",
        )
    path = library / FILE_NAME
    mark = b"\xef\xbb\xbf" if path.exists() and path.read_bytes()[:3] == b"\xef\xbb\xbf" else b""
    write_whole(path, mark + content)
