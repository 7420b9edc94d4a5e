"""What has happened to a route and when, from its own notes: for feeds and newsletters."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from softpedal.library.notes import Notes

NewsSort = Literal["new", "re-ridden", "alert", "withdrawn"]

#: Rides less than this after one another are one: out one week and back the next.
ONE_RIDING = dt.timedelta(days=30)


@dataclass(frozen=True, slots=True)
class News:
    """Something that happened to a route.

    Attributes:
        sort: what happened.
        on: the day, ISO; of several rides that count as one, the last.
        first: the day that it began with, which stays the same when another ride follows.
        text: the author's words: of an alert, or why a route was withdrawn.
        until: the last day of an alert, ISO, None if it is not known.
    """

    sort: NewsSort
    on: str
    first: str
    text: str = ""
    until: str | None = None


def news_of(notes: Notes) -> tuple[News, ...]:
    """Return what the notes of a route tell, the latest first; nothing of a draft.

    The first ride is when a route was new. The notes do not date that a route was opened again.
    """
    if notes.status == "draft":
        return ()
    found = [News("alert", a.from_, a.from_, a.text, a.until) for a in notes.alerts]
    ridings = _ridings(sorted({ride.on for ride in notes.ridden}))
    for number, days in enumerate(ridings):
        found.append(News("re-ridden" if number else "new", days[-1], days[0]))
    if notes.withdrawn and notes.withdrawn.on:
        found.append(News("withdrawn", notes.withdrawn.on, notes.withdrawn.on, notes.withdrawn.why))
    return tuple(sorted(found, key=lambda n: (n.on, n.sort, n.text), reverse=True))


def _ridings(days: list[str]) -> list[list[str]]:
    """Return days put together that are one riding."""
    found: list[list[str]] = []
    for day in days:
        apart = found and dt.date.fromisoformat(day) - dt.date.fromisoformat(found[-1][-1])
        if apart and apart < ONE_RIDING:
            found[-1].append(day)
        else:
            found.append([day])
    return found
