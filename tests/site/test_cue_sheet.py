"""The cue sheet: what it says, how wide it is, and that its two forms say the same."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from building import crossing, leg, line_east, measures_of, notes, route_of
from softpedal.measure.route_measures import measure
from softpedal.settings import Settings
from softpedal.site.cue_sheet import NoCuesError, cue_file_name, cue_files, cue_sheet
from softpedal.site.cue_sheet_forms import WIDTH
from softpedal.site.plain_pages import Addresses
from softpedal.site.text import markdown_line, markdown_link
from softpedal.site.timetable import Timetable
from visible_text import visible_text

SITE = Addresses("directory", "https://lindenferry.example/")
SETTINGS = Settings(background_attribution="Map by the town, CC0.", emergency_number="112")

FULL = notes(
    legs=[
        leg("start", "back street", "Reed Lane", cue="West along the lane.", speed_limit="20 mph"),
        leg("0.5 km", "mixed street", "Dock Road", cue={"outbound": "Right.", "return": "Left."}),
        leg("1.2 km", "traffic-free path", "Towpath", surface="loose", edge="open water"),
    ],
    crossings=[crossing("0.5 km", "toucan", busy=True, wait="40 s", lanes=2)],
    dismounts=[{"at": "1.6 km", "why": "steps by the lock", "metres": 12}],
    hazards=[{"at": "1.3 km", "what": "roots", "severity": "serious"}],
    landmarks=[{"at": "1.9 km", "what": "Mill wheel", "side": "left", "story": "It turns."}],
    alerts=[{"from": "2026-09-01", "until": "2026-10-15", "text": "Works on the quay."}],
    closed="21:00-06:00",
)


def sheet(words=FULL, form="text", *, settings=SETTINGS, link=SITE, direction=None, points=None):
    route = route_of(words, points)
    return cue_sheet(route, measure(route, settings), settings, link, form, direction=direction)


def words_of(text: str) -> list[str]:
    """Return the words without what stands between them: rules, bullets, colons at their end."""
    return [w for word in text.split() if (w := word.strip("-=:")) or word == "0"]


def rendered(text: str) -> str:
    return visible_text(f"<div>{MarkdownIt('commonmark').render(text)}</div>", "div")


def test_it_says_what_a_rider_must_know() -> None:
    text = sheet()
    for line in (
        "Ferry Steps to Chapel Green",
        "- 1 September 2026 to 15 October 2026: Works on the quay.",
        "- The way is shut 21:00–06:00: it cannot be ridden then.",
        "From Ferry Steps to Chapel Green, 06:00–21:00",
        "From Chapel Green to Ferry Steps, 06:00–21:00",
        "Length:           2.0 km",
        "1                 busy crossing, with signals or zebra",
        "1                 dismount, 12 m pushed",
        "0.00 km          Reed Lane, 500 m",
        "0.50 km  +500 m  Cross Dock Road",
        "                 busy road, toucan crossing; little stress",
        "                 Wait about 40 s (as stood on the ride).",
        "1.30 km  +100 m  Look out: roots",
        "1.60 km  +300 m  Get off and push for 12 m: steps by the lock",
        "1.90 km  +300 m  Mill wheel",
        "                 on your left",
        "2.00 km  +100 m  Finish: Chapel Green",
        "Before you ride",
        "- In an emergency call 112.",
        "Map and street data: Map by the town, CC0.",
        "https://lindenferry.example/routes/ferry-steps-to-chapel-green/",
    ):
        assert f"\n{line}\n" in f"\n{text}", line
    flat = " ".join(text.split())
    assert "Quiet is not a promise of safety. Last ridden on 16 May 2026." in flat
    assert "Hardest bit: 700 m of mixed street on Dock Road" in flat
    assert "Works, closures and parked vehicles come and go." in flat
    assert "- 21:00–06:00: shut: not passable" in flat


def test_every_row_of_the_timetable_stands_in_it_in_order() -> None:
    route = route_of(FULL)
    measures = measure(route, SETTINGS)
    flat = " ".join(sheet(direction="outbound").split())
    rows = Timetable(route, measures.outbound, measures.outbound.leading, "metric").rows()
    assert len(rows) == 7
    place = 0
    for row in rows:
        for piece in (row.title, row.cue, row.kind, row.level, *row.details):
            words = str(getattr(piece, "striptags", lambda p=piece: p)())
            place = flat.index(words, place)


def test_each_way_has_its_own_cues() -> None:
    out, back = sheet(direction="outbound"), sheet(direction="return")
    assert "West along the lane." in out
    assert "Right." in out
    assert "Left." not in out
    assert "Left." in back
    assert "West along the lane." not in back
    assert "From Chapel Green to Ferry Steps" in back
    assert "From Chapel Green to Ferry Steps" not in out


def test_a_way_back_that_was_not_ridden_is_not_given() -> None:
    words = FULL | {"ridden": [{"on": "2026-05-16", "direction": "outbound"}]}
    text = sheet(words)
    assert "From Chapel Green to Ferry Steps" not in text
    assert "The way back has not been ridden" in text
    with pytest.raises(NoCuesError, match="has not been ridden"):
        sheet(words, direction="return")


def test_a_withdrawn_route_has_none() -> None:
    words = FULL | {"status": "withdrawn", "withdrawn": {"why": "The bridge is gone."}}
    route, measures = route_of(words), measures_of(words)
    assert cue_files(route, measures, SETTINGS, SITE) == []
    with pytest.raises(NoCuesError, match="withdrawn"):
        sheet(words)


def test_the_files_are_no_pages_for_a_site_generator() -> None:
    route, measures = route_of(FULL), measures_of(FULL)
    files = cue_files(route, measures, SETTINGS, SITE)
    assert [f.path for f in files] == [
        f"routes/{route.id}/{cue_file_name(route, form)}" for form in ("text", "markdown")
    ]
    assert all(f.path.endswith(".txt") for f in files)
    assert files[0].content.startswith(b"\xef\xbb\xbf")  # a browser reads it as UTF-8
    assert files[0].content.decode("utf-8-sig") == sheet()
    assert files[1].content.decode() == sheet(form="markdown")


def test_a_draft_says_so_and_that_it_was_not_ridden() -> None:
    text = " ".join(sheet(notes(status="draft", ridden=[])).split())
    assert "- A draft." in text
    assert "Not yet ridden." in text
    assert "What stands here has not been confirmed by riding." in text


def test_without_an_address_or_a_map_nothing_is_invented() -> None:
    text = sheet(settings=Settings(), link=Addresses())
    assert "://" not in text
    assert "Map" not in text


def test_miles_where_the_library_says_so() -> None:
    text = sheet(settings=Settings(units="imperial"), direction="outbound")
    assert "0.31 mi  +0.3 mi  Cross Dock Road" in text
    assert " km" not in text


LONG = "word " * 60 + "w" * 200


@pytest.mark.parametrize(
    "words", [FULL, notes(title="T" * 120, summary=LONG)], ids=["full", "long"]
)
def test_no_line_of_the_text_is_too_wide(words) -> None:
    words = words | {"hazards": [{"at": "1 km", "what": LONG, "note": LONG}]}
    lines = sheet(words).splitlines()
    assert max(map(len, lines)) <= WIDTH
    assert all(line == line.rstrip() for line in lines)


def test_text_and_markdown_say_the_same() -> None:
    markdown = rendered(sheet(form="markdown"))
    assert words_of(markdown) == words_of(sheet())


@pytest.mark.parametrize(
    "evil",
    [
        "# a", "1. a", "12) a", "- a", "+ a", "> a", "=== a", "```a", "~~~ a", "a *b* _c_ __d__",
        "[a](javascript:alert(1))", "![a](x)", "<b>a</b>", "<!-- a -->", "`a` a", "&amp; a &#33;",
        "a | b", "a\\", "{{7*7}} a", "<https://x.example/a>", "a  \nb", "| a | b |\n|---|---|",
        "***", "---", "a\n===", "    a", "\ta", "[a]: x", "*", "_a", "a~~b~~", "\u00a0a\u2028b",
    ],
    ids=ascii,
)  # fmt: skip
def test_words_stay_words_in_markdown(evil) -> None:
    """CommonMark 0.31.2, section 2.4: a backslash before a sign of ASCII makes it a sign."""
    for before, after in (("", ""), ("- ", ""), ("- **", "**"), ("# ", ""), ("- a\n  - ", "")):
        html = MarkdownIt("commonmark").render(f"{before}{markdown_line(evil)}{after}\n")
        plain = MarkdownIt("commonmark").render(f"{before}word{after}\n")
        assert set(re.findall(r"<(\w+)", html)) == set(re.findall(r"<(\w+)", plain)), html
        assert " ".join(evil.split()) in visible_text(f"<div>{html}</div>", "div")


@given(text=st.text("ab1 #*_-+=>`~<&|[](){}!.\\\n\t:/", min_size=1, max_size=12))
def test_any_signs_stay_words_in_markdown(text) -> None:
    tables = MarkdownIt("commonmark").enable(["table", "strikethrough"])
    html = tables.render(f"word\n\n- {markdown_line(text)}\n")
    found = set(re.findall(r"<(\w+)", html))
    assert found == {"p", "ul", "li"}
    assert " ".join(text.split()) in " ".join(visible_text(f"<div>{html}</div>", "div").split())


def test_a_link_s_address_stays_what_it_is() -> None:
    address = "https://video.example/w(1)?a=1&copy=2&lt;=3"
    html = MarkdownIt("commonmark").render(markdown_link("at [0:20]", address))
    assert html == (
        '<p><a href="https://video.example/w(1)?a=1&amp;copy=2&amp;lt;=3">at [0:20]</a></p>\n'
    )


def test_a_long_line_of_points_gives_room_to_its_figures() -> None:
    text = sheet(notes(), points=line_east(12_000, step=100.0), direction="outbound")
    assert "12.00 km  +12.0 km  Finish: Chapel Green" in text
