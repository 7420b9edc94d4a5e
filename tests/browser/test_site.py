"""The demo, built with MkDocs and Material, as a reader opens it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from browser.conftest import serving
from browser.map_page import OPEN
from demo_site import build_demo

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.browser

FERRY = "routes/ferry-steps-to-chapel-green"
PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True}


@pytest.fixture(scope="session")
def demo_files(tmp_path_factory) -> Path:
    """The demo without directory addresses and without search, to be opened from a disk."""
    return build_demo(
        tmp_path_factory.mktemp("files"), use_directory_urls=False, plugins=["softpedal"]
    )


@pytest.fixture(scope="session")
def home(tmp_path_factory):
    """Address of the demo, from a sub-path, with what Material itself needs allowed.

    Its `site_url` is this address, without which the theme's instant navigation sleeps.
    """
    root = tmp_path_factory.mktemp("demo")
    with serving(root, policy="") as served:
        build_demo(root / "rides", site_url=f"{served.url}rides/")
        yield f"{served.url}rides/"


@pytest.fixture(params=["light", "dark"])
def page(request, home, visit):
    """A route's page with its map open."""
    watched = visit(f"{home}{FERRY}/", home=home, color_scheme=request.param)
    watched.until(OPEN)
    return watched


def test_the_page_opens_without_a_fault(page) -> None:
    page.page.wait_for_timeout(300)
    assert page.faults == []
    assert page.page.locator(".sp-cues tr[data-leg]").count() >= 8
    assert page.page.locator(".sp-strip").first.locator("[data-leg]").count() >= 8


def test_legs_are_seen_on_the_map(page) -> None:
    boxes = page.page.evaluate(
        "[...document.querySelectorAll('.sp-leg')].map(p => p.getBoundingClientRect().width)"
    )
    assert len(boxes) >= 8
    assert all(width > 0 for width in boxes)
    page.page.locator(".sp-map").scroll_into_view_if_needed()
    picture = page.page.locator(".sp-map").screenshot()
    assert _has_colour(picture, (0x00, 0x77, 0xBB))
    assert _has_colour(picture, (0x00, 0x99, 0x88))
    assert _has_colour(picture, (0xEE, 0x33, 0x77))


def test_markers_are_reached_by_keyboard_and_have_a_spoken_name(page) -> None:
    page.page.locator(".sp-skip").first.focus()
    names = []
    for _ in range(40):
        page.page.keyboard.press("Tab")
        name = page.page.evaluate(
            "document.activeElement.closest('.leaflet-marker-icon')"
            " && document.activeElement.getAttribute('aria-label')"
        )
        names += [name] if name else []
    assert any("Cross Dock Road" in name for name in names), names
    assert any("Finish: " in name for name in names), names


def test_from_page_to_page_and_back_one_map_is_left(home, visit) -> None:
    watched = visit(f"{home}{FERRY}/", home=home)
    watched.until(OPEN)
    watched.page.evaluate("window.stillHere = true")
    watched.page.wait_for_timeout(500)
    watched.page.get_by_role("link", name="How we measure").last.click()
    watched.until("location.pathname.includes('how-we-measure')")
    watched.until("document.querySelector('.sp-map') === null")
    assert watched.page.evaluate("window.stillHere === true"), "the page was loaded anew"
    watched.page.go_back()
    watched.until(OPEN)
    assert watched.page.locator(".sp-map-canvas").count() == 1
    assert watched.faults == []


@pytest.mark.parametrize("path", [f"{FERRY}/", "routes/", "areas/", "how-we-measure/", ""])
def test_a_phone_never_scrolls_sideways(home, visit, path) -> None:
    watched = visit(home + path, home=home, **PHONE)
    watched.page.wait_for_timeout(300)
    assert watched.page.evaluate("document.documentElement.scrollWidth") <= 360
    assert watched.faults == []


def test_the_demo_opens_from_a_disk(demo_files, visit) -> None:
    watched = visit((demo_files / FERRY / "index.html").as_uri())
    watched.until(OPEN)
    watched.page.wait_for_timeout(300)
    assert watched.faults == []
    assert watched.page.locator(".sp-leg").count() >= 8
    link = watched.page.get_by_role("link", name="Chapel Side").last
    link.click()
    assert watched.page.locator("h1").inner_text().startswith("Routes in Chapel Side")


def test_a_list_leads_to_a_route(home, visit) -> None:
    watched = visit(f"{home}routes/", home=home)
    watched.page.get_by_role("link", name="Ferry Steps to Chapel Green").click()
    watched.until(OPEN)
    assert watched.faults == []


def test_the_search_finds_a_route_by_a_street(home, visit) -> None:
    watched = visit(home, home=home)
    watched.page.locator(".md-search__input").click()
    watched.page.wait_for_timeout(800)
    watched.page.keyboard.type("Netmakers")
    watched.page.locator(".md-search-result__link").first.wait_for()
    assert "Ferry Steps" in watched.page.locator(".md-search-result__list").inner_text()


def test_age_and_alerts_are_those_of_the_day_of_reading(home, visit) -> None:
    day = "Date.now = () => Date.parse('2030-05-01'); "
    watched = visit(f"{home}{FERRY}/", home=home, before=day)
    watched.until("document.querySelector('.sp-age[data-sp-told]')")
    assert "years ago" in watched.page.locator(".sp-age").first.inner_text()


def _has_colour(picture: bytes, colour: tuple[int, int, int]) -> bool:
    import io

    from PIL import Image

    with Image.open(io.BytesIO(picture)) as image:
        colours = image.convert("RGB").getcolors(maxcolors=1_000_000)
    return any(
        all(abs(a - b) <= 3 for a, b in zip(found, colour, strict=True)) for _, found in colours
    )
