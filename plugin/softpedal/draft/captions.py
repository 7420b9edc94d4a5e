"""A file of captions, WebVTT or SRT → what was said, and from which second to which.

webvtt-py reads the blocks and takes the tags off; it passes over what it cannot use, so every line
with an arrow is looked at here first, and must come back as a caption.
"""

from __future__ import annotations

import html
import re
import unicodedata
from dataclasses import dataclass
from typing import TYPE_CHECKING

import webvtt

from softpedal.library.plain_text import UNPRINTABLE, NotText, printable, read_text
from softpedal.problems import CannotDoError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

MAX_BYTES = 5 * 1024 * 1024
MAX_CUES = 20_000

_ARROW = "-->"
_LINE_END = re.compile(r"\r\n|[\r\n]")
_HEADER = re.compile(r"WEBVTT(?:[ \t]|$)")
#: Times with the fields that both formats ask for; hours may be left out in WebVTT only.
_TIMES = re.compile(r"\s*([\d:.,]+)\s*-->\s*([\d:.,]+)(?:\s.*)?")
_VTT_TIME = re.compile(r"(?:(\d{1,4}):)?([0-5]?\d):([0-5]?\d)\.(\d{3})")
_SRT_TIME = re.compile(r"(\d{1,4}):([0-5]?\d):([0-5]?\d)[,.](\d{3})")
#: Blocks of WebVTT that hold no speech.
_NO_SPEECH = re.compile(r"(?:NOTE|STYLE|REGION)(?:[ \t]|$)")
#: Places and styles in braces, which some programs write into SRT.
_BRACES = re.compile(r"\{\\[^{}]*\}")


class CaptionsError(CannotDoError):
    """A file of captions that cannot be used; the message names file and line."""


@dataclass(frozen=True, slots=True)
class Caption:
    """What is shown at one time; seconds of the film.

    Attributes:
        start_s, end_s: from when to when.
        text: plain text, with the line ends of the file.
    """

    start_s: float
    end_s: float
    text: str


@dataclass(frozen=True, slots=True)
class _Cue:
    """A line with an arrow: its number in the file, its times in milliseconds."""

    line: int
    start_ms: int
    end_ms: int


def read_captions(path: Path) -> tuple[Caption, ...]:
    """Read a file of captions.

    Returns:
        The captions in the order of time; those without text are left out.

    Raises:
        CaptionsError: the file cannot be read, is too big, not UTF-8, or neither WebVTT nor SRT;
            a time cannot be read, runs backwards, or ends before it starts; a text has no time.
    """
    file = printable(path.name)
    try:
        with path.open("rb") as opened:
            content = opened.read(MAX_BYTES + 1)
    except OSError as error:
        raise CaptionsError(f"{file} cannot be read: {error.strerror}.") from error
    if len(content) > MAX_BYTES:
        raise CaptionsError(
            f"{file} has more than the {MAX_BYTES:,} bytes that are read.",
            "Take the captions of one ride.",
        )
    try:
        text = read_text(content)
    except NotText as no:
        line, column = no.mark
        raise CaptionsError(f"{file}:{line}:{column}: {no.message}", no.hint) from None
    return _captions(_LINE_END.split(unicodedata.normalize("NFC", text)), file)


def _captions(lines: list[str], file: str) -> tuple[Caption, ...]:
    is_vtt = bool(_HEADER.match(lines[0]))
    if not is_vtt and not any(_ARROW in line for line in lines):
        raise CaptionsError(
            f"{file}:1: This is neither WebVTT, which begins with WEBVTT, nor SRT.",
            "Save the captions as WebVTT or SRT.",
        )
    cues = list(_cues(lines, file, _VTT_TIME if is_vtt else _SRT_TIME))
    if len(cues) > MAX_CUES:
        raise CaptionsError(
            f"{file}: There are {len(cues):,} captions, more than the {MAX_CUES:,} that are read.",
            "Take the captions of one ride.",
        )
    if is_vtt:
        _refuse_stray_text(lines, file)
        read = webvtt.from_buffer(lines, format="vtt").captions
    else:
        first = next(index for index, line in enumerate(lines) if line.strip())
        _refuse_no_number(lines, first, file)
        kept = [lines[first].strip(), *lines[first + 1 :]]
        read = webvtt.from_buffer(kept, format="srt").captions if cues else []
    return _matched(cues, read, lines, file)


def _cues(lines: list[str], file: str, form: re.Pattern[str]) -> Iterator[_Cue]:
    """Yield the times of every line with an arrow, in order, or say which cannot be used."""
    before = 0
    for number, line in enumerate(lines, 1):
        if _ARROW not in line:
            continue
        match = _TIMES.fullmatch(line)
        times = [form.fullmatch(each) for each in match.groups()] if match else [None]
        if not all(times):
            example = "00:01:02.500 --> 00:01:05.000"
            raise CaptionsError(
                f"{file}:{number}: These are not two times.",
                f"Write them like {example if form is _VTT_TIME else example.replace('.', ',')}.",
            )
        start, end = (_milliseconds(time) for time in times if time)
        if end < start:
            raise CaptionsError(f"{file}:{number}: The caption ends before it starts.")
        if start < before:
            raise CaptionsError(
                f"{file}:{number}: The caption starts before the one above it.",
                "Put the captions in the order of their times.",
            )
        before = start
        yield _Cue(number, start, end)


def _milliseconds(time: re.Match[str]) -> int:
    hours, minutes, seconds, thousandths = (int(part or 0) for part in time.groups())
    return ((hours * 60 + minutes) * 60 + seconds) * 1000 + thousandths


def _refuse_stray_text(lines: list[str], file: str) -> None:
    """Say where a block of WebVTT holds neither times nor a note: readers pass over it."""
    in_header, begins = True, 0
    for number, line in enumerate([*lines, ""], 1):
        if line:
            begins = begins or number
        elif begins:
            block = lines[begins - 1 : number - 1]
            speech = not in_header and not _NO_SPEECH.match(block[0])
            if speech and not any(_ARROW in each for each in block) and "".join(block).strip():
                raise _without_time(begins, file)
            in_header, begins = False, 0


def _refuse_no_number(lines: list[str], first: int, file: str) -> None:
    """Say where the first caption of SRT is not one: readers want a number, then times."""
    second = lines[first + 1] if first + 1 < len(lines) else ""
    if not lines[first].strip().isdecimal():
        if _ARROW in lines[first]:
            raise _without_number(first + 1, file)
        raise _without_time(first + 1, file)
    if _ARROW not in second:
        raise _without_time(first + 2, file)


def _without_time(number: int, file: str) -> CaptionsError:
    return CaptionsError(
        f"{file}:{number}: No times stand over this text.",
        "A caption is a line of times and its text; no empty line stands between or within them.",
    )


def _without_number(number: int, file: str) -> CaptionsError:
    return CaptionsError(
        f"{file}:{number}: No number stands over these times.",
        "In SRT each caption begins with a line that holds its number.",
    )


def _matched(
    cues: list[_Cue], read: list[webvtt.Caption], lines: list[str], file: str
) -> tuple[Caption, ...]:
    """Return the captions, each of which must be that of the next cue that has a text."""
    found, index = [], 0
    for cue in cues:
        caption = read[index] if index < len(read) else None
        if caption is not None and (cue.start_ms, cue.end_ms) == (
            caption.start_time.in_milliseconds(),
            caption.end_time.in_milliseconds(),
        ):
            index += 1
            if text := _plain(caption.text):
                found.append(Caption(cue.start_ms / 1000, cue.end_ms / 1000, text))
        elif cue.line < len(lines) and lines[cue.line].strip():
            raise _without_number(cue.line, file)
    return tuple(found)


def _plain(text: str) -> str:
    text = UNPRINTABLE.sub("", html.unescape(_BRACES.sub("", text)))
    lines = (" ".join(line.split()) for line in text.split("\n"))
    return "\n".join(line for line in lines if line)
