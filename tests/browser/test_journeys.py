"""A reader's whole way through the demo: by keyboard alone, without JavaScript, and on paper."""

from __future__ import annotations

import io
import re

import pytest
from PIL import Image

from browser.kinds_of_page import DESK, FERRY, PAGES, PHONE
from browser.map_page import OPEN
from demo_site import ROOT
from softpedal.library.gpx_reader import read_gpx

pytestmark = pytest.mark.browser

ARTEFACTS = ROOT / "test-artefacts"
TITLE = "Ferry Steps to Chapel Green"
WORST = re.compile(r"Hardest bit:\s.*Candle Street")


def focus_by_tab(page, name: str) -> None:
    """Press Tab until what is named so has the focus; a person would not press it much longer."""
    for _ in range(120):
        page.keyboard.press("Tab")
        words = page.evaluate(
            "(document.activeElement.getAttribute('aria-label')"
            " || document.activeElement.innerText || '').trim()"
        )
        if words == name and page.evaluate(
            "document.activeElement.closest('article, nav') !== null"
        ):
            return
    pytest.fail(f"Tab never reached “{name}” on {page.url}")


def check_route(page) -> None:
    """The figures and the worst bit stand there to be read."""
    text = page.locator("article").inner_text()
    assert page.locator("h1").inner_text().startswith(TITLE)
    assert re.search(r"quiet share\s+\d+ %", text)
    assert re.search(r"busy crossings[^\d]*\s2\s", text)
    assert WORST.search(text)


def check_gpx(download) -> None:
    """The file is the route's line from start to finish, and carries no times."""
    content = download.path().read_bytes()
    assert download.suggested_filename == "ferry-steps-to-chapel-green.gpx"
    assert b"<time" not in content
    line, problems = read_gpx(content, "x.gpx")
    assert line is not None
    assert problems == []
    assert content.count(b"<trkpt") > 100
    assert TITLE.encode() in content


def test_by_keyboard_alone(demo, visit) -> None:
    watched = visit(demo, home=demo, **DESK)
    page = watched.page
    focus_by_tab(page, "By area")
    page.keyboard.press("Enter")
    watched.until("location.pathname.endsWith('/areas/')")
    focus_by_tab(page, "Old Harbour")
    page.keyboard.press("Enter")
    watched.until("location.pathname.endsWith('/old-harbour/')")
    focus_by_tab(page, TITLE)
    page.keyboard.press("Enter")
    watched.until("location.pathname.includes('ferry-steps')")
    watched.until(OPEN)
    check_route(page)
    focus_by_tab(page, "From Ferry Steps to Chapel Green")
    with page.expect_download() as download:
        page.keyboard.press("Enter")
    check_gpx(download.value)
    assert watched.faults == []


def test_without_javascript(demo, chromium) -> None:
    context = chromium.new_context(java_script_enabled=False, **PHONE)
    page = context.new_page()
    page.goto(demo)
    page.locator("article").get_by_role("link", name="By area").click()
    page.get_by_role("link", name="Old Harbour").click()
    page.get_by_role("link", name=TITLE).click()
    check_route(page)
    assert page.locator(".sp-strip").first.is_visible()
    assert page.locator(".sp-cues tr[data-leg]").first.is_visible()
    assert page.locator("form:has(input, select)").filter(visible=True).count() == 0
    with page.expect_download() as download:
        page.get_by_role("link", name="From Ferry Steps to Chapel Green").first.click()
    check_gpx(download.value)
    context.close()


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without"])
def test_on_paper(demo, chromium, script) -> None:
    context = chromium.new_context(java_script_enabled=script, color_scheme="dark", **DESK)
    page = context.new_page()
    page.goto(demo + FERRY)
    page.wait_for_timeout(600)
    page.emulate_media(media="print")
    assert page.locator("h1").is_visible()
    assert page.locator(".sp-figures").first.is_visible()
    assert page.locator(".sp-hardest").first.is_visible()
    assert page.locator(".sp-caution").first.is_visible()
    rows = page.locator(".sp-cues").first.locator("tr[data-leg]")
    assert rows.count() >= 8
    assert all(rows.nth(i).is_visible() for i in range(rows.count()))
    assert not page.locator(".md-header, form:has(input)").filter(visible=True).count()
    paper = page.pdf(prefer_css_page_size=True)
    assert paper.startswith(b"%PDF")
    ARTEFACTS.mkdir(exist_ok=True)
    (ARTEFACTS / f"paper-{'with' if script else 'without'}-script.pdf").write_bytes(paper)
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", ["phone", "desk"])
def test_every_kind_of_page_is_pictured(demo, visit, size, scheme) -> None:
    """Pictures to look at, in test-artefacts/; none is blank, and the dark ones are dark."""
    folder = ARTEFACTS / "pages"
    folder.mkdir(parents=True, exist_ok=True)
    options = (PHONE if size == "phone" else DESK) | {"color_scheme": scheme}
    watched = visit(demo, home=demo, **options)
    for kind, path in PAGES.items():
        watched.page.goto(demo + path)
        if watched.page.locator(".sp-map").count():
            watched.until(OPEN)
        watched.page.wait_for_timeout(400)
        picture = watched.page.screenshot(full_page=True)
        (folder / f"{kind.replace(' ', '-')}-{size}-{scheme}.png").write_bytes(picture)
        with Image.open(io.BytesIO(picture)) as image:
            low, high = image.convert("L").getextrema()
            ground = image.convert("L").getpixel((2, image.height // 2))
        assert high - low > 100, kind
        assert (ground > 200) == (scheme == "light"), kind
