"""Why a route needs a new ride, in the words of the terminal and as data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from softpedal.library.plain_text import counted
from softpedal.library.positions import km
from softpedal.measure.ride_reasons import (
    AgeReason,
    AlertReason,
    NeverReason,
    PlanReason,
    UnconfirmedReason,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from softpedal.library.reports import Report
    from softpedal.measure.ride_reasons import Need, RideReason

Sort = Literal["report", "alert", "alert over", "map", "plan", "never ridden", "unconfirmed", "age"]
WAYS = {"outbound": "the way out", "return": "the way back"}
#: So many legs are named in a line; the JSON has all.
_MOST_NAMED = 6


@dataclass(frozen=True, slots=True)
class Reason:
    """What speaks for a new ride.

    Attributes:
        sort: of reason.
        need: what it makes of the route.
        text: for the terminal.
        on: the day since when, ISO, "" if there is none.
        evidence: what it rests on, as plain data: lengths and chainages in metres, ISO days.
    """

    sort: Sort
    need: Need
    text: str
    on: str
    evidence: Mapping[str, Any]


def report_reason(report: Report, last: str) -> Reason:
    """Return an open report as a reason; `last` is the day of the last ride, ISO."""
    where = f" at {report.at.text}" if report.at else ""
    where += " on the way back" if report.at and report.direction == "return" else ""
    when = f"{report.on}, since the last ride" if report.on >= last else report.on
    evidence = {
        "key": report.key,
        "at_m": report.at.metres if report.at else None,
        "direction": report.direction if report.at else None,
        "is_since_last_ride": report.on >= last,
    }
    text = f"Open report {report.key}{where}, {when}: {report.sort}."
    return Reason("report", "changed", text, report.on, evidence)


def map_reason(text: str) -> Reason:
    """Return what the map now says otherwise as a reason."""
    return Reason("map", "changed", text, "", {})


def told_reason(reason: RideReason, today: str, months: int) -> Reason:
    """Return a reason in words, as it stands on a day.

    Args:
        reason: that holds on this day.
        today: ISO.
        months: after so many calendar months a ride is old.
    """
    evidence: dict[str, Any]
    match reason:
        case AlertReason(alert):
            is_over = bool(reason.over) and reason.over <= today
            evidence = {"from": alert.from_, "until": alert.until}
            if is_over:
                text = f"An alert has ended, {alert.until}: {alert.text}"
                return Reason("alert over", reason.need, text, alert.until or "", evidence)
            until = f" until {alert.until}" if alert.until else ""
            text = f"An alert holds since {alert.from_}{until}: {alert.text}"
            return Reason("alert", reason.need, text, alert.from_, evidence)
        case PlanReason(plan):
            text = f"Planned for {plan.expected}: {plan.text}"
            evidence = {"expected": plan.expected}
            return Reason("plan", reason.need, text, reason.since, evidence)
        case NeverReason(direction, length_m):
            text = f"Nobody has ridden {WAYS[direction]}, {km(length_m)}."
            evidence = {"direction": direction, "length_m": round(length_m, 1)}
            return Reason("never ridden", reason.need, text, "", evidence)
        case UnconfirmedReason():
            return _unconfirmed(reason)
        case AgeReason(directions, day):
            over = f"{counted(months, 'month')} ago or more"
            way = "Both ways" if len(directions) > 1 else _capital(WAYS[directions[0]])
            text = f"{way} last ridden {day}, {over}."
            return Reason("age", reason.need, text, day, {"directions": list(directions)})


def _unconfirmed(reason: UnconfirmedReason) -> Reason:
    legs = reason.legs
    named = [f"{leg.item.street} from {km(leg.at_m)}" for leg in legs]
    more = f" and {len(legs) - _MOST_NAMED} more" if len(legs) > _MOST_NAMED else ""
    length = km(sum(leg.length_m for leg in legs))
    text = (
        f"{_capital(WAYS[reason.direction])}: {counted(len(legs), 'leg')}, {length}, never "
        f"confirmed by riding: {', '.join(named[:_MOST_NAMED])}{more}."
    )
    evidence = {
        "direction": reason.direction,
        "legs": [
            {
                "street": leg.item.street,
                "from_m": round(leg.at_m, 1),
                "to_m": round(leg.to_m, 1),
                "source": leg.item.source.get(reason.direction),
            }
            for leg in legs
        ],
    }
    return Reason("unconfirmed", reason.need, text, "", evidence)


def _capital(words: str) -> str:
    return words[0].upper() + words[1:]
