"""An issue as a file for mail programs: text and HTML beside each other, opened as a draft."""

from __future__ import annotations

import hashlib
from email.errors import MessageError
from email.header import Header
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime
from typing import TYPE_CHECKING
from urllib.parse import unquote, urlsplit

from softpedal.site.addresses import ALL_ROUTES
from softpedal.site.published import absolute_address

if TYPE_CHECKING:
    import datetime as dt

    from softpedal.settings import Settings
    from softpedal.site.newsletter import Issue
    from softpedal.site.published import Link

#: Characters of a word from which on it is encoded, so that it can be folded.
_LONG_WORD = 60
#: Where the site's name cannot stand in a mail header: a name that is nobody's (RFC 2606 §2).
NO_HOST = "newsletter.invalid"


def sender(settings: Settings) -> Address | None:
    """Return who sends the newsletter: as set, else to whom readers write; None if neither is."""
    for text in (settings.newsletter_from, settings.report_address):
        if text and (found := _address(text)):
            return found
    return None


def mail_file(issue: Issue, settings: Settings, link: Link, at: dt.datetime) -> bytes:
    """Return an issue as a message after RFC 5322, its lines ended by CR LF.

    The text comes first and the HTML last, as the richer form (RFC 2046 §5.1.4), both as quoted
    printables of UTF-8 (RFC 2045 §6.7). `X-Unsent: 1` lets programs that know it open the message
    for sending (common practice). There is nobody to send to. The same issue at the same time is
    the same file.

    Args:
        issue: what is sent.
        settings: of the library, for the sender.
        link: knows the site's address, after which the message is named.
        at: the time of the message, with its time zone.
    """
    whole = f"{issue.subject}\0{issue.text}\0{issue.html}\0{at.isoformat()}"
    mark = hashlib.sha256(whole.encode()).hexdigest()[:32]
    head = [f"Subject: {_encoded(header_text(issue.subject), 'Subject')}"]
    if who := sender(settings):
        head.append(f"From: {_from(who)}")
    message = EmailMessage(policy=SMTP)
    message["Date"] = format_datetime(at)
    message["Message-ID"] = f"<{mark}@{_host(link)}>"
    message["X-Unsent"] = "1"
    message.set_content(issue.text, charset="utf-8", cte="quoted-printable")
    message.add_alternative(issue.html, subtype="html", charset="utf-8", cte="quoted-printable")
    message.set_boundary(f"={mark}=")  # = cannot stand so in a quoted printable
    return "".join(f"{line}\r\n" for line in head).encode("ascii") + message.as_bytes()


def header_text(text: str) -> str:
    """Return text that can stand in a header: on one line, without what is not seen."""
    seen = "".join(c if c.isprintable() else " " for c in text)
    return " ".join(seen.split())


def _encoded(text: str, name: str) -> str:
    """Return text as it stands in a header, folded: in encoded words (RFC 2047) where it must be.

    `EmailMessage` folds a header too, but loses spaces between encoded words and takes what an
    author wrote in their form for one.
    """
    plain = text.isascii() and "=?" not in text and max(map(len, text.split(" "))) < _LONG_WORD
    return Header(text, "us-ascii" if plain else "utf-8", header_name=name).encode(linesep="\r\n")


def _from(who: Address) -> str:
    """Return an address as it stands in a header."""
    if who.display_name.isascii() and len(str(who)) < _LONG_WORD:
        return str(who)
    return f"{_encoded(who.display_name, 'From')}\r\n <{who.addr_spec}>"


def _address(text: str) -> Address | None:
    """Return an address in the form `Name <a@b>`, `a@b` or `mailto:a@b?…`, or None."""
    if text.startswith(("http://", "https://")):
        return None
    if text.lower().startswith("mailto:"):
        text = unquote(text[len("mailto:") :].partition("?")[0])
    name, _, spec = text.rpartition("<")
    try:
        return Address(header_text(name), addr_spec=spec.removesuffix(">"))
    except (ValueError, MessageError):
        return None


def _host(link: Link) -> str:
    """Return the name of the site's host in ASCII."""
    host = urlsplit(absolute_address(link, ALL_ROUTES)).hostname or ""
    try:
        return host.encode("idna").decode() or NO_HOST
    except UnicodeError:
        return NO_HOST
