"""The distinct states of a typical week: when which conditions of a route hold."""

from __future__ import annotations

import datetime as dt
import itertools
import zoneinfo
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import opening_hours

from softpedal.library.notes import OTHERWISE

if TYPE_CHECKING:
    from collections.abc import Iterable

    from softpedal.library.route import Line, Route
    from softpedal.settings import Settings

DAYS = ("Mo", "Tu", "We", "Th", "Fr", "Sa", "Su")
DAY = 24 * 60
WEEK = 7 * DAY
#: Daytime: Monday to Friday, 07:00 to 19:00, as minutes of the week.
DAYTIME = tuple((day * DAY + 7 * 60, day * DAY + 19 * 60) for day in range(5))

Span = tuple[int, int]


@dataclass(frozen=True, slots=True)
class WeekState:
    """A state of the conditions, and the spans of the week in which it holds.

    Attributes:
        spans: (start, end) in minutes from Monday 00:00, in order.
        open: the expressions that are open then.
    """

    spans: tuple[Span, ...]
    open: frozenset[str]

    @property
    def daytime_minutes(self) -> int:
        """Minutes of daytime that the spans cover."""
        return daytime_minutes(self.spans)


def conditions(route: Route, line: Line) -> list[str]:
    """Return the opening_hours expressions that apply along a line, each once."""
    found = list(route.notes.closed)
    for leg in line.legs:
        found += [hours for hours in leg.item.hours or () if hours != OTHERWISE]
    for items in (line.crossings, line.dismounts, line.hazards, line.barriers):
        found += [placed.item.hours for placed in items if placed.item.hours]
    return list(dict.fromkeys(found))


def week_states(
    expressions: Iterable[str], place: tuple[float, float], settings: Settings
) -> list[WeekState]:
    """Return every distinct state of the typical week, in order of first appearance.

    Args:
        expressions: opening_hours expressions.
        place: latitude and longitude, for sunrise and sunset.
        settings: the typical week and the time zone.
    """
    opened = {
        expression: _open_spans(
            expression,
            settings.typical_week,
            settings.time_zone,
            place if _follows_the_sun(expression) else None,
        )
        for expression in expressions
    }
    edges = sorted({0, WEEK, *(edge for spans in opened.values() for s in spans for edge in s)})
    grouped: dict[frozenset[str], list[Span]] = {}
    for start, end in itertools.pairwise(edges):
        now = frozenset(
            expression
            for expression, spans in opened.items()
            if any(a <= start < b for a, b in spans)
        )
        grouped.setdefault(now, []).append((start, end))
    return [WeekState(joined(spans), now) for now, spans in grouped.items()]


def joined(spans: Iterable[Span]) -> tuple[Span, ...]:
    """Return spans in order, those that touch made one."""
    merged: list[Span] = []
    for start, end in sorted(spans):
        if merged and start <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((start, end))
    return tuple(merged)


def daytime_minutes(spans: Iterable[Span]) -> int:
    """Return the minutes of daytime (Mo-Fr 07:00-19:00) that spans cover."""
    return sum(max(0, min(end, b) - max(start, a)) for start, end in spans for a, b in DAYTIME)


def hours_text(spans: Iterable[Span]) -> str:
    """Return spans of the week as an opening_hours expression."""
    days: list[list[str]] = [[] for _ in DAYS]
    pieces = list(joined(spans))
    if pieces == [(0, WEEK)]:
        return "24/7"
    if len(pieces) > 1 and pieces[0][0] == 0 and pieces[-1][1] == WEEK:
        pieces = [*pieces[1:-1], (pieces[-1][0], WEEK + pieces[0][1])]
    for start, end in pieces:
        for piece_start, piece_end in _by_day(start, end):
            day = piece_start // DAY % 7
            last = piece_end - piece_start // DAY * DAY
            ends = last if last <= DAY else last - DAY
            days[day].append(f"{_clock(piece_start % DAY)}-{_clock(ends)}")
    rules = []
    first = 0
    while first < len(DAYS):
        last_day = first
        while last_day + 1 < len(DAYS) and days[last_day + 1] == days[first]:
            last_day += 1
        if days[first]:
            times = ",".join(sorted(days[first]))
            rules.append((_day_range(first, last_day), times))
        first = last_day + 1
    if len(rules) == 1 and rules[0][0] == "Mo-Su":
        return rules[0][1]
    # A rule after ";" would wipe out the night that runs over into its days; "," only adds.
    return ", ".join(f"{name} {times}" for name, times in rules)


def _by_day(start: int, end: int) -> list[Span]:
    """Cut a span at midnights, but leave one night whole: 21:00-06:00 stays one piece."""
    pieces = []
    while end - start >= DAY or (end > _midnight(start) and start % DAY == 0):
        cut = min(_midnight(start), end)
        pieces.append((start, cut))
        start = cut
    if start < end:
        pieces.append((start, end))
    return pieces


def _midnight(minute: int) -> int:
    return (minute // DAY + 1) * DAY


def _clock(minute: int) -> str:
    return f"{minute // 60:02}:{minute % 60:02}"


def _day_range(first: int, last: int) -> str:
    if first == last:
        return DAYS[first]
    joint = "," if last == first + 1 else "-"
    return f"{DAYS[first]}{joint}{DAYS[last]}"


def _follows_the_sun(expression: str) -> bool:
    return any(word in expression for word in ("sunrise", "sunset", "dawn", "dusk"))


@lru_cache(maxsize=1024)
def _open_spans(
    expression: str, monday: str, time_zone: str, place: tuple[float, float] | None
) -> tuple[Span, ...]:
    """Return when an expression is open in the week that starts on a Monday, in local time."""
    first = dt.datetime.fromisoformat(monday)
    hours = (
        opening_hours.OpeningHours(expression, timezone=zoneinfo.ZoneInfo(time_zone), coords=place)
        if place
        else opening_hours.OpeningHours(expression)
    )
    spans = []
    for start, end, state, _ in hours.intervals(first, first + dt.timedelta(days=7)):
        if state == opening_hours.State.OPEN:
            spans.append((_minute(start, first), _minute(end, first)))
    return joined((a, b) for a, b in spans if a < b)


def _minute(moment: dt.datetime, first: dt.datetime) -> int:
    minutes = int((moment.replace(tzinfo=None) - first).total_seconds() // 60)
    return min(max(minutes, 0), WEEK)
