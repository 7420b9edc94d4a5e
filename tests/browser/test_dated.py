"""What a page says on the day on which it is read: alerts by date, old rides; the town's day."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from browser.test_due import on
from building import make_route, notes
from site_building import build_site

if TYPE_CHECKING:
    from collections.abc import Callable

    from browser.conftest import Watched

pytestmark = pytest.mark.browser

ALERT = """\
- {at: "50.0, -19.99", radius: 40 m, from: 2026-09-10, until: 2026-09-20, text: The bridge is shut.}
"""
PAGES = ("routes/crossing/", "routes/crossing/embed/", "routes/", "areas/north/")
OLD = "[data-sp-since]:not([hidden])"
RUNNING = "[data-sp-from]:not([hidden])"


@pytest.fixture
def read_on(tmp_path, serve, visit) -> Callable[..., Watched]:
    """A function that opens a page of a library whose route passes the bridge, at a moment."""
    where = {"area": ["North"], "title": "Over the bridge"}
    ridden = [{"on": "2026-05-17", "direction": "both"}]
    make_route(tmp_path, notes(**where, ridden=ridden), id="crossing")
    (tmp_path / "alerts.yml").write_text(ALERT)
    (tmp_path / "softpedal.yml").write_text("time_zone: Pacific/Auckland\n")
    site = build_site(tmp_path, site_url="").folder
    (site / "favicon.ico").touch()  # asked for by a browser on a page that names no icon
    served = serve(site)
    served.policy = ""

    def opened(path: str, moment: str, **options) -> Watched:
        watched = visit(f"{served.url}{path}", before=at(moment), **options)
        watched.until("document.readyState === 'complete'")
        return watched

    return opened


def at(moment: str) -> str:
    """Return a script that makes it a moment, ISO with its zone."""
    return on("2026-01-01").replace("2026-01-01T12:00:00Z", moment)


def count(watched: Watched, what: str) -> int:
    return watched.page.locator(what).count()


@pytest.mark.parametrize("path", PAGES)
def test_an_alert_comes_and_goes_by_the_towns_day_without_a_rebuild(read_on, path) -> None:
    """Auckland is 12 hours ahead of UTC in September; the reader sits in Los Angeles."""
    far = {"timezone_id": "America/Los_Angeles"}
    is_list = path in PAGES[2:]
    for moment, seen in (
        ("2026-08-01T12:00:00Z", 0 if is_list else 1),
        ("2026-09-09T12:30:00Z", 1),
        ("2026-09-20T11:30:00Z", 1),
        ("2026-09-20T12:30:00Z", 0),
    ):
        watched = read_on(path, moment, **far)
        assert count(watched, RUNNING) == seen, moment
        assert watched.page.locator(".sp-alerts").first.is_visible() is bool(seen)
        assert watched.faults == []


def test_a_page_left_open_over_midnight_is_put_right_when_it_is_looked_at(read_on) -> None:
    watched = read_on("routes/crossing/", "2026-09-20T11:30:00Z")
    assert count(watched, RUNNING) == 1
    watched.page.evaluate("Date.now = () => Date.parse('2026-09-20T12:30:00Z')")
    watched.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    assert count(watched, RUNNING) == 0


@pytest.mark.parametrize("path", PAGES)
def test_an_old_route_says_so(read_on, path) -> None:
    for moment, seen in (("2028-05-15T12:30:00Z", 0), ("2028-05-16T12:30:00Z", 1)):
        watched = read_on(path, moment)
        assert count(watched, OLD) == seen, moment
    words = watched.page.locator(OLD).inner_text()
    assert words.startswith("Last ridden 2 years ago"), words
    assert "may have changed" in words


def test_the_old_age_stands_above_everything_but_the_summary(read_on) -> None:
    watched = read_on("routes/crossing/", "2030-01-01T12:00:00Z")
    assert watched.page.locator(OLD).bounding_box()["y"] < 400
    assert watched.page.locator(OLD).inner_text() == (
        "Last ridden 3 years ago, on 17 May 2026. Much may have changed since: check streets, "
        "signs and crossings yourself."
    )


def test_an_alert_of_the_library_says_where_it_is_passed(read_on) -> None:
    watched = read_on("routes/crossing/", "2026-09-15T12:00:00Z")
    assert "The bridge is shut. (At 0.7" in watched.page.locator(RUNNING).inner_text()


def test_without_script_every_alert_stands_with_its_dates(read_on) -> None:
    for path in PAGES:
        watched = read_on(path, "2030-01-01T12:00:00Z", java_script_enabled=False)
        words = watched.page.locator(".sp-alerts").inner_text()
        assert words.startswith("10 September 2026 to 20 September 2026: The bridge is shut."), path
