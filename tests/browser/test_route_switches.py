"""Direction and hours on a route's page: all that depends on them changes together."""

from __future__ import annotations

import math

import pytest

from browser.map_page import OPEN
from browser.route_page import FERRY, GATE, MAP_SHOWS, MILL, SHOWN, measured
from demo_site import build_demo

pytestmark = pytest.mark.browser

VIEWS = [
    (route, direction, index)
    for route, counts in (
        (FERRY, (2, 2)),
        (MILL, (1, 1)),
        (GATE, (2, 2)),
        ("routes/school-lane-link", (2, 2)),
        ("routes/northgate-to-tannery-road", (1, 1)),
    )
    for direction, count in zip(("outbound", "return"), counts, strict=True)
    for index in range(count)
]


@pytest.fixture(scope="session")
def disk(tmp_path_factory):
    """The demo as files to be opened from a disk."""
    folder = tmp_path_factory.mktemp("disk")
    return build_demo(folder, use_directory_urls=False, plugins=["softpedal"])


def opened(visit, demo, path, key="outbound-0", **options):
    watched = visit(demo + path, home=demo, **options)
    watched.until(OPEN)
    watched.until(f"{MAP_SHOWS} === '{key}'")
    return watched


def state_of(route: str, direction: str, index: int) -> tuple[dict, dict]:
    one = measured()[route.removeprefix("routes/")]["directions"][direction]
    return one, one["states"][index]


@pytest.mark.parametrize(("route", "direction", "index"), VIEWS)
def test_page_map_and_measures_agree(demo, visit, route, direction, index) -> None:
    query = f"?direction={direction}&hours={index + 1}"
    watched = opened(visit, demo, f"{route}/{query}", f"{direction}-{index}")
    shown = watched.page.evaluate(SHOWN)
    way, state = state_of(route, direction, index)
    if state["passable"]:
        quiet, busy, dismounts = shown["figures"]
        if way["length_m"] >= 1000:
            assert quiet == f"{math.floor(state['quietness'] * 100 + 1e-9)} %"
        assert int(busy) == state["busy_crossings"] == shown["map"]["busy"]
        assert int(dismounts) == state["dismounts"]
        assert shown["shut"] == 0
        worst = state["stress"]["worst"]["name"]
        assert len(shown["hardest"]) == 1
        assert worst in shown["hardest"][0]
        assert f"{math.ceil(state['ride_s'] / 60)} min" in shown["facts"]
        assert shown["map"]["marks"] == state["crossings"]
    else:
        assert shown["figures"] == []
        assert shown["shut"] == 2
        assert shown["hardest"] == []
    assert shown["strips"] == 1
    assert len(shown["ends"]) == len(shown["captions"]) == 1
    assert shown["captions"][0].startswith(shown["ends"][0])
    assert shown["rows"] == shown["map"]["legs"]
    assert shown["legs"] == len(shown["rows"]) == shown["map"]["drawn"]
    assert shown["map"]["length"] == pytest.approx(way["length_m"], abs=0.2)
    assert shown["map"]["way"] == direction
    assert watched.faults == []


def test_switches_change_everything_and_the_address(demo, visit) -> None:
    watched = opened(visit, demo, f"{FERRY}/")
    page = watched.page
    assert page.evaluate(SHOWN)["figures"] == ["63 %", "2", "1"]
    page.get_by_text("at other times", exact=True).locator("visible=true").first.click(timeout=5000)
    watched.until(f"{MAP_SHOWS} === 'outbound-1'")
    early = page.evaluate(SHOWN)
    assert early["figures"] == ["73 %", "2", "0"]
    assert page.evaluate("location.search") == "?hours=2"
    page.locator(".sp-switches").get_by_text("The way back").click(timeout=5000)
    watched.until(f"{MAP_SHOWS} === 'return-1'")
    back = page.evaluate(SHOWN)
    assert back["figures"] == ["63 %", "2", "1"], "the hours are kept where the other way has them"
    assert back["ends"] == ["From Chapel Green to Ferry Steps"]
    assert back["rows"][0] == "Chapel Green"
    assert page.evaluate("location.search") == "?direction=return&hours=2"
    page.locator(".sp-switches").get_by_text("To Chapel Green").click(timeout=5000)
    page.get_by_text("Mon–Sat 08:00–18:00", exact=True).locator("visible=true").first.click(
        timeout=5000
    )
    watched.until(f"{MAP_SHOWS} === 'outbound-0'")
    assert page.evaluate("location.search") == ""
    assert watched.faults == []


def test_switches_go_by_arrow_keys_and_are_named(demo, visit) -> None:
    watched = opened(visit, demo, f"{FERRY}/")
    group = watched.page.get_by_role("group", name="Direction", exact=True)
    group.get_by_role("radio", name="To Chapel Green").focus()
    watched.page.keyboard.press("ArrowRight")
    watched.until(f"{MAP_SHOWS} === 'return-0'")
    assert group.get_by_role("radio", name="The way back").is_checked()
    assert watched.page.get_by_role("group", name="Hours").count() == 1


def test_a_way_back_of_its_own_is_the_line_that_is_drawn(demo, visit) -> None:
    out = opened(visit, demo, f"{MILL}/").page.evaluate(SHOWN)["map"]
    back = opened(visit, demo, f"{MILL}/?direction=return", "return-0").page.evaluate(SHOWN)["map"]
    assert abs(out["length"] - back["length"]) > 50
    assert math.dist(out["start"], back["start"]) > 0.005
    assert set(back["legs"]) != set(out["legs"])


def test_further_hours_are_fetched_when_they_are_asked_for(demo, visit) -> None:
    asked = []
    watched = opened(visit, demo, f"{GATE}/")
    watched.page.on("request", lambda request: asked.append(request.url))
    watched.page.locator(".sp-switches").get_by_text("The way back").click(timeout=5000)
    watched.until(f"{MAP_SHOWS} === 'return-0'")
    assert not any("states.js" in url for url in asked)
    watched.page.locator(".sp-switches").get_by_text("21:00–06:00: shut").last.click(timeout=5000)
    watched.until(f"{MAP_SHOWS} === 'return-1'")
    assert any("states.js" in url for url in asked)
    shut = watched.page.locator(".sp-shut").locator("visible=true").first.inner_text()
    assert shut == "Shut 21:00–06:00: this way cannot be ridden then."
    assert watched.page.locator(".sp-map-shut").count() == 1


def test_hours_that_cannot_be_fetched_leave_the_page_as_it_was(demo, visit) -> None:
    watched = opened(visit, demo, f"{FERRY}/")
    watched.page.route("**/states.js", lambda route: route.abort())
    before = watched.page.evaluate(SHOWN)
    watched.page.locator(".sp-switches").get_by_text("at other times").first.click(timeout=5000)
    watched.until("document.querySelector('.sp-switched').textContent")
    assert "could not be loaded" in watched.page.locator(".sp-switched").inner_text()
    assert watched.page.evaluate(SHOWN) == before


def test_without_script_the_page_holds_everything_in_turn(demo, visit) -> None:
    page = visit(f"{demo}{FERRY}/", home=demo, java_script_enabled=False).page
    assert not page.locator(".sp-switches").is_visible()
    assert page.locator(".sp-figures").locator("visible=true").count() == 2
    assert page.locator(".sp-strip").locator("visible=true").count() == 2
    assert page.locator(".sp-profile").locator("visible=true").count() == 2
    captions = page.locator(".sp-cues caption").all_text_contents()
    assert [caption.split(",")[0] for caption in captions] == [
        "From Ferry Steps to Chapel Green",
        "From Chapel Green to Ferry Steps",
    ]
    assert page.locator(".sp-week tbody tr").count() == 4
    heading = page.get_by_role("heading", name="The way back", level=2).bounding_box()["y"]
    assert page.locator(".sp-strip").nth(1).bounding_box()["y"] > heading


def test_the_section_of_the_way_back_leads_to_the_switch(demo, visit) -> None:
    watched = opened(visit, demo, f"{FERRY}/")
    watched.page.get_by_role("button", name="Show the way back").click(timeout=5000)
    watched.until(f"{MAP_SHOWS} === 'return-0'")
    watched.until("document.activeElement.value === 'return'")


@pytest.mark.parametrize("key", ["outbound-1", "return-0", "return-1"])
def test_from_a_disk_the_hash_carries_it(disk, visit, key) -> None:
    direction, index = key.split("-")
    page = (disk / FERRY / "index.html").as_uri()
    watched = visit(f"{page}#direction={direction}&hours={int(index) + 1}")
    watched.until(OPEN)
    watched.until(f"{MAP_SHOWS} === '{key}'")
    there, words = ("return", "The way back") if direction == "outbound" else ("outbound", "To ")
    watched.page.locator(".sp-switches label", has_text=words).click(timeout=5000)
    watched.until(f"{MAP_SHOWS} === '{there}-{index}'")
    said = (["direction=return"] if there == "return" else []) + ["hours=2"] * int(index)
    assert watched.page.evaluate("location.hash.slice(1)") == "&".join(said)
    assert watched.faults == []


def test_an_address_with_nonsense_leads_with_the_first(demo, visit) -> None:
    watched = opened(visit, demo, f"{FERRY}/?direction=<b>&hours=9")
    assert watched.page.evaluate(SHOWN)["figures"] == ["63 %", "2", "1"]


def test_from_page_to_page_and_back(demo, visit) -> None:
    watched = opened(visit, demo, f"{FERRY}/?direction=return&hours=2", "return-1")
    watched.page.wait_for_timeout(500)
    watched.page.evaluate("window.stillHere = true")
    watched.page.get_by_role("link", name="Chapel Green to Weir Mill").first.click(timeout=5000)
    watched.until(f"location.pathname.includes('weir-mill') && {OPEN}")
    watched.until(f"{MAP_SHOWS} === 'outbound-0'")
    assert watched.page.locator(".sp-along").count() == 1
    watched.page.go_back()
    watched.until(f"location.pathname.includes('ferry-steps') && {OPEN}")
    watched.until(f"{MAP_SHOWS} === 'return-1'")
    assert watched.page.evaluate("window.stillHere === true"), "the page was loaded anew"
    assert watched.page.evaluate(SHOWN)["figures"] == ["63 %", "2", "1"]
    assert watched.page.locator(".sp-map-canvas").count() == 1
    assert watched.page.locator(".sp-here").count() == 1
    assert watched.page.locator(".sp-along").count() == 1
    assert watched.faults == []
