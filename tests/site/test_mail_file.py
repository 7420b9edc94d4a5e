"""The .eml file, read by Python's email: RFC 5322, RFC 2045, RFC 2046, RFC 2047."""

from __future__ import annotations

import datetime as dt
import email
from email.header import decode_header, make_header
from email.policy import default
from email.utils import parseaddr

import pytest
from hypothesis import given
from hypothesis import strategies as st

from building import notes, route_of
from mail_html import issue_html
from softpedal.measure.route_measures import measure
from softpedal.settings import Settings
from softpedal.site.issue_news import Happened
from softpedal.site.issue_parts import Piece
from softpedal.site.mail_file import header_text, mail_file, sender
from softpedal.site.newsletter import Issue, newsletter
from softpedal.site.plain_pages import Addresses
from softpedal.site.wording import CAUTION_SHORT

LINK = Addresses("directory", "https://rides.lindenferry.example/")
AT = dt.datetime(2026, 11, 20, 18, 30, tzinfo=dt.timezone(dt.timedelta(hours=-1)))
SETTINGS = Settings(
    title="Quiet ways – Lindenferry",
    newsletter_from="Quiet ways – née <news@lindenferry.example>",
    background_attribution="Ünvented map",
)


def parsed(content):
    return email.message_from_bytes(content, policy=default)


def made(title="Ferry Steps to Chapel Green", link=LINK, **more):
    route = route_of(notes(title=title, **more))
    piece = Piece(route, measure(route, SETTINGS), (Happened("new", "2026-05-16"),))
    return newsletter([piece], SETTINGS, link, today="2026-11-20")


def test_the_headers_of_a_draft() -> None:
    message = parsed(mail_file(made(), SETTINGS, LINK, AT))
    assert message.defects == []
    assert message["Subject"].startswith("Quiet ways – Lindenferry: 1 new route, Ferry Steps")
    assert str(message["From"]) == "Quiet ways – née <news@lindenferry.example>"
    assert message["Date"].datetime == AT
    assert message["Message-ID"].endswith("@rides.lindenferry.example>")
    assert message["X-Unsent"] == "1"
    assert message["MIME-Version"] == "1.0"
    assert [name for name in ("To", "Cc", "Bcc", "Reply-To") if name in message] == []
    assert len(message.keys()) == len(set(message.keys()))


def test_both_parts_come_in_order_and_say_the_same() -> None:
    issue = made(title="Ferry – Größe 😀")
    message = parsed(mail_file(issue, SETTINGS, LINK, AT))
    assert message.get_content_type() == "multipart/alternative"
    text, html = message.iter_parts()
    assert (text.get_content_type(), html.get_content_type()) == ("text/plain", "text/html")
    for part in (text, html):
        assert part.get_content_charset() == "utf-8"
        assert part["Content-Transfer-Encoding"] == "quoted-printable"
        assert part.defects == []
    assert text.get_content().replace("\r\n", "\n") == issue.text
    assert html.get_content().replace("\r\n", "\n") == issue.html
    walked = issue_html(html.get_content())
    assert walked.faults == []
    page = "https://rides.lindenferry.example/routes/ferry-steps-to-chapel-green/"
    for found in (walked.text, " ".join(text.get_content().split())):
        for fact in ("Ferry – Größe 😀", "0 % quiet share", "0 busy crossings", CAUTION_SHORT):
            assert fact in found
        assert "Ünvented map." in found
    assert page in walked.links
    assert page in text.get_content()


def test_it_is_ascii_in_short_lines_ended_by_cr_lf() -> None:
    content = mail_file(made(summary="ü" * 2000), SETTINGS, LINK, AT)
    assert content.isascii()
    assert content.count(b"\n") == content.count(b"\r\n") == content.count(b"\r")
    head, _, body = content.partition(b"\r\n\r\n")
    assert max(map(len, head.split(b"\r\n"))) <= 78, "RFC 5322 §2.1.1: should"
    assert max(map(len, body.split(b"\r\n"))) <= 76 + len("--"), "RFC 2045 §6.7, RFC 2046 §5.1.1"


def test_the_same_issue_is_the_same_file() -> None:
    assert mail_file(made(), SETTINGS, LINK, AT) == mail_file(made(), SETTINGS, LINK, AT)
    later = mail_file(made(), SETTINGS, LINK, AT + dt.timedelta(minutes=1))
    assert (
        parsed(later)["Message-ID"] != parsed(mail_file(made(), SETTINGS, LINK, AT))["Message-ID"]
    )


@given(st.text(max_size=300))
def test_any_subject_stays_one_header(subject) -> None:
    content = mail_file(Issue(subject, "<p>x</p>\n", "x\n"), SETTINGS, LINK, AT)
    message = parsed(content)
    assert message["Subject"] == header_text(subject)
    assert sorted(message.keys()) == sorted(
        ["Subject", "Date", "Message-ID", "From", "X-Unsent", "MIME-Version", "Content-Type"]
    )
    assert max(map(len, content.split(b"\r\n"))) <= 998


@pytest.mark.parametrize(
    "subject",
    [
        "A\r\nBcc: all@lindenferry.example",
        "A\nX: y\n\nbody",
        "A\u2028B\u202e\x00\x1b[31m",
        "=?utf-8?q?Bcc=3A?= <x@y.example>",
        "0000 00000000000000000000000¡¡¡¡¡¡¡ ¡",
        "",
        "𝔘" * 200,
        "a" * 990,
    ],
)
def test_a_subject_that_would_leave_its_header(subject) -> None:
    content = mail_file(Issue(subject, "<p>x</p>\n", "x\n"), SETTINGS, LINK, AT)
    message = parsed(content)
    assert message["Bcc"] is None
    assert message["X"] is None
    assert [part.get_content_type() for part in message.iter_parts()] == ["text/plain", "text/html"]
    assert max(map(len, content.split(b"\r\n"))) <= 998
    assert header_text(subject).isprintable()
    assert message["Subject"] == header_text(subject)


@pytest.mark.parametrize(
    ("settings", "expected"),
    [
        ({"newsletter_from": "news@lindenferry.example"}, "news@lindenferry.example"),
        (
            {"newsletter_from": "A B <n@l.example>", "report_address": "mailto:r@l.example"},
            "A B <n@l.example>",
        ),
        ({"report_address": "mailto:r%2Bx@l.example?subject=a@b"}, "r+x@l.example"),
        ({"report_address": "mailto:r@l.example%0D%0ABcc:x@y.example"}, None),
        ({"report_address": "https://l.example/@x"}, None),
        ({"newsletter_from": "a..b@l.example"}, None),
        ({"newsletter_from": "ü@l.example"}, None),
        ({}, None),
    ],
)
def test_the_sender_is_whom_the_settings_name(settings, expected) -> None:
    found = sender(Settings(**settings))
    assert (str(found) if found else None) == expected
    message = parsed(mail_file(Issue("s", "<p>h</p>\n", "t\n"), Settings(**settings), LINK, AT))
    assert message["From"] == expected
    assert message["Bcc"] is None


@pytest.mark.parametrize(
    "name", ["Über allem liegt " * 9 + "Ruh", "A (b) " * 20 + "=?utf-8?q?c?=", "A 😀", "x" * 200]
)
def test_the_name_of_a_sender_is_folded(name) -> None:
    """Read by the older parser: the newer one puts spaces between the encoded words of a name."""
    settings = Settings(newsletter_from=f"{name} <n@l.example>")
    content = mail_file(Issue("s", "<p>h</p>\n", "t\n"), settings, LINK, AT)
    assert max(map(len, content.split(b"\r\n"))) <= 78
    found = email.message_from_bytes(content)["From"]
    encoded, spec = parseaddr(found.replace("\r\n", ""))
    assert (str(make_header(decode_header(encoded))), spec) == (name, "n@l.example")


@pytest.mark.parametrize(
    ("base", "host"),
    [
        ("https://fähre.example/x", "xn--fhre-loa.example"),
        ("http://lindenferry.example:8080/", "lindenferry.example"),
        (f"https://{'x' * 70}.example/", "newsletter.invalid"),
    ],
)
def test_a_message_is_named_after_the_host(base, host) -> None:
    link = Addresses("directory", base)
    message = parsed(mail_file(Issue("s", "<p>h</p>\n", "t\n"), SETTINGS, link, AT))
    assert message["Message-ID"].endswith(f"@{host}>")
