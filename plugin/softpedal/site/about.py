"""The last part of a route's page: who rode it and when, its story, photos, and what is around."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from softpedal.library.notes import DIRECTIONS
from softpedal.site import wording
from softpedal.site.addresses import area_path
from softpedal.site.language import date, tr
from softpedal.site.quantities import chainage, distance
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
        confirmed=[confirmed_words(measures.of(d)) for d in DIRECTIONS],
        rides=_rides(route),
        variants=_variants(route, units),
        changed=[{"date": date(c.on), "text": inline(c.text)} for c in notes.changed],
        planned=[{"text": inline(p.text), "expected": p.expected or ""} for p in notes.planned],
        wishes=[
            {"at": chainage(w.at_m, units), "what": inline(w.item.what)} for w in route.along.wishes
        ],
        avoids=[inline(a) for a in notes.avoids],
        thanks=inline(notes.thanks),
        video=notes.video and notes.video.link,
        areas=[{"name": a, "address": address(area_path(a))} for a in notes.area],
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


def _variants(route: Route, units: Units) -> list[dict[str, Any]]:
    return [
        {
            "leave": chainage(other.leave_m, units),
            "rejoin": chainage(other.rejoin_m, units),
            "length": distance(other.line.length_m, units),
            "instead_of": distance(other.rejoin_m - other.leave_m, units),
            "why": inline(other.variant.why),
        }
        for other in route.variants
    ]
