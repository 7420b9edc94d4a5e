"""The library of attacks (`hostile.py`) in a real browser, under no policy: nothing of it runs."""

from __future__ import annotations

import pytest

from browser.conftest import serving
from browser.map_page import OPEN
from hostile import ROUTES, hostile_library, title_of
from site_building import build_site

pytestmark = pytest.mark.browser

#: An attack that ran would have called one of these; and what it would have left.
HOOK = """window.ran = [];
for (const name of ["alert", "confirm", "prompt", "print", "open"])
    window[name] = (...given) => { window.ran.push(name + " " + given); };"""
LEFT = """[...document.querySelectorAll(
    "[onerror], [onload], img[src='x'], a[href^='javascript:' i]")].map(e => e.outerHTML)"""


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    """Address of the site of attacks; its pages may run whatever they hold."""
    root = tmp_path_factory.mktemp("attacks")
    with serving(root, policy="") as served:
        (root / "favicon.ico").write_bytes(b"")  # a browser asks for one
        library = hostile_library(tmp_path_factory.mktemp("library"))
        build_site(library, site_url=f"{served.url}rides/").folder.rename(root / "rides")
        yield f"{served.url}rides/"


@pytest.fixture
def attacked(home, visit):
    """Open a page of that site; its faults at the end fail the test."""
    seen = []

    def open_page(path: str):
        watched = visit(home + path, home=home, before=HOOK)
        watched.page.on("dialog", lambda dialog: watched.faults.append(f"dialog: {dialog.message}"))
        seen.append(watched)
        return watched

    yield open_page
    for watched in seen:
        assert watched.page.evaluate("window.ran") == []
        assert watched.page.evaluate(LEFT) == []
        assert watched.faults == []


@pytest.mark.parametrize("route", ROUTES)
def test_a_route_s_page_and_its_map(attacked, route) -> None:
    page = attacked(f"routes/{route}/")
    page.until(OPEN)
    assert title_of(route) in page.page.locator("h1").inner_text()
    markers = page.page.locator(".leaflet-marker-icon")
    assert markers.count() > 4
    for number in range(markers.count()):  # each opens what it has to tell
        markers.nth(number).dispatch_event("click")
    page.page.locator(".sp-share summary").click()
    page.page.wait_for_timeout(200)
    for button in page.page.locator(".sp-switches button, .sp-switches label").all():
        button.dispatch_event("click")
    page.page.wait_for_timeout(300)


@pytest.mark.parametrize("route", ROUTES)
def test_the_page_that_others_embed(attacked, route) -> None:
    page = attacked(f"routes/{route}/embed/")
    page.page.wait_for_timeout(300)
    words = " ".join(page.page.locator("body").inner_text().split())
    assert title_of(route) in words


@pytest.mark.parametrize(
    "path", ["routes/", "lists/by-title/", "areas/", "gaps/", "difficulty/demanding/"]
)
def test_the_lists(attacked, path) -> None:
    page = attacked(path)
    page.page.wait_for_timeout(500)
    if path == "lists/by-title/":
        words = " ".join(page.page.locator("article").inner_text().split())
        assert all(title_of(route) in words for route in ROUTES)


def test_the_search(attacked) -> None:
    page = attacked("routes/")
    page.page.locator(".md-search__input").click()
    page.page.wait_for_timeout(500)
    page.page.keyboard.type("Bcc")
    page.page.locator(".md-search-result__list > li a").first.wait_for()
    page.page.wait_for_timeout(300)
    assert "{{7*7}}" in page.page.locator(".md-search-result__list").inner_text()


def test_the_hook_notices(home, visit) -> None:
    """An attack that runs is seen by what the tests above look at."""
    watched = visit(home, home=home, before=HOOK)
    watched.page.evaluate("""() => {
        document.body.insertAdjacentHTML("beforeend", "<img src=x onerror=alert(1)>");
    }""")
    assert watched.until("window.ran.length") == 1
    assert len(watched.page.evaluate(LEFT)) == 1
