"""No rule of WCAG 2.2 AA that axe-core can test is broken on any kind of page.

What is left out is named in LEFT_OUT with its reason, and a test holds that each is still needed.
"""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe

from browser.kinds_of_page import DESK, FERRY, PAGES, PHONE
from browser.map_page import OPEN

pytestmark = pytest.mark.browser

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
#: A sign lies where the thing is: WCAG 2.5.8 excepts what is essential, and names pins on a map.
#: The rows of the table under Turn by turn say the same and are as large as text.
LEFT_OUT = {"target-size": ".leaflet-marker-icon"}


def violations(page) -> list[str]:
    """Return what axe-core finds, a line for each element."""
    options = {"runOnly": TAGS, "resultTypes": ["violations"]}
    found = Axe().run(page, options=options).response["violations"]
    return [
        f"{rule['id']}: {node['html'][:200]} {node['failureSummary']}"
        for rule in found
        for node in rule["nodes"]
        if not (
            (left_out := LEFT_OUT.get(rule["id"]))
            and page.locator(node["target"][0]).first.evaluate(f"e => e.matches('{left_out}')")
        )
    ]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", ["phone", "desk"])
def test_nothing_is_found_on_any_kind_of_page(demo, visit, size, scheme) -> None:
    options = (PHONE if size == "phone" else DESK) | {"color_scheme": scheme}
    watched = visit(demo, home=demo, **options)
    found = {}
    for kind, path in PAGES.items():
        watched.page.goto(demo + path)
        if watched.page.locator(".sp-map").count():
            watched.until(OPEN)
        watched.page.wait_for_timeout(300)
        if faults := violations(watched.page):
            found[kind] = faults
    assert found == {}


def test_nothing_is_found_with_a_pop_up_open(demo, visit) -> None:
    watched = visit(demo + FERRY, home=demo, **DESK)
    watched.until(OPEN)
    watched.page.locator(".leaflet-marker-icon").first.focus()
    watched.page.keyboard.press("Enter")
    watched.page.locator(".leaflet-popup").wait_for()
    watched.page.wait_for_timeout(400)
    assert violations(watched.page) == []


def test_faults_are_found(demo, visit) -> None:
    watched = visit(demo, home=demo)
    watched.page.evaluate("""() => document.querySelector("article").insertAdjacentHTML(
        "beforeend", "<p><img src='x.png'></p><button></button>")""")
    found = " ".join(violations(watched.page))
    assert "image-alt" in found
    assert "button-name" in found


@pytest.mark.parametrize("kind", PAGES)
def test_a_window_of_320_px_never_scrolls_sideways(demo, visit, kind) -> None:
    """WCAG 1.4.10: as with a window of 1280 px at 400 %."""
    watched = visit(demo + PAGES[kind], home=demo, viewport={"width": 320, "height": 256})
    watched.page.wait_for_timeout(300)
    assert watched.page.evaluate("document.documentElement.scrollWidth") <= 320


def test_text_can_be_spaced(demo, visit) -> None:
    """WCAG 1.4.12: with its spacing, nothing of ours is cut off."""
    watched = visit(demo + FERRY, home=demo, bypass_csp=True, **PHONE)
    watched.page.add_style_tag(
        content="* { line-height: 1.5 !important; letter-spacing: 0.12em !important;"
        " word-spacing: 0.16em !important; } p { margin-bottom: 2em !important; }"
    )
    cut = watched.page.evaluate("""() => [...document.querySelectorAll(
        "article :is(p, dt, dd, li, th, td, h1, h2, h3, button, label)")].filter(
        e => e.offsetParent && !e.closest(".sp-map, .sp-skip")
            && getComputedStyle(e).overflow !== "visible"
            && (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 1)
    ).map(e => e.outerHTML.slice(0, 120))""")
    assert cut == []
    assert watched.page.evaluate("document.documentElement.scrollWidth") <= 390


def test_a_table_that_scrolls_is_reached_and_named(demo, visit) -> None:
    watched = visit(f"{demo}how-we-measure/", home=demo, **PHONE)
    box = watched.page.locator(".md-typeset__scrollwrap").first
    box.wait_for()
    assert box.get_attribute("tabindex") is None, "it fits, so the keyboard passes it by"
    box.locator("table").evaluate("t => { t.style.whiteSpace = 'nowrap'; }")
    watched.page.set_viewport_size({"width": 380, "height": 844})
    watched.until("document.querySelector('.md-typeset__scrollwrap').tabIndex === 0")
    assert box.get_attribute("aria-label") == "Kinds of street"
    assert violations(watched.page) == []
    box.focus()
    watched.page.keyboard.press("ArrowRight")
    watched.until("document.activeElement.scrollLeft > 0")


def test_every_table_has_a_name_and_headers(demo, visit) -> None:
    watched = visit(demo + FERRY, home=demo)
    tables = watched.page.evaluate("""() => [...document.querySelectorAll("article table")].map(t =>
        [t.caption && t.caption.textContent.trim(), t.querySelectorAll("th[scope]").length])""")
    assert len(tables) >= 3
    assert all(name and headers >= 3 for name, headers in tables), tables
    assert len({name for name, _ in tables}) == len(tables)


def test_focus_is_seen(demo, visit) -> None:
    watched = visit(demo + FERRY, home=demo)
    watched.until(OPEN)
    unseen = []
    for _ in range(60):
        watched.page.keyboard.press("Tab")
        seen = watched.page.evaluate("""() => {
            const e = document.activeElement;
            // A sign on the map and a switch show the ring on what is seen of them.
            const ringed = e.querySelector(":scope > .sp-sign") || (e.matches("label > input") &&
                e.nextElementSibling) || e;
            const s = getComputedStyle(ringed);
            return !e.closest("article") || (s.outlineStyle !== "none" && s.outlineWidth !== "0px")
                || e.outerHTML.slice(0, 120);
        }""")
        if seen is not True:
            unseen.append(seen)
    assert unseen == []
