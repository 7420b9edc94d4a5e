"""The text under a route's film: what the route is, its figures, the caution, the chapters."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.library.placeholders import SUMMARY
from softpedal.site.addresses import route_path
from softpedal.site.chapters import TITLE_LENGTH, one_line
from softpedal.site.downloads import about_words
from softpedal.site.language import tr
from softpedal.site.published import absolute_address
from softpedal.site.route_view import big_figures, facts
from softpedal.site.text import inline
from softpedal.site.wording import hours_words

if TYPE_CHECKING:
    from collections.abc import Mapping

    from markupsafe import Markup

    from softpedal.library.notes import Direction
    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings
    from softpedal.site.published import Link

#: Characters of a description at most, its chapters with it: common practice.
LENGTH = 5000


def film_description(
    route: Route,
    measures: Measures,
    settings: Settings,
    link: Link,
    *,
    direction: Direction = "outbound",
    room: int = LENGTH,
) -> str:
    """Return the text in plain lines, its figures as the route's page words them.

    Args:
        route: the route.
        measures: what was measured.
        settings: of the library.
        link: knows the address of the route's page, or not.
        direction: the way that the film shows.
        room: characters at most; thanks go first, then the end of the summary.
    """
    notes = route.notes
    head = [_author(notes.title, TITLE_LENGTH), ""]
    if notes.withdrawn:
        head += [
            tr("Withdrawn: do not follow this route.") + " " + _author(notes.withdrawn.why, LENGTH),
            "",
        ]
    body = ["", *_figures(route, measures, settings, direction)]
    if address := absolute_address(link, route_path(route.id)):
        body += ["", tr("Map, cues and all figures: {address}", address=address)]
    body += ["", one_line(about_words(measures, settings), LENGTH)]
    thanks = [f"{tr('Thanks:')} {_author(notes.thanks, LENGTH)}"] if notes.thanks else []
    summary = _author(notes.summary, LENGTH) if notes.summary != SUMMARY else ""
    if len("\n".join([*head, summary, *body, *thanks])) > room:
        thanks = []
    over = len("\n".join([*head, summary, *body])) - room
    if over > 0:
        summary = one_line(summary, max(1, len(summary) - over))
    return "\n".join([*head, summary, *body, *thanks])


def _figures(
    route: Route, measures: Measures, settings: Settings, direction: Direction
) -> list[str]:
    """Return the figures, a line each, in the words of the page."""
    measured, units = measures.of(direction), settings.units
    state = measured.leading
    told = dict(facts(route, measures, measured, units))
    lines = _told(told, "Length", "Quiet", "Time, estimated")
    # The first of the three large figures is the quiet share, which stands above.
    lines += [f"{big.figure} {big.words}" for big in big_figures(measured, state, units)[1:]]
    lines += _told(told, "Worst leg", "Worst crossing")
    lines += [tr("shut {hours}", hours=hours_words(hours)) for hours in route.notes.closed]
    return [one_line(line, LENGTH) for line in lines]


def _told(told: Mapping[str, Markup], *terms: str) -> list[str]:
    words = {term: told.get(tr(term)) for term in terms}
    return [f"{tr(term)}: {of.striptags()}" for term, of in words.items() if of]


def _author(text: str, most: int) -> str:
    """Return an author's text without its markup, in one line."""
    return one_line(inline(text).striptags(), most)
