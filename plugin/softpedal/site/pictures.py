"""The drawn files of a route: its map, the card that is shared, and a QR code of its page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.site import wording
from softpedal.site._picture_card import card_svg
from softpedal.site._picture_route import picture_of
from softpedal.site.addresses import route_path
from softpedal.site.drawings import strip_of
from softpedal.site.language import tr
from softpedal.site.picture import SHEET_SIZE, map_picture
from softpedal.site.published import StaticFile, absolute_address
from softpedal.site.qr import qr_svg
from softpedal.site.quantities import distance
from softpedal.site.raster import can_be_set, png_of
from softpedal.site.route_view import big_figures

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.library.notes import Direction
    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings
    from softpedal.site.basemap import Background
    from softpedal.site.picture import Picture
    from softpedal.site.published import Link

MAP, CARD, CODE = "map.svg", "card.png", "qr.svg"
#: The map on paper, by direction.
SHEET_MAPS: dict[Direction, str] = {"outbound": "map-sheet.svg", "return": "map-sheet-back.svg"}


def picture_files(
    route: Route,
    measures: Measures,
    settings: Settings,
    link: Link,
    *,
    background: Background | None,
    cache: Path | None = None,
) -> list[StaticFile]:
    """Return the maps for page and paper, and what there is of a card and a QR code.

    There is card.png if the library wants cards, and qr.svg if the site's address is known.

    Args:
        route: whose pictures.
        measures: of the route.
        settings: of the library.
        link: which may know the site's absolute address.
        background: of the whole site, or None for plain paper.
        cache: a folder in which cards are kept by what they are made from.
    """
    folder = f"routes/{route.id}"
    picture = picture_of(route, measures, settings)
    files = [StaticFile(f"{folder}/{MAP}", map_picture(picture, background).encode())]
    for direction, name in SHEET_MAPS.items():
        shown = picture_of(route, measures, settings, direction)
        small = map_picture(shown, background, SHEET_SIZE)
        files.append(StaticFile(f"{folder}/{name}", small.encode()))
    if has_card(route, settings):
        card = _card(route, measures, settings, picture, background)
        files.append(StaticFile(f"{folder}/{CARD}", png_of(card, cache)))
    if address := absolute_address(link, route_path(route.id)):
        files.append(StaticFile(f"{folder}/{CODE}", qr_svg(address).encode()))
    return files


def has_card(route: Route, settings: Settings) -> bool:
    """Whether a route has a card: not a withdrawn one, nor one whose letters the font lacks."""
    notes = route.notes
    shown = settings.cards and notes.status != "withdrawn"
    return shown and can_be_set(f"{notes.title}{notes.start}{notes.finish}")


def _card(
    route: Route,
    measures: Measures,
    settings: Settings,
    picture: Picture,
    background: Background | None,
) -> str:
    out, notes, units = measures.outbound, route.notes, settings.units
    grade = wording.grade_words(measures.difficulty)
    lines = [f"{distance(out.length_m, units)}, {grade}"]
    if not (notes.start in notes.title and notes.finish in notes.title):
        ends = tr("From {start} to {finish}", start=notes.start, finish=notes.finish)
        if notes.start == notes.finish:
            ends = tr("From {start} and back to it", start=notes.start)
        lines.insert(0, ends)
    return card_svg(
        title=notes.title,
        lines=lines,
        site=settings.title,
        figures=big_figures(out, out.leading, units),
        strip=strip_of(out, out.leading, units),
        picture=picture,
        background=background,
    )
