"""What a route meets, on its page: ends, crossings and shared stretches, with where they are."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from softpedal.site.addresses import route_path
from softpedal.site.language import tr
from softpedal.site.quantities import chainage
from softpedal.site.render import render

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from softpedal.measure.units import Units
    from softpedal.site.connections import Connections, Meeting
    from softpedal.site.published import Link

#: So many routes are listed at once; the rest unfold.
_MOST = 8


def onward_groups(
    met: Connections, titles: Mapping[str, str], path: str, link: Link, units: Units
) -> list[dict[str, Any]]:
    """Return what the section says on the page at `path`, in up to three groups."""

    def listed(title: str, where: Mapping[str, str]) -> dict[str, Any]:
        rows = [
            {"title": titles[other], "address": link(route_path(other), path), "where": words}
            for other, words in where.items()
        ]
        return {"title": title, "first": rows[:_MOST], "rest": rows[_MOST:]}

    groups = [
        listed(tr("Ride on from its ends"), dict.fromkeys(met.onward, "")),
        listed(tr("Crosses"), _where(met.crosses, units)),
        listed(tr("Shares a stretch with"), _where(met.shares, units)),
    ]
    return [group for group in groups if group["first"]]


def onward_section(groups: Sequence[dict[str, Any]]) -> str:
    """Return the section as HTML, "" without groups."""
    return render("onward.html", groups=groups)


def _where(meetings: Sequence[Meeting], units: Units) -> dict[str, str]:
    """Return where each other route is met, in words; the first that is met comes first."""
    found: dict[str, list[str]] = {}
    at, between = tr("at {chainage}"), tr("from {start} to {end}")
    for meeting in meetings:
        start = chainage(meeting.at_m, units)
        if meeting.to_m > meeting.at_m:
            words = between.format(start=start, end=chainage(meeting.to_m, units))
        else:
            words = at.format(chainage=start)
        found.setdefault(meeting.other, []).append(words)
    return {other: tr(" and ").join(words) for other, words in found.items()}
