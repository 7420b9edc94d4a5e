"""A route in words to print or to carry as text: figures, alerts, every cue, and the caution."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from softpedal.measure.stress import LEVEL_WORDS
from softpedal.problems import CannotDoError
from softpedal.site import wording
from softpedal.site.addresses import route_path
from softpedal.site.cue_sheet_forms import Cue, Part, Sheet, markdown_form, text_form
from softpedal.site.downloads import offered
from softpedal.site.language import date, tr
from softpedal.site.panels import views_of
from softpedal.site.published import StaticFile, absolute_address
from softpedal.site.quantities import chainage, distance
from softpedal.site.route_view import big_figures, confirmed_words, facts, hardest_bit
from softpedal.site.text import inline
from softpedal.site.timetable import Timetable

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from softpedal.library.notes import Direction
    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.measure.units import Units
    from softpedal.settings import Settings
    from softpedal.site.panels import View
    from softpedal.site.published import Link
    from softpedal.site.row import Row

Form = Literal["text", "markdown"]
FORMS: tuple[Form, ...] = ("text", "markdown")
#: A site generator would make a page of a file in .md, so both are text where they are published.
_ENDINGS = {"text": "-cues.txt", "markdown": "-cues.md.txt"}
#: Many servers, and a folder on disk, do not say how a text is encoded: a byte order mark does
#: (WHATWG Encoding Standard, "BOM sniff"). Before a heading of Markdown it would be in the way.
_ENCODINGS = {"text": "utf-8-sig", "markdown": "utf-8"}
#: How far apart two things are that a rider meets one after the other, metres.
_APART_M = 0.5
_COARSE_M = 100.0


class NoCuesError(CannotDoError):
    """A cue sheet would lead riders along a line that is not offered."""


def cue_sheet(
    route: Route,
    measures: Measures,
    settings: Settings,
    link: Link,
    form: Form = "text",
    *,
    direction: Direction | None = None,
) -> str:
    """Return the cue sheet of a route: plain text in lines of 76 characters at most, or Markdown.

    Args:
        route: the route.
        measures: of the route.
        settings: of the library.
        link: knows the whole address of the route's page, or not.
        form: of the text.
        direction: one way only; without it the way out and, where it is offered, the way back.

    Raises:
        NoCuesError: the route is withdrawn, or this way of it was never ridden.
    """
    ways = offered(route)
    if not ways:
        raise NoCuesError(f"{route.id} is withdrawn: it has no cue sheet.")
    if direction and direction not in ways:
        raise NoCuesError(
            f"{route.id}: the way back has not been ridden, so no cues of it are given.",
            "Ride it, and write the ride under `ridden:`.",
        )
    sheet = _sheet(route, measures, settings, link, [direction] if direction else ways)
    return text_form(sheet) if form == "text" else markdown_form(sheet)


def cue_file_name(route: Route, form: Form) -> str:
    """Return the name under which a cue sheet is published beside the route's page."""
    return f"{route.id}{_ENDINGS[form]}"


def cue_files(route: Route, measures: Measures, settings: Settings, link: Link) -> list[StaticFile]:
    """Return the cue sheets of a route; none of a withdrawn one."""
    if not offered(route):
        return []
    return [
        StaticFile(
            f"routes/{route.id}/{cue_file_name(route, form)}",
            cue_sheet(route, measures, settings, link, form).encode(_ENCODINGS[form]),
        )
        for form in FORMS
    ]


def _sheet(
    route: Route, measures: Measures, settings: Settings, link: Link, ways: Sequence[Direction]
) -> Sheet:
    notes = route.notes
    notices = [tr("A draft.")] if notes.status == "draft" else []
    for alert in notes.alerts:
        when = wording.span_words(alert.from_, alert.until)
        notices.append(f"{when}: {_plain(alert.text)}")
    if notes.closed:
        closed = "; ".join(wording.hours_words(hours) for hours in notes.closed)
        notices.append(tr("The way is shut {hours}: it cannot be ridden then.", hours=closed))
    if "return" not in offered(route):
        unridden = tr(
            "The way back has not been ridden, so its line is not offered: one-way streets and "
            "banned turns on it are unchecked."
        )
        notices.append(unridden)
    ridden = tr("Not yet ridden.")
    if measures.ridden_on:
        ridden = tr("Last ridden on {date}.", date=date(measures.ridden_on))
    views = views_of(measures, settings.units)
    parts = [
        _part(route, measures, settings, [v for v in views if v.direction.direction == way])
        for way in ways
    ]
    end = []
    if attribution := settings.background_attribution.rstrip("."):
        end.append(tr("Map and street data: {attribution}.", attribution=attribution))
    if address := absolute_address(link, route_path(route.id)):
        end.append(tr("Map, cues and all figures: {address}", address=address))
    return Sheet(
        _plain(notes.title),
        tuple(notices),
        f"{tr(wording.CAUTION_SHORT)} {ridden}",
        tuple(parts),
        tr(wording.CAUTION_TITLE),
        tuple(wording.caution_sentences(measures.ridden_on, settings.emergency_number)),
        tuple(end),
    )


def _part(route: Route, measures: Measures, settings: Settings, views: Sequence[View]) -> Part:
    """Return one way: its figures, what differs at other times, and what one meets."""
    view, units = views[0], settings.units
    way = view.direction.direction
    measured = measures.of(way)
    notes = route.notes
    start, finish = (notes.start, notes.finish)[:: 1 if way == "outbound" else -1]
    heading = _plain(tr("From {start} to {finish}", start=start, finish=finish))
    told = dict(facts(route, measures, measured, units))
    figures = [(big.figure, big.words) for big in big_figures(measured, view.state, units)]
    terms = [(tr(term), told.get(tr(term))) for term in ("Length", "Time, estimated")]
    figures += [(f"{term}:", words.striptags()) for term, words in terms if words]
    if view.state.passable:
        hardest = hardest_bit(measured, units).striptags()
        figures.append((tr("Hardest bit:"), hardest))
    remarks = [confirmed_words(measured, is_ridden_at_all=bool(notes.ridden))]
    if not view.state.passable:
        remarks.insert(0, tr("Shut at all times: this way cannot be ridden."))
    others = [f"{other.when}: {_other_words(other, units)}" for other in views[1:]]
    if others:
        checked = tr(
            "Worked out for the week that begins on {week}, in local time ({zone}), without "
            "holidays. Check the hours on the signs.",
            week=date(settings.typical_week),
            zone=settings.time_zone,
        )
        others.append(checked)
    rows = Timetable(route, measured, measured.leading, units).rows()
    return Part(
        f"{heading}, {view.when}" if view.when else heading,
        tuple(figures),
        tuple(remarks),
        tr("When it differs"),
        tuple(others),
        tuple(_cues(rows, measured.length_m, _plain(tr("Finish: {name}", name=finish)), units)),
    )


def _cues(rows: Sequence[Row], length_m: float, finish: str, units: Units) -> Iterator[Cue]:
    last_m = 0.0
    for row in rows:
        title = row.title.striptags()
        like = "; ".join(words for words in (row.kind, row.level) if words)
        lines = (row.cue.striptags(), like, *(detail.striptags() for detail in row.details))
        yield Cue(
            row.at,
            _since(row.at_m - last_m, units),
            f"{title}, {row.long}" if row.long else title,
            tuple(line for line in lines if line),
        )
        last_m = row.at_m
    yield Cue(chainage(length_m, units), _since(length_m - last_m, units), finish)


def _since(metres: float, units: Units) -> str:
    """Return a way from one cue to the next, in tens of metres where that is as good."""
    told_m = round(metres, -1) if metres >= _COARSE_M else metres
    return f"+{distance(told_m, units)}" if metres >= _APART_M else ""


def _other_words(view: View, units: Units) -> str:
    figures = view.state.figures
    if figures is None:
        return tr("shut: not passable")
    big = map(str, big_figures(view.direction, view.state, units))
    return "; ".join([*big, tr(LEVEL_WORDS[figures.level])])


def _plain(text: str) -> str:
    """Return an author's words without their emphasis, on one line."""
    return inline(text).striptags()
