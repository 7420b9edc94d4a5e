"""The page that tells where the quiet network breaks, over all routes, and its table as a file."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from markupsafe import Markup

from softpedal.library.csv_table import csv_table
from softpedal.measure.stress import crossing_words, leg_words
from softpedal.site import wording
from softpedal.site.addresses import GAPS, GAPS_TABLE, HOW_WE_MEASURE, route_path
from softpedal.site.gaps_drawing import gaps_svg
from softpedal.site.gaps_merged import Gap, ranked_gaps
from softpedal.site.language import tr, trn
from softpedal.site.published import Page, StaticFile, slot
from softpedal.site.quantities import chainage, distance
from softpedal.site.render import render
from softpedal.site.text import front_text, inline, markdown_text

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from softpedal.library.notes import Direction
    from softpedal.settings import Settings
    from softpedal.site.basemap import Background
    from softpedal.site.connections import Sampled
    from softpedal.site.gap_places import RouteGaps, Wish
    from softpedal.site.published import Link

TITLE = "Where the quiet network breaks"

#: So many places stand on the page; the file has all.
MOST_LISTED = 100
#: So many routes of one place are named with their links; the rest are counted.
_MOST_NAMED = 6

_COLUMNS = (
    "rank", "level", "level_in_words", "sort", "name", "what", "metres", "routes", "route_ids",
    "latitude", "longitude", "why",
)  # fmt: skip


def gaps_page(
    found: Mapping[str, tuple[str, RouteGaps, Sampled]],
    settings: Settings,
    link: Link,
    background: Background | None,
) -> tuple[Page, StaticFile]:
    """Return the page and its table as a CSV file.

    Args:
        found: title, gaps and line of each route, by id.
        settings: units and attribution.
        link: how pages are addressed.
        background: under the drawing, None for plain paper.
    """
    gaps = ranked_gaps([place for _, each, _ in found.values() for place in each.places])
    titles = {route: title for route, (title, _, _) in found.items()}
    wishes = [wish for _, each, _ in found.values() for wish in each.wishes]
    lines = [line for _, _, line in found.values()]
    late = {
        "gaps": render(
            "gaps.html",
            gaps=[
                _row(n, gap, titles, settings, link)
                for n, gap in enumerate(gaps[:MOST_LISTED], start=1)
            ],
            further=max(0, len(gaps) - MOST_LISTED),
            drawing=Markup(gaps_svg(gaps, lines, background, settings)),  # noqa: S704
            table=link(GAPS_TABLE, GAPS),
            measure_page=link(HOW_WE_MEASURE, GAPS),
        ),
        "wishes": render(
            "wishes.html", wishes=[_wish(wish, titles, settings, link) for wish in wishes]
        ),
    }
    markdown = (
        f"---\ntitle: {front_text(tr(TITLE))}\n---\n\n# {markdown_text(tr(TITLE))}\n\n"
        f"{_lead(gaps, len(found))}\n\n{slot('gaps')}\n\n"
        f"## {markdown_text(tr('What riders wish for'))}\n\n{slot('wishes')}\n"
    )
    return Page(GAPS, markdown, late), StaticFile(GAPS_TABLE, gaps_csv(gaps).encode())


def gaps_csv(gaps: Sequence[Gap]) -> str:
    """Return the gaps as CSV, lengths in metres; no cell starts a formula in a spreadsheet."""
    rows: list[Sequence[object]] = [_COLUMNS]
    for rank, gap in enumerate(gaps, start=1):
        lat, lon = gap.middle
        rows.append(
            [
                rank,
                gap.worst.level,
                _level(gap),
                gap.sort,
                gap.worst.name,
                "; ".join(gap.whats),
                round(gap.metres) if gap.sort == "leg" else "",
                len(gap.routes),
                " ".join(gap.routes),
                f"{lat:.5f}",
                f"{lon:.5f}",
                gap.worst.why,
            ]
        )
    return csv_table(rows)


def _lead(gaps: Sequence[Gap], routes: int) -> str:
    if not gaps:
        return markdown_text(
            trn(
                "The one route here has no stressful leg and no open crossing of a busy road.",
                "None of the {count} routes here has a stressful leg or an open crossing of a "
                "busy road.",
                routes,
            )
        )
    legs = sum(gap.sort == "leg" for gap in gaps)
    return markdown_text(
        tr(
            "{legs} and {crossings} on {routes}.",
            legs=trn("{count} stressful stretch", "{count} stressful stretches", legs),
            crossings=trn(
                "{count} stressful or open busy crossing",
                "{count} stressful or open busy crossings",
                len(gaps) - legs,
            ),
            routes=trn("{count} route", "{count} routes", routes),
        )
    ).replace("&#46;", ".")


def _level(gap: Gap) -> str:
    worst = gap.worst
    if worst.sort == "crossing":
        return tr(crossing_words(worst.level))
    return tr(leg_words(worst.level, worst.what))  # type: ignore[arg-type]


def _row(
    number: int, gap: Gap, titles: Mapping[str, str], settings: Settings, link: Link
) -> dict[str, Any]:
    lat, lon = gap.middle
    places = {place.route: place for place in reversed(gap.places)}
    routes = [
        {
            "title": titles[route],
            "address": _place_link(route, places[route].direction, places[route].leg, link),
        }
        for route in gap.routes
    ]
    what = [tr(wording.CONTROL_WORDS[w]) if gap.sort == "crossing" else tr(w) for w in gap.whats]
    return {
        "number": number,
        "name": gap.worst.name,
        "sort": tr("crossing") if gap.sort == "crossing" else "",
        "what": ", ".join(what),
        "level": _level(gap),
        "metres": distance(gap.metres, settings.units) if gap.sort == "leg" else "",
        "count": trn("{count} route", "{count} routes", len(routes)),
        "routes": routes[:_MOST_NAMED],
        "more": max(0, len(routes) - _MOST_NAMED),
        "why": inline(gap.worst.why),
        "place": f"{lat:.5f}, {lon:.5f}",
    }


def _wish(wish: Wish, titles: Mapping[str, str], settings: Settings, link: Link) -> dict[str, Any]:
    return {
        "what": inline(wish.what),
        "title": titles[wish.route],
        "address": _place_link(wish.route, "outbound", wish.leg, link),
        "at": chainage(wish.at_m, settings.units),
        "place": f"{wish.lat:.5f}, {wish.lon:.5f}",
    }


def _place_link(route: str, direction: Direction, leg: int, link: Link) -> str:
    """Return the address of a leg's row; the switches of the page follow the direction."""
    asked = f"?direction={quote(direction)}" if direction == "return" else ""
    return f"{link(route_path(route), GAPS)}{asked}#{direction}-0-leg-{leg}"
