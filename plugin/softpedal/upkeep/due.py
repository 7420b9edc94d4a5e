"""Which routes need a new ride, and why."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from softpedal.measure.confirmed import confirmed
from softpedal.measure.ride_reasons import MONTHS, NEED_WORDS, NEEDS, open_reports, ride_reasons
from softpedal.upkeep.due_reasons import WAYS, Reason, map_reason, report_reason, told_reason

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterator, Mapping, Sequence

    from softpedal.library.notes import Direction
    from softpedal.library.reports import Report
    from softpedal.library.route import Route
    from softpedal.measure.ride_reasons import Need

SCHEMA_VERSION = 1
RULE = (
    "The order is this project's own rule: first where something has changed since the last ride "
    "or is reported, then what nobody has ridden or confirmed yet, then what was ridden long ago; "
    "in each, the longest ago first."
)


@dataclass(frozen=True, slots=True)
class Due:
    """A route and what speaks for riding it again.

    Attributes:
        id: of the route.
        title: of the route.
        last: the day of the last ride in each direction, ISO, "" where there was none.
        reasons: by need; empty where there are none.
    """

    id: str
    title: str
    last: Mapping[Direction, str]
    reasons: tuple[Reason, ...]

    @property
    def need(self) -> Need | None:
        """That of the strongest reason, None where there is none."""
        return self.reasons[0].need if self.reasons else None


def due(
    routes: Sequence[Route],
    reports: Sequence[Report],
    today: dt.date,
    months: int = MONTHS,
    changes: Mapping[str, Sequence[str]] | None = None,
) -> list[Due]:
    """Return the published routes, those that need a new ride most first.

    The order is `NEEDS`, this project's own, and within each the day on which a direction that was
    ridden at all was last ridden, the longest ago first.

    Args:
        routes: of the library, with the library's alerts.
        reports: of the library; those that are open count.
        today: the day on which it is asked.
        months: a ride so many calendar months ago or longer is old.
        changes: what the map now says otherwise, sentences by the id of the route.
    """
    day = today.isoformat()
    found = []
    for route in routes:
        if route.notes.status != "published":
            continue
        last = confirmed(route).last
        waiting = open_reports({route.id, *route.notes.was}, reports)
        reasons = [
            *(report_reason(report, max(last.values())) for report in waiting),
            *(map_reason(text) for text in (changes or {}).get(route.id, ())),
            *(
                told_reason(reason, day, months)
                for reason in ride_reasons(route, months)
                if reason.since <= day
            ),
        ]
        reasons.sort(key=lambda reason: NEEDS.index(reason.need))
        found.append(Due(route.id, route.notes.title, last, tuple(reasons)))
    return sorted(found, key=_order)


def _order(one: Due) -> tuple[int, str, str]:
    need = NEEDS.index(one.need) if one.need else len(NEEDS)
    return need, min(day for day in one.last.values() if day), one.id


def due_lines(found: Sequence[Due]) -> Iterator[str]:
    """Yield what is due as lines for a terminal."""
    for index, one in enumerate(found):
        if index == 0 or one.need != found[index - 1].need:
            yield from ([""] if index else [])
            yield NEED_WORDS[one.need]
        yield f"  {one.id}, last ridden {_ridden(one.last)}"
        yield from (f"    {reason.text}" for reason in one.reasons)


def due_document(
    found: Sequence[Due], today: dt.date, months: int, compared: Sequence[str] | None = None
) -> dict[str, Any]:
    """Return what is due as plain data, in the same order.

    Args:
        found: the routes.
        today: the day on which it was asked.
        months: what counts as old.
        compared: ids of the routes under which the map was looked at, None where it was not read.
    """
    return {
        "schema": SCHEMA_VERSION,
        "on": today.isoformat(),
        "months": months,
        "rule": RULE,
        "map_compared": None if compared is None else list(compared),
        "routes": [
            {
                "id": one.id,
                "title": one.title,
                "last_ridden": max(one.last.values()),
                "last_by_direction": {d: day or None for d, day in one.last.items()},
                "is_due": bool(one.reasons),
                "need": one.need,
                "reasons": [
                    {"sort": r.sort, "need": r.need, "on": r.on or None, "text": r.text}
                    | dict(r.evidence)
                    for r in one.reasons
                ],
            }
            for one in found
        ],
    }


def _ridden(last: Mapping[Direction, str]) -> str:
    days = set(last.values())
    if len(days) == 1:
        return days.pop()
    return ", ".join(f"{day} ({WAYS[way]})" for way, day in last.items() if day)
