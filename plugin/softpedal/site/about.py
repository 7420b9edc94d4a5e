"""The last part of a route's page: who rode it and when, its story, photos, and what is around."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from softpedal.library.notes import DIRECTIONS
from softpedal.site import wording
from softpedal.site.addresses import AREAS, area_path
from softpedal.site.language import date, tr
from softpedal.site.quantities import chainage
from softpedal.site.render import render
from softpedal.site.route_view import confirmed_words
from softpedal.site.text import inline, story

if TYPE_CHECKING:
    from collections.abc import Callable

    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.measure.units import Units


def about(
    route: Route,
    measures: Measures,
    units: Units,
    address: Callable[[str], str],
) -> str:
    """Return the section as HTML; `address` gives the address of a path from the page."""
    notes, best = route.notes, measures.outbound.line.best
    withdrawn = notes.status == "withdrawn"
    return render(
        "about.html",
        story=story(route.story) if route.story else "",
        best=best and {"at": chainage(best.at_m, units), "text": inline(best.item.text)},
        photos=[
            {
                "address": address(f"routes/{route.id}/photos/{placed.item.file}"),
                "alt": placed.item.alt,
                "at": chainage(placed.at_m, units),
            }
            for placed in route.photos
        ],
        confirmed=[
            confirmed_words(measures.of(d), is_ridden_at_all=bool(notes.ridden)) for d in DIRECTIONS
        ],
        rides=_rides(route),
        changed=[{"date": date(c.on), "text": inline(c.text)} for c in notes.changed],
        planned=[{"text": inline(p.text), "expected": p.expected or ""} for p in notes.planned],
        wishes=[
            {"at": chainage(w.at_m, units), "what": inline(w.item.what)} for w in route.along.wishes
        ],
        avoids=[inline(a) for a in notes.avoids],
        thanks=inline(notes.thanks),
        video=notes.video and notes.video.link,
        # A withdrawn route is in no list, so its area may have no page.
        areas=[
            {"name": a, "address": address(AREAS if withdrawn else area_path(a))}
            for a in notes.area
        ],
    )


def _rides(route: Route) -> list[dict[str, Any]]:
    return [
        {
            "date": ride.on,
            "words": date(ride.on),
            "how": ", ".join(w for w in (tr(wording.RIDE_WORDS[ride.direction]), ride.when) if w),
        }
        for ride in sorted(route.notes.ridden, key=lambda r: r.on, reverse=True)
    ]
