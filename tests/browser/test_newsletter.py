"""An issue of the newsletter as a mail program shows it: narrow and wide, pictures on and off."""

from __future__ import annotations

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe

from browser.conftest import serving
from softpedal.library.load import load_route, load_settings, route_folders
from softpedal.measure.route_measures import measure_loaded
from softpedal.site.issue_news import Happened
from softpedal.site.issue_parts import Piece
from softpedal.site.mail_card import mail_card
from softpedal.site.mail_words import card_words
from softpedal.site.newsletter import newsletter
from softpedal.site.pictures import picture_files
from softpedal.site.plain_pages import Addresses

pytestmark = pytest.mark.browser

ROOT = Path(__file__).parents[2]
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
INTRO = "## Before winter\n\nThe **lights** are on.\n\n- a\n- b\n\n> said `here`\n\n```\nx\n```\n"
LONG = "Donaudampfschifffahrtsgesellschaftskapitaenswitwenrentenauszahlungsstelle" * 2
#: What is read of a mail: the smallest text, the widest thing, and what of a picture is seen.
SMALLEST = """() => Math.min(...[...document.querySelectorAll("body *")].filter(e =>
    e.offsetParent && [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim())).map(e =>
    parseFloat(getComputedStyle(e).fontSize)))"""
PICTURES = """() => [...document.images].map(i => [i.complete && i.naturalWidth, i.clientWidth,
    i.clientHeight])"""


@pytest.fixture(scope="module")
def mail(tmp_path_factory):
    """Addresses of an issue with every sort of entry, and of a card by itself."""
    folder = tmp_path_factory.mktemp("mail")
    settings, _ = load_settings(ROOT / "softpedal.yml")
    assert settings
    with serving(folder, policy="") as served:
        link = Addresses("directory", served.url)
        pieces = []
        for route_folder in route_folders(ROOT):
            measured = measure_loaded(load_route(route_folder, settings), settings)
            if measured.route is None or measured.route.notes.status == "draft":
                continue
            assert measured.measures
            happened = (Happened("alert over", "2026-10-15", f"The *quay* {LONG}."),)
            happened = happened if len(pieces) % 3 else (Happened("new", "2026-05-01"),)
            pieces.append(Piece(measured.route, measured.measures, happened))
            told = measured.route, measured.measures, settings, link
            for file in picture_files(*told, background=None):
                if file.path.endswith("card.png"):
                    (folder / file.path).parent.mkdir(parents=True)
                    (folder / file.path).write_bytes(file.content)
        more = {"today": "2026-09-20", "intro": INTRO}
        issue = newsletter(pieces, settings, link, **more, gone=[LONG])
        (folder / "favicon.ico").touch()
        (folder / "issue.html").write_text(issue.html, encoding="utf-8")
        few = newsletter(pieces * 3, settings, link, **more)
        assert few.short
        (folder / "short.html").write_text(few.html, encoding="utf-8")
        card = mail_card(card_words(pieces[0].route, pieces[0].measures, settings, link))
        (folder / "card.html").write_text(f"<!DOCTYPE html>{card}", encoding="utf-8")
        yield served.url


def opened(visit, mail, page, *, pictures=True, width=360, scheme="light"):
    watched = visit(
        "about:blank",
        home="http://127.0.0.1:",
        viewport={"width": width, "height": 800},
        color_scheme=scheme,
    )
    if not pictures:
        watched.page.route("**/*.png", lambda route: route.abort())
    watched.page.goto(mail + page)
    return watched


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("pictures", [True, False], ids=["pictures", "no-pictures"])
@pytest.mark.parametrize("width", [360, 640])
@pytest.mark.parametrize("page", ["issue.html", "short.html", "card.html"])
def test_a_mail_is_read_without_scrolling_sideways(visit, mail, page, width, pictures, scheme):  # noqa: PLR0917 - as parametrized
    watched = opened(visit, mail, page, pictures=pictures, width=width, scheme=scheme)
    assert watched.page.evaluate("document.documentElement.scrollWidth") <= width
    assert watched.page.evaluate(SMALLEST) >= 13
    shown = watched.page.evaluate(PICTURES)
    assert shown
    for natural, wide, high in shown:
        assert natural == (1200 if pictures else 0)
        assert 250 < wide <= 600
        assert high >= (100 if pictures else 20), "a picture, or words for it"
    if pictures:
        assert watched.faults == []
    if page != "card.html":
        options = {"runOnly": TAGS, "resultTypes": ["violations"]}
        assert Axe().run(watched.page, options=options).response["violations"] == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_contrast_holds_without_the_style_sheet(visit, mail, scheme):
    """Many programs drop it, and some of these turn the ground of the page dark by themselves."""
    watched = opened(visit, mail, "issue.html", scheme=scheme)
    watched.page.evaluate("document.querySelector('style').remove()")
    found = Axe().run(watched.page, options={"runOnly": TAGS}).response
    assert found["violations"] == []
    assert any(rule["id"] == "color-contrast" for rule in found["passes"])


def test_the_dark_page_is_dark(visit, mail):
    grounds = {
        scheme: opened(visit, mail, "issue.html", scheme=scheme).page.evaluate(
            "[...new Set([...document.querySelectorAll('body, td')].map(e =>"
            " getComputedStyle(e).backgroundColor))]"
        )
        for scheme in ("light", "dark")
    }
    assert grounds == {"light": ["rgb(255, 255, 255)"], "dark": ["rgb(28, 28, 28)"]}


def test_the_line_beside_the_subject_is_not_seen(visit, mail):
    watched = opened(visit, mail, "issue.html")
    assert watched.page.locator("body > div").is_hidden()
    assert watched.page.locator("body > div").text_content()
