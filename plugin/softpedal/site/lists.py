"""The pages by which readers find a route: all of them, by area, by difficulty."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from softpedal.measure.difficulty import GRADES, rank
from softpedal.site import wording
from softpedal.site.addresses import (
    ALL_ROUTES,
    AREAS,
    DIFFICULTY,
    area_path,
    grade_path,
    route_path,
)
from softpedal.site.drawings import strip_of
from softpedal.site.language import tr, trn
from softpedal.site.published import Page, slot
from softpedal.site.quantities import distance, minutes
from softpedal.site.render import render
from softpedal.site.route_view import special_words
from softpedal.site.strip import small_strip
from softpedal.site.text import markdown_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.route import Route
    from softpedal.measure.difficulty import Grade
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings
    from softpedal.site.published import Link

GRADE_TITLES: dict[Grade, str] = {
    "easy": "Easy routes",
    "moderate": "Moderate routes",
    "demanding": "Demanding routes",
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
    """

    id: str
    title: str
    areas: tuple[str, ...]
    grade: Grade
    texts: dict[str, Any]


def entry_of(route: Route, measures: Measures, settings: Settings) -> Entry:
    """Return a route's place in the lists."""
    return Entry(
        route.id,
        route.notes.title,
        tuple(route.notes.area),
        measures.difficulty.overall,
        _texts(route, measures, settings),
    )


def list_pages(found: Sequence[Entry], settings: Settings, link: Link) -> list[Page]:
    """Return the page of all routes, and those by area and by difficulty."""
    found = sorted(found, key=lambda e: (rank(e.grade), e.title.casefold(), e.id))
    areas = sorted({area for e in found for area in e.areas}, key=str.casefold)
    by_area = {a: [e for e in found if a in e.areas] for a in areas}
    by_grade = {g: [e for e in found if e.grade == g] for g in GRADES}
    pages = [
        _page(ALL_ROUTES, settings.title, found, link),
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
    pages += [
        _page(area_path(a), tr("Routes in {area}", area=a), es, link) for a, es in by_area.items()
    ]
    pages += [_page(grade_path(g), tr(GRADE_TITLES[g]), es, link) for g, es in by_grade.items()]
    return pages


def _page(path: str, title: str, found: Sequence[Entry], link: Link) -> Page:
    rows = [e.texts | {"address": link(route_path(e.id), path)} for e in found]
    links = [
        {"words": tr("By area"), "address": link(AREAS, path)},
        {"words": tr("By difficulty"), "address": link(DIFFICULTY, path)},
        {"words": tr("All routes"), "address": link(ALL_ROUTES, path)},
    ]
    late = {"rows": render("list.html", rows=rows, links=links, caution=tr(wording.CAUTION_SHORT))}
    lead = trn(
        "{count} route, the easier ones first.", "{count} routes, the easier ones first.", len(rows)
    )
    return Page(path, _markdown(title, lead), late)


def _index(path: str, title: str, entries_: list[tuple[str, str, int]], link: Link) -> Page:
    rows = [
        {
            "words": words,
            "address": link(target, path),
            "count": trn("{count} route", "{count} routes", count),
        }
        for words, target, count in entries_
    ]
    return Page(path, _markdown(title, ""), {"rows": render("index.html", rows=rows)})


def _markdown(title: str, lead: str) -> str:
    return (
        f"---\ntitle: {json.dumps(title)}\nsearch:\n  exclude: true\n---\n\n"
        f"# {markdown_text(title)}\n\n{lead}\n\n{slot('rows')}\n"
    )


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
    }
