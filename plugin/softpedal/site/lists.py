"""The lists by which readers find a route: by area, by difficulty, in a fixed order."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from softpedal.library.names import area_key
from softpedal.measure.difficulty import GRADES, rank
from softpedal.site import wording
from softpedal.site.addresses import (
    ALL_ROUTES,
    AREAS,
    DIFFICULTY,
    area_path,
    grade_path,
    order_path,
    route_path,
)
from softpedal.site.dated import AHEAD_DAYS, dated_values
from softpedal.site.drawings import strip_of
from softpedal.site.findable import Findable, findable
from softpedal.site.language import tr, trn
from softpedal.site.published import Page, slot
from softpedal.site.quantities import distance, minutes
from softpedal.site.render import render
from softpedal.site.route_view import special_words
from softpedal.site.strip import small_strip
from softpedal.site.text import front_text, markdown_text

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from softpedal.library.route import Route
    from softpedal.measure.difficulty import Grade
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings
    from softpedal.site.addresses import Order
    from softpedal.site.published import Link

GRADE_TITLES: dict[Grade, str] = {
    "easy": "Easy routes",
    "moderate": "Moderate routes",
    "demanding": "Demanding routes",
}
ORDER_TITLES: dict[Order, str] = {
    "title": "Routes by title",
    "length": "Routes by length",
    "quiet": "Routes by quiet share",
}
ORDER_LEADS: dict[Order, str] = {
    "title": "All routes, by title.",
    "length": "All routes, the shorter ones first.",
    "quiet": "All routes, those with the larger quiet share first.",
}


@dataclass(frozen=True, slots=True)
class Entry:
    """One route in the lists.

    Attributes:
        id: of the route.
        title: by which it is sorted.
        areas: where it is.
        grade: its overall difficulty.
        texts: what its row says.
        findable: what the page of all routes finds it by.
    """

    id: str
    title: str
    areas: tuple[str, ...]
    grade: Grade
    texts: dict[str, Any]
    findable: Findable


def entry_of(route: Route, measures: Measures, settings: Settings) -> Entry:
    """Return a route's place in the lists."""
    return Entry(
        route.id,
        route.notes.title,
        tuple(route.notes.area),
        measures.difficulty.overall,
        _texts(route, measures, settings),
        findable(route, measures),
    )


def in_order(found: Iterable[Entry], order: str = "") -> list[Entry]:
    """Return entries in a fixed order, or the easier ones first."""
    easier = sorted(found, key=lambda e: (rank(e.grade), e.title.casefold(), e.id))
    if order == "title":
        return sorted(easier, key=lambda e: (e.title.casefold(), e.id))
    if order == "length":
        return sorted(easier, key=lambda e: e.findable.length_m)
    if order == "quiet":
        return sorted(easier, key=lambda e: -e.findable.percent)
    return easier


def list_pages(found: Sequence[Entry], link: Link) -> list[Page]:
    """Return the lists by area and by difficulty, and all routes in each fixed order."""
    found = in_order(found)
    areas: dict[str, str] = {}
    for entry in found:
        for area in entry.areas:
            areas.setdefault(area_key(area), area)
    by_area = {
        name: [e for e in found if key in map(area_key, e.areas)]
        for key, name in sorted(areas.items())
    }
    by_grade = {g: [e for e in found if e.grade == g] for g in GRADES}
    pages = [
        _index(
            AREAS,
            tr("Routes by area"),
            [(area, area_path(area), len(es)) for area, es in by_area.items()],
            link,
        ),
        _index(
            DIFFICULTY,
            tr("Routes by difficulty"),
            [(tr(GRADE_TITLES[g]), grade_path(g), len(es)) for g, es in by_grade.items()],
            link,
        ),
    ]
    for area, entries in by_area.items():
        pages.append(_page(area_path(area), tr("Routes in {area}", area=area), entries, link))
    for grade, entries in by_grade.items():
        pages.append(_page(grade_path(grade), tr(GRADE_TITLES[grade]), entries, link))
    for order, title in ORDER_TITLES.items():
        leads = tr(ORDER_LEADS[order])
        pages.append(_page(order_path(order), tr(title), in_order(found, order), link, leads))
    return pages


def rows_of(found: Iterable[Entry], path: str, link: Link) -> list[dict[str, Any]]:
    """Return what the rows of a list on a page say."""
    return [e.texts | {"id": e.id, "address": link(route_path(e.id), path)} for e in found]


def list_links(path: str, link: Link) -> list[dict[str, str]]:
    """Return links from a page to the other lists."""
    lists = [(ALL_ROUTES, "All routes"), (AREAS, "By area"), (DIFFICULTY, "By difficulty")]
    return [{"words": tr(t), "address": link(p, path)} for p, t in lists if p != path]


def list_markdown(title: str, lead: str = "", hide: Sequence[str] = ()) -> str:
    """Return a page with one slot; `hide` names parts of the theme that it has no room for."""
    hidden = f"hide: {json.dumps(list(hide))}\n" if hide else ""
    return (
        f"---\ntitle: {front_text(title)}\n{hidden}search:\n  exclude: true\n---\n\n"
        f"# {markdown_text(title)}\n\n{lead}\n\n{slot('rows')}\n"
    )


def _page(path: str, title: str, found: Sequence[Entry], link: Link, lead: str = "") -> Page:
    rows = rows_of(found, path, link)
    if not lead:
        lead = easier_first(len(rows))
    late = {
        "rows": render(
            "list.html",
            rows=rows,
            ahead=AHEAD_DAYS,
            links=list_links(path, link),
            caution=tr(wording.CAUTION_SHORT),
        )
    }
    return Page(path, list_markdown(title, lead), late)


def easier_first(count: int) -> str:
    """Return the sentence over a list in the usual order."""
    return trn(
        "{count} route, the easier ones first.", "{count} routes, the easier ones first.", count
    )


def _index(path: str, title: str, entries_: list[tuple[str, str, int]], link: Link) -> Page:
    rows = [
        {
            "words": words,
            "address": link(target, path),
            "count": trn("{count} route", "{count} routes", count),
        }
        for words, target, count in entries_
    ]
    return Page(path, list_markdown(title), {"rows": render("index.html", rows=rows)})


def _texts(route: Route, measures: Measures, settings: Settings) -> dict[str, Any]:
    out, units = measures.outbound, settings.units
    figures = out.leading.figures
    quiet, words = (
        wording.quiet_words(figures, out.length_m, units) if figures else (tr("shut"), "")
    )
    return {
        "title": route.notes.title,
        "strip": Markup(small_strip(strip_of(out, out.leading, units))),  # noqa: S704
        "area": ", ".join(route.notes.area),
        "grade": wording.grade_words(measures.difficulty),
        "quiet": f"{quiet} {words}".strip(),
        "minutes": minutes(figures.ride_s) if figures else "",
        "length": distance(out.length_m, units),
        "special": special_words(route, measures, units),
        **dated_values(route, measures, settings),
    }
