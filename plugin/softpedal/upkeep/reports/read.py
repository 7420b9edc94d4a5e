"""Reports from a file: mails, JSON lines or pasted text."""

from __future__ import annotations

import datetime as dt
import json
import re
from typing import Any

from softpedal.library.plain_text import LINE_END
from softpedal.library.values import ROUTE_ID
from softpedal.problems import CannotDoError
from softpedal.upkeep.reports.messages import MAX_CHARACTERS, Message, Read
from softpedal.upkeep.reports.read_mail import read_mails

#: The most that is read of a file: mails carry pictures.
MAX_BYTES = 256 * 1024 * 1024
FORMS = ("mbox", "jsonl", "text")

_HEADER = re.compile(rb"(?:\xef\xbb\xbf)?(?:[A-Za-z][A-Za-z0-9-]{1,60}:[ \t][^\r\n]*\r?\n)")
_MAIL_HEADERS = re.compile(rb"^(?:from|date|subject|received):[ \t]", re.IGNORECASE | re.MULTILINE)
_APART = re.compile(r"^-{3,}[ \t]*$", re.MULTILINE)
#: Keys under which trackers of issues give a text and a day.
#: What exports call who wrote.
_SENDERS = ("from", "by", "author", "user", "sender", "reporter")
_TEXTS, _DAYS = ("text", "body"), ("date", "on", "created_at", "createdAt")


def read_messages(content: bytes, form: str = "auto") -> Read:
    """Return the messages of a file.

    Args:
        content: the file's bytes.
        form: mbox, jsonl or text; auto goes by how the file begins.

    Raises:
        CannotDoError: the file is too big.
    """
    if len(content) > MAX_BYTES:
        raise CannotDoError(
            f"The file has more than the {MAX_BYTES // 1024**2} MiB that are read.",
            "Take the pictures out of the mails, or import it in parts.",
        )
    if form == "auto":
        form = form_of(content)
    if form == "mbox":
        return read_mails(content)
    text = content.decode("utf-8-sig", "replace")
    return _read_lines(text) if form == "jsonl" else _read_text(text)


def form_of(content: bytes) -> str:
    """Return what a file is, by how it begins."""
    start = content[:4096].lstrip()
    if start.startswith(b"From ") or (
        _HEADER.match(start) and len(_MAIL_HEADERS.findall(start)) >= 2
    ):
        return "mbox"
    return "jsonl" if start.removeprefix(b"\xef\xbb\xbf")[:1] in (b"{", b"[") else "text"


def _read_text(text: str) -> Read:
    """Read pasted text: several reports are set apart by a line of three hyphens."""
    read = Read("text")
    for piece in _APART.split(text):
        if piece.strip():
            read.messages.append(Message(piece.strip()[:MAX_CHARACTERS]))
    return read


def _read_lines(text: str) -> Read:
    """Read an object a line, or one list of objects."""
    read = Read("jsonl")
    if text.lstrip().startswith("["):
        objects = _value(text)
        if isinstance(objects, list):
            for number, each in enumerate(objects, 1):
                _read_object(each, f"Entry {number}", read)
        else:
            read.skip("The file", "begins like a list of JSON, but is none")
        return read
    for number, line in enumerate(LINE_END.split(text), 1):
        if line.strip():
            _read_object(_value(line), f"Line {number}", read)
    return read


def _value(text: str) -> Any:
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        return None


def _read_object(value: Any, which: str, read: Read) -> None:
    if not isinstance(value, dict):
        read.skip(which, 'is not a JSON object like {"text": "The gate is shut."}')
        return
    words = next((w for key in _TEXTS if (w := _word(value, key))), "")
    title = _word(value, "title")
    if not words and not title:
        read.skip(which, "has neither `text` nor `title` and `body`")
        return
    route = _word(value, "route")
    day = next((d for key in _DAYS if (d := _word(value, key)[:10])), "")
    read.messages.append(
        Message(
            words[:MAX_CHARACTERS],
            title[:500],
            on=_day(day),
            names=_names(value),
            route=route if ROUTE_ID.fullmatch(route) else "",
            at=_word(value, "at")[:40],
        )
    )


def _day(text: str) -> str:
    """Return an ISO date, "" for what is none."""
    try:
        return dt.date.fromisoformat(text).isoformat()
    except ValueError:
        return ""


def _names(value: dict[str, Any]) -> tuple[str, ...]:
    """Return what an object calls its sender, to be left out of what was said."""
    people = [value, *(p for key in _SENDERS if isinstance(p := value.get(key), dict))]
    found = (_word(person, key) for person in people for key in (*_SENDERS, "name", "login"))
    return tuple(dict.fromkeys(name for name in found if name))


def _word(value: dict[str, Any], key: str) -> str:
    found = value.get(key)
    return found.strip() if isinstance(found, str) else ""
