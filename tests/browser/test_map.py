"""The map in a real browser: over http under a strict policy, and from a file."""

from __future__ import annotations

import pytest

from browser.sample_page import LEGS, MARKS, ROUTE, write_site
from softpedal.site.looks import CASING, LOOKS, MAP_BAND_PX, MAP_CASING_PX, look_of

pytestmark = pytest.mark.browser

PHONE = {
    "viewport": {"width": 360, "height": 740},
    "has_touch": True,
    "is_mobile": True,
}
OPEN = "document.querySelectorAll('.sp-map-open .leaflet-container').length === 1"
HANDLE = "[...softpedal.running.values()][0]"


@pytest.fixture(params=["http", "http from a sub-path", "file"])
def address(request, tmp_path, serve) -> str:
    """Address of the route's page, in each of the ways in which a site is read."""
    folder = tmp_path / "root" / "deep" if "sub-path" in request.param else tmp_path / "root"
    page = write_site(folder)
    if request.param == "file":
        return page.as_uri()
    return serve(tmp_path / "root").url + page.relative_to(tmp_path / "root").as_posix()


@pytest.fixture
def site(tmp_path, serve):
    """Return a function that writes and serves the site and returns the route's address."""

    def make(**options) -> str:
        page = write_site(tmp_path / "root", **options)
        return serve(tmp_path / "root").url + page.relative_to(tmp_path / "root").as_posix()

    return make


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


def test_author_panel_tells_chainage_and_coordinates_only_where_it_is_asked_for(
    tmp_path, serve, visit
) -> None:
    for author in (True, False):
        page = write_site(tmp_path / str(author), author=author)
        url = serve(tmp_path / str(author)).url
        watched = visit(url + page.relative_to(tmp_path / str(author)).as_posix())
        watched.until(OPEN)
        assert watched.page.locator(".sp-author").count() == int(author)
        if not author:
            continue
        place = watched.page.evaluate(
            f"(() => {{ const h = {HANDLE}; const p = h.parts[0].find(p => p[2] > 600);"
            "const c = h.map.latLngToContainerPoint([p[0], p[1]]);"
            "return {x: Math.round(c.x) + 12, y: Math.round(c.y), at: p[2], lat: p[0]}; })()"
        )
        watched.page.locator(".sp-map-canvas").click(position={"x": place["x"], "y": place["y"]})
        watched.until("document.querySelector('.sp-author [role=status]').textContent")
        chainage, coordinates = watched.page.locator(".sp-author code").all_inner_texts()
        assert float(chainage.removeprefix("at: ").removesuffix(" km")) == pytest.approx(
            place["at"] / 1000, abs=0.03
        )
        assert float(coordinates.removeprefix("at: ").split(",")[0]) == pytest.approx(
            place["lat"], abs=3e-4
        )
        panel = watched.page.locator(".sp-author").inner_text()
        assert "m off the line" in panel
        assert f"Copied: {chainage}" in panel
        assert watched.faults == []


def test_author_panel_is_not_there_for_the_script_alone(site, visit) -> None:
    watched = visit(
        site(author=True),
        before="document.addEventListener('DOMContentLoaded', () =>"
        "document.querySelector('.sp-map').removeAttribute('data-sp-author'))",
    )
    watched.until(OPEN)
    watched.page.locator(".sp-map-canvas").click(position={"x": 300, "y": 200})
    assert watched.page.locator(".sp-author").count() == 0


def test_where_the_line_passes_twice_the_author_sees_both(site, visit) -> None:
    watched = visit(site(author=True))
    watched.until(OPEN)
    watched.page.evaluate(
        f"(() => {{ const h = {HANDLE}; const p = h.parts[0].slice(-1)[0];"
        "h.map.fire('click', {latlng: L.latLng(p[0], p[1])}); })()"
    )
    texts = watched.page.locator(".sp-author code").all_inner_texts()
    assert len(texts) == 4
    assert all(" near " in text for text in texts if "," in text)


INSTANT = """window.document$ = {subscribe(f) { window.arrive = f; f(); }};"""


def test_pages_that_come_and_go_without_a_load_leave_no_map_behind(site, visit) -> None:
    watched = visit(site(), before=INSTANT)
    watched.until(OPEN)
    page = watched.page
    page.evaluate(
        """(() => { document.querySelector('main').innerHTML = '<h1>B</h1>'; arrive(); })()"""
    )
    assert page.evaluate("softpedal.running.size") == 0
    page.evaluate(
        """fetch(location.href).then(answer => answer.text()).then(text => {
            const next = new DOMParser().parseFromString(text, 'text/html');
            document.querySelector('main').replaceWith(next.querySelector('main'));
            arrive(); arrive(); })"""
    )
    watched.until(OPEN)
    page.evaluate("arrive()")
    page.wait_for_timeout(200)
    assert page.locator(".sp-map-canvas").count() == 1
    assert page.evaluate("softpedal.running.size") == 1
    assert page.locator(".sp-leg").count() == len(LEGS)
    assert watched.faults == []


def test_a_theme_that_stays_silent_from_a_file_does_not_stop_the_map(tmp_path, visit) -> None:
    """Material's `document$` never emits on file:// with instant navigation on."""
    silent = "window.document$ = {subscribe() {}};"
    watched = visit(write_site(tmp_path / "root").as_uri(), before=silent)
    watched.until(OPEN)
    assert watched.faults == []


def test_parts_may_stand_on_the_page_before_the_map_s_own_script(tmp_path, serve, visit) -> None:
    names = ("ground", "markers", "route")
    scripts = (*(f"softpedal-map-{name}" for name in names), "softpedal-map")
    write_site(tmp_path / "root", scripts=scripts)
    served = serve(tmp_path / "root")
    watched = visit(f"{served.url}routes/{ROUTE}/index.html")
    watched.until(OPEN)
    assert watched.faults == []
    asked = [path for path, _ in served.requests if path.endswith("softpedal-map-route.js")]
    assert len(asked) == 1


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


def test_a_page_without_a_map_fetches_nothing_of_it(tmp_path, serve, visit) -> None:
    write_site(tmp_path / "root")
    served = serve(tmp_path / "root")
    watched = visit(served.url + "other/index.html")
    watched.page.wait_for_timeout(200)
    assert not any("leaflet" in path or "map-route" in path for path, _ in served.requests)
    assert watched.faults == []


def test_without_data_the_page_says_so(tmp_path, serve, visit) -> None:
    page = write_site(tmp_path / "root")
    (page.parent / "map.js").unlink()
    served = serve(tmp_path / "root")
    watched = visit(served.url + page.relative_to(tmp_path / "root").as_posix())
    watched.until("document.querySelector('.sp-map').classList.contains('sp-map-failed')")
    assert watched.page.locator(".sp-map-sorry").is_visible()


def test_without_script_the_words_stand_and_the_links_are_hidden(site, visit) -> None:
    page = visit(site(), java_script_enabled=False).page
    assert page.locator(".sp-map-wait").is_visible()
    assert not page.locator(".sp-map-files").is_visible()
    assert page.locator(".sp-strip").is_visible()


def test_a_map_in_a_closed_box_is_fitted_when_it_opens(site, visit) -> None:
    before = """document.addEventListener('DOMContentLoaded', () => {
        const box = document.createElement('details');
        const map = document.querySelector('.sp-map');
        map.replaceWith(box); box.append(map); });"""
    watched = visit(site(), before=before)
    watched.until(OPEN)
    watched.page.evaluate("document.querySelector('details').open = true")
    watched.until(
        f"(() => {{ const h = {HANDLE}; return h.map.getSize().x > 300 &&"
        "h.map.getBounds().contains(h.data.bounds) && h.map.getZoom() > 12; })()"
    )
    assert watched.faults == []


def test_reduced_motion_turns_off_animation(site, visit) -> None:
    watched = visit(site(), reduced_motion="reduce")
    watched.until(OPEN)
    options = watched.page.evaluate(f"{HANDLE}.map.options.zoomAnimation")
    assert options is False


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
