"""The theme's search finds a route of the demo by what a reader knows of it."""

from __future__ import annotations

import re

import pytest

from browser.test_site import home  # noqa: F401 - a fixture

pytestmark = pytest.mark.browser

FIRST = ".md-search-result__list > li .md-search-result__link"


@pytest.mark.parametrize(
    ("known", "words", "route"),
    [
        ("street", "Sailmaker Row", "(ferry-steps-to-chapel-green|dock-road-to-grain-road)"),
        ("street", "Pugmill Rise", "heron-bridge-to-kiln-top"),
        ("landmark", "College clock", "college-to-northfield"),
        ("area", "Claypits", "heron-bridge-to-kiln-top"),
        ("start", "Lantern Street", "lantern-street-to-cinder-path"),
        ("finish", "Weir Mill", "chapel-green-to-weir-mill"),
    ],
)
def test_the_first_result_is_the_route(home, visit, known, words, route) -> None:  # noqa: F811
    watched = visit(home, home=home)
    watched.page.locator(".md-search__input").click()
    watched.page.wait_for_timeout(500)
    watched.page.keyboard.type(words)
    watched.page.locator(FIRST).first.wait_for()
    watched.page.wait_for_timeout(500)
    addresses = watched.page.locator(FIRST).evaluate_all("all => all.map(a => a.pathname)")
    assert re.search(rf"/routes/{route}/$", addresses[0]), (known, addresses)


def test_lists_are_not_searched(home, visit) -> None:  # noqa: F811
    """What stands in every list would drown the routes."""
    watched = visit(home, home=home)
    index = watched.page.evaluate("fetch('search/search_index.json').then(r => r.json())")
    places = {doc["location"] for doc in index["docs"]}
    assert any(place.startswith("routes/ferry-steps") for place in places)
    for place in places:
        assert not place.startswith(("areas/", "difficulty/", "lists/")), place
        assert place != "routes/"
