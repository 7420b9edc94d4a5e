"""The Share box in a browser: it loads its texts when it is opened, and copies each."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from browser.kinds_of_page import DESK, FERRY, PHONE
from browser.map_page import OPEN
from browser.test_access import violations
from demo_site import build_demo

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.browser

LOOP = "routes/two-bridges-loop/"
NAMES = ("frame", "card", "text")
#: Notes which way each copy went.
WAYS = """window.ways = [];
const copy = document.execCommand.bind(document);
document.execCommand = name => { window.ways.push("selection"); return copy(name); };
if (navigator.clipboard) {
    const write = navigator.clipboard.writeText.bind(navigator.clipboard);
    navigator.clipboard.writeText = text => { window.ways.push("clipboard"); return write(text); };
}"""
NO_CLIPBOARD = (
    f"Object.defineProperty(Navigator.prototype, 'clipboard', {{get: () => undefined}}); {WAYS}"
)
REFUSED = "navigator.clipboard.writeText = () => Promise.reject(new Error('no')); "


def opened(watched) -> None:
    """Open the box and wait for its texts."""
    watched.page.locator("[data-sp-share] summary").click()
    watched.until("document.querySelector('[data-sp-text=card]').value !== ''")


def pasted(watched) -> str:
    """Return what a reader pastes elsewhere."""
    watched.page.evaluate(
        """() => { const area = document.createElement("textarea"); area.id = "elsewhere";
            document.querySelector("article").append(area); area.focus(); }"""
    )
    watched.page.keyboard.press("Control+V")
    return watched.page.evaluate(
        """() => { const area = document.querySelector("#elsewhere"), text = area.value;
            area.remove(); return text; }"""
    )


def copies_each(watched, way: str) -> None:
    """Copy all three, and see that each says so and is what is pasted."""
    for name in NAMES:
        area = watched.page.locator(f"[data-sp-text={name}]")
        button = watched.page.locator(f"[data-sp-copy={name}]")
        button.click()
        told = watched.page.locator(".sp-share-part", has=button).locator("[role=status]")
        watched.until(f"window.ways.includes('{way}')")
        told.get_by_text("Copied.").wait_for()
        assert pasted(watched) == area.input_value()
    assert set(watched.page.evaluate("window.ways")) == {way}
    assert watched.page.locator("[data-sp-said]:not(:empty)").count() == 1


@pytest.mark.parametrize(
    ("before", "way"), [(WAYS, "clipboard"), (NO_CLIPBOARD, "selection")], ids=["with", "without"]
)
def test_each_text_is_copied_with_and_without_the_clipboard(demo, visit, before, way) -> None:
    watched = visit(demo + FERRY, home=demo, before=before)
    opened(watched)
    copies_each(watched, way)
    assert watched.faults == []


def test_each_text_is_copied_over_plain_http(demo, visit) -> None:
    """An origin that a browser does not trust has no clipboard."""
    bare = "http://lindenferry.example/rides/"
    watched = visit("about:blank", home="about:blank", before=WAYS)
    watched.page.route(
        f"{bare}**",
        lambda route: route.fulfill(
            response=route.fetch(url=route.request.url.replace(bare, demo))
        ),
    )
    watched.page.goto(bare + FERRY)
    assert watched.page.evaluate("[isSecureContext, navigator.clipboard === undefined]") == [
        False,
        True,
    ]
    opened(watched)
    copies_each(watched, "selection")


@pytest.fixture(scope="module")
def on_disk(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("disk")
    return build_demo(folder, use_directory_urls=False, plugins=["softpedal"])


@pytest.mark.parametrize(
    ("before", "way"), [(WAYS, "clipboard"), (NO_CLIPBOARD, "selection")], ids=["with", "without"]
)
def test_each_text_is_copied_from_a_file(on_disk, visit, before, way) -> None:
    watched = visit((on_disk / FERRY / "index.html").as_uri(), before=before)
    opened(watched)
    copies_each(watched, way)
    assert [fault for fault in watched.faults if "failed" in fault] == []


def test_where_the_clipboard_is_refused_the_selection_is_copied(demo, visit) -> None:
    watched = visit(demo + FERRY, home=demo, before=REFUSED + WAYS)
    opened(watched)
    watched.page.locator("[data-sp-copy=text]").click()
    watched.page.get_by_text("Copied.").wait_for()
    assert watched.page.evaluate("window.ways") == ["clipboard", "selection"]
    assert pasted(watched) == watched.page.locator("[data-sp-text=text]").input_value()


@pytest.mark.parametrize("how", ["return false", "throw new Error('no')"])
def test_where_nothing_may_copy_it_is_selected_and_said(demo, visit, how) -> None:
    before = f"{REFUSED} document.execCommand = () => {{ {how}; }};"
    watched = visit(demo + FERRY, home=demo, before=before)
    opened(watched)
    watched.page.locator("[data-sp-copy=card]").click()
    watched.page.get_by_text("It is selected: press Ctrl+C, or ⌘C.").wait_for()
    selected = watched.page.evaluate(
        """() => { const e = document.activeElement;
            return [e.dataset.spText, e.selectionEnd - e.selectionStart === e.value.length]; }"""
    )
    assert selected == ["card", True]
    assert watched.faults == []


def test_the_texts_are_loaded_when_the_box_is_opened(demo, visit) -> None:
    watched = visit(demo + FERRY, home=demo)
    asked: list[str] = []
    watched.page.on("request", lambda request: asked.append(request.url))
    watched.until(OPEN)
    watched.page.wait_for_timeout(300)
    assert not [url for url in asked if url.endswith("share.js") and FERRY in url]
    opened(watched)
    assert [url for url in asked if url.endswith("share.js")] == [f"{demo}{FERRY}share.js"]
    code = watched.page.locator("[data-sp-text=frame]").input_value()
    assert code.startswith(f'<iframe src="{demo}{FERRY}embed/" ')
    assert "https://" not in code
    assert watched.page.locator("[data-sp-text=card]").input_value().startswith("<table ")


def test_after_instant_navigation_there_and_back_each_route_has_its_own(demo, visit) -> None:
    watched = visit(demo + FERRY, home=demo, before=WAYS)
    watched.page.evaluate("window.here = true")
    opened(watched)
    first = watched.page.locator("[data-sp-text=text]").input_value()
    for path, title in ((LOOP, "Two bridges loop"), (FERRY, "Ferry Steps")):
        watched.page.evaluate(
            """url => { const a = document.createElement("a"); a.href = url; a.id = "way";
                a.textContent = "there"; document.querySelector("article").prepend(a); }""",
            demo + path,
        )
        watched.page.locator("#way").click()
        watched.until(
            f"location.href === '{demo}{path}' && !document.querySelector('#way')"
            f" && document.querySelector('h1').textContent.includes('{title}')"
        )
        opened(watched)
        text = watched.page.locator("[data-sp-text=text]").input_value()
        assert text.startswith(title)
        assert path in text
    assert watched.page.evaluate("window.here"), "the page was loaded anew"
    assert text == first
    copies_each(watched, "clipboard")
    assert watched.page.evaluate("window.ways") == ["clipboard"] * 3, "one click copies once"
    assert watched.faults == []


def test_without_script_the_code_can_be_selected_and_the_rest_is_a_file(demo, visit) -> None:
    watched = visit(demo + FERRY, home=demo, java_script_enabled=False)
    watched.page.locator("[data-sp-share] summary").click()
    area = watched.page.locator("[data-sp-text=frame]")
    assert area.is_visible()
    assert "<iframe " in area.text_content()
    for name in ("card", "text"):
        assert watched.page.locator(f"[data-sp-text={name}]").is_hidden()
    assert watched.page.locator("[data-sp-copy]").filter(visible=True).count() == 0
    links = watched.page.locator("[data-sp-share] a").filter(visible=True)
    assert links.all_inner_texts() == ["What it looks like", "As a file", "As a file"]
    for link in links.all():
        answer = watched.page.request.get(link.evaluate("a => a.href"))
        assert answer.ok
    assert "Conditions change." in answer.text()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_nothing_is_found_with_the_box_open(demo, visit, size, scheme) -> None:
    watched = visit(demo + FERRY, home=demo, color_scheme=scheme, **size)
    watched.until(OPEN)
    opened(watched)
    watched.page.locator("[data-sp-copy=card]").click()
    watched.page.wait_for_timeout(300)
    assert violations(watched.page) == []
    assert (
        watched.page.evaluate("document.documentElement.scrollWidth") <= size["viewport"]["width"]
    )


def test_the_theme_s_icon_is_gone_and_focus_is_seen(demo, visit) -> None:
    watched = visit(demo + FERRY, home=demo)
    summary = watched.page.locator("[data-sp-share] summary")
    for part in ("::before", "::after"):
        drawn = summary.evaluate(f"e => getComputedStyle(e, '{part}').display")
        assert drawn == "none", part
    opened(watched)
    for _ in range(8):
        watched.page.keyboard.press("Tab")
        assert watched.page.evaluate(
            """() => { const e = document.activeElement, s = getComputedStyle(e);
                return !e.closest("[data-sp-share]") || s.outlineStyle !== "none"; }"""
        )


def test_it_is_not_printed(demo, visit) -> None:
    watched = visit(demo + FERRY, home=demo)
    opened(watched)
    watched.page.emulate_media(media="print")
    assert watched.page.locator("[data-sp-share]").is_hidden()
    assert watched.page.locator("#share").is_hidden()
