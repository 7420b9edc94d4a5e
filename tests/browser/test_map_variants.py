"""Variants and an owner's tiles on the map, in a real browser."""

from __future__ import annotations

import pytest

from browser.map_page import OPEN
from building import gpx_text, leg, line_east, make_route, notes
from site_building import build_site

pytestmark = pytest.mark.browser
FERRY = "ferry-steps-to-chapel-green"


@pytest.fixture
def library(tmp_path):
    out = line_east(2000)
    first, last = out[70], out[130]
    aside = [first, (first[0] + 0.003, first[1]), (last[0] + 0.003, last[1]), last]
    variant = {
        "file": "variant-quay.gpx",
        "leave": "0.7 km",
        "rejoin": "1.3 km",
        "why": "Level.",
        "legs": [leg("start", "traffic-free path", "Quay <b>")],
    }
    files = {"variant-quay.gpx": gpx_text(aside)}
    make_route(tmp_path, notes(variants=[variant]), out, id=FERRY, files=files)
    return tmp_path


def opened(library, serve, visit, home=""):
    site = build_site(library)
    served = serve(site.folder)
    served.policy = ""
    watched = visit(f"{served.url}routes/{FERRY}/", home=home)
    watched.until(OPEN)
    return watched


def test_a_variant_is_drawn_beside_the_route_with_its_name(library, serve, visit) -> None:
    watched = opened(library, serve, visit)
    box = watched.page.locator("path.sp-variant").bounding_box()
    assert box is not None
    assert box["width"] > 40
    assert box["height"] > 20
    drawn = watched.page.evaluate(
        "document.querySelector('path.sp-variant').closest('svg').getBoundingClientRect().width"
    )
    assert drawn > 300, "the drawing is shrunk to nothing"
    name = watched.page.locator(".sp-variant-name")
    assert name.inner_text() == "By Quay <b>"
    assert name.is_visible()
    assert watched.faults == []


def test_the_direct_road_is_grey_and_dashed_and_named(library, serve, visit) -> None:
    out = line_east(2000)
    aside = [out[0], (out[100][0] - 0.002, out[100][1]), out[-1]]
    folder = library / "routes" / FERRY
    (folder / "direct.gpx").write_text(gpx_text(aside), encoding="utf-8")
    watched = opened(library, serve, visit)
    line = watched.page.locator("path.sp-direct")
    assert line.get_attribute("stroke") == "#6b6b6b"
    assert line.get_attribute("stroke-dasharray") == "5 5"
    assert watched.page.locator(".sp-variant-name").all_inner_texts() == [
        "By Quay <b>",
        "The direct road",
    ]
    assert watched.page.get_by_text("is the grey dashed line on the map").first.is_visible()
    assert watched.faults == []


def test_tiles_are_asked_of_the_host_that_the_settings_name_and_no_other(
    library, serve, visit
) -> None:
    (library / "softpedal.yml").write_text(
        'tiles: {url: "http://127.0.0.1:9/{z}/{x}/{y}.png", attribution: "© A maker of tiles"}\n'
    )
    watched = opened(library, serve, visit)
    watched.until("document.querySelectorAll('.leaflet-tile').length > 0")
    off = [fault for fault in watched.faults if fault.startswith("off the site")]
    assert off
    assert all("http://127.0.0.1:9/" in fault for fault in off)
    assert watched.page.get_by_text("© A maker of tiles").first.is_visible()
