"""Where am I: one's own position on a route's page, asked for only."""

from __future__ import annotations

import pytest
from pyproj import Geod

from browser.map_page import HANDLE, OPEN, PHONE
from browser.route_page import FERRY, MAP_SHOWS
from demo_site import ROOT
from softpedal.library.load import load_route
from softpedal.settings import Settings

pytestmark = pytest.mark.browser

GEOD = Geod(ellps="WGS84")
READY = "document.querySelector('.sp-here') !== null"
TOLD = "document.querySelector('.sp-here-told').innerText"
#: Counts the watches that are running, whatever the page does.
COUNT = """window.watching = 0; window.asked = 0;
const g = Geolocation.prototype, watch = g.watchPosition, clear = g.clearWatch;
g.watchPosition = function (...a) {
    window.watching++; window.asked++; return watch.apply(this, a); };
g.clearWatch = function (...a) { window.watching--; return clear.apply(this, a); };
g.getCurrentPosition = function () { window.asked++; };"""


def track():
    loaded = load_route(ROOT / FERRY, Settings())
    assert loaded.route
    return loaded.route.along.track


def position(at_m: float, aside_m: float = 0.0, accuracy: float = 8) -> dict[str, float]:
    """Return a position at a chainage of the route, so many metres to the north of it."""
    lat, lon = track().at(at_m)
    lon, lat, _ = GEOD.fwd(lon, lat, 0.0, aside_m)
    return {"latitude": lat, "longitude": lon, "accuracy": accuracy}


def here(visit, demo, at_m: float = 100.0, path: str = f"{FERRY}/", **more):
    options = {"geolocation": position(at_m), "permissions": ["geolocation"]} | PHONE | more
    watched = visit(demo + path, home=demo, before=COUNT, **options)
    watched.until(OPEN)
    watched.until(READY)
    return watched


def ask(watched) -> None:
    watched.page.get_by_role("button", name="Where am I").tap()


def move(watched, at_m: float, **more: float) -> None:
    watched.page.context.set_geolocation(position(at_m, **more))


def test_nothing_is_asked_before_the_button(demo, visit) -> None:
    watched = here(visit, demo)
    watched.page.wait_for_timeout(300)
    assert watched.page.evaluate("asked") == 0
    safe = watched.page.locator(".sp-here-safe").inner_text()
    assert "Stop in a safe place before you look at a map or a phone." in safe


def test_a_ride_along_the_route_is_told_note_by_note(demo, visit) -> None:
    watched = here(visit, demo)
    ask(watched)
    watched.until(f"{TOLD}.includes('0.10 km from the start')")
    assert watched.page.locator(".sp-you").count() == 1
    for at_m, note in (
        (380, "Harbour baths"),
        (560, "In 140 m: Turn left on to the track"),
        (900, "In 50 m: Grain silo"),
        (1340, "bollards"),
        (2930, "Finish: Chapel Green"),
    ):
        move(watched, at_m)
        watched.until(f"{TOLD}.includes('{at_m / 1000:.2f} km from the start')")
        assert note in watched.page.evaluate(TOLD)
    assert "on the route" in watched.page.evaluate(TOLD)
    assert watched.faults == []


def test_the_next_note_is_the_next_row_of_the_table(demo, visit) -> None:
    watched = here(visit, demo, 955.0)
    ask(watched)
    told = watched.until(f"{TOLD}.includes('In 30 m') && {TOLD}")
    assert "Here: Grain silo" in told
    assert "In 30 m: Cross Dock Road, busy road, toucan crossing" in told


def test_off_the_route_it_says_how_far(demo, visit) -> None:
    watched = here(visit, demo)
    move(watched, 1700, aside_m=45)
    ask(watched)
    watched.until(f"{TOLD}.includes('off the route')")
    move(watched, 1700, aside_m=400)
    told = watched.until(f"{TOLD}.includes('from the route') && {TOLD}")
    assert "The nearest place on it is" in told
    seen = f"{HANDLE}.map.getBounds().contains(L.latLng({position(1700, 400)['latitude']}, "
    assert watched.page.evaluate(f"{seen}{position(1700, 400)['longitude']}))")


def test_on_the_way_back_chainage_is_from_the_other_end(demo, visit) -> None:
    watched = here(visit, demo, 100.0, f"{FERRY}/?direction=return")
    watched.until(f"{MAP_SHOWS} === 'return-0'")
    ask(watched)
    length = track().length_m
    watched.until(f"{TOLD}.includes('{(length - 100) / 1000:.2f} km from the start')")


def test_stop_ends_the_watch_and_takes_the_mark_away(demo, visit) -> None:
    watched = here(visit, demo)
    ask(watched)
    watched.until(f"{TOLD}.includes('from the start')")
    assert watched.page.evaluate("watching") == 1
    watched.page.get_by_role("button", name="Stop showing where I am").tap()
    assert watched.page.evaluate("watching") == 0
    assert watched.page.locator(".sp-you").count() == 0
    assert watched.page.evaluate(TOLD) == ""
    ask(watched)
    watched.until(f"{TOLD}.includes('from the start')")
    assert watched.page.evaluate("watching") == 1


def test_another_page_leaves_no_watch_behind(demo, visit) -> None:
    watched = here(visit, demo, viewport={"width": 1280, "height": 900}, is_mobile=False)
    ask(watched)
    watched.until(f"{TOLD}.includes('from the start')")
    watched.page.evaluate("window.stillHere = true")
    watched.page.get_by_role("link", name="Chapel Green to Weir Mill").first.click()
    watched.until("location.pathname.includes('weir-mill') && watching === 0")
    watched.until(f"{OPEN} && {READY}")
    watched.page.go_back()
    watched.until(f"location.pathname.includes('ferry-steps') && {OPEN} && {READY}")
    watched.page.wait_for_timeout(300)
    assert watched.page.evaluate("stillHere === true && watching === 0 && asked === 1")
    assert watched.page.locator(".sp-map-canvas").count() == 1
    assert watched.page.locator(".sp-here").count() == 1
    assert watched.faults == []


def test_without_permission_it_says_so(demo, visit) -> None:
    watched = here(visit, demo, permissions=[])
    ask(watched)
    watched.until(f"{TOLD}.includes('may not read your position')")
    assert watched.page.get_by_role("button", name="Where am I").is_visible()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ("Object.defineProperty(window, 'isSecureContext', {value: false});", "over https"),
        ("delete Navigator.prototype.geolocation;", "does not tell a position"),
    ],
)
def test_without_a_way_to_ask_it_says_so(demo, visit, change, words) -> None:
    watched = visit(f"{demo}{FERRY}/", home=demo, before=change, **PHONE)
    watched.until(OPEN)
    watched.until(READY)
    ask(watched)
    assert words in watched.until(TOLD)


def test_of_two_passes_the_one_that_carries_on_is_taken(demo, visit) -> None:
    """A line 400 m out and back again: the same place is at 100 m and at 700 m."""
    watched = here(visit, demo)
    found = watched.page.evaluate(
        """(() => { const step = 0.00027, points = [];
        for (let i = 0; i <= 13; i++) points.push([50 + i * step, -20, i * 30]);
        for (let i = 1; i <= 13; i++) points.push([50 + (13 - i) * step, -20, 390 + i * 30]);
        const lay = (m, last) =>
            softpedal.where.laidOn([points], 50 + m / 30 * step, -20, 10, last).at;
        return [lay(90, null), lay(90, 60), lay(90, 650), lay(200, 100), lay(370, 300),
                lay(300, 400)]; })()"""
    )
    assert found == pytest.approx([90, 90, 690, 200, 370, 480], abs=3)


def test_from_a_disk_it_is_offered_too(tmp_path, visit) -> None:
    from demo_site import build_demo

    folder = build_demo(tmp_path / "disk", use_directory_urls=False, plugins=["softpedal"])
    watched = visit((folder / FERRY / "index.html").as_uri(), before=COUNT)
    watched.until(OPEN)
    watched.until(READY)
    watched.page.get_by_role("button", name="Where am I").click()
    watched.until(TOLD)
    assert watched.faults == []
