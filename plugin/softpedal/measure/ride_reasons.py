"""What speaks for riding a route again, each reason with the day since when: no day of today."""

from __future__ import annotations

import calendar
import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Literal

from softpedal.measure.confirmed import confirmed

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

    from softpedal.library.notes import Alert, Direction, Leg, Plan
    from softpedal.library.reports import Report
    from softpedal.library.route import Placed, Route
    from softpedal.measure.confirmed import Confirmed

#: A ride so many calendar months ago is old, where nobody says otherwise. This project's own.
MONTHS = 12

Need = Literal["changed", "unridden", "old"]
#: The order of need, this project's own rule: what has changed on the way comes before what nobody
#: has ridden yet, and that before what was ridden long ago. Nothing is weighed against anything.
NEEDS: tuple[Need, ...] = ("changed", "unridden", "old")
NEED_WORDS: dict[Need | None, str] = {
    "changed": "Something on the way has changed",
    "unridden": "Some of it was never ridden",
    "old": "Ridden long ago",
    None: "Nothing speaks for a new ride",
}


@dataclass(frozen=True, slots=True)
class AlertReason:
    """An alert of which the last ride has not seen the beginning, or not the end.

    Attributes:
        alert: with its days.
        since: the first day on which it speaks for a ride, ISO.
        over: the first day on which it is over, ISO, "" where its end is not known.
    """

    alert: Alert
    since: str
    over: str
    need: ClassVar[Need] = "changed"


@dataclass(frozen=True, slots=True)
class PlanReason:
    """Something planned for a year, `since` the first day of which it speaks for a ride."""

    plan: Plan
    since: str
    need: ClassVar[Need] = "changed"


@dataclass(frozen=True, slots=True)
class NeverReason:
    """A direction that nobody has ridden."""

    direction: Direction
    length_m: float
    since: str = ""
    need: ClassVar[Need] = "unridden"


@dataclass(frozen=True, slots=True)
class UnconfirmedReason:
    """Legs that no ride in their direction has confirmed, at chainages of that direction."""

    direction: Direction
    legs: tuple[Placed[Leg], ...]
    since: str = ""
    need: ClassVar[Need] = "unridden"


@dataclass(frozen=True, slots=True)
class AgeReason:
    """Directions that were last ridden on a day, which is long ago `since` another."""

    directions: tuple[Direction, ...]
    day: str
    since: str
    need: ClassVar[Need] = "old"


RideReason = AlertReason | PlanReason | NeverReason | UnconfirmedReason | AgeReason


def ride_reasons(route: Route, months: int = MONTHS) -> tuple[RideReason, ...]:
    """Return what speaks for riding a route again, now or from a later day on.

    An alert counts from its first day, if it began after the last ride; one that held then, or
    was known to come to an end, counts from the day after its last. A plan counts from the
    beginning of its year, and once more when the year is over, unless it was ridden since.

    Args:
        route: with its own alerts and those of the library.
        months: a ride so many calendar months ago is old.
    """
    ridden = confirmed(route)
    return (
        *_alerts(route.notes.alerts, ridden.latest),
        *_plans(route.notes.planned, ridden.latest),
        *(NeverReason(d, route.line(d).length_m) for d in ridden.never),
        *(UnconfirmedReason(d, legs) for d, legs in ridden.unconfirmed.items() if legs),
        *_ages(ridden, months),
    )


def open_reports(names: Collection[str], reports: Sequence[Report]) -> list[Report]:
    """Return the reports on a route that wait for somebody to look.

    Args:
        names: its id, and the old ones.
        reports: of the library; thanks ask for nothing.
    """
    return [r for r in reports if r.state == "open" and r.sort != "thanks" and r.route in names]


def months_after(day: str, months: int) -> str:
    """Return the day, ISO, on which a ride is so many calendar months ago.

    It is the same day of a later month, or the first of the month behind one that lacks it.
    """
    start = dt.date.fromisoformat(day)
    year, month = divmod(start.year * 12 + start.month - 1 + months, 12)
    if year > dt.MAXYEAR:
        return dt.date.max.isoformat()
    if start.day <= calendar.monthrange(year, month + 1)[1]:
        return dt.date(year, month + 1, start.day).isoformat()
    return dt.date(year, month + 2, 1).isoformat()


def _alerts(alerts: Sequence[Alert], last: str) -> Iterator[AlertReason]:
    for alert in alerts:
        over = day_after(alert.until)
        if alert.from_ > last:
            yield AlertReason(alert, alert.from_, over)
        elif over and over > last:
            yield AlertReason(alert, over, over)


def _plans(plans: Sequence[Plan], last: str) -> Iterator[PlanReason]:
    for plan in plans:
        if isinstance(plan.expected, int) and plan.expected >= int(last[:4] or "0"):
            is_in_its_year = str(plan.expected) == last[:4]
            yield PlanReason(plan, f"{plan.expected + is_in_its_year}-01-01")


def _ages(ridden: Confirmed, months: int) -> Iterator[AgeReason]:
    days = {day for day in ridden.last.values() if day}
    for day in sorted(days):
        directions = tuple(d for d, on in ridden.last.items() if on == day)
        yield AgeReason(directions, day, months_after(day, months))


def day_after(day: str | None) -> str:
    """Return the next day, "" where there is none."""
    if day is None or day == dt.date.max.isoformat():
        return ""
    return (dt.date.fromisoformat(day) + dt.timedelta(days=1)).isoformat()
