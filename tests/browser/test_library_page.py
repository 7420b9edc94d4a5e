"""The list of all routes and its filters, as a reader uses them."""

from __future__ import annotations

from urllib.parse import quote_plus

import pytest

from browser.library_site import ALL, MAP, READY, SHOWN, set_filter
from browser.sample_library import ROUTES

pytestmark = pytest.mark.browser

NOON = "Date.now = () => Date.parse('2026-06-09T00:00:00Z');"  # in the library's zone

#: Each filter with a value that is not its first, and what it leaves.
FILTERS = {
    "text": ("netmakers' quay", ["quay"]),
    "area": ("Claypits", ["cafe"]),
    "difficulty": ("easy", ["cafe", "quay", "path"]),
    "quiet": ("90", ["quay", "path"]),
    "length": ("2000", ["quay", "path"]),
    "signals": ("1", ["cafe", "quay", "path"]),
    "riding": ("1", ["quay", "path", "dock"]),
    "stepfree": ("1", ["quay", "path", "dock"]),
    "lit": ("1", ["cafe", "quay", "dock"]),
    "child": ("adult", ["quay"]),
    "cargo": ("care", ["quay", "path"]),
    "from": ("Café Row", ["cafe"]),
    "to": ("Alder Lock", ["path"]),
    "open": ("1", ALL),
    "seen": ("1", ALL),
    "order": ("length", ["path", "quay", "cafe", "dock"]),
}


def count(watched) -> str:
    return watched.page.locator(".sp-count").inner_text()


def test_all_routes_but_drafts_and_withdrawn_ones_are_listed(open_library) -> None:
    watched = open_library()
    assert watched.page.evaluate(SHOWN) == ALL
    assert count(watched) == "4 of 4 routes"
    assert watched.page.locator(".sp-count").get_attribute("role") == "status"
    assert watched.page.evaluate(f"{MAP} !== null")
    assert watched.faults == []


def test_the_table_of_filters_is_whole(open_library) -> None:
    names = open_library().page.evaluate(
        "[...document.querySelectorAll('.sp-library [name]')].map(c => c.name)"
    )
    assert sorted(names) == sorted(FILTERS)


@pytest.mark.parametrize("name", FILTERS)
def test_a_filter_goes_into_the_address_and_comes_back(
    open_library, visit, library_home, name
) -> None:
    value, left = FILTERS[name]
    watched = open_library(before=NOON)
    set_filter(watched, name, value)
    assert watched.page.evaluate(SHOWN) == left
    watched.until(f"new URLSearchParams(location.search).get('{name}') !== null")
    address = watched.page.url
    shared = visit(address, home=library_home, before=NOON)
    shared.until(READY)
    assert shared.page.evaluate(SHOWN) == left
    control = shared.page.locator(f".sp-library [name={name}]")
    assert control.is_visible()
    found = control.evaluate("c => c.type === 'checkbox' ? (c.checked ? '1' : '') : c.value")
    assert found == value
    if len(left) < len(ALL):
        assert count(shared) == f"{len(left)} of 4 routes"
    set_filter(shared, name, "")
    shared.until("location.search === ''")
    assert shared.page.evaluate(SHOWN) == ALL


def test_all_filters_at_once_come_back(open_library) -> None:
    query = "&".join(f"{name}={quote_plus(value)}" for name, (value, _) in FILTERS.items())
    watched = open_library(f"?{query}")
    watched.page.locator("[name=text]").fill("quay")
    watched.until("new URLSearchParams(location.search).get('text') === 'quay'")
    again = watched.page.evaluate("Object.fromEntries(new URLSearchParams(location.search))")
    wanted = {name: value for name, (value, _) in FILTERS.items()} | {"text": "quay"}
    assert again.pop("map")
    assert again == wanted


@pytest.mark.parametrize(
    "query",
    [
        "?area=Nowhere&difficulty=fierce&quiet=abc&length=-5&from=Mars&child=%FF&open=yes",
        "?lit=0&seen=2&map=99999,x,3&order=colour&unknown=1",
        "?%%%=&quiet=90.5&" + "x" * 3000,
        "?text=%20%20",
        "#?area=Nowhere",
    ],
)
def test_unknown_and_broken_values_are_ignored(open_library, query) -> None:
    watched = open_library(query)
    assert watched.page.evaluate(SHOWN) == ALL
    assert watched.faults == []


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("CAFE row", ["cafe"]),
        ("café", ["cafe"]),
        ("grain silo", ["quay"]),
        ("weir mill", ["quay"]),
        ("old harbour", ["cafe", "quay"]),
        ("bargemen’s", ["path"]),
        ("meadows", ["path"]),
    ],
)
def test_text_finds_titles_streets_landmarks_areas_and_ends(open_library, text, left) -> None:
    watched = open_library()
    watched.page.locator("[name=text]").fill(text)
    assert watched.page.evaluate(SHOWN) == left


@pytest.mark.parametrize(
    ("utc", "left"),
    [
        ("2026-06-09T08:59:00Z", ALL),  # 20:59 in Auckland
        ("2026-06-09T09:01:00Z", ["cafe", "quay", "dock"]),  # 21:01
        ("2026-06-14T17:59:00Z", ["cafe", "quay", "dock"]),  # Monday 05:59
        ("2026-06-14T18:01:00Z", ALL),  # Monday 06:01
    ],
)
def test_open_now_is_told_by_the_library_s_clock(open_library, utc, left) -> None:
    watched = open_library(
        "?open=1", before=f"Date.now = () => Date.parse('{utc}');", timezone_id="America/Lima"
    )
    assert watched.page.evaluate(SHOWN) == left
    assert "check the hours" in watched.page.locator(".sp-check-hours").inner_text()


def test_an_empty_list_says_which_filter_to_loosen(open_library) -> None:
    watched = open_library("?area=Docks&quiet=90")
    assert watched.page.evaluate(SHOWN) == []
    assert count(watched) == "0 of 4 routes"
    ways = watched.page.locator(".sp-loosen button")
    assert ways.all_inner_texts() == [
        "Leave out “Area: Docks” (routes then: 2)",
        "Leave out “Quiet share at least: 90 %” (routes then: 1)",
    ]
    ways.nth(1).click()
    assert watched.page.evaluate(SHOWN) == ["dock"]
    watched.page.locator(".sp-count-line .sp-show-all").click()
    assert watched.page.evaluate(SHOWN) == ALL
    assert watched.page.locator("[name=area]").input_value() == ""


def test_where_no_one_filter_is_in_the_way_the_page_says_so(open_library) -> None:
    watched = open_library("?area=Docks&quiet=90&text=cafe")
    assert watched.page.locator(".sp-loosen button").count() == 0
    assert watched.page.locator(".sp-loosen-none").is_visible()
    watched.page.locator(".sp-nothing .sp-show-all").click()
    assert watched.page.evaluate(SHOWN) == ALL


def test_from_a_disk_the_filters_stand_behind_the_hash(library_on_disk, visit) -> None:
    watched = visit(library_on_disk)
    watched.until(READY)
    set_filter(watched, "area", "Docks")
    watched.until("/area=Docks/.test(location.href)")
    shared = visit(watched.page.url)
    shared.until(READY)
    assert shared.page.evaluate(SHOWN) == ["dock"]
    shared.page.locator(".sp-count-line .sp-show-all").click()
    shared.until("!/area/.test(location.href)")
    assert watched.faults == []
    assert shared.faults == []


def test_without_script_it_is_a_whole_list_in_a_few_orders(library_home, visit) -> None:
    watched = visit(f"{library_home}routes/", home=library_home, java_script_enabled=False)
    page = watched.page
    assert page.locator("[data-sp-row] .sp-row-title").all_inner_texts() == [
        text["title"] for text, _, _ in ROUTES.values()
    ]
    assert not page.locator(".sp-find").is_visible()
    assert not page.locator(".sp-library-map").is_visible()
    page.get_by_role("link", name="Routes by length").click()
    titles = page.locator("[data-sp-row] .sp-row-title").all_inner_texts()
    assert titles[0] == "Meadow path"
    assert titles[-1] == "Along Dock Road"
