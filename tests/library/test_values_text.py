"""What an author types stays text: on its line, and turning round nothing but itself."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from building import load, make_route, notes, route_of
from softpedal.authored_text import direction_closed, one_line
from softpedal.library.load import load_route, load_settings
from softpedal.settings import Settings

LRE, RLE, PDF, LRO, RLO = "\u202a\u202b\u202c\u202d\u202e"
LRI, RLI, FSI, PDI = "\u2066\u2067\u2068\u2069"
CONTROLS = LRE + RLE + PDF + LRO + RLO + LRI + RLI + FSI + PDI

texts = st.text(st.sampled_from(f"ab \n{CONTROLS}\u200e\u200f"), max_size=14)


def still_open(text: str) -> list[str]:
    """Return what is open at the end of a text, by matching isolates first, as UAX #9 does."""
    isolates, pairs = [], {}
    for at, character in enumerate(text):  # BD9
        if character in LRI + RLI + FSI:
            isolates.append(at)
        elif character == PDI:
            assert isolates, "an end of an isolate that ends nothing"
            pairs[isolates.pop()] = at

    def run(at: int, end: int) -> int:
        """Walk one isolating stretch; embeddings in it pair only among themselves."""
        depth = 0
        while at < end:
            if at in pairs:
                run(at + 1, pairs[at])  # what is open at its end ends with it: X6a
                at = pairs[at]
            elif text[at] in LRE + RLE + LRO + RLO:
                depth += 1
            elif text[at] == PDF:
                assert depth, "an end of an embedding that ends nothing"
                depth -= 1
            at += 1
        return depth

    return [text[at] for at in isolates] + [PDF] * run(0, len(text))


@given(text=texts)
@example(f"a{RLO}b{RLI}c")
@example(f"{RLI}{RLO}a{PDI}b{PDF}")
@example(f"{RLO}{RLI}{PDF}a")
def test_every_turn_is_ended_and_no_other(text) -> None:
    closed = direction_closed(text)
    assert still_open(closed) == []
    assert direction_closed(closed) == closed
    kept = [c for c in closed if c not in (PDF, PDI)]
    assert kept == [c for c in text if c not in (PDF, PDI)]


@given(text=texts)
def test_what_is_well_paired_is_left_as_it_is(text) -> None:
    try:
        paired = still_open(text) == []
    except AssertionError:
        paired = False
    assert (direction_closed(text) == text) is paired


@pytest.mark.parametrize(
    ("text", "closed"),
    [
        (f"a{RLO}b", f"a{RLO}b{PDF}"),
        (f"a{RLO}{LRI}b", f"a{RLO}{LRI}b{PDI}{PDF}"),
        (f"a{PDF}b{PDI}", "ab"),
        (f"{LRI}{RLE}a{PDI}b", f"{LRI}{RLE}a{PDI}b"),
        ("a\u200fb\u200e", "a\u200fb\u200e"),
    ],
    ids=ascii,
)
def test_worked_by_hand_from_annex_9(text, closed) -> None:
    assert direction_closed(text) == closed


@given(text=st.text(max_size=40))
def test_one_line_is_one_line(text) -> None:
    line = one_line(text)
    assert len(line.splitlines()) <= 1 or any(c in "\x1c\x1d\x1e" for c in line)
    assert one_line(line) == line


def test_a_name_is_one_line_and_accepted() -> None:
    words = "Quay\r\nBcc: x@y.example\x85to\u2028the\u2029Mill \t Green"
    found = route_of(notes(title=words, start=f" {RLO}Quay\n", area=["A\nB"])).notes
    assert found.title == "Quay Bcc: x@y.example to the Mill Green"
    assert found.start == f"{RLO}Quay{PDF}"
    assert found.area == ["A B"]


def test_longer_words_keep_their_lines_and_close_their_turns() -> None:
    found = route_of(notes(summary=f"One{RLI}\ntwo", thanks=f"{PDF}Thanks")).notes
    assert found.summary == f"One{RLI}\ntwo{PDI}"
    assert found.thanks == "Thanks"


def test_a_no_break_space_stays() -> None:
    assert one_line("5\u00a0km") == "5\u00a0km"


@pytest.mark.parametrize("title", ["\n", PDF, " \u2028 "], ids=ascii)
def test_a_name_of_nothing_is_refused(tmp_path, title) -> None:
    loaded = load_route(make_route(tmp_path, notes(title=title)))
    assert loaded.route is None
    assert [p.code for p in loaded.problems] == ["notes-value"]


@pytest.mark.parametrize(
    "escape", [r"\a", r"\x07", r"\x1b", r"\0", r"\x7f", r"\x9b", r"\uFEFF", r"\x00"]
)
def test_a_control_character_written_as_an_escape_is_refused(tmp_path, escape) -> None:
    make = make_route(tmp_path, notes())
    content = (
        (make / "notes.yml")
        .read_text()
        .replace("title: Ferry Steps to Chapel Green", f'title: "Ferry {escape} Steps"')
    )
    (make / "notes.yml").write_text(content)
    loaded = load_route(make)
    assert loaded.route is None
    assert [p.code for p in loaded.problems] == ["yaml-refused"]


def test_escaped_lines_are_read_as_one(tmp_path) -> None:
    make = make_route(tmp_path, notes())
    content = (
        (make / "notes.yml")
        .read_text()
        .replace("title: Ferry Steps to Chapel Green", r'title: "Ferry\r\nSteps\u202E"')
    )
    (make / "notes.yml").write_text(content)
    assert load(make).notes.title == f"Ferry Steps{RLO}{PDF}"


@pytest.mark.parametrize("mark", [*CONTROLS, "\u200f"], ids=ascii)
def test_an_address_holds_no_mark_that_turns_text(tmp_path, mark) -> None:
    """RFC 3987, section 4.1."""
    video = {"link": f"https://video.example/w/{mark}21"}
    loaded = load_route(make_route(tmp_path, notes(video=video)))
    assert [p.code for p in loaded.problems] == ["notes-value"]


def test_the_words_of_the_settings_likewise(tmp_path) -> None:
    (tmp_path / "softpedal.yml").write_text(
        'title: "Quiet\\nways\\u202E"\nbackground_attribution: "Town\\r\\nmap"\n'
    )
    found, problems = load_settings(tmp_path / "softpedal.yml")
    assert problems == []
    assert found.title == f"Quiet ways{RLO}{PDF}"
    assert found.background_attribution == "Town map"
    assert Settings().title == "Quiet routes"
