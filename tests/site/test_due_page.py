"""The page What needs riding next as it is built: all that is known, and nothing of the day."""

import re
from typing import Any

from building import leg, notes, route_of
from softpedal.library.reports import Report
from softpedal.settings import Settings
from softpedal.site.due_page import due_page, ridden_of
from visible_text import visible_text

REPORT: dict[str, Any] = {
    "key": "r0000000001",
    "route": "one",
    "sort": "changed",
    "on": "2026-06-01",
    "text": "A secret fence.",
    "state": "open",
}


def link(target, source) -> str:
    assert source == "due/index.md"
    return f"../{target.removesuffix('index.md')}"


def page_of(*found, reports=(), **settings) -> str:
    ridden = [ridden_of(route_of(notes(**changes), id=id_)) for id_, changes in found]
    every = [Report.model_validate(REPORT | report) for report in reports]
    return due_page([r for r in ridden if r], every, Settings.model_validate(settings), link).late[
        "rows"
    ]


def rides(on, direction="both") -> list[dict[str, str]]:
    return [{"on": on, "direction": direction}]


def reasons(html) -> list[tuple[str, str, str]]:
    """Return need, first day and words of each reason."""
    pattern = r'data-sp-due-reason="(\w+)" data-sp-due-from="([^"]*)"[^>]*>(.*?)</li>'
    return [(n, day, visible_text(words)) for n, day, words in re.findall(pattern, html)]


def test_the_one_ridden_longest_ago_comes_first() -> None:
    html = page_of(
        ("new", {"ridden": rides("2026-05-16")}),
        ("old", {"ridden": rides("2020-05-16")}),
        ("half", {"ridden": rides("2026-05-17", "outbound") + rides("2021-01-01", "return")}),
        ("gone", {"status": "withdrawn", "withdrawn": {"why": "Built over."}}),
        ("draft", {"status": "draft"}),
    )
    assert re.findall(r'href="../routes/([^"]+)/"', html) == ["old", "half", "new"]
    assert 'ridden outbound <time class="sp-age" datetime="2026-05-17">17 May 2026</time>' in html
    assert 'on the way back <time class="sp-age" datetime="2021-01-01">' in html


def test_each_reason_says_from_which_day_on_it_holds() -> None:
    html = page_of(
        (
            "one",
            {
                "ridden": rides("2026-05-16", "outbound"),
                "legs": [leg("start", "back street"), leg("1 km", "back street", source="map")],
                "alerts": [{"from": "2026-05-01", "until": "2026-06-30", "text": "*Works*."}],
                "planned": [{"text": "A path.", "expected": 2028}],
            },
        )
    )
    assert reasons(html) == [
        ("changed", "2026-07-01", "Alert: 1 May 2026 to 30 June 2026: Works ."),
        ("changed", "2028-01-01", "Planned for 2028: A path."),
        ("unridden", "", "Nobody has ridden the way back, 2.0 km."),
        ("unridden", "", "1 leg of the way out, 1.0 km, was never confirmed by riding."),
        ("old", "2027-05-16", "The way out was not ridden for 12 months or more."),
    ]


def test_reports_are_counted_and_never_quoted() -> None:
    reports = [
        {},
        {"key": "r0000000002", "route": "was-one", "on": "2026-01-01"},
        {"key": "r0000000003", "state": "done"},
        {"key": "r0000000004", "sort": "thanks"},
        {"key": "r0000000005", "route": "two"},
    ]
    html = page_of(("one", {"was": ["was-one"]}), reports=reports)
    assert reasons(html)[0] == ("changed", "", "2 open reports, 1 of them since the last ride.")
    assert "secret" not in html
    assert "r000" not in html


def test_what_an_author_typed_is_text() -> None:
    html = page_of(
        (
            "one",
            {
                "title": "<b>A</b> & B",
                "alerts": [{"from": "2026-06-01", "text": "<script>x</script>"}],
            },
        )
    )
    assert "&lt;b&gt;A&lt;/b&gt; &amp; B" in html
    assert "<script" not in html


def test_the_way_to_report_is_told_where_there_is_one() -> None:
    words = "how to report what you saw"
    assert words not in page_of(("one", {}))
    assert words in page_of(("one", {}), report_address="mailto:reports@lindenferry.example")


def test_a_library_without_routes_says_so() -> None:
    assert visible_text(page_of()) == "There is no route here yet."
