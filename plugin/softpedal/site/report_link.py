"""The address to which a reader reports that something has changed, filled in for a place."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING
from urllib.parse import quote

from softpedal.library.report_reference import Reference
from softpedal.site.addresses import route_path
from softpedal.site.language import tr
from softpedal.site.published import absolute_address
from softpedal.site.quantities import chainage

if TYPE_CHECKING:
    from collections.abc import Callable

    from softpedal.library.notes import Direction
    from softpedal.library.route import Route
    from softpedal.settings import Settings
    from softpedal.site.published import Link

_PLACEHOLDER = re.compile(r"\{([a-z]+)\}")


@dataclass(frozen=True, slots=True)
class ReportTo:
    """Where a row's report goes.

    Attributes:
        address: of the link.
        name: what the link is called, its visible word first (WCAG 2.2, 2.5.3 Label in Name).
    """

    address: str
    name: str


def report_link(
    settings: Settings,
    route: Route,
    link: Link,
    at_m: float | None = None,
    direction: Direction = "outbound",
) -> str:
    """Return the address for reports on a route, or on a place of it; "" where there is none.

    A plain `mailto:` gets a subject and a body; a plain web address stays as it is; in a template
    every placeholder is filled in. All values are percent-encoded: RFC 3986, section 2, and
    RFC 6068, section 2, in which a line of the body ends with %0D%0A (section 5).

    Args:
        settings: the library's; `report_address` is the address.
        route: the route.
        link: how its page is addressed.
        at_m: chainage in metres along the direction, None for the route as a whole.
        direction: in which the chainage counts.
    """
    template = settings.report_address or ""
    if not template:
        return ""
    if template.startswith("mailto:") and not _PLACEHOLDER.search(template):
        template = _with_texts(template)
    if not _PLACEHOLDER.search(template):
        return template
    values = _values(settings, route, link, at_m, direction)
    return _PLACEHOLDER.sub(lambda match: _encoded(values[match[1]]), template)


def library_report_link(settings: Settings) -> str:
    """Return the address for reports on no route in particular; "" where there is none.

    In a template, what only a route could fill in stays empty.
    """
    values = {"title": settings.title, "subject": settings.title, "body": invitation()}
    template = settings.report_address or ""
    return _PLACEHOLDER.sub(lambda match: _encoded(values.get(match[1], "")), template)


def report_row(
    reports: Callable[[float, Direction], str] | None,
    at_m: float,
    direction: Direction,
    place: str,
) -> ReportTo | None:
    """Return where a row's report goes, None where nobody takes reports; `place` in words."""
    address = reports(at_m, direction) if reports else ""
    if not address:
        return None
    return ReportTo(address, tr("Changed? {place}", place=place))


def report_at(
    settings: Settings, route: Route, link: Link
) -> Callable[[float, Direction], str] | None:
    """Return the address by chainage and direction, None where nobody takes reports."""
    return partial(report_link, settings, route, link) if settings.report_address else None


def invitation() -> str:
    """Return what a reader's mail begins with."""
    return tr("What has changed? Please do not write names of people.")


def _values(
    settings: Settings, route: Route, link: Link, at_m: float | None, direction: Direction
) -> dict[str, str]:
    title = route.notes.title
    rides = [ride.on for ride in route.notes.ridden]
    metres = None if at_m is None else round(at_m)
    place = None if at_m is None else route.line(direction).track.at(at_m)
    reference = Reference(route.id, direction, metres, place, max(rides, default=""))
    at = "" if at_m is None else chainage(at_m, settings.units)
    address = absolute_address(link, route_path(route.id))
    lines = [invitation(), "", "", "", *([address] if address else []), str(reference)]
    return {
        "route": route.id,
        "title": title,
        "at": at,
        "metres": "" if metres is None else str(metres),
        "lat": "" if place is None else f"{place[0]:.5f}",
        "lon": "" if place is None else f"{place[1]:.5f}",
        "date": reference.page,
        "address": address,
        "subject": f"{title}, {at}" if at else title,
        "body": "\r\n".join(lines),
    }


def _with_texts(address: str) -> str:
    """Return a plain mailto: with what it does not have itself of a subject and a body."""
    _, _, query = address.partition("?")
    has = {field.partition("=")[0].lower() for field in query.split("&")}
    fields = [f"{name}={{{name}}}" for name in ("subject", "body") if name not in has]
    return address + "".join(
        f"{'&' if '?' in address or number else '?'}{field}" for number, field in enumerate(fields)
    )


def _encoded(value: str) -> str:
    return quote(value, safe="", errors="replace")
