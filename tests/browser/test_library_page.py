"""The page of all routes: list, map and filters, as a reader uses them."""

from __future__ import annotations

import re
from urllib.parse import quote_plus, urlsplit

import pytest

from browser.conftest import serving
from browser.sample_library import ROUTES, build_library

pytestmark = pytest.mark.browser

ALL = list(ROUTES)
READY = "document.querySelector('[data-sp-ready]') !== null"
SHOWN = "[...document.querySelectorAll('[data-sp-row]:not([hidden])')].map(r => r.dataset.spRow)"
LIT = "[...document.querySelectorAll('.sp-row-lit')].map(r => r.dataset.spRow)"
LINE = "(document.querySelector('.sp-line-lit').getAttribute('d') || '').length > 6"
MAP = "[...softpedal.library.values()][0].map"
NOON = "Date.now = () => Date.parse('2026-06-09T00:00:00Z');"  # in the library's zone
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}

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


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    """Address of the library's site, from a sub-path, with the theme's instant navigation."""
    root = tmp_path_factory.mktemp("library")
    with serving(root, policy="") as served:
        site = build_library(root / "work", site_url=f"{served.url}rides/")
        site.rename(root / "rides")
        yield f"{served.url}rides/"


@pytest.fixture(scope="module")
def on_disk(tmp_path_factory) -> str:
    """The page's address on a disk."""
    folder = tmp_path_factory.mktemp("disk")
    site = build_library(folder, use_directory_urls=False, plugins=["softpedal"])
    return (site / "routes" / "index.html").as_uri()


@pytest.fixture
def open_page(home, visit):
    """A function that opens the page with a query and waits until it is ready."""

    def opened(query: str = "", **options):
        watched = visit(f"{home}routes/{query}", home=home, **options)
        watched.until(READY)
        return watched

    return opened


def count(watched) -> str:
    return watched.page.locator(".sp-count").inner_text()


def set_filter(watched, name: str, value: str) -> None:
    control = watched.page.locator(f".sp-library [name={name}]")
    if not control.is_visible():
        watched.page.locator(".sp-more").click()
    kind = control.evaluate("each => each.type")
    if kind == "checkbox":
        control.set_checked(bool(value))
    elif kind == "search":
        control.fill(value)
    else:
        control.select_option(value)


def test_all_routes_but_drafts_and_withdrawn_ones_are_listed(open_page) -> None:
    watched = open_page()
    assert watched.page.evaluate(SHOWN) == ALL
    assert count(watched) == "4 of 4 routes"
    assert watched.page.locator(".sp-count").get_attribute("role") == "status"
    assert watched.page.evaluate(f"{MAP} !== null")
    assert watched.faults == []


def test_the_table_of_filters_is_whole(open_page) -> None:
    names = open_page().page.evaluate(
        "[...document.querySelectorAll('.sp-library [name]')].map(c => c.name)"
    )
    assert sorted(names) == sorted(FILTERS)


@pytest.mark.parametrize("name", FILTERS)
def test_a_filter_goes_into_the_address_and_comes_back(open_page, visit, home, name) -> None:
    value, left = FILTERS[name]
    watched = open_page(before=NOON)
    set_filter(watched, name, value)
    assert watched.page.evaluate(SHOWN) == left
    watched.until(f"new URLSearchParams(location.search).get('{name}') !== null")
    address = watched.page.url
    shared = visit(address, home=home, before=NOON)
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


def test_all_filters_at_once_come_back(open_page) -> None:
    query = "&".join(f"{name}={quote_plus(value)}" for name, (value, _) in FILTERS.items())
    watched = open_page(f"?{query}")
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
def test_unknown_and_broken_values_are_ignored(open_page, query) -> None:
    watched = open_page(query)
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
def test_text_finds_titles_streets_landmarks_areas_and_ends(open_page, text, left) -> None:
    watched = open_page()
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
def test_open_now_is_told_by_the_library_s_clock(open_page, utc, left) -> None:
    watched = open_page(
        "?open=1", before=f"Date.now = () => Date.parse('{utc}');", timezone_id="America/Lima"
    )
    assert watched.page.evaluate(SHOWN) == left
    assert "check the hours" in watched.page.locator(".sp-check-hours").inner_text()


def test_an_empty_list_says_which_filter_to_loosen(open_page) -> None:
    watched = open_page("?area=Docks&quiet=90")
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


def test_where_no_one_filter_is_in_the_way_the_page_says_so(open_page) -> None:
    watched = open_page("?area=Docks&quiet=90&text=cafe")
    assert watched.page.locator(".sp-loosen button").count() == 0
    assert watched.page.locator(".sp-loosen-none").is_visible()
    watched.page.locator(".sp-nothing .sp-show-all").click()
    assert watched.page.evaluate(SHOWN) == ALL


def test_a_row_lights_its_line_and_a_line_its_row(open_page) -> None:
    watched = open_page()
    assert not watched.page.evaluate(LINE)
    watched.page.locator("[data-sp-row=cafe] .sp-row-title").hover()
    assert watched.page.evaluate(LIT) == ["cafe"]
    assert watched.page.evaluate(LINE)
    watched.page.locator(".sp-count").hover()
    assert not watched.page.evaluate(LINE)
    watched.page.locator("[data-sp-row=quay] .sp-row-title").focus()
    assert watched.page.evaluate(LIT) == ["quay"]
    watched.page.mouse.move(*point_on_map(watched, 50.04, -19.97))
    watched.until(f"({LIT})[0] === 'dock'")


def point_on_map(watched, lat: float, lon: float) -> tuple[float, float]:
    watched.page.locator(".sp-library-map").scroll_into_view_if_needed()
    box = watched.page.locator(".sp-library-map .sp-map-canvas").bounding_box()
    point = f"{MAP}.latLngToContainerPoint([{lat}, {lon}])"
    x, y = watched.page.evaluate(f"[{point}.x, {point}.y]")
    return box["x"] + x, box["y"] + y


def test_a_click_on_a_line_opens_its_strip_and_a_link(open_page) -> None:
    watched = open_page()
    watched.page.mouse.click(*point_on_map(watched, 50.04, -19.97))
    card = watched.page.locator(".leaflet-popup .sp-library-card")
    card.wait_for()
    assert card.locator("svg.sp-strip-small").count() == 1
    watched.page.locator(".sp-count").hover()
    assert watched.page.evaluate(LIT) == ["dock"], "the line of an open pop-up stays lit"
    card.get_by_role("link", name="Along Dock Road").click()
    watched.until("location.pathname.endsWith('/routes/dock/')")


def test_the_map_draws_only_what_is_listed(open_page) -> None:
    watched = open_page("?area=Claypits")
    lines = f"Object.values({MAP}._layers).filter(layer => layer.options.route).length"
    assert watched.page.evaluate(lines) == 1
    assert watched.page.evaluate(f"{MAP}.getBounds().contains([50.02, -19.99])")
    assert not watched.page.evaluate(f"{MAP}.getBounds().contains([50.06, -19.99])")
    set_filter(watched, "area", "")
    assert watched.page.evaluate(lines) == 4
    assert watched.page.evaluate(f"{MAP}.getBounds().contains([50.06, -19.99])")


def test_the_list_follows_the_map_only_when_asked(open_page, home, visit) -> None:
    watched = open_page()
    look = f"{MAP}.setView([50.02, -19.985], 15, {{animate: false}})"
    watched.page.evaluate(look)
    assert watched.page.evaluate(SHOWN) == ALL
    watched.page.locator("[name=seen]").check()
    assert watched.page.evaluate(SHOWN) == ["cafe"]
    watched.page.evaluate(f"{MAP}.setView([50.06, -19.985], 15, {{animate: false}})")
    assert watched.page.evaluate(SHOWN) == ["path"]
    watched.until("/map=50.06/.test(location.search)")
    shared = visit(watched.page.url, home=home)
    shared.until(READY)
    assert shared.page.evaluate(SHOWN) == ["path"]


def test_away_and_back_keeps_the_filters_and_leaves_one_map(open_page) -> None:
    watched = open_page("?quiet=90")
    watched.page.evaluate("window.stillHere = true")
    watched.page.locator("[data-sp-row=quay] .sp-row-title").click()
    watched.until("location.pathname.endsWith('/routes/quay/')")
    watched.until("document.querySelector('.sp-library') === null")
    watched.until("softpedal.library.size === 0")
    watched.page.go_back()
    watched.until(READY)
    assert watched.page.evaluate("window.stillHere === true"), "the page was loaded anew"
    assert watched.page.evaluate(SHOWN) == ["quay", "path"]
    assert watched.page.locator(".sp-map-canvas").count() == 1
    assert watched.faults == []


def test_on_a_phone_the_map_holds_still_and_nothing_scrolls_sideways(open_page) -> None:
    watched = open_page("?child=care&open=1", **PHONE)
    assert watched.page.evaluate("document.documentElement.scrollWidth") <= 390
    assert not watched.page.evaluate(f"{MAP}.dragging.enabled()")
    watched.page.get_by_role("button", name="Move map").tap()
    assert watched.page.evaluate(f"{MAP}.dragging.enabled()")
    map_box = watched.page.locator(".sp-library-map").bounding_box()
    list_box = watched.page.locator(".sp-rows").bounding_box()
    assert map_box["y"] + map_box["height"] <= list_box["y"]


def test_on_a_wide_page_the_map_stands_beside_the_list(open_page) -> None:
    watched = open_page(viewport={"width": 1366, "height": 768})
    map_box = watched.page.locator(".sp-library-map").bounding_box()
    list_box = watched.page.locator(".sp-library-list").bounding_box()
    assert list_box["x"] + list_box["width"] <= map_box["x"]


def test_from_a_disk_the_filters_stand_behind_the_hash(on_disk, visit) -> None:
    watched = visit(on_disk)
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


def test_without_script_it_is_a_whole_list_in_a_few_orders(home, visit) -> None:
    watched = visit(f"{home}routes/", home=home, java_script_enabled=False)
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


def test_without_the_map_s_program_the_filters_still_work(home, chromium) -> None:
    context = chromium.new_context()
    page = context.new_page()
    page.route(re.compile("leaflet"), lambda route: route.abort())
    page.goto(f"{home}routes/?area=Docks")
    page.locator(".sp-map-failed .sp-map-sorry").wait_for()
    assert page.evaluate(SHOWN) == ["dock"]
    context.close()


def test_nothing_but_the_site_is_asked(open_page) -> None:
    watched = open_page()
    watched.page.wait_for_timeout(300)
    assert watched.faults == []
    assert urlsplit(watched.page.url).path.endswith("/routes/")
