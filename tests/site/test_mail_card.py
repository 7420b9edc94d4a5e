"""A route's card for e-mail: what it says, and that mail programs can show it."""

from __future__ import annotations

from pathlib import Path

import pytest

from building import crossing, leg, measures_of, notes, route_of
from mail_html import card_html
from softpedal.library.load import load_route, load_settings, route_folders
from softpedal.measure.route_measures import measure, measure_loaded
from softpedal.settings import Settings
from softpedal.site.mail_card import LINE, mail_card, plain, text_card
from softpedal.site.mail_markdown import styled
from softpedal.site.mail_words import card_words
from softpedal.site.plain_pages import Addresses
from softpedal.site.text import inline
from softpedal.site.wording import CAUTION_SHORT

ROOT = Path(__file__).parents[2]
LINK = Addresses("directory", "https://lindenferry.example/rides/")
HERE = "https://lindenferry.example/rides/routes/ferry-steps-to-chapel-green/"
SETTINGS = Settings(cards=True, background_attribution="An invented map, CC0")


def cards(link=LINK, settings=SETTINGS, today="", **changes):
    route = route_of(notes(**changes))
    words = card_words(route, measure(route, settings), settings, link, today)
    return mail_card(words), text_card(words)


def demo():
    settings, _ = load_settings(ROOT / "softpedal.yml")
    assert settings
    for folder in route_folders(ROOT):
        measured = measure_loaded(load_route(folder, settings), settings)
        assert measured.route, folder
        yield measured.route, measured.measures, settings


def flat(text):
    return " ".join(text.split())


def test_a_card_says_what_the_page_says() -> None:
    html, text = cards(
        crossings=[crossing("1 km", lanes=4, speed_limit="30 mph", road_class="primary")],
        closed="Mo-Fr 08:00-09:00",
    )
    walked = card_html(html)
    assert walked.faults == []
    assert walked.links == [HERE] * 3
    assert [p["src"] for p in walked.pictures] == [f"{HERE}card.png"]
    assert "2.0 km: 2.0 km back street, busy crossing without signals" in walked.pictures[0]["alt"]
    for words in (
        "Ferry Steps to Chapel Green",
        "Lindenferry. From Ferry Steps to Chapel Green.",
        "A way along the water.",
        "0 % quiet share",
        "1 busy crossing, without signals or zebra",
        "0 dismounts",
        "Length: 2.0 km",
        "Time, estimated:",
        "Difficulty:",
        "Hardest bit: crossing Dock Road (no signals),",
        "shut Mon–Fri 08:00–09:00",
        "last on 16 May 2026",
        CAUTION_SHORT,
        "Map and street data: An invented map, CC0.",
        "Map, cues and downloads",
    ):
        assert words in walked.text
        assert words in flat(text)
    assert text.count("http") == text.count(HERE) == 1


@pytest.mark.parametrize("form", [0, 1])
def test_a_worse_way_back_and_other_hours_are_not_left_out(form) -> None:
    hours = {"Mo-Sa 08:00-18:00": "on foot", "otherwise": "mixed street"}
    text = flat(
        cards(
            legs=[
                leg("start", {"outbound": "protected track", "return": "busy road"}),
                leg("1 km", hours=hours),
            ],
            dismounts=[{"at": "0.5 km", "why": "no entry", "direction": "return"}],
        )[form]
    )
    text = text if form else flat(card_html(text).text)
    assert "50 % quiet share" in text
    assert "The way back: 0 % quiet share, 0 busy crossings, 2 dismounts" in text
    assert "These figures hold Mon–Sat 08:00–18:00; at other hours they differ." in text


@pytest.mark.parametrize("form", [0, 1])
def test_alerts_stand_with_their_dates_and_are_left_out_when_over(form) -> None:
    alerts = [
        {"from": "2026-09-01", "until": "2026-10-15", "text": "Quay wall *works*."},
        {"from": "2026-03-01", "text": "The gate is shut."},
    ]
    found = flat(cards(alerts=alerts)[form].replace("</strong>", ""))
    assert "1 September 2026 to 15 October 2026: Quay wall" in found
    assert found.index("From 1 March 2026: The gate") < found.index("1 September 2026")
    last = cards(alerts=alerts, today="2026-10-15")[form]
    assert "Quay wall" in last
    after = cards(alerts=alerts, today="2026-10-16")[form]
    assert "Quay wall" not in after
    assert "The gate is shut." in after


def test_a_withdrawn_route_is_not_praised() -> None:
    html, text = cards(
        status="withdrawn", withdrawn={"why": "The bridge is *gone*.", "instead": "two-bridges"}
    )
    walked = card_html(html)
    assert walked.faults == walked.pictures == []
    for found in (walked.text, flat(text)):
        assert "Withdrawn: do not follow this route. The bridge is gone" in found
        assert "quiet share" not in found
        assert "Length" not in found
        assert "What its page says" in found
        assert "downloads" not in found
        assert CAUTION_SHORT in found
    instead = "https://lindenferry.example/rides/routes/two-bridges/"
    assert instead in walked.links
    assert instead in text


def test_a_way_that_is_always_shut_has_no_figures() -> None:
    html, text = cards(closed="24/7")
    for found in (card_html(html).text, flat(text)):
        assert "Shut at all times: this way cannot be ridden." in found
        assert "quiet share" not in found
        assert "Hardest bit" not in found


@pytest.mark.parametrize(
    ("link", "changes"), [(Addresses(), {}), (LINK, {"status": "draft"})], ids=["home", "draft"]
)
def test_without_an_address_there_are_no_links_and_no_picture(link, changes) -> None:
    html, text = cards(link, **changes)
    walked = card_html(html)
    assert walked.faults == walked.links == walked.pictures == []
    assert "http" not in text
    assert "Map, cues and downloads" not in text + walked.text
    assert ("A draft. It is not published." in flat(text)) == bool(changes)


def test_without_cards_there_is_no_picture() -> None:
    html, _ = cards(settings=Settings())
    assert card_html(html).pictures == []
    assert "Map and street data" not in html


def test_what_an_author_writes_stays_text() -> None:
    evil = '<b onclick="x()">T</b> "q" \'s\' <script>alert(1)</script>\r\nBcc: a@b.example'
    html, text = cards(
        title=evil[:110],
        area=evil[:110],
        start=evil[:50],
        finish="<!-- ",
        summary=f"{evil} [home](javascript:alert(1)) [site](https://a.example/?a=1&b=2)",
        legs=[leg("start", "back street", "<img src=x onerror=y>")],
        settings=Settings(cards=True, background_attribution="<i>", title="<u>"),
    )
    walked = card_html(html)
    assert walked.faults == []
    assert '<b onclick="x()">T</b> "q"' in walked.text
    assert "[home](javascript:alert(1))" in walked.text
    assert {link for link in walked.links if link != HERE} == {"https://a.example/?a=1&b=2"}
    assert "<img src=x onerror=y>" in walked.text
    assert "site (https://a.example/?a=1&b=2)" in flat(text)
    assert "\r" not in text


def test_lines_of_text_are_short_where_words_allow() -> None:
    long = "x" * 100
    _, text = cards(summary=f"{'word ' * 60}{long}", hardest={"at": "1 km", "text": "bit " * 50})
    longer = [line for line in text.splitlines() if len(line) > LINE]
    assert longer == [long]


def test_an_authors_link_is_told_in_plain_text() -> None:
    marked = inline("See [the *lock*](https://a.example/?a=1&b=2) & go")
    assert (
        plain(marked) == plain(styled(marked)) == "See the lock (https://a.example/?a=1&b=2) & go"
    )
    assert plain("a <b>  c") == "a <b> c"


def test_each_card_of_the_demo_is_sound_and_light() -> None:
    found = list(demo())
    assert len(found) >= 8
    for route, measures, settings in found:
        words = card_words(route, measures, settings, LINK)
        html = mail_card(words)
        walked = card_html(html)
        assert walked.faults == [], route.id
        assert min(walked.sizes) >= 13
        assert len(html.encode()) <= 20_000
        assert all(len(line) <= LINE for line in text_card(words).split())
        assert all(a.startswith("https://") for a in walked.links)


def test_the_heaviest_card_that_notes_allow_is_within_20_kb() -> None:
    html, _ = cards(
        title="T" * 120,
        summary="s" * 2000,
        area=["A" * 120] * 3,
        alerts=[{"from": "2026-09-01", "text": "a" * 2000}] * 3,
        hardest={"at": "1 km", "text": "h" * 2000},
    )
    assert len(html.encode()) <= 20_000


def test_measures_are_not_changed_by_the_units_of_a_card() -> None:
    settings = Settings(units="imperial")
    route = route_of(notes())
    measures = measures_of(notes(), settings=settings)
    html = mail_card(card_words(route, measures, settings, LINK))
    assert "Length:</strong> 1.2 mi" in html
