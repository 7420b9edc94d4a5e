"""Strip, profile, map and table of a route's page point at each other."""

from __future__ import annotations

import math

import pytest

from browser.map_page import HANDLE, OPEN, PHONE
from browser.route_page import FERRY, MAP_SHOWS

pytestmark = pytest.mark.browser

READY = "document.querySelector('.sp-along input') && document.querySelector('.sp-here')"
TOLD = "document.querySelector('.sp-along-told').textContent"
#: Latitude and longitude of the point that the map shows, and of a chainage.
POINT = f"""(() => {{ let at = null; {HANDLE}.map.eachLayer(l => {{
    if (l.options.className === 'sp-point') at = [l.getLatLng().lat, l.getLatLng().lng]; }});
    return at; }})()"""


@pytest.fixture
def ferry(demo, visit):
    watched = visit(f"{demo}{FERRY}/", home=demo)
    watched.until(OPEN)
    watched.until(READY)
    yield watched
    assert watched.faults == []


def place(watched, metres: float) -> list[float]:
    return watched.page.evaluate(f"softpedal.parts.place.at({HANDLE}.parts, {metres}).slice(0, 2)")


def at_told(watched) -> float:
    return float(watched.page.evaluate(TOLD).split(" km")[0])


def test_arrow_keys_on_the_slider_move_the_point(ferry) -> None:
    slider = ferry.page.get_by_role("slider", name="Along the route")
    slider.focus()
    for _ in range(3):
        ferry.page.keyboard.press("ArrowRight")
    assert slider.get_attribute("aria-valuetext").startswith("0.03 km: Netmakers' Quay, on foot")
    assert math.dist(ferry.page.evaluate(POINT), place(ferry, 30)) < 1e-6
    ferry.page.keyboard.press("End")
    assert at_told(ferry) == pytest.approx(2.95, abs=0.02)


@pytest.mark.parametrize("drawing", [".sp-strip", ".sp-profile"])
def test_a_pointer_on_strip_or_profile_shows_the_place_on_the_map(ferry, drawing) -> None:
    target = ferry.page.locator(drawing).locator("visible=true").first
    target.scroll_into_view_if_needed()
    box = target.bounding_box()
    length = ferry.page.evaluate(f"{HANDLE}.length")
    ferry.page.mouse.move(box["x"] + box["width"] * (0.02 + 0.96 * 0.5), box["y"] + 50)
    ferry.until(POINT)
    assert at_told(ferry) == pytest.approx(length / 2000, abs=0.01)
    assert math.dist(ferry.page.evaluate(POINT), place(ferry, length / 2)) < 5e-5
    lines = ferry.page.locator(".sp-along-line.sp-on")
    assert lines.count() == 2
    assert lines.first.get_attribute("x1") == lines.last.get_attribute("x1")
    spoken = "[...document.querySelectorAll('.sp-along .sp-spoken')].map(e => e.textContent)[0]"
    assert ferry.until(spoken).startswith("1.4")


def test_the_line_of_the_map_shows_the_place_on_the_strip(ferry) -> None:
    ferry.page.locator(".sp-map-canvas").scroll_into_view_if_needed()
    spot = ferry.page.evaluate(
        f"""(() => {{ const h = {HANDLE}, p = softpedal.parts.place.at(h.parts, 1700);
        const box = h.map.getContainer().getBoundingClientRect();
        const at = h.map.latLngToContainerPoint([p[0], p[1]]); return [box.x + at.x, box.y + at.y];
        }})()"""
    )
    ferry.page.mouse.move(*spot)
    ferry.until("document.querySelector('.sp-along-line.sp-on')")
    assert at_told(ferry) == pytest.approx(1.7, abs=0.03)
    share = float(ferry.page.locator(".sp-along-line.sp-on").first.get_attribute("x1")[:-1])
    length = ferry.page.evaluate(f"{HANDLE}.length")
    assert share == pytest.approx(2 + 96 * 1700 / length, abs=1)


def test_after_a_switch_the_slider_is_that_of_the_way_back(ferry) -> None:
    ferry.page.locator(".sp-switches").get_by_text("The way back").click()
    ferry.until(f"{MAP_SHOWS} === 'return-0'")
    assert ferry.page.locator(".sp-along").count() == 1
    assert ferry.page.locator(".sp-along").is_visible()
    assert ferry.page.evaluate(POINT) is None
    slider = ferry.page.get_by_role("slider", name="Along the route")
    slider.focus()
    ferry.page.keyboard.press("ArrowRight")
    assert slider.get_attribute("aria-valuetext").startswith("0.01 km: Chapel Green")
    end = ferry.page.evaluate(f"{HANDLE}.parts[0][0].slice(0, 2)")
    assert math.dist(ferry.page.evaluate(POINT), end) < 3e-4


@pytest.mark.parametrize("key", ["outbound", "return"])
def test_a_tap_on_a_row_or_the_strip_lights_the_leg_on_the_map(ferry, key) -> None:
    if key == "return":
        ferry.page.locator(".sp-switches").get_by_text("The way back").click()
        ferry.until(f"{MAP_SHOWS} === 'return-0'")
    ferry.page.locator(".sp-cues tr[data-leg='2']").locator("visible=true").click()
    shape = ferry.until("document.querySelector('.sp-leg-lit').getAttribute('d')")
    seen = "[...document.querySelectorAll('.sp-lit')].filter(e => e.getClientRects().length)"
    assert ferry.page.evaluate(f"{seen}.map(e => e.tagName + e.dataset.leg)") == ["g2", "TR2"]
    ferry.page.locator(".sp-strip [data-leg='5']").locator("visible=true").click()
    assert ferry.until("document.querySelector('.sp-leg-lit').getAttribute('d')") != shape
    assert set(ferry.page.evaluate(f"{seen}.map(e => e.dataset.leg)")) == {"5"}


def swipe(page, x: float, y: float, by: float) -> None:
    """Swipe with one finger from a place upwards, as the browser's own touch events."""
    touch = page.context.new_cdp_session(page)
    start = [{"x": x, "y": y}]
    touch.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": start})
    for step in range(1, 11):
        points = [{"x": x, "y": y - by * step / 10}]
        touch.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": points})
        page.wait_for_timeout(16)
    touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


@pytest.mark.parametrize("target", [".sp-map-canvas", ".sp-strip", ".sp-along input"])
def test_a_swipe_over_map_strip_or_slider_scrolls_the_page(demo, visit, target) -> None:
    watched = visit(f"{demo}{FERRY}/", home=demo, **PHONE)
    watched.until(OPEN)
    watched.until(READY)
    page = watched.page
    page.locator(target).locator("visible=true").first.evaluate(
        "e => window.scrollTo(0, e.getBoundingClientRect().top + scrollY - 300)"
    )
    box = page.locator(target).locator("visible=true").first.bounding_box()
    before = page.evaluate("scrollY")
    swipe(page, box["x"] + box["width"] / 2, box["y"] + box["height"] * 0.6, 150)
    watched.until(f"scrollY > {before} + 90")


def test_a_finger_sideways_on_the_strip_moves_the_point(demo, visit) -> None:
    watched = visit(f"{demo}{FERRY}/", home=demo, **PHONE)
    watched.until(OPEN)
    watched.until(READY)
    strip = watched.page.locator(".sp-strip").locator("visible=true").first
    strip.scroll_into_view_if_needed()
    box = strip.bounding_box()
    touch = watched.page.context.new_cdp_session(watched.page)
    y = box["y"] + 50
    for kind, share in (("touchStart", 0.2), ("touchMove", 0.4), ("touchMove", 0.7)):
        points = [{"x": box["x"] + box["width"] * share, "y": y}]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    length = watched.page.evaluate(f"{HANDLE}.length")
    assert at_told(watched) == pytest.approx((0.7 - 0.02) / 0.96 * length / 1000, abs=0.05)


def test_on_a_phone_no_two_signs_cover_each_other(demo, visit) -> None:
    """The route's own scale of a phone; each sign is a disc of 24 px, a landmark of 10 px."""
    for key in ("outbound-0", "return-1"):
        direction, index = key.split("-")
        query = f"?direction={direction}&hours={int(index) + 1}"
        watched = visit(f"{demo}{FERRY}/{query}", home=demo, **PHONE)
        watched.until(OPEN)
        watched.until(f"{MAP_SHOWS} === '{key}'")
        nearest = watched.page.evaluate(
            """(() => { const all = [...document.querySelectorAll('.sp-marker')].map(e => {
                const r = e.getBoundingClientRect();
                return {x: r.x + r.width / 2, y: r.y + r.height / 2,
                        r: e.className.includes('landmark') ? 5 : 12}; });
            let least = Infinity;
            all.forEach((a, i) => all.slice(i + 1).forEach(b => {
                least = Math.min(least, Math.hypot(a.x - b.x, a.y - b.y) - a.r - b.r); }));
            return least; })()"""
        )
        assert nearest > -1.5
