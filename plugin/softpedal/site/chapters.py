"""The chapters of a route's film: a list of times and words to paste under it."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.authored_text import shortened
from softpedal.library.film_time import film_seconds, film_text
from softpedal.library.notes import DIRECTIONS
from softpedal.problems import CannotDoError
from softpedal.site.language import tr
from softpedal.site.timetable import Timetable

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.notes import Direction
    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.measure.units import Units
    from softpedal.site.row import Row

#: What video sites ask of a list of chapters: common practice.
APART_S = 10
FEWEST = 3
#: Characters of a title at most: common practice.
TITLE_LENGTH = 100
#: What stands this near to the end of the line is its finish.
AT_FINISH_M = 30.0
#: A film that shows nothing of the line for so long begins elsewhere, seconds.
OPENING_S = 30

#: The smaller the number, the more important.
_START, _BUSY, _FINISH, _LEG, _OTHER = range(5)
_RANKS = {"busy crossing": _BUSY, "dismount": _BUSY, "leg": _LEG}


@dataclass(frozen=True, slots=True)
class Chapter:
    """One chapter: its second in the film, and its words in plain text."""

    second: int
    words: str
    rank: int = _OTHER

    def __str__(self) -> str:
        return f"{film_text(self.second)} {self.words}"


@dataclass(frozen=True, slots=True)
class Chapters:
    """The chapters in the order of the film, and what was left out and why, in sentences.

    Attributes:
        chapters: none where there are too few for a list.
        remarks: for the author, in English.
        directions: which ways the film shows, as far as the notes say, in its order.
    """

    chapters: tuple[Chapter, ...]
    remarks: tuple[str, ...]
    directions: tuple[Direction, ...]


class NoFilmError(CannotDoError):
    """Nothing in the notes says where it is in a film."""

    def __init__(self, route_id: str) -> None:
        super().__init__(
            f"{route_id}: no leg or point of its notes says where it is in the film.",
            'Write `film: "4:10"` beside each leg that you show, or draft the route with '
            "--captions and --sync.",
        )


def chapters_of(route: Route, measures: Measures, units: Units) -> Chapters:
    """Return the chapters of the film of a route.

    What is on film at times that run against the order of the line is left out, as one of the two
    is wrong; of several chapters within 10 s the most important stays.

    Raises:
        NoFilmError: nothing is on film.
    """
    remarks: list[str] = []
    found: list[Chapter] = []
    firsts: dict[Direction, int] = {}
    for direction in DIRECTIONS:
        measured = measures.of(direction)
        rows = Timetable(route, measured, measured.leading, units).rows()
        filmed = _in_order([row for row in rows if row.film], remarks)
        if filmed:
            firsts[direction] = _seconds(filmed[0])
        end_m = measured.length_m - AT_FINISH_M
        finish = _ends(route, direction)[1]
        found += [_chapter(row, finish if row.at_m >= end_m else "") for row in filmed]
    if not firsts:
        raise NoFilmError(route.id)
    found.sort(key=lambda chapter: chapter.second)
    shown = tuple(sorted(firsts, key=lambda direction: firsts[direction]))
    start = _ends(route, shown[0])[0]
    before_s = min(firsts.values())
    opening = tr("Before the start") if before_s >= OPENING_S else tr("Start: {name}", name=start)
    if before_s >= OPENING_S:
        remarks.append(
            f"The film runs for {film_text(before_s)} before the line begins. If that shows a "
            "home, cut it off the film, and take as much off each `film:` of the notes."
        )
    begin = Chapter(0, one_line(opening, TITLE_LENGTH), _START)
    kept = _apart([begin, *found], remarks)
    if len(kept) < FEWEST:
        remarks.append(
            f"{len(kept)} of at least {FEWEST} chapters that video sites ask for: no list. "
            'Write `film: "4:10"` beside more legs and crossings.'
        )
        kept = []
    return Chapters(tuple(kept), tuple(remarks), shown)


def one_line(text: str, most: int) -> str:
    """Return text in one line of at most so many characters, < and > as ‹ and ›."""
    return shortened(" ".join(text.split()).replace("<", "‹").replace(">", "›"), most)


def _seconds(row: Row) -> int:
    assert row.film is not None
    return film_seconds(row.film.time)


def _ends(route: Route, direction: Direction) -> tuple[str, str]:
    ends = route.notes.start, route.notes.finish
    return ends if direction == "outbound" else ends[::-1]


def _in_order(rows: Sequence[Row], remarks: list[str]) -> list[Row]:
    """Return the most rows whose times run with the line; say which are left out."""
    # The longest run that never falls, by patience sorting: each row knows its forerunner.
    seconds = [_seconds(row) for row in rows]
    ends: list[int] = []
    before: list[int] = []
    for index, second in enumerate(seconds):
        place = bisect_right([seconds[end] for end in ends], second)
        before.append(ends[place - 1] if place else -1)
        ends[place : place + 1] = [index]
    kept: set[int] = set()
    index = ends[-1] if ends else -1
    while index >= 0:
        kept.add(index)
        index = before[index]
    for index, row in enumerate(rows):
        if index not in kept:
            remarks.append(
                f"{row.film.time if row.film else ''} {row.title.striptags()}, at {row.at}: left "
                "out, as its time in the film runs against the order of the line."
            )
    return [row for index, row in enumerate(rows) if index in kept]


def _chapter(row: Row, finish: str) -> Chapter:
    """Return the chapter of a row in the words of the page."""
    title = row.title.striptags()
    rank = _RANKS.get(row.sort, _OTHER)
    words = f"{title}, {row.kind}" if row.kind else title
    if finish and row.sort == "landmark":
        words, rank = tr("Finish: {name}", name=finish), _FINISH
    return Chapter(_seconds(row), one_line(words, TITLE_LENGTH), rank)


def _apart(chapters: Sequence[Chapter], remarks: list[str]) -> list[Chapter]:
    """Return chapters at least 10 s apart, the more important first served."""
    kept: list[Chapter] = []
    for chapter in sorted(chapters, key=lambda c: (c.rank, c.second)):
        near = [k for k in kept if abs(k.second - chapter.second) < APART_S]
        if near:
            remarks.append(f"{chapter}: left out, less than {APART_S} s from “{near[0]}”.")
        else:
            kept.append(chapter)
    return sorted(kept, key=lambda c: c.second)
