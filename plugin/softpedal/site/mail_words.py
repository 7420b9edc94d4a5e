"""What a route's card in an e-mail says: the words of the route's page, for HTML and plain text."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.library.placeholders import SUMMARY
from softpedal.site import wording
from softpedal.site.addresses import route_path
from softpedal.site.downloads import about_words
from softpedal.site.drawings import strip_of
from softpedal.site.figures_hold import hours_held, way_back_figures, way_out
from softpedal.site.language import tr
from softpedal.site.mail_markdown import styled
from softpedal.site.pictures import CARD, has_card
from softpedal.site.published import absolute_address
from softpedal.site.route_view import BigFigure, big_figures, facts, hardest_bit, special_words
from softpedal.site.text import inline

if TYPE_CHECKING:
    from markupsafe import Markup

    from softpedal.library.notes import Alert
    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings
    from softpedal.site.published import Link


@dataclass(frozen=True, slots=True)
class CardWords:
    """What a card says.

    Attributes:
        title: of the route, plain text.
        address: of its page, "" where it is not known or a draft has none.
        address_words: what is found there.
        place: areas and ends, plain text.
        summary: in the author's words.
        notices: what stands before all else: withdrawn, a draft.
        instead: address of the route to ride instead, or "".
        figures: the three large ones; none of a withdrawn or a shut route.
        shut: why there are no figures, or "".
        facts: terms and words.
        alerts: when, and the author's words.
        picture: address of the card's picture, or "".
        picture_text: what it shows.
        about: when it was ridden, the caution in short, and whose map it is.
    """

    title: str
    address: str
    address_words: str
    place: str
    summary: Markup
    notices: tuple[tuple[str, Markup], ...]
    instead: str
    figures: tuple[BigFigure, ...]
    shut: str
    facts: tuple[tuple[str, Markup], ...]
    alerts: tuple[tuple[str, Markup], ...]
    picture: str
    picture_text: str
    about: str


def card_words(
    route: Route, measures: Measures, settings: Settings, link: Link, today: str = ""
) -> CardWords:
    """Return what a route's card says, the way out in its leading state, as its page leads.

    Args:
        route: the route.
        measures: of the route.
        settings: of the library.
        link: knows the site's address, or not.
        today: ISO date before which alerts have ended, "" for all alerts.
    """
    notes, units = route.notes, settings.units
    out = measures.outbound
    withdrawn = notes.status == "withdrawn"
    is_draft = notes.status == "draft"
    shown = "" if is_draft else absolute_address(link, route_path(route.id))
    instead = notes.withdrawn.instead if notes.withdrawn else None
    picture = ""
    if shown and has_card(route, settings):
        picture = absolute_address(link, f"routes/{route.id}/{CARD}")
    return CardWords(
        title=notes.title,
        address=shown,
        address_words=tr(WITHDRAWN_PAGE if withdrawn else PAGE),
        place=f"{', '.join(notes.area)}. {_ends(route)}.",
        summary=mail_inline(notes.summary if notes.summary != SUMMARY else ""),
        notices=tuple(_notices(route)),
        instead=absolute_address(link, route_path(instead)) if instead else "",
        figures=() if withdrawn else tuple(big_figures(out, out.leading, units)),
        shut="" if withdrawn or out.leading.passable else tr(SHUT),
        facts=() if withdrawn else tuple(_facts(route, measures, settings)),
        alerts=tuple(alert_words(a) for a in alerts_from(notes.alerts, today)),
        picture=picture,
        picture_text=tr(
            "The route as a strip and on a map. {strip}",
            strip=strip_of(out, out.leading, units).text,
        ),
        about=about_words(measures, settings),
    )


#: What is found on the page of a route, and of one that is no longer offered.
PAGE, WITHDRAWN_PAGE = "Map, cues and downloads", "What its page says"
#: As on the page of a route that is shut at all times.
SHUT = "Shut at all times: this way cannot be ridden."


def alerts_from(alerts: list[Alert], today: str) -> list[Alert]:
    """Return the alerts that have not ended before a day, the earlier ones first."""
    running = [a for a in alerts if a.until is None or a.until >= today]
    return sorted(running, key=lambda a: (a.from_, a.until or "9999", a.text))


def alert_words(alert: Alert) -> tuple[str, Markup]:
    """Return from when to when an alert holds, and its text."""
    return wording.span_words(alert.from_, alert.until), mail_inline(alert.text)


def mail_inline(text: str) -> Markup:
    """Return one line of an author's text as HTML for e-mail."""
    return styled(inline(text))


def _notices(route: Route) -> list[tuple[str, Markup]]:
    notes = route.notes
    if notes.withdrawn:
        return [(tr("Withdrawn: do not follow this route."), mail_inline(notes.withdrawn.why))]
    if notes.status == "draft":
        return [(tr("A draft."), inline(tr("It is not published.")))]
    return []


def _facts(route: Route, measures: Measures, settings: Settings) -> list[tuple[str, Markup]]:
    """Return length, time, difficulty, the hardest bit and what is special."""
    units = settings.units
    told = dict(facts(route, measures, measures.outbound, units))
    terms = [term for term in (tr("Length"), tr("Time, estimated")) if term in told]
    found = [(term, styled(told[term])) for term in terms]
    grade = wording.grade_words(measures.difficulty)
    if measures.graded == "return":
        grade += tr(" (of the way back)")
    found.append((tr("Difficulty"), inline(grade)))
    if measures.outbound.leading.passable:
        found.append((tr("Hardest bit"), styled(hardest_bit(measures.outbound, units))))
    if back := way_back_figures(measures, units):
        found.append((tr("The way back"), inline(back)))
    if hours := hours_held(way_out(measures, units)):
        found.append((tr("When it differs"), inline(hours)))
    found.append((tr("Special"), inline(special_words(route, measures, units))))
    return found


def _ends(route: Route) -> str:
    notes = route.notes
    if notes.start == notes.finish:
        return tr("From {start} and back to it", start=notes.start)
    return tr("From {start} to {finish}", start=notes.start, finish=notes.finish)
