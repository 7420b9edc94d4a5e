"""What of a route belongs into a newsletter: by its own dates, and against how it was known."""

from __future__ import annotations

import pytest

from building import notes, notes_text, route_of
from softpedal.library.past_notes import past_notes
from softpedal.site.issue_news import (
    Happened,
    Window,
    gone_since,
    happened_by_dates,
    happened_since,
)

MAY = Window("2026-05-01", "2026-06-15")
WORKS = {"from": "2026-06-01", "until": "2026-07-31", "text": "Works."}


def rides(*days):
    return [{"on": day, "direction": "outbound"} for day in days]


def read(**changes):
    return route_of(notes(**changes)).notes


def known(**changes):
    return past_notes(notes_text(notes(**changes)).encode())


def by_dates(**changes):
    return happened_by_dates(read(**changes), MAY)


def since(past, **changes):
    return happened_since("a-way", read(**changes), {"a-way": past} if past else {}, MAY)


@pytest.mark.parametrize(
    ("days", "expected"),
    [
        (["2026-04-30"], []),
        (["2026-05-01"], [Happened("new", "2026-05-01")]),
        (["2026-06-15"], [Happened("new", "2026-06-15")]),
        (["2026-06-16"], []),
        (["2025-01-01", "2026-05-20"], [Happened("re-ridden", "2026-05-20")]),
    ],
)
def test_by_dates_both_ends_of_the_window_count(days, expected) -> None:
    assert list(by_dates(ridden=rides(*days))) == expected


@pytest.mark.parametrize(
    ("first", "last", "expected"),
    [
        ("2026-04-30", "2026-06-30", None),
        ("2026-05-01", None, "alert"),
        ("2026-06-15", "2026-06-15", "alert"),
        ("2026-06-16", "2026-06-30", None),
        ("2026-01-01", "2026-04-29", None),
        ("2026-01-01", "2026-04-30", "alert over"),
        ("2026-01-01", "2026-06-14", "alert over"),
    ],
)
def test_by_dates_an_alert_is_told_when_it_begins_and_when_it_has_ended(
    first, last, expected
) -> None:
    alert = {"from": first, "text": "Works."} | ({"until": last} if last else {})
    found = by_dates(ridden=rides("2020-01-01"), alerts=[alert])
    assert [one.sort for one in found] == ([expected] if expected else [])


def test_by_dates_of_a_withdrawn_route_only_that_is_told() -> None:
    gone = {"status": "withdrawn", "ridden": rides("2026-05-16"), "alerts": [WORKS]}
    dated = by_dates(**gone, withdrawn={"why": "Gone.", "on": "2026-06-01"})
    assert dated == (Happened("withdrawn", "2026-06-01", "Gone."),)
    assert by_dates(**gone, withdrawn={"why": "Gone.", "on": "2026-04-01"}) == ()
    assert by_dates(**gone, withdrawn={"why": "Gone."}) == ()


def test_a_draft_is_no_news() -> None:
    assert by_dates(status="draft") == ()
    assert since(known(), status="draft") == ()


@pytest.mark.parametrize("past", [None, known(status="draft")])
def test_what_was_not_published_is_new_whatever_its_dates(past) -> None:
    assert since(past, ridden=rides("2019-05-16")) == (Happened("new", "2019-05-16"),)


def test_a_typing_error_put_right_is_no_news() -> None:
    past = known(alerts=[WORKS])
    assert since(past, summary="A way by the water.") == (
        Happened("alert over", "", "Works.", "2026-07-31"),
    )
    quiet = Window("2026-06-02", "2026-06-15")
    now = read(summary="Better.", alerts=[WORKS | {"text": "Works!"}])
    assert happened_since("a-way", now, {"a-way": past}, quiet) == ()


def test_a_ride_later_than_those_known_is_told() -> None:
    past = known(ridden=rides("2026-04-01"))
    assert since(past, ridden=rides("2026-04-01", "2026-04-20")) == (
        Happened("re-ridden", "2026-04-20"),
    )
    assert since(past, ridden=rides("2026-04-01", "2026-03-01")) == ()


def test_withdrawn_and_reopened_since() -> None:
    gone = {"status": "withdrawn", "withdrawn": {"why": "Gone."}}
    assert since(known(), **gone) == (Happened("withdrawn", "", "Gone."),)
    assert since(known(**gone)) == (Happened("reopened"),)
    assert since(known(**gone), **gone) == ()
    assert since(None, **gone) == ()


def test_an_alert_with_other_dates_is_told_also_when_it_is_to_come() -> None:
    coming = {"from": "2026-09-01", "until": "2026-09-30", "text": "Works."}
    assert since(known(), alerts=[coming]) == (
        Happened("alert", "2026-09-01", "Works.", "2026-09-30"),
    )
    longer = coming | {"until": "2026-10-31"}
    assert since(known(alerts=[coming]), alerts=[longer]) == (
        Happened("alert", "2026-09-01", "Works.", "2026-10-31"),
    )
    assert since(known(alerts=[coming]), alerts=[coming]) == ()


def test_an_alert_that_was_deleted_after_its_end_has_ended_then() -> None:
    old = {"from": "2026-05-01", "until": "2026-05-31", "text": "Floods."}
    assert since(known(alerts=[old])) == (
        Happened("alert over", "2026-05-31", "Floods.", "2026-05-31"),
    )


def test_an_alert_that_was_over_before_is_not_told_as_taken_away() -> None:
    old = {"from": "2026-01-01", "until": "2026-02-01", "text": "Floods."}
    assert since(known(alerts=[old])) == ()


def test_a_route_is_known_by_its_old_ids() -> None:
    then = {"old-way": known(), "a-way": known(status="draft")}
    assert happened_since("b-way", read(was="old-way"), then, MAY) == ()
    assert happened_since("a-way", read(was="old-way"), then, MAY) != ()


def test_routes_that_were_taken_out_are_told_by_their_titles() -> None:
    then = {
        "kept": known(),
        "old": known(),
        "broken": known(),
        "deleted": known(title="Deleted"),
        "hidden": known(title="Hidden"),
        "draft": known(title="Draft", status="draft"),
        "withdrawn": known(title="Gone", status="withdrawn", withdrawn={"why": "x"}),
    }
    now = {"kept": read(), "new": read(was="old"), "broken": None, "hidden": read(status="draft")}
    assert gone_since(now, then) == ["Deleted", "Hidden"]


@pytest.mark.parametrize("content", [b"- x", b"\xff", b"a: &b c", b"", b"x" * 300_000])
def test_old_notes_that_cannot_be_read_are_none(content) -> None:
    assert past_notes(content) is None


def test_old_notes_with_keys_of_their_time_are_read() -> None:
    past = past_notes(b"status: public\nridden: {on: x}\nalerts: [{from: 2026-01-01, text: 3}, 1]")
    assert past
    assert (past.status, past.title, past.rides) == ("draft", "", frozenset())
    assert [(a.from_, a.until, a.text) for a in past.alerts] == [("2026-01-01", None, "")]
