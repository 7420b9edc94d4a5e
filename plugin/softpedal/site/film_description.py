"""The text under a route's film: what the route is, its figures, the caution, the chapters."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from softpedal.library.placeholders import SUMMARY
from softpedal.site import wording
from softpedal.site.addresses import route_path
from softpedal.site.chapters import TITLE_LENGTH, one_line
from softpedal.site.downloads import about_words
from softpedal.site.language import tr, trn
from softpedal.site.published import absolute_address
from softpedal.site.route_view import big_figures, facts
from softpedal.site.text import inline, markdown_line, markdown_link

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from markupsafe import Markup

    from softpedal.library.notes import Direction, Notes
    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings
    from softpedal.site.published import Link

Form = Literal["text", "markdown"]

#: Characters of a description at most, its chapters with it: common practice.
LENGTH = 5000
#: So much of each alert, and so many alerts, stand in it at most; the page has all.
ALERT_LENGTH = 240
MOST_ALERTS = 4


@dataclass(frozen=True, slots=True)
class _Description:
    """What a description says, each in one line; "" for what is left out."""

    title: str
    notices: tuple[str, ...]
    summary: str
    figures: tuple[str, ...]
    address: str
    about: str
    thanks: str


def film_description(
    route: Route,
    measures: Measures,
    settings: Settings,
    link: Link,
    *,
    direction: Direction = "outbound",
    room: int = LENGTH,
    today: str = "",
    form: Form = "text",
) -> str:
    """Return the text in plain lines or as Markdown, its figures as the route's page words them.

    Args:
        route: the route.
        measures: what was measured.
        settings: of the library.
        link: knows the address of the route's page, or not.
        direction: the way that the film shows.
        room: characters at most; thanks go first, then the end of the summary.
        today: ISO date; alerts that ended before it are left out. "" for all alerts.
        form: of the text.
    """
    notes = route.notes
    whole = _Description(
        _author(notes.title, TITLE_LENGTH),
        tuple(_notices(notes, today)),
        _author(notes.summary, LENGTH) if notes.summary != SUMMARY else "",
        tuple(_figures(route, measures, settings, direction)),
        absolute_address(link, route_path(route.id)),
        one_line(about_words(measures, settings), LENGTH),
        f"{tr('Thanks:')} {_author(notes.thanks, LENGTH)}" if notes.thanks else "",
    )
    written = _text if form == "text" else _markdown
    if len(written(whole)) > room:
        whole = replace(whole, thanks="")
    over = len(written(whole)) - room
    if over > 0:
        left = len(whole.summary) - over
        whole = replace(whole, summary=one_line(whole.summary, left) if left > 1 else "")
    return written(whole)


def _text(told: _Description) -> str:
    lines = [told.title, ""]
    lines += [*told.notices, ""] if told.notices else []
    lines += [told.summary, "", *told.figures]
    lines += ["", _page_words(told.address)] if told.address else []
    lines += ["", told.about]
    return "\n".join([*lines, told.thanks] if told.thanks else lines)


def _markdown(told: _Description) -> str:
    lines = [f"# {markdown_line(told.title)}", ""]
    lines += [*(f"- {markdown_line(n)}" for n in told.notices), ""] if told.notices else []
    lines += [markdown_line(told.summary), "", *(f"- {markdown_line(f)}" for f in told.figures)]
    if told.address:
        lines += ["", markdown_link(tr("Map, cues and all figures"), told.address)]
    lines += ["", markdown_line(told.about)]
    return "\n".join([*lines, "", markdown_line(told.thanks)] if told.thanks else lines)


def _page_words(address: str) -> str:
    return tr("Map, cues and all figures: {address}", address=address)


def _notices(notes: Notes, today: str) -> Iterator[str]:
    """Return that a route is withdrawn, and its alerts, the earlier first."""
    if notes.withdrawn:
        why = _author(notes.withdrawn.why, LENGTH)
        yield f"{tr('Withdrawn: do not follow this route.')} {why}"
    alerts = [alert for alert in notes.alerts if (alert.until or today) >= today]
    alerts.sort(key=lambda alert: alert.from_)
    for alert in alerts[:MOST_ALERTS]:
        when = wording.span_words(alert.from_, alert.until)
        yield f"{when}: {_author(alert.text, ALERT_LENGTH)}"
    further = len(alerts) - MOST_ALERTS
    if further > 0:
        yield trn(
            "{count} more alert stands on the route’s page.",
            "{count} more alerts stand on the route’s page.",
            further,
        )


def _figures(
    route: Route, measures: Measures, settings: Settings, direction: Direction
) -> list[str]:
    """Return the figures, a line each, in the words of the page."""
    measured, units = measures.of(direction), settings.units
    state = measured.leading
    told = dict(facts(route, measures, measured, units))
    lines = _told(told, "Length", "Quiet", "Time, estimated")
    # The first of the three large figures is the quiet share, which stands above.
    lines += map(str, big_figures(measured, state, units)[1:])
    lines += _told(told, "Worst leg", "Worst crossing")
    lines += [tr("shut {hours}", hours=wording.hours_words(hours)) for hours in route.notes.closed]
    return [one_line(line, LENGTH) for line in lines]


def _told(told: Mapping[str, Markup], *terms: str) -> list[str]:
    words = {term: told.get(tr(term)) for term in terms}
    return [f"{tr(term)}: {of.striptags()}" for term, of in words.items() if of]


def _author(text: str, most: int) -> str:
    """Return an author's text without its markup, in one line."""
    return one_line(inline(text).striptags(), most)
