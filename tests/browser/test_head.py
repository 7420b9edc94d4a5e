"""What a page's head tells programs is that page's, with the theme's instant navigation too."""

from __future__ import annotations

import json

import pytest

from browser.test_policy import LISTEN

pytestmark = pytest.mark.browser

TRIP = """[...document.querySelectorAll('script[type="application/ld+json"]')]
    .map(script => JSON.parse(script.textContent).url)"""
SHOWN = "[...document.querySelectorAll('meta[property=\"og:url\"]')].map(meta => meta.content)"
#: The theme puts a space after the relation, which is a list of words.
LINKS = "[...document.querySelectorAll('link[rel~=alternate]')].map(link => link.type)"


def test_from_a_route_to_another_and_back(demo, visit) -> None:
    first, second = (
        f"{demo}routes/{name}/" for name in ("ferry-steps-to-chapel-green", "school-lane-link")
    )
    watched = visit(first, home=demo, before=LISTEN)
    page = watched.page
    page.evaluate("window.kept = true")
    watched.until("document.querySelectorAll('.sp-map-open, .sp-map').length")
    assert page.evaluate(TRIP) == page.evaluate(SHOWN) == [first]
    for address in (f"{demo}routes/", second):
        page.evaluate(
            """address => {
                const link = document.createElement("a");
                link.href = address;
                document.querySelector(".md-content").append(link);
                link.click();
            }""",
            address,
        )
        watched.until(f"location.href === {json.dumps(address)}")
        watched.until(f"({SHOWN})[0] === {json.dumps(address)}")
        is_route = address == second
        assert page.evaluate(TRIP) == ([second] if is_route else [])
        found = page.evaluate(LINKS)
        assert found.count("application/atom+xml") == 1
        assert ("application/gpx+xml" in found) == is_route
    page.go_back()
    page.go_back()
    watched.until(f"({SHOWN})[0] === {json.dumps(first)}")
    assert page.evaluate(TRIP) == [first]
    assert page.evaluate("window.kept") is True  # no page was loaded anew
    assert page.evaluate("window.stopped") == []
    assert watched.faults == []


def test_the_files_for_all_open_as_what_they_are(demo, visit) -> None:
    """The feed is XML without a fault: a browser shows it as a tree."""
    page = visit(f"{demo}routes/", home=demo).page
    line = page.locator("p", has_text="Take all of them along:")
    assert line.inner_text().endswith("news feed (Atom) · catalogue (JSON) · lines (GeoJSON)")
    page.goto(f"{demo}feed.xml")
    assert page.locator("parsererror").count() == 0
    assert "Ridden again: Ferry Steps to Chapel Green" in page.content()
