"""A row of the table shows its place; an author moves a note by picking it a new one."""

from __future__ import annotations

import itertools
import math
import re
from typing import TYPE_CHECKING

import pytest

from browser.conftest import serving
from browser.map_page import HANDLE, OPEN, PHONE
from browser.test_access import violations
from building import LAT, LON, gpx_text, make_route, notes
from site_building import build_site
from softpedal.site.policy import policy as site_policy

if TYPE_CHECKING:
    from collections.abc import Iterator

pytestmark = pytest.mark.browser

ID = "loop-by-the-weir"
#: East 1,200 m, north 300, west 600, then south over the first stretch: at 0.60 and 2.40 km.
CORNERS = ((0, 0), (1200, 0), (1200, 300), (600, 300), (600, -300))
NOTES = """title: Loop by the weir
area: Lindenferry
start: Ferry Steps
finish: Weir Mill
summary: A way to test with.
status: published
ridden: [{on: 2026-05-16, direction: both}]
legs:
  - from: start
    street: Quay
    kind: filtered street
    closed_by: posts
  - from: 0.80 km
    street: Sailmaker Row
    kind: back street
  - {from: 1.6 km, street: Dock Road, kind: busy road}
crossings:
  - at: 0.45 km    # by the baths
    road: Dock Road
    control: signals
hazards: [{at: 1.25 km, to: 1.45 km, what: speed humps}, {at: 2.3 km, what: gap}]
dismounts:
  - {why: no entry, at: "AT", direction: return}   # only on the way back
landmarks:
  - what: Grain silo
    at: finish
hardest: {at: 1.7 km, text: The yards.}
"""


def line() -> list[tuple[float, float]]:
    """Return the corners joined in steps of 10 m."""
    points = []
    for (x0, y0), (x1, y1) in itertools.pairwise(CORNERS):
        steps = round(math.hypot(x1 - x0, y1 - y0) / 10)
        points += [(x0 + (x1 - x0) * i / steps, y0 + (y1 - y0) * i / steps) for i in range(steps)]
    points.append(CORNERS[-1])
    wide = 111_290 * math.cos(math.radians(LAT)) * 1.0011
    return [(LAT + y / 111_229, LON + x / wide) for x, y in points]


def degrees(x: float, y: float) -> str:
    wide = 111_290 * math.cos(math.radians(LAT)) * 1.0011
    return f"{LAT + y / 111_229:.5f}, {LON + x / wide:.5f}"


class Library:
    """A library that is served, as its author sees it or as its readers do."""

    def __init__(self, folder, served) -> None:
        self.folder, self.served = folder, served
        text = NOTES.replace("AT", degrees(900, 300))
        self.notes = make_route(folder, text, gpx=gpx_text(line()), id=ID) / "notes.yml"
        make_route(folder, notes(title="Another"), id="another")

    def build(self, command="serve") -> str:
        build_site(self.folder, command, site_url=self.served.url)
        (self.folder / "site" / "favicon.ico").touch()
        self.served.policy = site_policy(self.folder / "site")
        return f"{self.served.url}routes/{ID}/"


def served_library(folder) -> Iterator[Library]:
    (folder / "site").mkdir()
    with serving(folder / "site", policy="") as served:
        yield Library(folder, served)


@pytest.fixture
def library(tmp_path) -> Iterator[Library]:
    yield from served_library(tmp_path)


@pytest.fixture(scope="module")
def author(tmp_path_factory) -> Iterator[str]:
    """Address of the route's page, served for its author."""
    for made in served_library(tmp_path_factory.mktemp("author")):
        yield made.build()


@pytest.fixture
def page(author, visit):
    watched = opened(visit, author)
    watched.until(BUTTONS)
    yield watched
    assert watched.faults == []


BUTTONS = "document.querySelectorAll('.sp-cues .sp-author-button').length"
RING = f"""(() => {{ const h = {HANDLE}; let at = null; h.map.eachLayer(l => {{
    if (l.options.className === 'sp-ring') at = [l.getLatLng().lat, l.getLatLng().lng]; }});
    return at; }})()"""
STRETCH = "(document.querySelector('.sp-stretch-marked').getAttribute('d') || 'M0 0').length > 4"
MARK = """(() => { const m = document.querySelector('.sp-strip .sp-mark'); return m && {
    name: m.tagName, at: parseFloat(m.getAttribute('cx') || m.getAttribute('x')),
    width: parseFloat(m.getAttribute('width') || 0)}; })()"""


def opened(visit, url: str, **options):
    watched = visit(url, **options)
    watched.until(OPEN)
    watched.until("window.softpedal.rows && document.querySelector('.sp-here')")
    if "mouse" not in options:
        watched.page.mouse.move(2, 2)
    return watched


def row(watched, words: str):
    return watched.page.locator(".sp-cues tr").filter(has_text=words).locator("visible=true").first


def hover(watched, words: str):
    """Put the pointer on a row that stands low in the window, where the map leaves room."""
    target = row(watched, words)
    target.evaluate("e => e.scrollIntoView({block: 'end', behavior: 'instant'})")
    watched.page.wait_for_timeout(100)  # the map takes its place beside the table
    target.hover()
    return target


def move(watched, words: str):
    watched.until(BUTTONS)
    button = hover(watched, words).get_by_role("button", name="Move")
    button.click()
    watched.until("document.querySelector('.sp-author-move input[type=range]')")
    return button


def place(watched, metres: float) -> list[float]:
    return watched.page.evaluate(f"softpedal.parts.place.at({HANDLE}.parts, {metres}).slice(0, 2)")


def click_map(watched, metres: float) -> None:
    spot = watched.page.evaluate(
        f"""(() => {{ const h = {HANDLE}, p = softpedal.parts.place.at(h.parts, {metres});
        const box = h.map.getContainer().getBoundingClientRect();
        const at = h.map.latLngToContainerPoint([p[0], p[1]]); return [box.x + at.x, box.y + at.y];
        }})()"""
    )
    watched.page.mouse.click(*spot)


def told(watched) -> tuple[str, str]:
    """Return the old line and the new one, as they stand in the panel."""
    watched.until("document.querySelectorAll('.sp-author-line code').length === 2")
    old, new = watched.page.locator(".sp-author-line code").all_text_contents()
    return old, new


def number(line: str) -> float:
    return float(re.findall(r"([0-9.]+) km", line)[-1])


@pytest.mark.parametrize("command", ["build", "serve"])
def test_a_row_under_the_pointer_shows_its_place_on_map_and_strip(library, visit, command) -> None:
    watched = opened(visit, library.build(command))
    length = watched.page.evaluate(f"{HANDLE}.length")
    if command == "serve":
        watched.until(BUTTONS)
    height = watched.page.evaluate("document.documentElement.scrollHeight")
    target = hover(watched, "Cross Dock Road")
    ring = watched.until(RING)
    box = target.bounding_box()
    assert math.dist(ring, place(watched, 450)) < 1e-5
    assert watched.page.evaluate(MARK) == {
        "name": "circle",
        "at": pytest.approx(2 + 96 * 450 / length, abs=0.1),
        "width": 0,
    }
    assert "sp-shown" in target.get_attribute("class")
    assert watched.page.evaluate("document.documentElement.scrollHeight") == height
    if command == "build":
        assert watched.page.locator("[class*='sp-author']").count() == 0
    watched.page.mouse.move(2, 2)
    watched.until(f"{RING} === null && {MARK} === null")
    assert target.bounding_box() == box
    assert watched.page.locator(".sp-shown").count() == 0
    assert watched.faults == []


def test_a_stretch_is_shown_from_end_to_end(page) -> None:
    hover(page, "speed humps")
    page.until(STRETCH)
    length = page.page.evaluate(f"{HANDLE}.length")
    mark = page.page.evaluate(MARK)
    assert mark["name"] == "rect"
    assert mark["at"] == pytest.approx(2 + 96 * 1250 / length, abs=0.1)
    assert mark["width"] == pytest.approx(96 * 200 / length, abs=0.1)
    hover(page, "Sailmaker Row")
    page.until(f"Math.abs({MARK}.width - {96 * 800 / length}) < 0.1")


def test_the_keys_go_from_row_to_row_and_tab_leaves_the_table(page) -> None:
    rows = "[...document.querySelectorAll('.sp-cues tr[data-sp-at]')].filter(r => r.offsetHeight)"
    assert page.page.evaluate(f"{rows}.filter(r => r.tabIndex === 0).length") == 1
    page.page.evaluate(f"{rows}[0].focus()")
    page.page.keyboard.press("ArrowDown")
    page.until(RING)
    assert page.page.evaluate(f"document.activeElement === {rows}[1]")
    assert math.dist(page.page.evaluate(RING), place(page, 450)) < 1e-5
    page.page.keyboard.press("End")
    page.until(f"document.activeElement === {rows}.at(-1)")
    page.until(f"Math.abs({MARK}.at - 98) < 0.3")
    page.page.evaluate("document.activeElement.blur()")
    page.until(f"{RING} === null && {MARK} === null")


def test_the_pasted_line_puts_the_note_in_its_new_place(library, visit) -> None:
    watched = opened(visit, library.build())
    move(watched, "Cross Dock Road")
    click_map(watched, 1100)
    old, new = told(watched)
    text = library.notes.read_text()
    panel = watched.page.locator(".sp-author-line").inner_text()
    index = int(re.search(r"notes\.yml:(\d+)", panel)[1])
    lines = text.split("\n")
    assert lines[index - 1] == old == "  - at: 0.45 km    # by the baths"
    assert re.fullmatch(r"  - at: 1\.1\d km    # by the baths|  - at: 1\.09 km    # .*", new)
    assert math.dist(watched.page.evaluate(RING), place(watched, 1100)) < 1.5e-4
    lines[index - 1] = new
    library.notes.write_text("\n".join(lines))
    library.build()
    watched.page.reload()
    watched.until(OPEN)
    at = float(row(watched, "Cross Dock Road").get_attribute("data-sp-at"))
    assert at == pytest.approx(1100, abs=15)
    assert at == pytest.approx(number(new) * 1000, abs=1)
    assert watched.faults == []


def test_where_the_line_passes_twice_the_pass_nearer_to_the_old_place_comes_first(page) -> None:
    for words, first in (("Cross Dock Road", 0.6), ("gap", 2.4)):
        move(page, words)
        click_map(page, 600)
        assert number(told(page)[1]) == pytest.approx(first, abs=0.02)
        both = page.page.locator(".sp-author-move p", has_text="passes here 2 times")
        other = {0.6: 2.4, 2.4: 0.6}[first]
        assert [number(t) for t in both.get_by_role("button").all_inner_texts()] == pytest.approx(
            [first, other], abs=0.02
        )
        both.get_by_role("button").nth(1).click()
        assert number(told(page)[1]) == pytest.approx(other, abs=0.02)
        page.page.keyboard.press("Escape")


def test_a_place_is_picked_on_the_strip_without_lighting_its_leg(page) -> None:
    move(page, "Cross Dock Road")
    strip = page.page.locator(".sp-strip").locator("visible=true").first
    strip.scroll_into_view_if_needed()
    box, length = strip.bounding_box(), page.page.evaluate(f"{HANDLE}.length")
    page.page.mouse.click(
        box["x"] + box["width"] * (0.02 + 0.96 * 2000 / length), box["y"] + box["height"] * 0.45
    )
    assert number(told(page)[1]) == pytest.approx(2.0, abs=0.015)
    assert page.page.locator(".sp-lit").count() == 0


def test_the_keys_pick_a_place_and_escape_goes_back_to_the_row(page) -> None:
    button = move(page, "Cross Dock Road")
    keys = page.page.keyboard
    assert page.page.evaluate("document.activeElement.type") == "range"
    keys.press("ArrowRight")
    keys.press("Shift+ArrowRight")
    keys.press("ArrowUp")
    keys.press("ArrowLeft")
    assert page.page.evaluate("document.activeElement.getAttribute('aria-valuetext')") == "0.56 km"
    assert math.dist(page.page.evaluate(RING), place(page, 560)) < 1e-5
    keys.press("Enter")
    assert told(page)[1] == "  - at: 0.56 km    # by the baths"
    assert page.page.evaluate("document.activeElement.textContent") == "Copy the new line"
    keys.press("Enter")
    status = "document.querySelector('.sp-author-move [role=status]').textContent"
    page.until(f"{status} === 'Copied: - at: 0.56 km    # by the baths'")
    keys.press("Escape")
    page.until("!document.querySelector('.sp-author-move')")
    assert button.evaluate("e => e === document.activeElement")
    assert page.page.locator(".sp-author").is_visible()


def test_escape_before_a_pick_leaves_nothing_behind(page) -> None:
    move(page, "gap")
    page.page.keyboard.press("ArrowRight")
    page.page.keyboard.press("Escape")
    page.page.evaluate("document.activeElement.blur()")
    page.until(f"!document.querySelector('.sp-author-move') && {RING} === null && {MARK} === null")
    click_map(page, 1100)
    page.until("document.querySelector('.sp-author code')")
    assert "at: 1.1" in page.page.locator(".sp-author code").first.inner_text()


def test_what_cannot_be_copied_is_selected(author, visit) -> None:
    watched = opened(
        visit,
        author,
        before="Object.defineProperty(navigator, 'clipboard', {value: undefined});"
        "Document.prototype.execCommand = () => false;",
    )
    move(watched, "Cross Dock Road")
    watched.page.keyboard.press("Enter")
    new = told(watched)[1]
    watched.page.get_by_role("button", name="Copy the new line").click()
    watched.until("String(getSelection()).length > 5")
    assert watched.page.evaluate("String(getSelection())").strip() == new.strip()
    assert "Not copied" in watched.page.locator(".sp-author-move [role=status]").inner_text()
    assert watched.faults == []


def test_of_a_stretch_either_end_moves_and_never_past_the_other(page) -> None:
    move(page, "speed humps")
    page.page.get_by_label("where it ends, 1.45 km").check()
    click_map(page, 1550)
    old, new = told(page)
    to = number(new.split(", what: speed")[0])
    assert to == pytest.approx(1.55, abs=0.015)
    assert new == old.replace("to: 1.45 km", f"to: {to:.2f} km")
    click_map(page, 900)
    assert page.page.locator(".sp-author-line code").count() == 0
    status = page.page.locator(".sp-author-move [role=status]").inner_text()
    assert "a stretch begins before it ends" in status
    assert "between 1.25 km and 2.70 km" in status


def test_a_leg_keeps_its_place_in_the_riding_order(page) -> None:
    move(page, "Sailmaker Row")
    click_map(page, 1900)
    assert page.page.locator(".sp-author-line code").count() == 0
    status = page.page.locator(".sp-author-move [role=status]").inner_text()
    assert "between 0.00 km and 1.60 km" in status
    page.page.get_by_label("where it ends, 1.60 km").check()
    click_map(page, 1900)
    old, new = told(page)
    assert old.startswith("  - {from: 1.6 km, street: Dock Road")
    assert number(new) == pytest.approx(1.9, abs=0.015)


def test_on_the_way_back_a_note_keeps_the_chainage_of_its_file(page) -> None:
    page.page.locator(".sp-switches").get_by_text("The way back").click()
    page.until("softpedal.shown === 'return-0'")
    move(page, "no entry")
    length = page.page.evaluate(f"{HANDLE}.length")
    click_map(page, length - 1000)
    old, new = told(page)
    assert old == new.replace(new.split('"')[1], degrees(900, 300))
    lat, lon = (float(part) for part in new.split('"')[1].split(", "))
    assert math.dist((lat, lon), place(page, length - 1000)) < 2e-4
    page.page.keyboard.press("Escape")
    move(page, "Cross Dock Road")
    page.page.keyboard.press("ArrowRight")
    page.page.keyboard.press("Enter")
    assert told(page)[1] == "  - at: 0.44 km    # by the baths"


def test_coordinates_that_the_line_passes_twice_say_which(page) -> None:
    page.page.locator(".sp-switches").get_by_text("The way back").click()
    page.until("softpedal.shown === 'return-0'")
    move(page, "no entry")
    length = page.page.evaluate(f"{HANDLE}.length")
    click_map(page, length - 600)
    told(page)
    page.page.get_by_role("button", name=re.compile("^2.10 km")).click()
    assert re.search(r'at: "50\.0\d+, -19\.99\d+ near 0\.60 km"', told(page)[1])


def test_a_note_in_no_row_is_moved_too(page) -> None:
    page.until(BUTTONS)
    # By key: under a pointer the page may still be moving while its map settles.
    page.page.locator(".sp-author-others > summary").press("Enter")
    page.until("document.querySelector('.sp-author-others').open")
    page.page.get_by_role("button", name="Move hardest: The yards.").click()
    page.page.keyboard.press("ArrowLeft")
    page.page.keyboard.press("Enter")
    assert told(page)[1] == "hardest: {at: 1.69 km, text: The yards.}"


def test_a_note_at_a_named_end_gets_a_chainage_when_it_leaves_it(page) -> None:
    move(page, "Grain silo")
    page.page.keyboard.press("Enter")
    assert told(page)[1] == "    at: finish"
    page.page.keyboard.press("Shift+Tab")
    for _ in range(3):
        page.page.keyboard.press("Shift+Tab")
        if page.page.evaluate("document.activeElement.type") == "range":
            break
    page.page.keyboard.press("ArrowLeft")
    page.page.keyboard.press("Enter")
    assert told(page)[1] == "    at: 2.69 km"


def test_after_instant_navigation_and_back_there_is_one_of_everything(page) -> None:
    page.until(BUTTONS)
    count = page.page.evaluate(BUTTONS)
    move(page, "Cross Dock Road")
    for name in ("another", ID):
        page.page.evaluate(
            f"""(() => {{ const a = document.createElement('a'); a.href = '../{name}/';
            a.textContent = 'go'; document.querySelector('article').prepend(a); a.click(); }})()"""
        )
        page.until(f"location.pathname.endsWith('/{name}/')")
        page.until(OPEN)
    page.until(f"{BUTTONS} === {count}")
    for name, expected in ((".sp-author-move", 0), (".sp-author", 1), (".sp-author-others", 1)):
        assert page.page.locator(name).count() == expected
    move(page, "Cross Dock Road")
    page.page.keyboard.press("Enter")
    assert told(page)[1] == "  - at: 0.45 km    # by the baths"


def test_on_a_phone_targets_have_room_and_nothing_is_cut(author, visit) -> None:
    watched = opened(visit, author, **PHONE)
    watched.until(BUTTONS)
    button = row(watched, "Cross Dock Road").get_by_role("button", name="Move")
    button.evaluate("e => e.scrollIntoView({block: 'center'})")
    button.tap()
    watched.until("document.querySelector('.sp-author-move input[type=range]')")
    watched.page.get_by_role("button", name="Pick this place").tap()
    told(watched)
    small = watched.page.evaluate(
        """[...document.querySelectorAll('.sp-author-button, .sp-author-move button')]
        .filter(e => e.offsetHeight && (e.offsetHeight < 44 || e.offsetWidth < 44)).length"""
    )
    assert small == 0
    assert watched.page.evaluate("document.documentElement.scrollWidth") <= 360
    assert watched.faults == []


@pytest.mark.parametrize("options", [PHONE, {}], ids=["phone", "desk"])
def test_axe_finds_nothing_while_a_note_is_moved(author, visit, options) -> None:
    watched = opened(visit, author, **options)
    watched.until(BUTTONS)
    watched.page.get_by_text("Notes that stand in no row of the table").click()
    move(watched, "speed humps")
    watched.page.keyboard.press("ArrowLeft")
    watched.page.keyboard.press("Enter")
    told(watched)
    assert violations(watched.page) == []
