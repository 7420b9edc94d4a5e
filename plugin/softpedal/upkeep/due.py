"""Which routes need a new ride, and why."""

from __future__ import annotations

import calendar
import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from softpedal.library.plain_text import counted
from softpedal.library.positions import km
from softpedal.measure.confirmed import confirmed

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from softpedal.library.notes import Alert
    from softpedal.library.reports import Report
    from softpedal.library.route import Route
    from softpedal.measure.confirmed import Confirmed

SCHEMA_VERSION = 1

Sort = Literal["report", "alert", "alert over", "map", "plan", "never ridden", "unconfirmed", "age"]
#: The order of need, this project's own rule: what has changed on the way comes before what nobody
#: has ridden yet, and that before what was ridden long ago. Nothing is weighed against anything.
NEED: tuple[frozenset[Sort], ...] = (
    frozenset({"report", "alert", "alert over", "map", "plan"}),
    frozenset({"never ridden", "unconfirmed"}),
    frozenset({"age"}),
)
NEED_WORDS = (
    "Something on the way has changed",
    "Some of it was never ridden",
    "Ridden long ago",
    "Nothing speaks for a new ride",
)
RULE = (
    "First what has changed since the last ride, then what nobody has ridden yet, then what was "
    "ridden longest ago."
)
_WAY = {"outbound": "the way out", "return": "the way back"}


@dataclass(frozen=True, slots=True)
class Reason:
    """What speaks for a new ride: its sort, the day since when (ISO, "" if it has none), words."""

    sort: Sort
    text: str
    on: str = ""


@dataclass(frozen=True, slots=True)
class Due:
    """A route and what speaks for riding it again.

    Attributes:
        id: of the route.
        title: of the route.
        last: the day of the last ride, ISO, "" where there was none.
        reasons: by need; empty where there are none.
    """

    id: str
    title: str
    last: str
    reasons: tuple[Reason, ...]

    @property
    def need(self) -> int:
        """Index into `NEED` of the strongest reason; one more where there is none."""
        return min((_need(reason.sort) for reason in self.reasons), default=len(NEED))


def due(
    routes: Sequence[Route],
    reports: Sequence[Report],
    today: dt.date,
    months: int = 12,
    changes: Mapping[str, Sequence[str]] | None = None,
) -> list[Due]:
    """Return the published routes, those that need a new ride most first.

    Args:
        routes: of the library, with the library's alerts.
        reports: of the library; those that are open count.
        today: the day on which it is asked.
        months: a ride so many calendar months ago or longer is old.
        changes: what the map now says otherwise, sentences by the id of the route.
    """
    limit = months_before(today, months).isoformat()
    found = []
    for route in routes:
        if route.notes.status != "published":
            continue
        ridden = confirmed(route)
        reasons = [
            *_reports(route, reports),
            *_alerts(route.notes.alerts, ridden.latest, today.isoformat()),
            *(Reason("map", text) for text in (changes or {}).get(route.id, ())),
            *_plans(route, ridden.latest, today),
            *_never(ridden),
            *_old(ridden, limit, months),
        ]
        reasons.sort(key=lambda reason: _need(reason.sort))
        found.append(Due(route.id, route.notes.title, ridden.latest, tuple(reasons)))
    return sorted(found, key=lambda one: (one.need, one.last, one.id))


def months_before(day: dt.date, months: int) -> dt.date:
    """Return the same day of an earlier month, or the last day of that month."""
    year, month = divmod(day.year * 12 + day.month - 1 - months, 12)
    year = max(year, dt.MINYEAR)
    return dt.date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def due_lines(found: Sequence[Due]) -> Iterator[str]:
    """Yield what is due as lines for a terminal."""
    before = None
    for one in found:
        if one.need != before:
            yield from (
                ["", NEED_WORDS[one.need]] if before is not None else [NEED_WORDS[one.need]]
            )
            before = one.need
        yield f"  {one.id}, last ridden {one.last or 'never'}"
        yield from (f"    {reason.text}" for reason in one.reasons)


def due_document(found: Sequence[Due], today: dt.date, months: int) -> dict[str, Any]:
    """Return what is due as plain data, in the same order."""
    return {
        "schema": SCHEMA_VERSION,
        "on": today.isoformat(),
        "months": months,
        "rule": RULE,
        "routes": [
            {
                "id": one.id,
                "title": one.title,
                "last_ridden": one.last or None,
                "is_due": bool(one.reasons),
                "reasons": [
                    {"sort": r.sort, "on": r.on or None, "text": r.text} for r in one.reasons
                ],
            }
            for one in found
        ],
    }


def _need(sort: Sort) -> int:
    return next(index for index, sorts in enumerate(NEED) if sort in sorts)


def _reports(route: Route, reports: Sequence[Report]) -> Iterator[Reason]:
    names = {route.id, *route.notes.was}
    for report in reports:
        if report.state == "open" and report.route in names:
            where = f" at {report.at.text}" if report.at else ""
            where += " on the way back" if report.at and report.direction == "return" else ""
            yield Reason(
                "report", f"Open report {report.key}{where}, {report.on}: {report.sort}.", report.on
            )


def _alerts(alerts: Sequence[Alert], last: str, today: str) -> Iterator[Reason]:
    """Yield the alerts that began after the last ride, and those that have ended after it."""
    for alert in alerts:
        if alert.until is not None and last <= alert.until < today:
            text = f"An alert has ended, {alert.until}: {alert.text}"
            yield Reason("alert over", text, alert.until)
        elif last < alert.from_ <= today and (alert.until is None or alert.until >= today):
            yield Reason("alert", f"An alert holds since {alert.from_}: {alert.text}", alert.from_)


def _plans(route: Route, last: str, today: dt.date) -> Iterator[Reason]:
    for plan in route.notes.planned:
        year = plan.expected
        if isinstance(year, int) and (last[:4] or "0") < str(year) <= str(today.year):
            yield Reason("plan", f"Planned for {year}: {plan.text}", str(year))


def _never(ridden: Confirmed) -> Iterator[Reason]:
    for direction in ridden.never:
        yield Reason("never ridden", f"Nobody has ridden {_WAY[direction]}.")
    for direction, legs in ridden.unconfirmed.items():
        if legs:
            named = ", ".join(f"{leg.item.street} from {km(leg.at_m)}" for leg in legs)
            text = f"On {_WAY[direction]} {counted(len(legs), 'leg')} never confirmed: {named}."
            yield Reason("unconfirmed", text)


def _old(ridden: Confirmed, limit: str, months: int) -> Iterator[Reason]:
    old = [d for d, day in ridden.last.items() if day and day <= limit]
    over = f"{counted(months, 'month')} ago or more"
    if old and len(old) == len(ridden.last) - len(ridden.never):
        yield Reason("age", f"Last ridden {ridden.latest}, {over}.", ridden.latest)
    else:
        for direction in old:
            day = ridden.last[direction]
            words = _WAY[direction]
            yield Reason("age", f"{words[0].upper()}{words[1:]} last ridden {day}, {over}.", day)
