"""Reports from mails: an mbox file (RFC 4155), or one mail by itself (RFC 5322)."""

from __future__ import annotations

import datetime as dt
import re
from contextlib import suppress
from email import message_from_bytes
from email.errors import MessageError
from email.header import decode_header, make_header
from email.utils import getaddresses, parsedate_tz
from typing import TYPE_CHECKING

from softpedal.upkeep.reports.html_text import html_text
from softpedal.upkeep.reports.messages import MAX_CHARACTERS, Message, Read

if TYPE_CHECKING:
    from email.message import Message as Mail

#: The line before each mail of an mbox: whose it is and when it came.
_FROM = re.compile(rb"(?:\A|(?<=\n\n)|(?<=\n\r\n))From [^\r\n]*\d\d:\d\d[^\r\n]*\r?\n")
_ESCAPED = re.compile(rb"^>(>*From )", re.MULTILINE)
#: A part of a mail in a part of a mail, and so on, at most.
_MAX_DEPTH = 8
#: Bytes of a text part that are decoded.
_MAX_BYTES = 4 * MAX_CHARACTERS
_MAX_HTML_BYTES = 1024 * 1024


def read_mails(content: bytes) -> Read:
    """Return the mails of an mbox, or the one mail; what cannot be used is told."""
    read = Read("mbox")
    starts = list(_FROM.finditer(content))
    bounds = [*(m.start() for m in starts), len(content)]
    if not starts:
        _read_one(content, "", "The mail", read)
    for number, match in enumerate(starts):
        raw = _ESCAPED.sub(rb"\1", content[match.end() : bounds[number + 1]])
        came = match[0].decode("ascii", "replace").strip().split(" ", 2)[-1]
        _read_one(raw, came, f"Mail {number + 1}", read)
    return read


def _read_one(raw: bytes, came: str, which: str, read: Read) -> None:
    try:
        mail = message_from_bytes(raw)
        if (mail.get("Auto-Submitted") or "no").strip().lower() != "no":
            read.skip(which, "sent by a program, not by a person (RFC 3834)")
            return
        text = _text_of(mail)
        message = Message(
            text,
            subject=_header(mail, "Subject"),
            on=_day(_header(mail, "Date")) or _day(came),
            names=_names(mail),
        )
    except (MessageError, LookupError, ValueError, TypeError, AttributeError) as error:
        read.skip(which, f"it is broken ({type(error).__name__})")
        return
    if not mail.keys():
        read.skip(which, "it is broken: it has no headers")
    elif not text.strip():
        read.skip(which, "it has no text")
    else:
        read.messages.append(message)


def _text_of(mail: Mail, depth: int = 0) -> str:
    """Return the text of a mail: plain if there is, else that of its HTML; no attachments."""
    if depth > _MAX_DEPTH or mail.get_content_disposition() == "attachment":
        return ""
    sort = mail.get_content_type()
    if mail.is_multipart():
        if sort == "message/rfc822":
            return ""
        parts = mail.get_payload()
        inner = [part for part in parts if not isinstance(part, str)]
        texts = [_text_of(part, depth + 1) for part in inner]
        if sort == "multipart/alternative":
            plain = [
                text
                for part, text in zip(inner, texts, strict=True)
                if part.get_content_type() == "text/plain"
            ]
            return next((text for text in [*plain, *texts] if text.strip()), "")
        return "\n".join(text for text in texts if text.strip())[:MAX_CHARACTERS]
    if sort == "text/html":
        return html_text(_decoded(mail, _MAX_HTML_BYTES))[:MAX_CHARACTERS]
    return _decoded(mail, _MAX_BYTES)[:MAX_CHARACTERS] if sort == "text/plain" else ""


def _decoded(mail: Mail, at_most: int) -> str:
    payload = mail.get_payload(decode=True)
    content = payload[:at_most] if isinstance(payload, bytes) else b""
    charset = mail.get_content_charset() or "utf-8"
    try:
        text = content.decode(charset, "replace")
    except (LookupError, ValueError):
        text = content.decode("utf-8", "replace")
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _header(mail: Mail, name: str) -> str:
    """Return a header in one line, its encoded words decoded (RFC 2047)."""
    value = str(mail.get(name) or "")
    with suppress(MessageError, LookupError, ValueError):  # else it stays as it came
        value = str(make_header(decode_header(value)))
    return " ".join(value.split())[:1000]


def _names(mail: Mail) -> tuple[str, ...]:
    """Return what the sender is called, to be taken out of the text."""
    headers = [value for name in ("From", "Reply-To", "Sender") if (value := _header(mail, name))]
    return tuple(dict.fromkeys(name for name, _ in getaddresses(headers) if name))


def _day(text: str) -> str:
    """Return the day of a Date header or of an mbox line, ISO, "" where it is none."""
    try:
        found = parsedate_tz(text)
        day = dt.date(*found[:3]) if found else None
    except (ValueError, TypeError, IndexError):
        return ""
    return day.isoformat() if day and 1990 <= day.year < 2200 else ""
