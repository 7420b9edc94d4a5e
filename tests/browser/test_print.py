"""A route on paper: one sheet, A4 or Letter, with all that a rider needs and nothing else."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path

import pypdf
import pytest

from browser.conftest import serving
from browser.map_page import OPEN
from browser.test_due import on
from demo_site import ROOT, build_demo

pytestmark = pytest.mark.browser

FERRY = "ferry-steps-to-chapel-green"
SHOWN = [
    path.parent.name
    for path in sorted((ROOT / "routes").glob("*/notes.yml"))
    if "status: draft" not in path.read_text(encoding="utf-8")
]
#: Millimetres of the two sheets.
SHEETS = {"A4": (210, 297), "Letter": (215.9, 279.4)}


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    """Address of the demo, from a sub-path."""
    root = tmp_path_factory.mktemp("print")
    with serving(root, policy="") as served:
        build_demo(root / "rides", site_url=f"{served.url}rides/")
        yield f"{served.url}rides/"


def printed(page, sheet: str) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(page.pdf(format=sheet)))


def words(pdf: pypdf.PdfReader) -> str:
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pdf.pages))


def switch_to_way_back(page) -> None:
    page.locator(".sp-switches").wait_for(state="visible")
    page.locator('.sp-switches input[value="return"]').check(force=True)
    page.locator('.sp-ends[data-sp-view^="return"]').wait_for(state="visible")


@pytest.mark.parametrize("sheet", SHEETS)
def test_every_route_of_the_demo_fits_on_one_sheet(home, visit, sheet) -> None:
    assert len(SHOWN) >= 8
    watched = visit(home, home=home)
    for name in SHOWN:
        watched.page.goto(f"{home}routes/{name}/")
        pdf = printed(watched.page, sheet)
        assert len(pdf.pages) == 1, (name, sheet)
        switch_to_way_back(watched.page)
        assert len(printed(watched.page, sheet).pages) == 1, (name, sheet, "way back")
        size = [float(side) / 72 * 25.4 for side in pdf.pages[0].mediabox[2:]]
        assert size == pytest.approx(SHEETS[sheet], abs=1)


def test_an_old_route_says_so_on_paper_and_a_fresh_one_does_not(home, visit) -> None:
    for day, told in (("2026-11-25", False), ("2030-01-01", True)):
        watched = visit(f"{home}routes/{FERRY}/", home=home, before=on(day))
        watched.page.locator(".sp-old").wait_for(state="visible" if told else "hidden")
        pdf = printed(watched.page, "A4")
        assert ("Much may have changed since" in words(pdf)) is told
        assert len(pdf.pages) == 1


def test_the_sheet_has_the_timetable_the_caution_and_the_address(home, visit) -> None:
    watched = visit(f"{home}routes/{FERRY}/", home=home)
    watched.until(OPEN)
    rows = watched.page.locator('[data-sp-panel="legs"]').first.locator("tbody tr")
    cues = [row.inner_text().replace("Changed?", "").split() for row in rows.all()]
    assert len(cues) >= 15
    text = words(printed(watched.page, "A4"))
    assert "Changed?" not in text  # paper leads nowhere
    place = 0
    for cue in cues:  # each in its order, with its chainage
        found = text.find(" ".join(cue[:4]), place)
        assert found >= 0, cue
    for wanted in (
        "From Ferry Steps to Chapel Green",
        "quiet share",
        "Hardest bit:",
        "Before you ride",
        "Signs, signals and local traffic law come first",
        "In an emergency call 112",
        f"{home}routes/{FERRY}/",
        "Last ridden on 3 September 2026.",
        "its map is CC0",
    ):
        assert wanted in text, wanted
    for other in ("All figures", "The way back", "Take it along", "About this route", "GeoJSON"):
        assert other not in re.sub(r"The painted lane on Dock Road, on the way back.*?\.", "", text)


@pytest.mark.parametrize("state", ["dark", "no script"])
def test_dark_pages_and_pages_without_script_print_the_same(home, visit, state) -> None:
    options = {"color_scheme": "dark"} if state == "dark" else {"java_script_enabled": False}
    watched = visit(f"{home}routes/{FERRY}/", home=home, **options)
    pdf = printed(watched.page, "A4")
    assert len(pdf.pages) == 1
    assert words(pdf).count("Netmakers") >= 1
    watched.page.emulate_media(media="print")
    shown = watched.page.locator('[data-sp-panel="legs"]:visible')
    assert shown.count() == 1
    if state == "dark":
        look = "getComputedStyle(document.querySelector('.sp-sheet').parentElement).color"
        assert watched.page.evaluate(look) == "rgb(0, 0, 0)"
        ground = "getComputedStyle(document.body).backgroundColor"
        assert watched.page.evaluate(ground) == "rgb(255, 255, 255)"


def test_the_picture_and_the_code_are_on_the_sheet_and_not_on_the_screen(home, visit) -> None:
    watched = visit(f"{home}routes/{FERRY}/", home=home)
    for name in ("outbound", "code"):
        assert not watched.page.locator(f".sp-sheet-{name}").is_visible()
    watched.page.emulate_media(media="print")
    for name in ("outbound", "code"):
        image = watched.page.locator(f".sp-sheet-{name}")
        assert image.is_visible()
        assert image.evaluate("i => i.complete && i.naturalWidth > 0")
    boxes = watched.page.evaluate(
        "['.sp-sheet-map', '.sp-figures', '.sp-strip', '.sp-cues', '.sp-caution']"
        ".map(s => document.querySelector(s).getBoundingClientRect())"
        ".map(b => [b.left, b.top, b.right, b.bottom])"
    )
    for index, one in enumerate(boxes):
        for other in boxes[:index]:
            apart = one[0] >= other[2] - 1 or one[2] <= other[0] + 1
            assert apart or one[1] >= other[3] - 1 or one[3] <= other[1] + 1, (one, other)


def test_the_map_on_the_sheet_is_that_of_the_direction_shown(home, visit) -> None:
    watched = visit(f"{home}routes/{FERRY}/", home=home)
    shown = watched.page.locator(".sp-sheet-map:visible")
    watched.page.emulate_media(media="print")
    assert shown.evaluate_all("all => all.map(i => i.src.split('/').pop())") == ["map-sheet.svg"]
    watched.page.emulate_media(media="screen")
    switch_to_way_back(watched.page)
    watched.page.emulate_media(media="print")
    found = shown.evaluate_all("all => all.map(i => i.src.split('/').pop())")
    assert found == ["map-sheet-back.svg"]


def test_other_pages_print_as_the_theme_has_them(home, visit) -> None:
    watched = visit(f"{home}how-we-measure/", home=home)
    assert len(printed(watched.page, "A4").pages) >= 2


def test_the_drawn_map_stands_in_until_the_live_one_is_open(home, visit) -> None:
    still = visit(f"{home}routes/{FERRY}/", home=home, java_script_enabled=False)
    picture = still.page.locator(".sp-map-picture:visible")
    assert picture.count() == 1
    box = picture.bounding_box()
    assert box["width"] / box["height"] == pytest.approx(1.5, abs=0.02)
    assert picture.get_attribute("alt").startswith("Map of Ferry Steps to Chapel Green: 3.0 km")
    live = visit(f"{home}routes/{FERRY}/", home=home)
    live.until(OPEN)
    assert live.page.locator(".sp-map-picture:visible").count() == 0
    assert live.faults == []


def test_a_phone_gets_the_drawn_map_with_words_that_can_be_read(home, visit) -> None:
    phone = {"viewport": {"width": 390, "height": 844}, "java_script_enabled": False}
    watched = visit(f"{home}routes/{FERRY}/", home=home, **phone)
    picture = watched.page.locator(".sp-map-picture:visible")
    assert picture.get_attribute("src").endswith("map-sheet.svg")
    shrunk = picture.bounding_box()["width"] / 400
    assert 13 * shrunk >= 11  # px, the names of the ends


def test_the_theme_s_search_does_not_know_the_sheet(home, visit) -> None:
    watched = visit(home, home=home)
    answer = watched.page.request.get(f"{home}search/search_index.json")
    docs = json.loads(answer.text())["docs"]
    assert not [doc for doc in docs if "sheet of its own" in doc["text"]]


def test_the_print_rules_bring_no_colour_but_black_white_and_grey() -> None:
    sheet = Path(ROOT / "plugin/softpedal/site/assets/softpedal-print.css").read_text()
    for colour in re.findall(r"#([0-9a-f]{3,6})\b", sheet):
        assert len(set(colour)) == 1, colour
