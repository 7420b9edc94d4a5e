"""How a map comes and goes: with and without script, data, a theme, a size."""

from __future__ import annotations

import pytest

from browser.map_page import HANDLE, OPEN
from browser.sample_page import LEGS, ROUTE, write_site

pytestmark = pytest.mark.browser

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
