"""The Share box: which texts it offers, and of which routes."""

from __future__ import annotations

import json
from html import unescape
from html.parser import HTMLParser

import pytest

from building import load, make_route, notes
from softpedal.measure.route_measures import measure
from softpedal.settings import Settings
from softpedal.site.embed_code import iframe_code
from softpedal.site.language import Language, use
from softpedal.site.mail_card import mail_card, text_card
from softpedal.site.mail_words import card_words
from softpedal.site.plain_pages import Addresses
from softpedal.site.route_page import RoutePage
from softpedal.site.share import share_files, share_section

ID = "ferry-steps-to-chapel-green"
LINK = Addresses("directory", "https://lindenferry.example/rides")
NOWHERE = Addresses("directory")
NASTY = "</textarea></script><b>\"x\"</b> & 'y' Ω"
UNSHARED = (
    {"status": "withdrawn", "withdrawn": {"why": "The bridge is gone."}},
    {"status": "draft"},
)


class Boxes(HTMLParser):
    """The texts in a box, by name, and the names of all elements."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.texts: dict[str, str] = {}
        self.elements: set[str] = set()
        self.labels: set[str] = set()
        self.links: list[str] = []
        self._in = ""
        self.feed(html)

    def handle_starttag(self, tag, attrs) -> None:
        given = dict(attrs)
        self.elements.add(tag)
        if tag == "textarea":
            self._in = given["data-sp-text"]
            self.texts[self._in] = ""
            assert "readonly" in given
        if tag == "label":
            self.labels.add(given["for"])
        if tag == "a":
            self.links.append(given["href"])

    def handle_endtag(self, tag) -> None:
        if tag == "textarea":
            self._in = ""

    def handle_data(self, data) -> None:
        if self._in:
            self.texts[self._in] += data


@pytest.fixture
def route(tmp_path):
    return lambda **changes: load(make_route(tmp_path, notes(**changes)))


def files_of(route, link=LINK) -> dict[str, bytes]:
    found = share_files(route, measure(route, Settings()), Settings(), link)
    return {file.path.removeprefix(f"routes/{ID}/"): file.content for file in found}


def texts_in(script: bytes) -> dict[str, str]:
    """Return what the script gives, read as a browser would."""
    head, line = script.decode().rstrip().split("\n")
    assert head == "window.softpedalShare = window.softpedalShare || {};"
    start = f'softpedalShare["{ID}"] = '
    assert line.startswith(start)
    assert line.endswith(";")
    return json.loads(line[len(start) : -1])


def test_the_box_offers_three_texts_each_with_a_label_and_a_button(route) -> None:
    shown = route()
    html = share_section(shown, LINK)
    box = Boxes(html)
    assert box.texts == {"frame": iframe_code(shown, LINK), "card": "", "text": ""}
    assert box.labels == {"sp-share-frame", "sp-share-card", "sp-share-text"}
    assert html.count('data-sp-copy="') == html.count("<button") == 3
    assert box.links == ["embed/index.html", "card-html.txt", "card.txt", "share.js"]
    assert set(files_of(shown)) == {"card-html.txt", "card.txt", "share.js"}


def test_card_and_text_are_those_of_the_newsletter(route) -> None:
    shown = route()
    measures = measure(shown, Settings())
    files = files_of(shown)
    texts = texts_in(files["share.js"])
    words = card_words(shown, measures, Settings(), LINK)
    assert texts["card"] == mail_card(words)
    assert texts["text"] == text_card(words)
    assert files["card.txt"].decode("utf-8-sig") == texts["text"]
    assert unescape(files["card-html.txt"].decode("ascii")) == unescape(texts["card"])


def test_what_an_author_writes_stays_text(route) -> None:
    shown = route(title=NASTY)
    html = share_section(shown, LINK)
    box = Boxes(html)
    assert box.texts["frame"] == iframe_code(shown, LINK)
    assert not box.elements & {"b", "script", "iframe"}
    assert "Ω" in box.texts["frame"]
    script = files_of(shown)["share.js"]
    assert b"<" not in script
    assert NASTY in texts_in(script)["text"]


def test_the_frame_is_named_in_the_language_of_the_site(route) -> None:
    use(Language("de", {"Cycling route: {title}": "Radroute: {title}"}))
    try:
        code = Boxes(share_section(route(), LINK)).texts["frame"]
    finally:
        use(Language())
    assert 'title="Radroute: Ferry Steps to Chapel Green"' in code


@pytest.mark.parametrize("changes", UNSHARED)
def test_a_route_that_is_not_followed_is_not_shared(route, changes) -> None:
    shown = route(**changes)
    assert share_section(shown, LINK) == ""
    assert files_of(shown) == {}
    page = RoutePage(shown, measure(shown, Settings()), Settings(), LINK).page()
    assert "## Share" not in page.markdown


def test_without_the_site_s_address_the_box_says_why_and_gives_the_text(route) -> None:
    shown = route()
    html = share_section(shown, NOWHERE)
    assert "its owner must set site_url" in html
    assert list(Boxes(html).texts) == ["text"]
    files = files_of(shown, NOWHERE)
    assert set(files) == {"card.txt", "share.js"}
    assert list(texts_in(files["share.js"])) == ["text"]
    assert b"http" not in files["share.js"]


def test_the_box_has_its_heading_after_what_is_taken_along(route) -> None:
    shown = route()
    markdown = RoutePage(shown, measure(shown, Settings()), Settings(), LINK).page().markdown
    headings = [line for line in markdown.splitlines() if line.startswith("## ")]
    assert headings[headings.index("## Take it along") + 1] == "## Share"


def test_the_page_itself_stays_light(route) -> None:
    """The card is some kB: it is not in the page but in what is loaded when the box is opened."""
    assert len(share_section(route(), LINK)) < 3000
    assert len(files_of(route())["share.js"]) > 3000
