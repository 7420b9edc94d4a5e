"""What needs riding next, on the reader's day: what holds, and in which order."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from building import make_route, notes
from demo_site import ROOT
from site_building import build_site
from softpedal.library.library_alerts import read_alerts
from softpedal.library.load import load_route, load_settings, route_folders
from softpedal.upkeep.due import due

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.browser

SECTIONS = """() => [...document.querySelectorAll("[data-sp-due-need]")]
    .filter(section => !section.hidden)
    .map(section => [section.dataset.spDueNeed, [...section.querySelectorAll("a.sp-row-title")]
        .map(a => a.pathname.split("/").at(-2))])"""


def on(day: str) -> str:
    """Return a script that makes it noon of a day, UTC."""
    return (
        f"(() => {{ const Now = Date, noon = Date.parse('{day}T12:00:00Z');"
        "window.Date = class extends Now { constructor(...a) { super(...(a.length ? a : [noon])); }"
        "static now() { return noon; } }; })()"
    )


def seen(page: Page) -> list[str]:
    """Return the reasons that are seen, without the ages."""
    return [
        text
        for item in page.locator(".sp-due-reasons > li").all()
        if item.is_visible() and (text := item.inner_text())
    ]


@pytest.mark.parametrize("day", ["2026-09-20", "2026-11-25", "2027-02-10", "2028-06-01"])
def test_the_page_says_what_the_command_says(demo, visit, day) -> None:
    settings, _ = load_settings(ROOT / "softpedal.yml")
    alerts, _ = read_alerts(ROOT)
    loaded = [load_route(folder, settings, alerts=alerts) for folder in route_folders(ROOT)]
    found = due([one.route for one in loaded if one.route], (), dt.date.fromisoformat(day))
    expected: dict[str, list[str]] = {}
    for one in found:
        expected.setdefault(one.need or "none", []).append(one.id)
    watched = visit(f"{demo}due/", home=demo, before=on(day))
    watched.until("!document.querySelector('[data-sp-due-sorted]').hidden")
    assert watched.page.evaluate(SECTIONS) == [list(pair) for pair in expected.items()]
    assert len(seen(watched.page)) == sum(len(one.reasons) for one in found)
    assert watched.faults == []


def test_an_alert_says_whether_it_has_begun_or_ended(demo, visit) -> None:
    for day, words in (
        ("2027-02-10", "An alert has begun since the last ride. 1 February 2027 to 31 March 2027:"),
        ("2027-04-01", "An alert has ended since the last ride. 1 February 2027 to 31 March 2027:"),
    ):
        watched = visit(f"{demo}due/", home=demo, before=on(day))
        watched.until("!document.querySelector('[data-sp-due-sorted]').hidden")
        assert any(text.startswith(words) for text in seen(watched.page)), day


def test_it_is_sorted_anew_after_coming_back(demo, visit) -> None:
    watched = visit(f"{demo}due/", home=demo, before=on("2026-11-25"))
    ready = "document.querySelector('[data-sp-due-sorted]')?.hidden === false"
    watched.until(ready)
    first = watched.page.evaluate(SECTIONS)
    watched.page.locator("article a.sp-row-title").first.click()
    watched.until("location.pathname.includes('/routes/')")
    watched.page.go_back()
    watched.until(f"location.pathname.endsWith('/due/') && {ready}")
    assert watched.page.evaluate(SECTIONS) == first
    assert watched.faults == []


def test_without_script_all_that_is_known_stands_by_the_last_ride(demo, visit) -> None:
    watched = visit(f"{demo}due/", home=demo, java_script_enabled=False)
    page = watched.page
    titles = page.locator("article a.sp-row-title").all_inner_texts()
    assert len(titles) == 9
    assert titles[0] == "Heron Bridge to Kiln Top"
    assert page.locator("[data-sp-due-plain]").is_visible()
    assert page.locator("article h2:visible").count() == 0
    assert "1 February 2027 to 31 March 2027" in page.locator("article").inner_text()


def test_when_nothing_speaks_for_a_ride_that_is_said(tmp_path, serve, visit) -> None:
    make_route(tmp_path, notes(ridden=[{"on": "2026-11-01", "direction": "both"}]))
    served = serve(build_site(tmp_path, site_url="").folder)
    served.policy = ""
    watched = visit(f"{served.url}due/", before=on("2026-11-25"))
    none = "[data-sp-due-none]"
    watched.until(f"!document.querySelector('{none}').hidden")
    assert watched.page.locator(none).inner_text().startswith("Every route was ridden within the")
    assert [need for need, _ in watched.page.evaluate(SECTIONS)] == ["none"]
