"""What the map shows, in a real browser: over http under a strict policy, and from a file."""

from __future__ import annotations

import pytest

from browser.map_page import HANDLE, OPEN, PHONE
from browser.sample_page import LEGS, MARKS
from softpedal.site.looks import CASING, LOOKS, MAP_BAND_PX, MAP_CASING_PX, look_of

pytestmark = pytest.mark.browser


def test_map_opens_without_a_fault_or_a_request_off_the_site(address, visit) -> None:
    watched = visit(address)
    watched.until(OPEN)
    watched.page.mouse.wheel(0, 400)
    watched.page.wait_for_timeout(300)
    assert watched.faults == []
    assert not watched.page.locator(".sp-map-wait").is_visible()
    assert not watched.page.locator(".sp-map-files").is_visible()


def test_legs_are_drawn_with_colour_and_pattern_on_a_white_casing(address, visit) -> None:
    watched = visit(address)
    watched.until(OPEN)
    paths = watched.page.evaluate(
        """[...document.querySelectorAll('.sp-map svg path')].map(p => ({
            name: p.getAttribute('class'), stroke: p.getAttribute('stroke'),
            width: +p.getAttribute('stroke-width'), dash: p.getAttribute('stroke-dasharray'),
            box: p.getBoundingClientRect().width + p.getBoundingClientRect().height}))"""
    )
    casing = next(i for i, path in enumerate(paths) if "sp-casing" in (path["name"] or ""))
    assert paths[casing]["stroke"] == CASING
    assert paths[casing]["width"] == MAP_CASING_PX
    legs = [(i, path) for i, path in enumerate(paths) if "sp-leg sp-look" in (path["name"] or "")]
    assert len(legs) == len(LEGS)
    for (index, path), (_, _, kind, *_) in zip(legs, LEGS, strict=True):
        stroke = look_of(kind).stroke(MAP_BAND_PX)
        assert index > casing
        assert path["stroke"] == stroke.colour
        assert path["width"] == stroke.width < MAP_CASING_PX
        assert path["dash"] == (" ".join(f"{part:g}" for part in stroke.dash) or None)
        assert path["box"] > 2
    assert {path["stroke"] for _, path in legs} == {look.colour for look in LOOKS}


def test_markers_are_reached_by_tab_and_have_a_spoken_name(site, visit) -> None:
    watched = visit(site())
    watched.until(OPEN)
    page = watched.page
    page.locator(".sp-skip").focus()
    names = []
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.matches('.sp-marker[role=button]')"):
            names.append(page.evaluate("document.activeElement.getAttribute('aria-label')"))
        elif names:
            break
    assert len(names) == len(MARKS) + 2
    assert "0.91 km: busy crossing, Dock Road, signals" in names
    assert names[0] == "Start: Ferry Steps"
    assert page.get_by_role("button", name="hazard, speed humps").count() == 1
    assert page.evaluate("document.querySelector('.leaflet-overlay-pane').ariaHidden") == "true"


@pytest.mark.parametrize("key", ["Enter", "Space"])
def test_a_marker_opens_by_key_and_closes_by_escape(site, visit, key) -> None:
    watched = visit(site())
    watched.until(OPEN)
    marker = watched.page.get_by_role("button", name="busy crossing, Dock Road")
    marker.focus()
    watched.page.keyboard.press(key)
    watched.until("!!document.querySelector('.leaflet-popup-content')")
    assert "Dock Road, signals" in watched.page.locator(".leaflet-popup-content").inner_text()
    watched.page.keyboard.press("Escape")
    watched.until("!document.querySelector('.leaflet-popup-content')")


def test_skip_link_leads_past_the_map(site, visit) -> None:
    watched = visit(site())
    watched.until(OPEN)
    watched.page.locator(".sp-skip").focus()
    assert watched.page.locator(".sp-skip").is_visible()
    watched.page.keyboard.press("Enter")
    watched.page.keyboard.press("Tab")
    assert not watched.page.evaluate("!!document.activeElement.closest('.sp-map')")


def test_region_says_that_the_table_holds_the_same(site, visit) -> None:
    region = visit(site()).page.get_by_role("region")
    assert "also stands in the table" in region.get_attribute("aria-label")


def lit(page) -> list[str]:
    return page.evaluate(
        "[...document.querySelectorAll('.sp-lit')].map(e => e.tagName + e.dataset.leg)"
    )


@pytest.mark.parametrize("part", ["tr", ".sp-strip g"])
def test_table_and_strip_light_the_leg_everywhere(site, visit, part) -> None:
    watched = visit(site())
    watched.until(OPEN)
    watched.page.locator(f"{part}[data-leg='2']").click()
    assert sorted(lit(watched.page)) == ["TR2", "g2"]
    shape = "document.querySelector('.sp-leg-lit').getAttribute('d')"
    assert len(watched.until(shape)) > 10
    watched.page.locator("tr[data-leg='2']").click()
    assert lit(watched.page) == []


def click_leg(page, index: int) -> None:
    place = page.evaluate(
        """index => { const path = document.querySelectorAll('.sp-leg-touch')[index];
            const point = path.getPointAtLength(path.getTotalLength() * 0.3);
            const spot = point.matrixTransform(path.getScreenCTM());
            return [spot.x, spot.y]; }""",
        index,
    )
    page.mouse.click(*place)


def test_a_leg_of_the_map_lights_row_and_strip_and_tells_itself(site, visit) -> None:
    watched = visit(site())
    watched.until(OPEN)
    click_leg(watched.page, 4)
    watched.until("document.querySelectorAll('.sp-lit').length === 2")
    assert sorted(lit(watched.page)) == ["TR4", "g4"]
    assert "traffic-free path" in watched.page.locator(".leaflet-popup-content").inner_text()


def test_text_from_notes_is_never_markup(site, visit) -> None:
    watched = visit(site())
    watched.until(OPEN)
    click_leg(watched.page, 9)
    watched.until("!!document.querySelector('.leaflet-popup-content')")
    told = watched.page.locator(".leaflet-popup-content").inner_text()
    assert told.startswith("Green </script><b>Side")
    assert watched.page.locator(".leaflet-popup-content b").count() == 0


def test_on_a_phone_the_map_is_held_until_it_is_freed(site, visit) -> None:
    watched = visit(site(), **PHONE)
    watched.until(OPEN)
    button = watched.page.get_by_role("button", name="Move map")
    assert watched.page.evaluate(f"{HANDLE}.map.dragging.enabled()") is False
    touch = "getComputedStyle(document.querySelector('.sp-map-canvas')).touchAction"
    assert watched.page.evaluate(touch) == "auto"
    button.tap()
    assert watched.page.evaluate(f"{HANDLE}.map.dragging.enabled()") is True
    watched.page.get_by_role("button", name="Hold map still").tap()
    assert watched.page.evaluate(f"{HANDLE}.map.dragging.enabled()") is False
    assert watched.faults == []


def test_on_a_desktop_nothing_is_held_and_the_wheel_scrolls_the_page(site, visit) -> None:
    watched = visit(site())
    watched.until(OPEN)
    assert watched.page.get_by_role("button", name="Move map").count() == 0
    zoom = watched.page.evaluate(f"{HANDLE}.map.getZoom()")
    watched.page.locator(".sp-map-canvas").hover()
    watched.page.mouse.wheel(0, 300)
    watched.until("window.scrollY > 100")
    assert watched.page.evaluate(f"{HANDLE}.map.getZoom()") == zoom


def test_page_is_not_wider_than_a_phone(site, visit) -> None:
    watched = visit(site(), **PHONE)
    watched.until(OPEN)
    assert watched.page.evaluate("document.documentElement.scrollWidth") == 360


def test_ends_and_busy_crossings_stay_where_they_are(site, visit) -> None:
    watched = visit(site(), **PHONE)
    watched.until(OPEN)
    moved = watched.page.evaluate(
        f"""(() => {{ const map = {HANDLE}.map, parts = {HANDLE}.parts[0];
            const at = name => {{ const r = document.querySelector('.sp-marker-' + name)
                .getBoundingClientRect(); return L.point(r.x + 12, r.y + 12); }};
            const box = map.getContainer().getBoundingClientRect();
            const line = p => map.latLngToContainerPoint([p[0], p[1]]).add([box.x, box.y]);
            return [at('start').distanceTo(line(parts[0])),
                    at('finish').distanceTo(line(parts[parts.length - 1]))]; }})()"""
    )
    assert max(moved) < 2.5


@pytest.mark.parametrize("scheme", ["", "slate"])
def test_map_stays_pale_and_the_strip_takes_the_ink_of_the_page(site, visit, scheme) -> None:
    watched = visit(site(scheme=scheme))
    watched.until(OPEN)
    paper = "getComputedStyle(document.querySelector('.sp-map-canvas')).backgroundColor"
    assert watched.page.evaluate(paper) == "rgb(247, 245, 240)"
    ink = watched.page.evaluate("getComputedStyle(document.querySelector('.sp-strip')).color")
    assert (ink == "rgb(31, 31, 31)") == (scheme == "")


def test_background_is_drawn(site, visit) -> None:
    watched = visit(site())
    watched.until(OPEN)
    colours = watched.until(
        """(() => { const c = document.querySelector('.leaflet-sp-ground-pane canvas');
            const d = c.getContext('2d').getImageData(0, 0, c.width, c.height).data;
            const seen = new Set(); for (let i = 0; i < d.length; i += 4)
                if (d[i + 3] === 255) seen.add(d[i] + ',' + d[i + 1] + ',' + d[i + 2]);
            return [...seen]; })()"""
    )
    assert {"213,223,228", "230,234,223", "255,255,255"} <= set(colours)


def test_strip_stays_readable_on_a_phone(site, visit) -> None:
    watched = visit(site(), **PHONE)
    page = watched.page
    sizes = page.evaluate(
        "[...document.querySelectorAll('.sp-strip text')].filter(t => t.getClientRects().length)"
        ".map(t => t.getBoundingClientRect()).map(r => [r.left, r.right, r.height, r.top])"
    )
    assert page.evaluate("document.querySelector('.sp-strip').clientWidth") > 300
    assert all(height >= 11 for _, _, height, _ in sizes)
    assert all(left >= 0 and right <= 360 for left, right, _, _ in sizes)
    for i, (left, right, _, top) in enumerate(sizes):
        for other_left, other_right, _, other_top in sizes[:i]:
            if abs(top - other_top) < 8:
                assert right < other_left or left > other_right
