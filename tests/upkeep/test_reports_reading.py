"""Mails, JSON lines and pasted text become messages; what cannot be used is told."""

import json
from email.message import EmailMessage

import pytest
from hypothesis import given
from hypothesis import settings as runs
from hypothesis import strategies as st

from softpedal.problems import CannotDoError
from softpedal.upkeep.reports import read as read_module
from softpedal.upkeep.reports.messages import MAX_CHARACTERS
from softpedal.upkeep.reports.read import form_of, read_messages

POSTMARK = b"From bea@mail.example Thu May 21 10:00:00 2026\n"


def mail(text="The gate is shut.", **headers):
    made = EmailMessage()
    made["From"] = "Bea Quill <bea@mail.example>"
    made["Subject"] = "Gate"
    made["Date"] = "Fri, 22 May 2026 10:00:00 +0100"
    for name, value in headers.items():
        del made[name]
        made[name] = value
    made.set_content(text)
    return made


def mbox(*mails):
    each = (m if isinstance(m, bytes) else m.as_bytes() for m in mails)
    return b"".join(POSTMARK + one.rstrip() + b"\n\n" for one in each)


def texts(content, form="auto"):
    return [message.text.strip() for message in read_messages(content, form).messages]


def test_mails_of_an_mbox_are_read_with_their_day_and_sender():
    read = read_messages(mbox(mail(), mail("Second.")))
    assert read.form == "mbox"
    assert [m.text.strip() for m in read.messages] == ["The gate is shut.", "Second."]
    assert read.messages[0].on == "2026-05-22"
    assert read.messages[0].names == ("Bea Quill",)
    assert read.messages[0].subject == "Gate"
    assert read.skipped == []


def test_a_mail_by_itself_is_read():
    assert texts(mail().as_bytes()) == ["The gate is shut."]


def test_a_line_that_begins_with_from_is_no_new_mail():
    """RFC 4155: a postmark stands behind an empty line; in a mail such a line is marked by >."""
    content = mbox(mail("Gate.\nFrom the silo on it is shut.\n\n>From here to there."))
    (text,) = texts(content)
    assert "From the silo" in text
    assert "\nFrom here" in text


def test_without_a_date_the_postmark_tells_the_day():
    made = mail()
    del made["Date"]
    assert read_messages(mbox(made)).messages[0].on == "2026-05-21"
    assert read_messages(mbox(mail(Date="some day"))).messages[0].on == "2026-05-21"
    assert read_messages(made.as_bytes()).messages[0].on == ""


@pytest.mark.parametrize("charset", ["utf-8", "iso-8859-1", "windows-1252"])
@pytest.mark.parametrize("encoding", ["quoted-printable", "base64"])
def test_charsets_and_encodings_are_decoded(charset, encoding):
    made = EmailMessage()
    made["From"] = "=?utf-8?q?Bea_Gr=C3=BCn?= <bea@mail.example>"
    made["Subject"] = "x"
    made.set_content("Die Brücke ist für Räder zu.", charset=charset, cte=encoding)
    (message,) = read_messages(mbox(made)).messages
    assert message.text.strip() == "Die Brücke ist für Räder zu."
    assert message.names == ("Bea Grün",)


def test_an_unknown_charset_does_no_harm():
    content = mail().as_bytes().replace(b'charset="utf-8"', b'charset="klingon-7"')
    assert b"klingon" in content
    assert texts(content) == ["The gate is shut."]


def test_of_two_versions_the_plain_one_is_read():
    made = mail("Plain.")
    made.add_alternative("<p>Rich.</p>", subtype="html")
    made.add_attachment(b"\xff\xd8", maintype="image", subtype="jpeg", filename="gate.jpg")
    made.add_attachment("Attached.", filename="notes.txt")
    assert texts(mbox(made)) == ["Plain."]


def test_a_mail_of_html_alone_becomes_text():
    made = EmailMessage()
    made["From"] = "x@y.example"
    made["Subject"] = "x"
    made.set_content(
        "<html><head><title>No</title><style>p{}</style></head><body><p>Gate&nbsp;is <b>shut</b>"
        "&amp; locked</p><script>alert(1)</script><blockquote>Earlier<br>words</blockquote>",
        subtype="html",
    )
    (text,) = texts(mbox(made))
    assert text.split("\n")[0] == "Gate is shut& locked"
    assert [line for line in text.split("\n") if "Earlier" in line or "words" in line] == [
        "> Earlier",
        "> words",
    ]
    assert "alert" not in text
    assert "No" not in text


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"\n\n", "no headers"),
        (b"just words\n", "no headers"),
        (mail("").as_bytes(), "no text"),
        (mail(**{"Auto-Submitted": "auto-replied"}).as_bytes(), "RFC 3834"),
    ],
)
def test_a_mail_that_cannot_be_used_is_told_and_passed_over(content, why):
    read = read_messages(mbox(mail("One."), content, mail("Three.")))
    assert [m.text.strip() for m in read.messages] == ["One.", "Three."]
    (skipped,) = read.skipped
    assert skipped.which == "Mail 2"
    assert why in skipped.why


def test_a_nest_of_mails_ends():
    made = mail("Deep.")
    content = made.as_bytes()
    for number in range(200):
        head = f'Content-Type: multipart/mixed; boundary="b{number}"\nFrom: a\nSubject: x\n\n'
        head += f"--b{number}\n"
        content = head.encode() + content + f"\n--b{number}--\n".encode()
    read = read_messages(content)
    assert read.messages == []
    assert "no text" in read.skipped[0].why or "broken" in read.skipped[0].why


@runs(deadline=None, max_examples=200)
@given(content=st.binary(max_size=300), form=st.sampled_from(["auto", "mbox", "jsonl", "text"]))
def test_no_bytes_stop_the_reading(content, form):
    read = read_messages(POSTMARK + content if form == "mbox" else content, form)
    assert all(m.text or m.title for m in read.messages)


@runs(deadline=None, max_examples=150)
@given(
    head=st.lists(
        st.tuples(
            st.sampled_from(
                ["From", "Date", "Subject", "Content-Type", "Content-Transfer-Encoding"]
            ),
            st.one_of(
                st.sampled_from(
                    ["multipart/mixed; boundary=", "multipart/alternative; boundary=x", "base64",
                     "text/html; charset=\x00", "=?utf-8?b?!!?=", "=?x?q?=ff?=", "message/rfc822"]
                ),
                st.text(st.characters(codec="utf-8", exclude_characters="\r\n"), max_size=20),
            ),
        ),
        max_size=6,
    ),
    body=st.binary(max_size=100),
)  # fmt: skip
def test_no_headers_stop_the_reading(head, body):
    lines = "".join(f"{name}: {value}\n" for name, value in head)
    read = read_messages(POSTMARK + lines.encode() + b"\n" + body, "mbox")
    assert len(read.messages) + len(read.skipped) >= 1


def test_a_long_message_is_cut():
    (message,) = read_messages(mbox(mail("x " * MAX_CHARACTERS))).messages
    assert len(message.text) == MAX_CHARACTERS


def test_too_big_a_file_is_refused(monkeypatch):
    monkeypatch.setattr(read_module, "MAX_BYTES", 10)
    with pytest.raises(CannotDoError, match="MiB"):
        read_messages(b"x" * 11)


def test_lines_of_json_give_what_they_know():
    lines = [
        {"text": "Gate shut.", "route": "a-b", "at": "1.2 km", "date": "2026-05-21", "by": "Bea"},
        {"title": "Gate", "body": "It is shut.", "created_at": "2026-05-22T10:00:00Z", "user": {}},
        {"text": "x", "route": "NO ID", "date": "yesterday"},
    ]
    content = "\n\n".join(map(json.dumps, lines)).encode()
    read = read_messages(content)
    assert read.form == "jsonl"
    first, second, third = read.messages
    assert (first.text, first.route, first.at, first.on) == (
        "Gate shut.",
        "a-b",
        "1.2 km",
        "2026-05-21",
    )
    assert (second.title, second.text, second.on) == ("Gate", "It is shut.", "2026-05-22")
    assert (third.route, third.on) == ("", "")
    assert read_messages(json.dumps(lines).encode()).messages == read.messages


def test_a_day_that_is_none_and_who_wrote_are_known():
    line = {"text": "x", "date": "2026-02-30", "name": "Bea Quill", "user": {"login": "bq"}}
    (message,) = read_messages(json.dumps(line).encode()).messages
    assert message.on == ""
    assert message.names == ("Bea Quill", "bq")


def test_a_bad_line_of_json_is_told_by_its_number():
    content = b'{"text": "One."}\n{"text": \n[1]\n\n{"no": "text"}\n{"text": "Two."}\n'
    read = read_messages(content)
    assert [m.text for m in read.messages] == ["One.", "Two."]
    assert [s.which for s in read.skipped] == ["Line 2", "Line 3", "Line 5"]
    assert read_messages(b"[" * 100_000).skipped[0].which == "The file"


def test_pasted_text_is_one_report_or_several():
    assert texts("\ufeffThe gate is shut.\n\nStill.".encode()) == ["The gate is shut.\n\nStill."]
    assert texts(b"One.\n---\n\nTwo -- three.\n-----\n---\n") == ["One.", "Two -- three."]


@pytest.mark.parametrize(
    ("content", "form"),
    [
        (mbox(mail()), "mbox"),
        (mail().as_bytes(), "mbox"),
        (b' {"text": "x"}', "jsonl"),
        (b"[]", "jsonl"),
        (b"From the silo on, the path is shut.", "mbox"),
        (b"Note: the gate is shut.\nDate: unknown", "text"),
        (b"The gate is shut.", "text"),
        (b"", "text"),
    ],
)
def test_the_form_is_told_by_how_a_file_begins(content, form):
    assert form_of(content) == form
