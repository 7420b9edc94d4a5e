"""What a reader clicks to report that something has changed on a leg."""

from __future__ import annotations

from urllib.parse import parse_qs, urlsplit

import pytest

from browser.route_page import FERRY
from softpedal.library.report_reference import find_reference

pytestmark = pytest.mark.browser

#: Writes down where clicks lead, and keeps the browser from asking for a mail program.
NOTE_CLICKS = """window.led = []; document.addEventListener('click', event => {
    const link = event.target.closest('a[href^="mailto:"]');
    if (link) { window.led.push(link.href); event.preventDefault(); } });"""


@pytest.fixture
def ferry(demo, visit):
    watched = visit(f"{demo}{FERRY}/", home=demo)
    watched.page.evaluate(NOTE_CLICKS)
    yield watched
    assert watched.faults == []


def led(watched) -> tuple[dict[str, list[str]], str]:
    address = urlsplit(watched.page.evaluate("window.led.at(-1)"))
    fields = parse_qs(address.query, strict_parsing=True)
    return fields, f"{address.scheme}:{address.path}"


def test_a_click_on_a_legs_link_leads_to_a_mail_on_that_leg(ferry, demo) -> None:
    row = ferry.page.locator(".sp-cues tr[data-leg='2']").locator("visible=true")
    at = row.locator("td").first.inner_text().split("\n")[0]
    street = row.locator("strong").inner_text()
    link = row.get_by_role("link", name=f"Changed? {at}, {street}")
    link.click()
    fields, to = led(ferry)
    assert to == "mailto:reports@lindenferry.example"
    assert fields["subject"] == [f"Ferry Steps to Chapel Green, {at}"]
    assert f"{demo}{FERRY}/" in fields["body"][0].split("\r\n")
    found = find_reference(fields["body"][0])
    assert (found.route, found.direction) == (FERRY.removeprefix("routes/"), "outbound")
    assert found.metres == pytest.approx(float(at.split(" ")[0]) * 1000, abs=6)


def test_the_way_back_is_reported_as_such(ferry) -> None:
    ferry.page.get_by_role("radio", name="The way back").first.check(force=True)
    ferry.page.locator(".sp-cues .sp-report").locator("visible=true").first.click()
    fields, _ = led(ferry)
    assert find_reference(fields["body"][0]).direction == "return"


def test_the_caution_box_reports_the_page(ferry) -> None:
    ferry.page.locator(".sp-caution").get_by_role("link", name="Report it").last.click()
    fields, _ = led(ferry)
    assert fields["subject"] == ["Ferry Steps to Chapel Green"]
    assert find_reference(fields["body"][0]).metres is None


@pytest.mark.parametrize("width", [360, 1280])
def test_a_link_is_large_enough_and_makes_nothing_wider(ferry, width) -> None:
    """WCAG 2.2, 2.5.8 Target Size (Minimum): 24 by 24 CSS pixels."""
    ferry.page.set_viewport_size({"width": width, "height": 800})
    links = ferry.page.locator(".sp-cues .sp-report").locator("visible=true")
    assert links.count() > 5
    for box in (links.nth(index).bounding_box() for index in range(links.count())):
        assert box["height"] >= 24
        assert box["width"] >= 24
    assert ferry.page.evaluate("document.documentElement.scrollWidth") <= width


def test_nothing_of_it_is_printed(ferry) -> None:
    ferry.page.emulate_media(media="print")
    assert ferry.page.locator(".sp-report").locator("visible=true").count() == 0
