"""The map of all routes beside its list, as a reader uses them."""

from __future__ import annotations

import re
from urllib.parse import urlsplit

import pytest

from browser.library_site import ALL, MAP, READY, SHOWN, set_filter

pytestmark = pytest.mark.browser

LIT = "[...document.querySelectorAll('.sp-row-lit')].map(r => r.dataset.spRow)"
LINE = "(document.querySelector('.sp-line-lit').getAttribute('d') || '').length > 6"
#: How far the lit line's left end is from where the route starts, in pixels.
OFF = """(() => {{
  const line = document.querySelector(".sp-line-lit").getBoundingClientRect();
  const canvas = document.querySelector(".sp-map-canvas").getBoundingClientRect();
  const start = {map}.latLngToContainerPoint([50.02, -20]);
  return [line.x - canvas.x - start.x, line.y - canvas.y - start.y];
}})()"""
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}


def test_a_row_lights_its_line_and_a_line_its_row(open_library) -> None:
    watched = open_library()
    assert not watched.page.evaluate(LINE)
    watched.page.locator("[data-sp-row=cafe] .sp-row-title").hover()
    assert watched.page.evaluate(LIT) == ["cafe"]
    assert watched.page.evaluate(LINE)
    off = watched.page.evaluate(OFF.format(map=MAP))
    assert off == pytest.approx([0, 0], abs=8), "it lies over its line"
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


def test_a_click_on_a_line_opens_its_strip_and_a_link(open_library) -> None:
    watched = open_library()
    watched.page.mouse.click(*point_on_map(watched, 50.04, -19.97))
    card = watched.page.locator(".leaflet-popup .sp-library-card")
    card.wait_for()
    assert card.locator("svg.sp-strip-small").count() == 1
    watched.page.locator(".sp-count").hover()
    assert watched.page.evaluate(LIT) == ["dock"], "the line of an open pop-up stays lit"
    card.get_by_role("link", name="Along Dock Road").click()
    watched.until("location.pathname.endsWith('/routes/dock/')")


def test_the_map_draws_only_what_is_listed(open_library) -> None:
    watched = open_library("?area=Claypits")
    lines = f"Object.values({MAP}._layers).filter(layer => layer.options.route).length"
    assert watched.page.evaluate(lines) == 1
    assert watched.page.evaluate(f"{MAP}.getBounds().contains([50.02, -19.99])")
    assert not watched.page.evaluate(f"{MAP}.getBounds().contains([50.06, -19.99])")
    set_filter(watched, "area", "")
    assert watched.page.evaluate(lines) == 4
    assert watched.page.evaluate(f"{MAP}.getBounds().contains([50.06, -19.99])")


def test_the_list_follows_the_map_only_when_asked(open_library, library_home, visit) -> None:
    watched = open_library()
    look = f"{MAP}.setView([50.02, -19.985], 15, {{animate: false}})"
    watched.page.evaluate(look)
    assert watched.page.evaluate(SHOWN) == ALL
    watched.page.locator("[name=seen]").check()
    assert watched.page.evaluate(SHOWN) == ["cafe"]
    watched.page.evaluate(f"{MAP}.setView([50.06, -19.985], 15, {{animate: false}})")
    assert watched.page.evaluate(SHOWN) == ["path"]
    watched.until("/map=50.06/.test(location.search)")
    shared = visit(watched.page.url, home=library_home)
    shared.until(READY)
    assert shared.page.evaluate(SHOWN) == ["path"]


def test_away_and_back_keeps_the_filters_and_leaves_one_map(open_library) -> None:
    watched = open_library("?quiet=90")
    watched.page.evaluate("window.stillHere = true")
    watched.page.locator("[data-sp-row=quay] .sp-row-title").click()
    watched.until("location.pathname.endsWith('/routes/quay/')")
    watched.until("document.querySelector('.sp-library') === null")
    watched.until("softpedal.library.size === 0")
    watched.page.go_back()
    watched.until(READY)
    assert watched.page.evaluate("window.stillHere === true"), "the page was loaded anew"
    # the theme may put the page in twice
    watched.until(f"{READY} && ({SHOWN}).join() === 'quay,path'")
    assert watched.page.locator(".sp-map-canvas").count() == 1
    assert watched.faults == []


def test_on_a_phone_the_map_holds_still_and_nothing_scrolls_sideways(open_library) -> None:
    watched = open_library("?child=care&open=1", **PHONE)
    assert watched.page.evaluate("document.documentElement.scrollWidth") <= 390
    assert not watched.page.evaluate(f"{MAP}.dragging.enabled()")
    watched.page.get_by_role("button", name="Move map").tap()
    assert watched.page.evaluate(f"{MAP}.dragging.enabled()")
    map_box = watched.page.locator(".sp-library-map").bounding_box()
    list_box = watched.page.locator(".sp-rows").bounding_box()
    assert map_box["y"] + map_box["height"] <= list_box["y"]


def test_on_a_wide_page_the_map_stands_beside_the_list(open_library) -> None:
    watched = open_library(viewport={"width": 1366, "height": 768})
    map_box = watched.page.locator(".sp-library-map").bounding_box()
    list_box = watched.page.locator(".sp-library-list").bounding_box()
    assert list_box["x"] + list_box["width"] <= map_box["x"]


def test_without_the_map_s_program_the_filters_still_work(library_home, chromium) -> None:
    context = chromium.new_context()
    page = context.new_page()
    page.route(re.compile("leaflet"), lambda route: route.abort())
    page.goto(f"{library_home}routes/?area=Docks")
    page.locator(".sp-map-failed .sp-map-sorry").wait_for()
    assert page.evaluate(SHOWN) == ["dock"]
    context.close()


def test_nothing_but_the_site_is_asked(open_library) -> None:
    watched = open_library()
    watched.page.wait_for_timeout(300)
    assert watched.faults == []
    assert urlsplit(watched.page.url).path.endswith("/routes/")
