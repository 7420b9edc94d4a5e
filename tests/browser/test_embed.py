"""The embed page in a frame of another origin, without one of its own, under a strict policy."""

from __future__ import annotations

import gzip
import io
import itertools
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest
from PIL import Image

from browser.conftest import POLICY, serving
from browser.map_page import OPEN
from browser.route_page import FERRY, GATE
from browser.test_access import violations
from demo_site import build_demo
from softpedal.site.embed_code import SANDBOX

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from browser.conftest import Served

pytestmark = pytest.mark.browser

GONE = "routes/dock-road-to-grain-road"
STRICTEST = "allow-scripts allow-popups"
MOST_BYTES = 110_000
#: Whatever the page touches of what a browser keeps is a fault, and told on the console.
NOTHING_KEPT = """
for (const name of ["localStorage", "sessionStorage", "indexedDB", "caches", "cookieStore"]) {
    Object.defineProperty(window, name, {get() { console.error("touched: " + name); }});
}
Object.defineProperty(Document.prototype, "cookie", {
    get() { console.error("touched: cookie"); }, set() { console.error("touched: cookie"); }});
document.addEventListener("securitypolicyviolation", e => console.error(
    "stopped: " + e.violatedDirective + " " + e.blockedURI));
"""

#: A browser in which it is noon of a day.
CLOCK = """const D = Date;
Date = class extends D {
    constructor(...given) { super(...(given.length ? given : ["%sT12:00:00"])); }
    static now() { return +new Date(); }
};"""


@dataclass
class Embeds:
    """The demo's files, and a server that has them under a strict policy."""

    folder: Path
    served: Served


@pytest.fixture(scope="module")
def embeds(tmp_path_factory) -> Iterator[Embeds]:
    root = tmp_path_factory.mktemp("embeds")
    with serving(root, POLICY) as served:
        folder = build_demo(
            root / "rides",
            site_url=f"{served.url}rides/",
            use_directory_urls=False,
            plugins=["softpedal"],
        )
        served.url += "rides/"
        yield Embeds(folder, served)


@pytest.fixture
def framed(embeds, visit, tmp_path):
    """Return a function that opens a page of another origin with an embed page in a frame."""
    contexts = []

    def open_frame(route=FERRY, width=640, height=740, sandbox=SANDBOX, **options):
        (tmp_path / "favicon.ico").touch()
        (tmp_path / "index.html").write_text(
            "<!doctype html><title>Somebody else</title><body style='margin:0'>"
            f'<iframe src="{embeds.served.url}{route}/embed/index.html" title="A route" '
            f'width="{width}" height="{height}" sandbox="{sandbox}" '
            'style="border:0;display:block"></iframe>',
            encoding="utf-8",
        )
        context = serving(tmp_path, policy="")
        contexts.append(context)
        url = context.__enter__().url
        size = {"viewport": {"width": max(width, 300), "height": height}}
        before = options.pop("before", NOTHING_KEPT)
        watched = visit(url, home="http://127.0.0.1:", before=before, **(size | options))
        return watched, watched.page.frames[1]

    yield open_frame
    for context in contexts:
        context.__exit__(None, None, None)


def opened(watched, frame) -> None:
    """Wait until the map in the frame is open."""
    for _ in range(200):
        if frame.evaluate(OPEN):
            watched.page.wait_for_timeout(200)
            return
        watched.page.wait_for_timeout(50)
    raise AssertionError(f"the map never opened; {watched.faults}")


@pytest.mark.parametrize("sandbox", [STRICTEST, SANDBOX])
def test_the_map_opens_without_an_origin_and_nothing_is_stopped_or_kept(framed, sandbox) -> None:
    watched, frame = framed(sandbox=sandbox)
    opened(watched, frame)
    assert frame.evaluate("window.origin") == "null", "the frame has an origin"
    assert frame.locator(".sp-leg").count() >= 8
    ground = frame.evaluate(
        """(() => { const c = document.querySelector('.leaflet-container canvas');
            return c ? c.width * c.height : 0; })()"""
    )
    assert ground > 0, "no background is drawn"
    frame.locator("time.sp-age[data-sp-told]").wait_for()
    assert "ago" in frame.locator("time.sp-age").inner_text()
    assert watched.faults == []


def test_what_is_kept_would_be_noticed(framed) -> None:
    watched, frame = framed()
    frame.evaluate("() => { window.localStorage; document.cookie; }")
    watched.page.wait_for_timeout(100)
    assert watched.faults == ["console: touched: localStorage", "console: touched: cookie"]


@pytest.mark.parametrize(("sandbox", "free"), [(STRICTEST, False), (SANDBOX, True)])
def test_a_link_opens_the_route_s_page_in_a_window(framed, embeds, sandbox, free) -> None:
    """It has an origin of its own only if pop-ups may escape the sandbox."""
    watched, frame = framed(sandbox=sandbox)
    opened(watched, frame)
    with watched.page.expect_popup() as new:
        frame.locator("footer a").click()
    new.value.wait_for_load_state()
    assert new.value.url == f"{embeds.served.url}{FERRY}/index.html"
    assert (new.value.evaluate("window.origin") != "null") is free
    assert new.value.evaluate("window.opener") is None
    assert frame.url.endswith("/embed/index.html"), "the frame itself has gone elsewhere"


#: How the page lies in its frame: what sticks out at the right, the map, and the last line.
LAID = """() => ({
    wide: document.documentElement.scrollWidth, high: document.documentElement.scrollHeight,
    out: [...document.querySelectorAll('main *, footer *')].filter(e =>
        !e.closest('.sp-map, svg, .sp-skip') && e.getClientRects().length
        && e.getBoundingClientRect().right > innerWidth + 0.5).map(e => e.outerHTML),
    map: (m => m && [m.clientWidth, m.clientHeight])(document.querySelector('.sp-map-canvas')),
    foot: document.querySelector('footer').getBoundingClientRect().bottom })"""


@pytest.mark.parametrize("route", [FERRY, GATE, GONE])
def test_it_fills_its_frame_and_never_scrolls_sideways(framed, route) -> None:
    watched, frame = framed(route, 1200, 900)
    if route != GONE:
        opened(watched, frame)
    for width, height in itertools.product([280, 360, 640, 1000, 1200], [360, 900]):
        watched.page.locator("iframe").evaluate(
            "(e, size) => { [e.width, e.height] = size; }", [width, height]
        )
        watched.page.wait_for_timeout(150)
        got = frame.evaluate(LAID)
        assert got["wide"] == width
        assert got["out"] == []
        assert got["high"] >= height
        assert got["foot"] >= height - 12, f"the frame of {width} × {height} is not filled"
        if route == GONE:
            assert got["map"] is None
        else:
            across, down = got["map"]
            assert across >= min(width - 30, 400)
            assert down >= 210
    assert watched.faults == []


def test_the_map_takes_what_is_left(framed) -> None:
    sizes = []
    for height in (900, 1100):
        watched, frame = framed(height=height)
        opened(watched, frame)
        sizes.append(frame.locator(".sp-map-canvas").evaluate("e => e.clientHeight"))
        assert frame.evaluate("document.documentElement.scrollHeight") == height
    assert sizes[1] - sizes[0] == 200


def test_an_alert_is_shown_until_its_last_day(framed) -> None:
    """The demo's alert runs from 1 February to 31 March 2027."""
    for day, seen in (("2027-03-31", True), ("2027-04-01", False)):
        watched, frame = framed(before=CLOCK % day)
        opened(watched, frame)
        assert frame.locator(".sp-alerts").is_visible() is seen, day


def test_a_withdrawn_route_has_no_map_to_follow(framed) -> None:
    watched, frame = framed(GONE)
    assert frame.locator(".sp-notice strong").inner_text() == (
        "Withdrawn: do not follow this route."
    )
    assert frame.locator(":is(.sp-map, .sp-figures, .sp-strip)").count() == 0
    watched.page.wait_for_timeout(300)
    assert watched.faults == []


def test_without_script_the_map_is_a_drawing(framed) -> None:
    watched, frame = framed(before="", java_script_enabled=False)
    watched.page.wait_for_load_state("networkidle")
    box = frame.locator(".sp-map-wide").bounding_box()
    assert box
    assert box["width"] > 550
    assert box["height"] > 200
    assert frame.locator(".sp-map-narrow").is_hidden()
    assert frame.get_by_text("With JavaScript this map can be moved.").is_visible()
    assert frame.locator(".sp-alerts li").first.is_visible()
    assert frame.locator(".sp-figures dd").count() == 3
    assert len(set(_map_colours(watched.page.screenshot()))) > 8, "the drawing is not seen"


def _map_colours(picture: bytes) -> list[tuple[int, ...]]:
    with Image.open(io.BytesIO(picture)) as image:
        part = image.convert("RGB").crop((100, image.height - 250, 540, image.height - 60))
        return [colour for _, colour in part.getcolors(maxcolors=1 << 20)]


def test_it_opens_from_a_file(embeds, visit) -> None:
    page = embeds.folder / FERRY / "embed" / "index.html"
    watched = visit(page.as_uri(), before=NOTHING_KEPT)
    watched.until(OPEN)
    with watched.page.expect_popup() as new:
        watched.page.locator("footer a").click()
    assert new.value.url == (embeds.folder / FERRY / "index.html").as_uri()
    assert watched.faults == []


@pytest.mark.parametrize(
    ("route", "width", "scheme"), [(FERRY, 280, "dark"), (GATE, 1000, "light")]
)
def test_nothing_is_found_by_axe(embeds, visit, route, scheme, width) -> None:
    watched = visit(
        f"{embeds.served.url}{route}/embed/index.html",
        viewport={"width": width, "height": 700},
        color_scheme=scheme,
        bypass_csp=True,
    )
    watched.until(OPEN)
    watched.page.wait_for_timeout(200)
    assert violations(watched.page) == []


def test_the_skip_link_stays_in_the_frame_and_is_seen(framed) -> None:
    watched, frame = framed()
    opened(watched, frame)
    link = frame.locator(".sp-skip")
    link.focus()
    assert link.evaluate(
        """e => { const b = e.getBoundingClientRect(); e.scrollIntoView();
            const c = e.getBoundingClientRect();
            return b.width > 40 && document.elementFromPoint(c.x + 5, c.y + 5) === e; }"""
    )
    watched.page.keyboard.press("Enter")
    watched.page.wait_for_timeout(200)
    assert len(watched.page.context.pages) == 1


def test_all_that_it_loads_is_light(embeds, visit) -> None:
    """At most 110 kB by gzip -9, on the longest routes of the demo."""
    found = {}
    for page in sorted(embeds.folder.glob("routes/*/embed/index.html")):
        route = page.parents[1]
        if not (route / "background.js").exists() or not (route / "oembed.json").exists():
            continue
        found[route.name] = _length_km(route)
    longest = sorted(found, key=lambda name: found[name])[-2:]
    assert len(found) > 5
    for name in (*longest, FERRY.partition("/")[2]):
        embeds.served.requests.clear()
        watched = visit(f"{embeds.served.url}routes/{name}/embed/index.html")
        watched.until(OPEN)
        watched.page.wait_for_timeout(300)
        asked = {urlsplit(path).path for path, code in embeds.served.requests if code == 200}
        files = [embeds.folder.parent / path.lstrip("/") for path in asked if "favicon" not in path]
        weight = sum(len(gzip.compress(file.read_bytes(), 9)) for file in files)
        assert len(files) > 12, files
        assert weight <= MOST_BYTES, (name, weight)


def _length_km(route: Path) -> float:
    strip = (route / "embed" / "index.html").read_text(encoding="utf-8")
    found = re.search(r'aria-label="([0-9.]+) km', strip)
    return float(found[1]) if found else 0.0
