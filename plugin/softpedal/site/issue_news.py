"""What of a route belongs into a newsletter: what happened to it in a span of days."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from softpedal.measure.ride_reasons import day_after
from softpedal.site.news import news_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from softpedal.library.notes import Notes
    from softpedal.library.past_notes import PastAlert, PastNotes

Sort = Literal["new", "re-ridden", "withdrawn", "reopened", "alert", "alert over"]


@dataclass(frozen=True, slots=True)
class Happened:
    """Something that happened to a route.

    Attributes:
        sort: what.
        on: the day, ISO, "" if it is not known.
        text: the author's words: of an alert, or why a route was withdrawn.
        until: the last day of an alert, ISO, None if it is not known.
    """

    sort: Sort
    on: str = ""
    text: str = ""
    until: str | None = None


@dataclass(frozen=True, slots=True)
class Window:
    """A span of days, ISO, both in it."""

    since: str
    today: str

    def has(self, day: str) -> bool:
        """Whether a day lies in it."""
        return self.since <= day <= self.today


def happened_by_dates(notes: Notes, window: Window) -> tuple[Happened, ...]:
    """Return what the dates in a route's own notes tell."""
    if notes.status == "draft":
        return ()
    found = [
        Happened(news.sort, news.on, news.text)
        for news in news_of(notes)
        if news.sort != "alert" and window.has(news.on)
    ]
    found += _alerts_by_dates(notes, window)
    if notes.status == "withdrawn":
        found = [h for h in found if h.sort == "withdrawn"]
    return tuple(found)


def happened_since(
    route_id: str, notes: Notes, then: Mapping[str, PastNotes], window: Window
) -> tuple[Happened, ...]:
    """Return what is otherwise than it was; a text that was put right is no news.

    Args:
        route_id: its id now.
        notes: of the route now.
        then: the notes of all routes as they were, by the ids of that time.
        window: from the day of `then` to today.
    """
    if notes.status == "draft":
        return ()
    past = next((then[name] for name in (route_id, *notes.was) if name in then), None)
    known = past.status if past else "draft"
    if notes.withdrawn:
        on, why = notes.withdrawn.on or "", notes.withdrawn.why
        return (Happened("withdrawn", on, why),) if known == "published" else ()
    last = max(ride.on for ride in notes.ridden)
    if past is None or known == "draft":
        return (Happened("new", last),)
    found = [Happened("reopened")] if known == "withdrawn" else []
    if last > max(past.rides, default=""):
        found.append(Happened("re-ridden", last))
    found += _alerts_since(notes, past, window)
    return tuple(dict.fromkeys([*found, *_alerts_by_dates(notes, window)]))


def gone_since(now: Mapping[str, Notes | None], then: Mapping[str, PastNotes]) -> list[str]:
    """Return the titles of routes that were published and are no longer in the library.

    Args:
        now: the notes of every route folder, by id; None for one that cannot be read.
        then: the notes as they were, by the ids of that time.
    """
    offered = {name: notes for name, notes in now.items() if not notes or notes.status != "draft"}
    names = set(offered) | {old for notes in offered.values() if notes for old in notes.was}
    left = [past for name, past in then.items() if name not in names]
    return sorted(past.title for past in left if past.status == "published" and past.title)


def _alerts_by_dates(notes: Notes, window: Window) -> Iterator[Happened]:
    """Return the alerts that begin in the window, and those that have ended in it."""
    for alert in notes.alerts:
        if alert.until is not None and alert.until < window.today:
            if window.has(day_after(alert.until)):
                yield Happened("alert over", alert.until, alert.text, alert.until)
        elif window.has(alert.from_):
            yield Happened("alert", alert.from_, alert.text, alert.until)


def _alerts_since(notes: Notes, past: PastNotes, window: Window) -> Iterator[Happened]:
    """Return the alerts with other dates than were known, and those that are taken away."""
    dates = {(alert.from_, alert.until) for alert in past.alerts}
    for alert in notes.alerts:
        running = alert.until is None or alert.until >= window.today
        if running and (alert.from_, alert.until) not in dates:
            yield Happened("alert", alert.from_, alert.text, alert.until)
    for old in sorted(past.alerts, key=lambda a: (a.from_, a.until or "", a.text)):
        if old.text and _is_taken_away(old, notes) and (old.until or window.today) >= window.since:
            ended = old.until if old.until and old.until < window.today else ""
            yield Happened("alert over", ended, old.text, old.until)


def _is_taken_away(old: PastAlert, notes: Notes) -> bool:
    """Whether no alert carries an old one on: with its words, or from the same day."""
    return not any(a.from_ == old.from_ or a.text == old.text for a in notes.alerts)
