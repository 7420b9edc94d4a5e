"""The demo under `softpedal policy`: nothing on any kind of page is stopped."""

from __future__ import annotations

import pytest

from browser.kinds_of_page import FERRY, PAGES
from browser.map_page import OPEN

pytestmark = pytest.mark.browser

LISTEN = """window.stopped = [];
document.addEventListener("securitypolicyviolation", e => window.stopped.push(
    e.violatedDirective + " " + e.blockedURI + " " + e.sourceFile));"""


@pytest.mark.parametrize("kind", PAGES)
def test_nothing_is_stopped(demo, visit, kind) -> None:
    watched = visit(demo + PAGES[kind], home=demo, before=LISTEN)
    watched.page.wait_for_timeout(400)
    if watched.page.locator(".sp-map").count():
        watched.until(OPEN)
    assert watched.page.evaluate("window.stopped") == []
    assert watched.faults == []


def test_the_theme_runs_its_own_scripts(demo, visit) -> None:
    watched = visit(demo, home=demo, before=LISTEN)
    assert watched.until("typeof window.__md_get === 'function'")
    before = watched.page.evaluate("document.body.getAttribute('data-md-color-scheme')")
    watched.page.locator("label[for^=__palette]:visible").click()
    watched.until(f"document.body.getAttribute('data-md-color-scheme') !== '{before}'")
    assert watched.page.evaluate("window.stopped") == []


def test_the_search_works(demo, visit) -> None:
    watched = visit(demo, home=demo, before=LISTEN)
    watched.page.locator(".md-search__input").click()
    watched.page.wait_for_timeout(800)
    watched.page.keyboard.type("Netmakers")
    watched.page.locator(".md-search-result__link").first.wait_for()
    assert "Ferry Steps" in watched.page.locator(".md-search-result__list").inner_text()
    assert watched.page.evaluate("window.stopped") == []
    assert watched.faults == []


def test_what_the_policy_does_not_name_is_stopped(demo, visit) -> None:
    watched = visit(demo + FERRY, home=demo, before=LISTEN)
    watched.page.evaluate("""() => {
        const script = document.createElement("script");
        script.textContent = "window.ran = true";
        document.body.append(script);
    }""")
    assert watched.until("window.stopped.length") == 1
    assert watched.page.evaluate("window.ran === undefined")
