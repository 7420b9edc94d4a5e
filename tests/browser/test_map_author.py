"""What an author sees on the map, and a reader does not."""

from __future__ import annotations

import re

import pytest

from browser.map_page import HANDLE, OPEN
from browser.sample_page import write_site

pytestmark = pytest.mark.browser


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


@pytest.mark.parametrize("aside", [0, 40])
def test_a_click_on_the_line_itself_tells_the_position_too(site, visit, aside) -> None:
    """The line opens a pop-up of its own and keeps the click from the map."""
    watched = visit(site(author=True))
    watched.until(OPEN)
    place = watched.page.evaluate(
        f"(() => {{ const h = {HANDLE}; const p = h.parts[0].find(p => p[2] > 600);"
        "const c = h.map.latLngToContainerPoint([p[0], p[1]]);"
        "return {x: Math.round(c.x), y: Math.round(c.y), at: p[2]}; })()"
    )
    where = {"x": place["x"] + aside, "y": place["y"] + aside}
    watched.page.locator(".sp-map-canvas").click(position=where)
    watched.until("document.querySelector('.sp-author [role=status]')")
    assert watched.page.locator(".leaflet-popup").count() == (0 if aside else 1)
    told = watched.page.locator(".sp-author code").first.inner_text()
    assert re.fullmatch(r"at: \d\.\d\d km", told)
    if not aside:
        assert float(told[4:8]) == pytest.approx(place["at"] / 1000, abs=0.03)


def test_a_click_on_a_sign_tells_its_position(site, visit) -> None:
    watched = visit(site(author=True))
    watched.until(OPEN)
    watched.page.locator(".leaflet-marker-icon[aria-label*='Start']").first.click(force=True)
    watched.until("document.querySelector('.sp-author [role=status]')")
    assert "at: 0.0" in watched.page.locator(".sp-author code").first.inner_text()


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
        "h.map.fire('preclick', {latlng: L.latLng(p[0], p[1])}); })()"
    )
    texts = watched.page.locator(".sp-author code").all_inner_texts()
    assert len(texts) == 4
    assert all(" near " in text for text in texts if "," in text)
