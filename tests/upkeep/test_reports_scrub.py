"""What says who sent a report is taken out, and what it says of the way stays."""

import re
import time

import pytest
from hypothesis import assume, given
from hypothesis import settings as runs
from hypothesis import strategies as st

from softpedal.upkeep.reports.scrub import scrub

SAYS = "The gate by the silo is shut."


@pytest.mark.parametrize(
    "message",
    [
        f"Hi Ada,\n\n{SAYS}\n\nKind regards,\nBea Quill\nMill Lane 12\n",
        f"Hello Ada Brook, {SAYS}\n-- \nBea Quill\nSecretary",
        f"Dear Sir or Madam,\n{SAYS}\n\nYours sincerely\n\nB. Quill",
        f"Good morning\n\n{SAYS}\nThanks\nBea",
        f"Hallo Ada,\n{SAYS}\nViele Grüße aus dem Norden\nBea",
        f"Liebe Ada, {SAYS}\n\nMit freundlichen Grüßen\nBea Quill\nTel. 4711",
        f"Moin zusammen!\n{SAYS}\nLG Bea",
        f"{SAYS} Best, Bea",
        f"{SAYS}\n– Bea",
        f"{SAYS}\n\nOn Thu, 21 May 2026 at 10:00, Ada Brook <ada@mail.example>\nwrote:\n> Hi\n>> x",
        f"> What about the gate?\n\n{SAYS}",
        f"{SAYS}\n\nAm 21.05.2026 um 10:00 schrieb Ada Brook:\n> Hallo",
        f"{SAYS}\n\n-----Original Message-----\nFrom: Ada\nHello Bea",
        f"{SAYS}\n\nFrom: Ada Brook\nSent: Thursday\nTo: Bea\nSubject: Gate\n\nHello Bea",
        f"{SAYS}\n\nVon: Ada Brook\nGesendet: Donnerstag\n\nHallo Bea",
        f"{SAYS}\n\nSent from my telephone",
        f"What has changed? Please do not write\n> names of people.\n{SAYS}",
        f"{SAYS}\nhttps://l.example/routes/a-b/\n[softpedal a-b outbound 12 m 50.01234,-20.04567]",
    ],
)
def test_what_stands_around_a_message_is_dropped(message):
    said = ["What has changed? Please do not write names of people."]
    assert scrub(message, said=said) == SAYS


@pytest.mark.parametrize(
    ("message", "left"),
    [
        ("Ask ada@mail.example or @ada.", "Ask [address] or [address]"),
        ("Ask ada (at) mail dot example!", "Ask [address]!"),
        ("Ask ada [at] mail.example now", "Ask [address] now"),
        ('Ask "Ada B"@mail.example', "Ask [address]"),
        ("Ask ada @ mail.example", "Ask [address]"),
        ("Ask ad\u200ba@mail.example", "Ask [address]"),
        ("Ask ada\uff20mail.example", "Ask [address]"),
        ("See https://social.example/u/ada for a picture", "See [link] for a picture"),
        ("See www.ada.example too", "See [link] too"),
        ("See https://l.example/rides/x/?u=ada too", "See https://l.example/rides/x/ too"),
        ("Ring 020 555 0187, or +44 (20) 5550-187.", "Ring [number], or [number]."),
        ("Ring 4711 or tel. 4712", "Ring 4711 or [number]"),
        ("At 12 Mill Lane it is wet", "At Mill Lane it is wet"),
        ("Am Mühlenweg 12a ist es nass", "Am Mühlenweg ist es nass"),
        ("The hedge at number 5 is too wide", "The hedge at a house is too wide"),
        ("I live in AB1 2CD.", "I live in [postcode]."),
        ("Mrs Hollow Brook knows", "[name] knows"),
        ("My name is Bea Quill and I ride", "[name] and I ride"),
        ("at 50.01234, -20.04567 it is wet", "at [place] it is wet"),
        ("Bea told you, Quill said, in Quill Lane", "[name] told you, [name] said, in Quill Lane"),
    ],
)
def test_what_says_who_is_taken_out_of_sentences(message, left):
    assert scrub(message, ("Bea Quill",), "https://l.example/rides/") == left


@pytest.mark.parametrize(
    "message",
    [
        "Shut since 2026-05-21, until 01.06.2026 or so; open 08:00-18:00.",
        "At 1.24 km, for 310 m, 20 mph, 3 bollards, 1.2 m apart.",
        "Thanks for the way, we loved it.",
        "The sign @ the silo says 30 km/h.",
        "Thank you for Dock Road. Dear me, how steep.",
        "Danke für die Strecke!",
        "Zwei Wege\n\nund zwei Absätze",
    ],
)
def test_what_is_about_the_way_stays(message):
    assert scrub(message) == message


def test_thanks_in_the_last_line_stay():
    assert scrub("We rode it.\nThanks for the page!") == "We rode it.\nThanks for the page!"


@pytest.mark.parametrize(
    "said",
    [
        "The limit is 30-40-50 km/h now.",
        "Gaps of 1.20 / 1.40 m at the gate.",
        "Shut 08:00-18:00, buses 8.00-18.00 too.",
        "I counted 120/140 cars.",
    ],
)
def test_what_was_measured_is_no_telephone_number(said):
    assert scrub(said) == said


@pytest.mark.parametrize(
    "said", ["I'm Ada Quill. {}", "{} Reported by Ada Quill", "{} Signed: Ada"]
)
def test_who_says_who_they_are_is_not_named(said):
    left = scrub(said.format("The gate is shut."))
    assert "The gate is shut." in left
    assert "Ada" not in left


def test_a_sentence_behind_a_closing_stays():
    text = "The toucan is out.\nRegards\nAda Quill\nSee also: the quay wall has collapsed there."
    assert scrub(text) == "The toucan is out.\nSee also: the quay wall has collapsed there."


def test_a_postscript_stays():
    message = f"{SAYS}\nCheers\nBea\n\nPS: the other one too"
    assert scrub(message) == f"{SAYS}\nPS: the other one too"


def test_a_message_of_nothing_else_is_empty():
    assert scrub("Hi Ada,\n\n-- \nBea") == ""
    assert scrub("> all quoted\n> here") == ""


def test_a_long_text_is_cut_and_turns_nothing_round():
    assert len(scrub("word " * 4000)) <= 2000
    assert scrub("a \u202e b").count("\u202c") == 1


@pytest.mark.parametrize(
    "text",
    ["(" * 20_000, "1 " * 10_000, "a" * 20_000, "On " * 7_000, "> \n" * 6_000, "@ " * 9_000,
     "Mr A" * 5_000, "a.b-" * 5_000, "Mill Lane " * 2_000, "\n" * 20_000, "<at>" * 5_000],
)  # fmt: skip
def test_no_text_takes_long(text):
    """A second is forty times what the slowest took."""
    start = time.process_time()
    scrub(text, ("A B",), "https://l.example/", ["Please do not"])
    assert time.process_time() - start < 2


WORDS = st.lists(
    st.sampled_from(["the", "gate", "is shut", "at 1.2 km", "Dock Road", "2026-05-21", "\n"]),
    max_size=6,
).map(" ".join)  # fmt: skip
LOCAL = st.from_regex(r"[A-Za-z0-9][A-Za-z0-9._%+'-]{0,12}", fullmatch=True)
HOST = st.from_regex(r"[a-z0-9][a-z0-9-]{0,10}(\.[a-z]{2,6}){1,2}", fullmatch=True)


@runs(deadline=None, max_examples=300)
@given(
    before=WORDS,
    local=LOCAL,
    host=HOST,
    after=WORDS,
    around=st.sampled_from(
        ["{}", "<{}>", "({}),", "mailto:{}", "„{}“", "*{}*", "x/{}?", "[a]({})"]
    ),
)
def test_no_address_survives(before, local, host, after, around):
    address = f"{local}@{host}"
    left = scrub(f"{before} {around.format(address)} {after}")
    assert "@" not in left
    assert address not in left


SEPARATORS = st.sampled_from(["", " ", "-", ".", "/", " / ", " - ", "\u2011", "\xa0", ") ", " ("])


@st.composite
def phones(draw):
    figures = draw(st.text("0123456789", min_size=7, max_size=13))
    start = draw(st.sampled_from(["", "+", "00", "0", "(0"]))
    parts, at = [], 0
    while at < len(figures):
        size = draw(st.integers(2, 5))
        parts.append(figures[at : at + size])
        at += size
    number = parts[0] + "".join(draw(SEPARATORS) + part for part in parts[1:])
    return start + number, re.sub(r"\D", "", start + number)


@runs(deadline=None, max_examples=300)
@given(before=st.sampled_from(["", "Ring", "ring me:", "Tel.", "shut, "]), phone=phones())
def test_no_telephone_number_survives(before, phone):
    number, figures = phone
    assume(not re.search(r"(?:19|20)\d\d-[01]\d-[0-3]\d|[./]\s?(?:19|20)\d\d", number))
    left = scrub(f"{before} {number} please")
    assert figures not in re.sub(r"\D", "", left), left
