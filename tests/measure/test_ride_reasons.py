"""From which day on something speaks for a new ride."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from building import notes, route_of
from softpedal.measure.ride_reasons import (
    AgeReason,
    AlertReason,
    NeverReason,
    PlanReason,
    months_after,
    ride_reasons,
)

RIDDEN = [{"on": "2026-06-10", "direction": "both"}]


def found(kind, **changes):
    reasons = ride_reasons(route_of(notes(**{"ridden": RIDDEN, **changes})))
    return [reason for reason in reasons if isinstance(reason, kind)]


@pytest.mark.parametrize(
    ("day", "months", "after"),
    [
        ("2025-11-25", 12, "2026-11-25"),
        ("2026-01-31", 1, "2026-03-01"),  # there is no 31 February
        ("2024-02-29", 12, "2025-03-01"),
        ("2026-11-15", 13, "2027-12-15"),
        ("2026-12-01", 1, "2027-01-01"),
        ("9999-12-31", 1, "9999-12-31"),
    ],
)
def test_months_are_those_of_the_calendar(day, months, after) -> None:
    assert months_after(day, months) == after


@given(st.dates(max_value=dt.date(9000, 1, 1)), st.integers(1, 600))
def test_a_month_later_is_never_more_than_a_day_beyond_its_days(day, months) -> None:
    after = dt.date.fromisoformat(months_after(day.isoformat(), months))
    passed = (after.year - day.year) * 12 + after.month - day.month
    assert (passed, after.day) in {(months, day.day), (months + 1, 1)}


@pytest.mark.parametrize(
    ("alert", "since", "over"),
    [
        ({"from": "2026-06-11"}, "2026-06-11", ""),
        ({"from": "2026-06-11", "until": "2026-06-12"}, "2026-06-11", "2026-06-13"),
        ({"from": "2026-06-01", "until": "2026-06-10"}, "2026-06-11", "2026-06-11"),
        ({"from": "2026-06-11", "until": "9999-12-31"}, "2026-06-11", ""),
    ],
)
def test_an_alert_whose_beginning_or_end_no_ride_has_seen(alert, since, over) -> None:
    (reason,) = found(AlertReason, alerts=[{"text": "Works.", **alert}])
    assert (reason.since, reason.over) == (since, over)


@pytest.mark.parametrize(
    "alert",
    [
        {"from": "2026-06-10"},
        {"from": "2026-05-01", "until": "2026-06-09"},
        {"from": "2026-05-01", "until": "9999-12-31"},
    ],
)
def test_an_alert_that_the_last_ride_has_seen_is_no_reason(alert) -> None:
    assert found(AlertReason, alerts=[{"text": "Works.", **alert}]) == []


@pytest.mark.parametrize(
    ("year", "since"),
    [(2025, []), (2026, ["2027-01-01"]), (2027, ["2027-01-01"]), ("soon", [])],
)
def test_a_plan_counts_when_its_year_comes_or_is_over(year, since) -> None:
    reasons = found(PlanReason, planned=[{"text": "A wider path.", "expected": year}])
    assert [reason.since for reason in reasons] == since


def test_directions_ridden_on_one_day_are_old_together() -> None:
    (reason,) = found(AgeReason)
    assert reason == AgeReason(("outbound", "return"), "2026-06-10", "2027-06-10")


def test_a_direction_never_ridden_has_no_age() -> None:
    rides = [{"on": "2026-06-10", "direction": "return"}]
    (age,) = found(AgeReason, ridden=rides)
    (never,) = found(NeverReason, ridden=rides)
    assert (age.directions, never.direction) == (("return",), "outbound")
