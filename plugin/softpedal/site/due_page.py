"""The page that tells what needs riding next; the reader's browser works out what holds today."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from softpedal.measure.confirmed import confirmed
from softpedal.measure.ride_reasons import (
    MONTHS,
    NEED_WORDS,
    NEEDS,
    AgeReason,
    AlertReason,
    NeverReason,
    PlanReason,
    UnconfirmedReason,
    open_reports,
    ride_reasons,
)
from softpedal.site import wording
from softpedal.site.addresses import DUE, route_path
from softpedal.site.language import date, tr, trn
from softpedal.site.lists import list_markdown
from softpedal.site.published import Page
from softpedal.site.quantities import distance
from softpedal.site.render import render
from softpedal.site.text import inline

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from softpedal.library.notes import Direction
    from softpedal.library.reports import Report
    from softpedal.library.route import Route
    from softpedal.measure.ride_reasons import Need, RideReason
    from softpedal.measure.units import Units
    from softpedal.settings import Settings
    from softpedal.site.published import Link

TITLE = "What needs riding next"


@dataclass(frozen=True, slots=True)
class Ridden:
    """What one route gives to the page; it can be sent from one process to another.

    Attributes:
        id: of the route.
        names: its id, and the old ones.
        title: of the route.
        last: the day of the last ride in each direction, ISO, "" where there was none.
        reasons: what speaks for a new ride, now or from a later day on.
    """

    id: str
    names: frozenset[str]
    title: str
    last: Mapping[Direction, str]
    reasons: tuple[RideReason, ...]

    @property
    def oldest(self) -> str:
        """The day on which the direction that was ridden longest ago was last ridden."""
        return min(day for day in self.last.values() if day)

    @property
    def latest(self) -> str:
        """The day of the last ride."""
        return max(self.last.values())


def ridden_of(route: Route) -> Ridden | None:
    """Return what a route gives to the page, None for one that is not published."""
    if route.notes.status != "published":
        return None
    names = frozenset({route.id, *route.notes.was})
    last = dict(confirmed(route).last)
    return Ridden(route.id, names, route.notes.title, last, ride_reasons(route))


def due_page(
    found: Sequence[Ridden], reports: Sequence[Report], settings: Settings, link: Link
) -> Page:
    """Return the page.

    Without script it lists the routes with all that is known of them, the longest ago first. With
    it they stand in the order of `NEEDS` on the reader's day, as `softpedal due` has them.

    Args:
        found: the published routes.
        reports: of the library; how many are open is told, and nothing of what they say.
        settings: units, time zone, and whether there is an address to report to.
        link: how pages are addressed.
    """
    rows = [
        _row(one, reports, settings.units) | {"address": link(route_path(one.id), DUE)}
        for one in sorted(found, key=lambda one: (one.oldest, one.id))
    ]
    needs: list[Need | None] = [*NEEDS, None]
    late = {
        "rows": render(
            "due.html",
            rows=rows,
            needs=[{"name": need or "none", "title": tr(NEED_WORDS[need])} for need in needs],
            lead=_lead(len(rows)),
            zone=settings.time_zone,
            months=MONTHS,
            can_report=settings.report_address is not None,
        )
    }
    return Page(DUE, list_markdown(tr(TITLE)), late)


def _lead(count: int) -> str:
    return trn(
        "{count} route, with what speaks for riding it again.",
        "{count} routes, with what speaks for riding each again: the one ridden longest ago first.",
        count,
    )


def _row(one: Ridden, reports: Sequence[Report], units: Units) -> dict[str, Any]:
    told = [_told(reason, units) for reason in one.reasons]
    waiting = open_reports(one.names, reports)
    if waiting:
        told.append(_reported(waiting, one.latest))
    return {
        "title": one.title,
        "oldest": one.oldest,
        "ridden": _ridden(one.last),
        "reasons": sorted(told, key=lambda row: NEEDS.index(row["need"])),
    }


def _ridden(last: Mapping[Direction, str]) -> list[dict[str, str]]:
    """Return the days of the last rides in words: one for both directions where it is the same."""
    if len(set(last.values())) == 1:
        day = last["outbound"]
        return [{"day": day, "words": date(day), "way": tr(wording.RIDE_WORDS["both"])}]
    return [
        {"day": day, "words": date(day), "way": tr(wording.RIDE_WORDS[way])}
        for way, day in last.items()
        if day
    ]


def _told(reason: RideReason, units: Units) -> dict[str, Any]:
    """Return a reason as a row.

    `since` is the first day on which it holds and `over` that on which it is a thing of the past,
    ISO or ""; `now` and `then` are put before its words by the browser, before and from `over` on.
    `quiet` is a row that only a browser that knows the day can show.
    """
    row: dict[str, Any] = {
        "need": reason.need,
        "since": reason.since,
        "over": "",
        "now": "",
        "then": "",
        "quiet": False,
    }
    match reason:
        case AlertReason(alert):
            when = wording.span_words(alert.from_, alert.until)
            row |= {"over": reason.over, "words": inline(alert.text), "when": when}
            row |= {
                "now": tr("An alert has begun since the last ride."),
                "then": tr("An alert has ended since the last ride."),
            }
        case PlanReason(plan):
            when = tr("Planned for {year}", year=plan.expected)
            row |= {"words": inline(plan.text), "when": when}
        case NeverReason(direction, length_m):
            text = {
                "outbound": "Nobody has ridden the way out, {length}.",
                "return": "Nobody has ridden the way back, {length}.",
            }[direction]
            row |= {"words": tr(text, length=distance(length_m, units)), "when": ""}
        case UnconfirmedReason():
            row |= {"words": _unconfirmed(reason, units), "when": ""}
        case AgeReason(directions):
            texts: dict[tuple[Direction, ...], str] = {
                ("outbound",): "The way out was not ridden for {count} months or more.",
                ("return",): "The way back was not ridden for {count} months or more.",
            }
            text = texts.get(directions, "Not ridden for {count} months or more.")
            row |= {"words": trn(text, text, MONTHS), "when": "", "quiet": True}
    return row


def _unconfirmed(reason: UnconfirmedReason, units: Units) -> str:
    one, many = {
        "outbound": (
            "{count} leg of the way out, {length}, was never confirmed by riding.",
            "{count} legs of the way out, {length}, were never confirmed by riding.",
        ),
        "return": (
            "{count} leg of the way back, {length}, was never confirmed by riding.",
            "{count} legs of the way back, {length}, were never confirmed by riding.",
        ),
    }[reason.direction]
    length = distance(sum(leg.length_m for leg in reason.legs), units)
    return trn(one, many, len(reason.legs), length=length)


def _reported(waiting: Sequence[Report], last: str) -> dict[str, Any]:
    words = trn("{count} open report", "{count} open reports", len(waiting))
    since = sum(report.on >= last for report in waiting)
    if since:
        words = tr(
            "{reports}, {since}",
            reports=words,
            since=trn(
                "{count} of them since the last ride",
                "{count} of them since the last ride",
                since,
            ),
        )
    need: Need = "changed"
    return {
        "need": need,
        "since": "",
        "over": "",
        "now": "",
        "then": "",
        "quiet": False,
        "words": f"{words}.",
        "when": "",
    }
