"""Walks through an XML file that nobody vouches for: without a DTD, within limits, with places."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING
from xml.parsers import expat

from softpedal.problems import Problem, Severity

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

Place = tuple[int, int]

#: Encodings that expat reads by itself or by a table of 256 bytes. Any other name is refused
#: before it is looked up among Python's codecs, some of which are no encodings of text.
_ENCODING = re.compile(
    r"utf-8|utf-16(le|be)?|us-ascii|iso-8859-[0-9]{1,2}|windows-125[0-8]", re.IGNORECASE
)
_SHOWN = 20
_TEXT_CHARACTERS = 1000
_SLICE_BYTES = 64 * 1024
_TOKEN_BYTES = 1024 * 1024
_NAMES = 10_000
_QUOTED_CHARACTERS = 40


@dataclass(frozen=True, slots=True)
class Limits:
    """How large a file may be: its bytes, its points of all sorts, and the nesting of elements."""

    bytes: int = 64 * 1024 * 1024
    points: int = 1_000_000
    depth: int = 32


class Refused(Exception):  # noqa: N818 - it says that reading ends, and `Faults` says why
    """The file is read no further; what is wrong with it has been added to the faults."""


class Faults:
    """The problems of one file; past the first twenty of a code, the rest is only counted."""

    def __init__(self, file: str) -> None:
        self._file = file
        self._count: dict[str, int] = {}
        self._listed: list[Problem] = []
        self._first_unlisted: dict[str, Problem] = {}

    def add(
        self, code: str, place: Place, message: str, hint: str, severity: Severity = "error"
    ) -> None:
        """Note a fault at a 1-based line and column."""
        count = self._count[code] = self._count.get(code, 0) + 1
        problem = Problem(code, self._file, *place, message, hint, severity=severity)
        if count <= _SHOWN:
            self._listed.append(problem)
        else:
            self._first_unlisted.setdefault(code, problem)

    def has(self, code: str) -> bool:
        """Whether a fault with this code was noted."""
        return code in self._count

    def listed(self) -> list[Problem]:
        """Return the problems in the order of noting, then one for the rest of each code."""
        problems = list(self._listed)
        for code, first in self._first_unlisted.items():
            message = f"and {self._count[code] - _SHOWN} more like these, the first of them here"
            place = (first.line, first.column)
            problems.append(
                Problem(code, self._file, *place, message, first.hint, severity=first.severity)
            )
        return problems


@dataclass(slots=True, eq=False)
class Element:
    """What to do at an element of a known name, in one walk.

    Attributes:
        children: the known elements inside it, by expanded name; others are strays and are
            ignored.
        enter: called with the attributes when it starts.
        leave: called when it ends.
        text: called with its text when it ends, instead of `leave`.
        is_unasked: whether nothing inside it is looked at.
        mark: the word under which the walk keeps the place of the first such element.
    """

    children: dict[str, Element] = field(default_factory=dict)
    enter: Callable[[dict[str, str]], None] | None = None
    leave: Callable[[], None] | None = None
    text: Callable[[str], None] | None = None
    mark: str = ""
    is_unasked: bool = False


_DOCUMENT = Element()
_IGNORED = Element()


class Walk:
    """One pass over one file.

    Args:
        faults: takes what is wrong with the XML.
        limits: where reading stops.
        root: given the expanded name of the root ("namespace name"), returns what to do there.
        stray: called with the expanded name of an element that its parent does not know.
    """

    def __init__(
        self,
        faults: Faults,
        limits: Limits,
        root: Callable[[str], Element],
        stray: Callable[[str], None],
    ) -> None:
        self.marks: dict[str, Place] = {}
        self._faults = faults
        self._limits = limits
        self._root = root
        self._stray = stray
        self._open = [_DOCUMENT]
        self._deepest = limits.depth + 1
        self._text: list[str] = []
        self._append = self._text.append
        parser = self._parser = expat.ParserCreate(namespace_separator=" ")
        parser.buffer_text = True
        parser.XmlDeclHandler = self._declaration
        parser.StartDoctypeDeclHandler = self._doctype
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end

    def run(self, chunks: Iterable[bytes]) -> None:
        """Walk through the file; raises Refused, having said why, where it must stop."""
        size = 0
        try:
            for chunk in chunks:
                size += len(chunk)
                if size > self._limits.bytes:
                    self.refuse(
                        "gpx-limit",
                        f"the file is larger than {self._limits.bytes:,} bytes",
                        "record fewer points, or cut the file to the one ride that is meant",
                        self.place(),
                    )
                for start in range(0, len(chunk), _SLICE_BYTES):
                    self._parser.Parse(chunk[start : start + _SLICE_BYTES], False)
                    self._check_growth(size - max(0, len(chunk) - start - _SLICE_BYTES))
            self._parser.Parse(b"", True)
        except expat.ExpatError as error:
            self._malformed(error.code, (error.lineno, error.offset + 1), is_empty=not size)
        except (LookupError, ValueError) as error:  # from Python's codecs, asked by pyexpat
            self._unknown_encoding(str(error))

    def place(self) -> Place:
        """Return the 1-based line and column of the tag that is being handled."""
        return self._parser.CurrentLineNumber, self._parser.CurrentColumnNumber + 1

    def place_of_value(self, text: str) -> Place:
        """Return the place of the text of the element that is just ending, without blanks."""
        line, column = self.place()
        written = text.lstrip()
        if "\n" in written:
            return line - written.count("\n"), 1
        return line, max(1, column - len(written))

    def refuse(self, code: str, message: str, hint: str, place: Place | None = None) -> None:
        """Note a fault and stop."""
        self._faults.add(code, place or self.place(), message, hint)
        raise Refused

    def _check_growth(self, taken: int) -> None:
        """Stop at what makes expat keep more and more: a huge tag, or ever new names."""
        if taken - self._parser.CurrentByteIndex > _TOKEN_BYTES:
            what = f"a tag or comment is longer than {_TOKEN_BYTES:,} bytes"
        elif len(self._parser.intern) > _NAMES:
            what = f"elements and attributes have more than {_NAMES:,} different names"
        else:
            return
        self.refuse("gpx-limit", what, "export the track again as plain GPX")

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        opened = self._open
        element = opened[-1].children.get(name) or self._unknown(name)
        opened.append(element)
        if len(opened) > self._deepest:
            self.refuse(
                "gpx-limit",
                f"elements are nested more than {self._limits.depth} deep",
                "a GPX track needs no more than four levels and its extensions a few more",
            )
        if element.mark:
            self.marks.setdefault(element.mark, self.place())
            element.mark = ""
        if element.enter is not None:
            element.enter(attributes)
        elif element.text is not None:
            self._text.clear()
            self._parser.CharacterDataHandler = self._append

    def _unknown(self, name: str) -> Element:
        parent = self._open[-1]
        if parent is _DOCUMENT:
            return self._root(name)
        if parent.is_unasked:
            return parent
        self._stray(name)
        return _IGNORED

    def _end(self, _name: str) -> None:
        element = self._open.pop()
        if element.text is not None:
            self._parser.CharacterDataHandler = None
            element.text("".join(self._text)[:_TEXT_CHARACTERS])
        elif element.leave is not None:
            element.leave()

    def _declaration(self, _version: str, encoding: str | None, _standalone: int) -> None:
        if encoding is not None and not _ENCODING.fullmatch(encoding):
            self._unknown_encoding(f"unknown encoding: {quoted(encoding)}")

    def _unknown_encoding(self, what: str) -> None:
        self.refuse("gpx-syntax", what, "save the file as UTF-8", (1, 1))

    def _doctype(self, *_names: object) -> None:
        self.refuse(
            "gpx-syntax",
            "found a document type declaration (<!DOCTYPE …>), which is refused unread",
            "a GPX file needs none: take the declaration out, or export the track again",
        )

    def _malformed(self, code: int, place: Place, *, is_empty: bool) -> None:
        errors = expat.errors
        if is_empty:
            message = "the file is empty"
        else:
            message = f"not well-formed XML: {expat.ErrorString(code)}"
        cut_off = (errors.XML_ERROR_NO_ELEMENTS, errors.XML_ERROR_UNCLOSED_TOKEN)
        if expat.ErrorString(code) in cut_off:
            hint = "the file seems to be cut off: export or copy the track again"
        else:
            hint = "export the track again as GPX, or mend the XML at this place"
        self.refuse("gpx-syntax", message, hint, place)


def quoted(text: str) -> str:
    """Return text from a file in quotes: short, on one line, without control characters."""
    text = text.strip()
    if len(text) > _QUOTED_CHARACTERS:
        text = text[: _QUOTED_CHARACTERS - 1] + "…"
    return repr(text)
