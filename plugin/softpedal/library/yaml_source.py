"""Safe YAML in which every value knows its line and column.

Only plain data is read: mappings, lists and scalars. Of the plain scalars, only `true`, `false`,
`null` and JSON numbers are more than text, so that `no`, `1:30`, `010` and dates stay as written.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import yaml

from softpedal.library.plain_text import LINE_END, UNPRINTABLE, NotText, read_text
from softpedal.problems import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

MAX_BYTES = 256 * 1024
MAX_DEPTH = 12

Path = tuple[str | int, ...]
Mark = tuple[int, int]

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_NUMBER = re.compile(r"-?(0|[1-9][0-9]{0,17})(\.[0-9]{1,30})?([eE][+-]?[0-9]{1,3})?")
_WORDS = {"true": True, "false": False, "null": None}
#: A value that begins with a character that YAML keeps for itself.
_ODD_START = re.compile(r"(?:^|[:-])\s+([*&!%@`>|\[{])\S")
_CUT_SHORT = re.compile(r"[ \t]+#\S")


@dataclass(slots=True)
class YamlSource:
    """Plain data, and where each piece of it stands.

    Attributes:
        data: dicts, lists, str, int, float, bool and None.
        marks: 1-based line and column of each value, by its path from the root.
        key_marks: the same for each mapping key.
    """

    data: Any = None
    marks: dict[Path, Mark] = field(default_factory=dict)
    key_marks: dict[Path, Mark] = field(default_factory=dict)

    def place(self, path: Path) -> Mark:
        """Return the place of the value at `path`, or of the nearest thing around it."""
        while path:
            mark = self.marks.get(path) or self.key_marks.get(path)
            if mark:
                return mark
            path = path[:-1]
        return self.marks.get((), (1, 1))

    def places(self, depth: int) -> dict[Path, Mark]:
        """Return the places of the values at most so deep, which may be kept without the data."""
        return {path: mark for path, mark in self.marks.items() if len(path) <= depth}


class _Refused(Exception):  # noqa: N818 - not an error of the program, but a verdict on the input
    """Something that the notes must not contain."""

    def __init__(self, code: str, mark: Mark, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.code, self.mark, self.message, self.hint = code, mark, message, hint


def read_yaml(content: bytes, file: str) -> tuple[YamlSource | None, list[Problem]]:
    """Read one YAML document.

    Args:
        content: the file's bytes.
        file: its name for messages.

    Returns:
        The data with its marks, or None and the problem that stopped the reading.
    """
    try:
        return _read(content), []
    except _Refused as no:
        return None, [Problem(no.code, file, *no.mark, no.message, no.hint)]


def _read(content: bytes) -> YamlSource:
    if len(content) > MAX_BYTES:
        raise _Refused(
            "yaml-too-big",
            (0, 0),
            f"The file has more than the {MAX_BYTES:,} bytes that are read.",
            "Move long texts to story.md.",
        )
    try:
        text = read_text(content)
    except NotText as no:
        raise _Refused("file-unreadable", no.mark, no.message, no.hint) from None
    try:
        return _Builder(text).build()
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        place = (mark.line + 1, mark.column + 1) if mark else (0, 0)
        what = _short((error.problem or error.context or "not YAML").rstrip("."))
        if "nesting depth" in what:
            raise _nested(place) from None
        line = dict(enumerate(LINE_END.split(text), 1)).get(place[0], "")  # the end has none
        raise _Refused(
            "yaml-syntax",
            place,
            f"This is not well-formed YAML: {what}.",
            _syntax_hint(line, (error.context_mark and error.context_mark.line + 1) or 0, place[0]),
        ) from None


def _syntax_hint(line: str, began: int, ended: int) -> str:
    if "\t" in line[: len(line) - len(line.lstrip())]:
        return "Indent with spaces, not with tabs."
    if odd := _ODD_START.search(line):
        return f"Put a text that begins with {odd[1]} in quotes."
    if began and ended - began > 1:
        return f"Something that begins in line {began}, a quote or a bracket, is not closed."
    return "Check the indentation, and quote a text that holds a colon and a space."


class _Builder:
    """Turns the parser's events into data, refusing what a notes file has no need of."""

    def __init__(self, text: str) -> None:
        self.lines = LINE_END.split(text)
        self.events: Iterator[Any] = yaml.parse(text, Loader=_Loader)
        self.source = YamlSource()

    def build(self) -> YamlSource:
        documents = 0
        for event in self.events:
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    raise _Refused(
                        "yaml-refused",
                        _mark(event),
                        "A second YAML document starts here.",
                        "Keep one document in the file: no line of three hyphens.",
                    )
                self.source.data = self._value(next(self.events), ())
        return self.source

    def _value(self, event: Any, path: Path) -> Any:
        self._refuse_tricks(event)
        if len(path) > MAX_DEPTH:
            raise _nested(_mark(event))
        self.source.marks[path] = _mark(event)
        if isinstance(event, yaml.ScalarEvent):
            return self._scalar(event)
        if isinstance(event, yaml.SequenceStartEvent):
            return self._sequence(path)
        return self._mapping(path)

    def _sequence(self, path: Path) -> list[Any]:
        items: list[Any] = []
        while not isinstance(event := next(self.events), yaml.SequenceEndEvent):
            items.append(self._value(event, (*path, len(items))))
        return items

    def _mapping(self, path: Path) -> dict[str, Any]:
        mapping: dict[str, Any] = {}
        while not isinstance(event := next(self.events), yaml.MappingEndEvent):
            self._refuse_tricks(event)
            mark = _mark(event)
            if not isinstance(event, yaml.ScalarEvent):
                raise _Refused(
                    "yaml-syntax",
                    mark,
                    "A key must be plain text.",
                    "Write `key: value`; put a text that begins with a bracket in quotes.",
                )
            key = event.value
            _refuse_unprintable(key, mark)
            if key == "<<":
                raise _Refused("yaml-refused", mark, "Merge keys are not used.", "Write it out.")
            if key in mapping:
                line, column = self.source.key_marks[*path, key]
                raise _Refused(
                    "yaml-duplicate",
                    mark,
                    f"The key `{_short(key)}` stands here a second time; the first is in line "
                    f"{line}, column {column}.",
                    "Keep one of the two.",
                )
            self.source.key_marks[*path, key] = mark
            mapping[key] = self._value(next(self.events), (*path, key))
        return mapping

    def _scalar(self, event: Any) -> Any:
        value: str = event.value
        _refuse_unprintable(value, _mark(event))
        if event.style:
            return value
        end = event.end_mark
        rest = self.lines[end.line][end.column :] if end.line < len(self.lines) else ""
        if cut := _CUT_SHORT.match(rest):
            raise _Refused(
                "yaml-hash",
                (end.line + 1, end.column + cut.end() - 1),
                f"YAML drops the rest of this value from the # on: `{_short(value + rest)}`.",
                'Put the text in "quotes"; or, for a comment, put a space after the #.',
            )
        if value in _WORDS:
            return _WORDS[value]
        if _NUMBER.fullmatch(value):
            return json.loads(value)
        return None if value == "" else value

    def _refuse_tricks(self, event: Any) -> None:
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
            raise _Refused(
                "yaml-refused",
                _mark(event),
                "Anchors and aliases are not used.",
                "Write it out; or put a text that begins with * or & in quotes.",
            )
        if getattr(event, "tag", None):
            raise _Refused(
                "yaml-refused",
                _mark(event),
                "Tags (words that begin with !) are not used.",
                "Put a text that begins with ! in quotes.",
            )


def _nested(mark: Mark) -> _Refused:
    return _Refused(
        "yaml-too-big",
        mark,
        f"Values are nested more than {MAX_DEPTH} deep.",
        "Nothing in the format is: take brackets and hyphens away.",
    )


def _refuse_unprintable(text: str, mark: Mark) -> None:
    if match := UNPRINTABLE.search(text):
        raise _Refused(
            "yaml-refused",
            mark,
            f"The text holds the character U+{ord(match[0]):04X}, written as an escape.",
            "Leave it out: it cannot be shown.",
        )


def _mark(event: Any) -> Mark:
    return event.start_mark.line + 1, event.start_mark.column + 1


def _short(text: str, length: int = 60) -> str:
    text = " ".join(text.split())
    return text if len(text) <= length else text[: length - 1] + "…"
