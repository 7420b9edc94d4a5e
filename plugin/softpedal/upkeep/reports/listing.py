"""Reports for reading: by route and chainage, as lines or as plain data."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, Any

from softpedal.library.plain_text import counted

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence

    from softpedal.library.reports import Report

SCHEMA_VERSION = 1
_WIDTH = 92
NOT_PLACED = "Not placed"
_ADVICE = "  Write `route:` (and `at:`) beside them in reports.yml."


def in_order(reports: Iterable[Report]) -> list[Report]:
    """Return reports by route, direction, chainage and day; those without a route come last."""
    return sorted(
        reports,
        key=lambda r: (
            not r.route,
            r.route,
            r.at is not None and r.direction == "return",
            r.at.metres or 0.0 if r.at else -1.0,
            r.on,
            r.key,
        ),
    )


def listed(reports: Sequence[Report], known: Collection[str]) -> list[str]:
    """Return lines that list reports; `known` are the ids of the routes that there are."""
    lines: list[str] = []
    before = None
    for report in in_order(reports):
        if report.route != before:
            lines += [""] if lines else []
            lines += _heading(report.route, known)
            before = report.route
        lines.append(f"  {report.key}  {one_line(report)}")
        text = " ".join(report.text.split())
        lines += textwrap.wrap(text, _WIDTH, initial_indent="    ", subsequent_indent="    ")
    return lines


def one_line(report: Report) -> str:
    """Return where and when a report is, and its sort."""
    where = "no chainage"
    if report.at is not None:
        where = report.at.text + (" on the way back" if report.direction == "return" else "")
    done = ", done" if report.state == "done" else ""
    page = f", of the page of {report.page}" if report.page else ""
    return f"{where}: {report.sort}, {report.on}{page}{done}"


def summed(reports: Sequence[Report]) -> str:
    """Return how many of each state there are, in words."""
    done = sum(report.state == "done" for report in reports)
    return f"{counted(len(reports), 'report')}: {len(reports) - done} open, {done} done."


def document(reports: Sequence[Report]) -> dict[str, Any]:
    """Return reports as plain data, in the order of `in_order`."""
    return {"schema": SCHEMA_VERSION, "reports": [_plain(report) for report in in_order(reports)]}


def _heading(route: str, known: Collection[str]) -> list[str]:
    if not route:
        return [NOT_PLACED, _ADVICE]
    return [route if route in known else f"{route} (there is no such route)"]


def _plain(report: Report) -> dict[str, Any]:
    return {
        "key": report.key,
        "route": report.route or None,
        "at": report.at and report.at.text,
        "metres": report.at and report.at.metres,
        "place": report.place and [report.place.lat, report.place.lon],
        "direction": report.direction if report.at else None,
        "sort": report.sort,
        "on": report.on,
        "page": report.page,
        "text": report.text,
        "state": report.state,
    }
