"""What happened to a route, by its own notes."""

from __future__ import annotations

from building import notes, route_of
from softpedal.site.news import News, news_of


def _news(**changes):
    return news_of(route_of(notes(**changes)).notes)


def _rides(*days):
    return [{"on": day, "direction": "outbound"} for day in days]


def test_the_first_ride_is_when_a_route_was_new_and_a_later_one_rides_it_again() -> None:
    assert _news(ridden=_rides("2026-05-16", "2024-03-02")) == (
        News("re-ridden", "2026-05-16", "2026-05-16"),
        News("new", "2024-03-02", "2024-03-02"),
    )


def test_rides_of_the_same_weeks_are_one() -> None:
    assert _news(ridden=_rides("2026-05-16", "2026-05-30", "2026-06-28", "2026-07-28")) == (
        News("re-ridden", "2026-07-28", "2026-07-28"),
        News("new", "2026-06-28", "2026-05-16"),
    )


def test_alerts_and_a_withdrawal_are_told_with_their_words() -> None:
    found = _news(
        ridden=_rides("2026-05-16"),
        alerts=[{"from": "2026-09-01", "until": "2026-10-15", "text": "Quay wall works."}],
        status="withdrawn",
        withdrawn={"why": "The bridge is shut.", "on": "2026-11-02"},
    )
    assert found[:2] == (
        News("withdrawn", "2026-11-02", "2026-11-02", "The bridge is shut."),
        News("alert", "2026-09-01", "2026-09-01", "Quay wall works.", "2026-10-15"),
    )


def test_an_undated_withdrawal_and_a_draft_are_no_news() -> None:
    found = _news(status="withdrawn", withdrawn={"why": "The bridge is shut."})
    assert [news.sort for news in found] == ["new"]
    assert _news(status="draft") == ()
