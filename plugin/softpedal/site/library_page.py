"""The page of all routes: a list, which a script turns into a list and a map with filters."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from softpedal.measure.units import MILE_M
from softpedal.site import wording
from softpedal.site.addresses import ALL_ROUTES, order_path
from softpedal.site.catalogue import DATA, GROUND
from softpedal.site.dated import AHEAD_DAYS
from softpedal.site.language import number, tr
from softpedal.site.lists import (
    ORDER_TITLES,
    easier_first,
    list_links,
    list_markdown,
    rows_of,
)
from softpedal.site.loaded import LEAFLET, LEAFLET_STYLE
from softpedal.site.published import Page
from softpedal.site.render import render
from softpedal.site.shared import shared_links

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from softpedal.measure.units import Units
    from softpedal.settings import Settings
    from softpedal.site.lists import Entry
    from softpedal.site.published import Link

QUIET_PERCENT = (50, 60, 70, 80, 90, 95, 100)
LENGTHS = (1, 2, 3, 5, 8, 12, 20)


def library_page(
    found: Sequence[Entry], settings: Settings, link: Link, files: Collection[str]
) -> Page:
    """Return the page; `found` in the order in which it lists them, `files` the library's."""

    def address(path: str) -> str:
        return link(path, ALL_ROUTES)

    orders = [{"words": tr(t), "address": address(order_path(o))} for o, t in ORDER_TITLES.items()]
    late = {
        "rows": render(
            "library.html",
            rows=rows_of(found, ALL_ROUTES, link),
            ahead=AHEAD_DAYS,
            lead=easier_first(len(found)),
            links=list_links(ALL_ROUTES, link),
            orders=orders,
            along=shared_links(files, link),
            find=_choices(found, settings.units),
            caution=tr(wording.CAUTION_SHORT),
            data=address(DATA),
            ground=address(GROUND) if GROUND in files else "",
            leaflet=address(LEAFLET),
            leaflet_style=address(LEAFLET_STYLE),
        )
    }
    return Page(ALL_ROUTES, list_markdown(settings.title, hide=("navigation", "toc")), late)


def _choices(found: Sequence[Entry], units: Units) -> dict[str, list[tuple[Any, str]]]:
    """Return what each list of choices offers: the value in the address, and its words."""
    metres, unit = (MILE_M, "mi") if units == "imperial" else (1000, "km")
    return {
        "area": [
            (area, area)
            for area in sorted({area for e in found for area in e.areas}, key=str.casefold)
        ],
        "difficulty": [("easy", tr("easy")), ("moderate", tr("easy or moderate"))],
        "quiet": [(percent, f"{percent} %") for percent in QUIET_PERCENT],
        "length": [(round(n * metres), number(f"{n} {unit}")) for n in LENGTHS],
        "child": [
            ("adult", tr("a child, with an adult")),
            ("care", tr("a child, with an adult or with care")),
        ],
        "cargo": [("yes", tr("a cargo bike")), ("care", tr("a cargo bike, or with care"))],
        "order": [
            ("title", tr("by title")),
            ("length", tr("shorter first")),
            ("quiet", tr("larger quiet share first")),
        ],
    }
