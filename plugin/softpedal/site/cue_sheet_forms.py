"""The two forms of a cue sheet, with the same words: plain text in columns, and Markdown."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.site.language import tr
from softpedal.site.text import markdown_line

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

#: Characters of a line of plain text at most, so that mail and paper break none.
WIDTH = 76


@dataclass(frozen=True, slots=True)
class Cue:
    """What one meets at a place, in plain words.

    Attributes:
        at: chainage.
        since: the way since the cue before, "" where it is at the same place.
        title: what it is.
        lines: what to do, what it is like, and further remarks.
    """

    at: str
    since: str
    title: str
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Part:
    """One way of a route.

    Attributes:
        heading: its two ends, and the hours for which its cues hold, if they differ.
        figures: each with its words.
        remarks: on the way as a whole.
        others_heading: stands above what differs at other times.
        others: what differs, a line each; may be empty.
        cues: in riding order.
    """

    heading: str
    figures: tuple[tuple[str, str], ...]
    remarks: tuple[str, ...]
    others_heading: str
    others: tuple[str, ...]
    cues: tuple[Cue, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A cue sheet.

    Attributes:
        title: of the route.
        notices: what a rider must know first: alerts with their dates, hours.
        caution: in short, and when it was last ridden.
        parts: the way out, and the way back if it is offered.
        caution_heading: stands above the whole caution.
        cautions: its sentences.
        end: whose map it is, and where the page is.
    """

    title: str
    notices: tuple[str, ...]
    caution: str
    parts: tuple[Part, ...]
    caution_heading: str
    cautions: tuple[str, ...]
    end: tuple[str, ...]


def text_form(sheet: Sheet) -> str:
    """Return a sheet in columns; only an address may be longer than a line."""
    lines = [*_wrapped(sheet.title), "=" * min(WIDTH, len(sheet.title))]
    lines += ["", *_items(sheet.notices)] if sheet.notices else []
    lines += ["", *_wrapped(sheet.caution)]
    for part in sheet.parts:
        lines += ["", "", *_underlined(part.heading), *_pairs(part.figures)]
        lines += [line for remark in part.remarks for line in _wrapped(remark)]
        if part.others:
            lines += ["", *_wrapped(f"{part.others_heading}:"), *_items(part.others)]
        lines += ["", *_wrapped(_how_to_read()), "", *_columns(part.cues)]
    lines += ["", "", *_underlined(sheet.caution_heading), *_items(sheet.cautions)]
    lines += ["", *(line for end in sheet.end for line in _wrapped(end))] if sheet.end else []
    return "\n".join(line.rstrip() for line in lines) + "\n"


def markdown_form(sheet: Sheet) -> str:
    """Return a sheet as Markdown that reads well as it is; what authors wrote stays text."""
    lines = [f"# {markdown_line(sheet.title)}", *_listed(sheet.notices)]
    lines += ["", markdown_line(sheet.caution)]
    for part in sheet.parts:
        lines += ["", f"## {markdown_line(part.heading)}", ""]
        lines += [f"- **{markdown_line(a)}** {markdown_line(b)}" for a, b in part.figures]
        lines += [text for remark in part.remarks for text in ("", markdown_line(remark))]
        if part.others:
            lines += ["", f"### {markdown_line(part.others_heading)}", *_listed(part.others)]
        lines += ["", markdown_line(_how_to_read()), ""]
        lines += [line for cue in part.cues for line in _nested(cue)]
    lines += ["", f"## {markdown_line(sheet.caution_heading)}", *_listed(sheet.cautions)]
    lines += [text for end in sheet.end for text in ("", markdown_line(end))]
    return "\n".join(lines) + "\n"


def _how_to_read() -> str:
    return tr(
        "Each line: how far along the way, how far since the line before (+), and what is there."
    )


def _nested(cue: Cue) -> Iterator[str]:
    since = f" {markdown_line(cue.since)}" if cue.since else ""
    yield f"- **{markdown_line(cue.at)}**{since} **{markdown_line(cue.title)}**"
    for line in cue.lines:
        yield f"  - {markdown_line(line)}"


def _listed(texts: Iterable[str]) -> list[str]:
    lines = [f"- {markdown_line(text)}" for text in texts]
    return ["", *lines] if lines else []


def _columns(cues: Iterable[Cue]) -> Iterator[str]:
    cues = list(cues)
    at, since = (max(len(getattr(cue, name)) for cue in cues) for name in ("at", "since"))
    for cue in cues:
        place = f"{cue.at:>{at}}  {cue.since:>{since}}  "
        under = " " * len(place)
        yield from _wrapped(cue.title, place, f"{under}  ")
        for line in cue.lines:
            yield from _wrapped(line, under, f"{under}  ")


def _pairs(pairs: Iterable[tuple[str, str]]) -> Iterator[str]:
    pairs = list(pairs)
    wide = max((len(first) for first, _ in pairs), default=0)
    for first, words in pairs:
        yield from _wrapped(words, f"{first:<{wide}}  ", " " * (wide + 2))


def _items(texts: Iterable[str]) -> Iterator[str]:
    for text in texts:
        yield from _wrapped(text, "- ", "  ")


def _underlined(heading: str) -> Iterator[str]:
    lines = _wrapped(heading)
    yield from lines
    yield "-" * max(map(len, lines))


def _wrapped(text: str, first: str = "", later: str = "") -> list[str]:
    """Return text in lines; an address, which must stay whole, may be longer."""
    whole = "://" in text
    return textwrap.wrap(
        text,
        WIDTH,
        initial_indent=first,
        subsequent_indent=later,
        break_long_words=not whole,
        break_on_hyphens=False,
    )
