"""What an author types of a film: places that are known on both film and line, and cuts."""

from __future__ import annotations

import datetime as dt
import re
import zoneinfo
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from pydantic_core import PydanticCustomError

from softpedal.draft.film_clock import ride_clock
from softpedal.library.faults import shown
from softpedal.library.positions import Unplaced, chainage_of
from softpedal.library.values import parse_position
from softpedal.problems import CannotDoError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.draft.film_clock import RideClock
    from softpedal.draft.ride import Ride
    from softpedal.library.values import Position
    from softpedal.settings import Settings

#: A place is known as well as one recognises it in a film, metres.
PLACE_M = 10.0
#: A time of day is read off as well as this, seconds: with its seconds, and without.
CLOCK_S, MINUTE_S = 2.0, 30.0
#: A film may begin and end so long before and after the line, seconds: at home, say.
AROUND_S = 30 * 60.0

_FILM = re.compile(r"(?:(\d{1,2}):)?(\d{1,3}):([0-5]\d(?:\.\d{1,3})?)")
_CLOCK = re.compile(r"(\d{1,2}):(\d\d)(?::(\d\d))?")
_EXAMPLES = "`4:10=1.24km`, `4:10=50.01234,-20.04567` or `0:00=09:14:05`"


class FilmError(CannotDoError):
    """Points or cuts that cannot be read, or that do not fit the ride."""


@dataclass(frozen=True, slots=True)
class SyncPoint:
    """A point that is known on both film and ride.

    Attributes:
        film_s: second of the film.
        at_m: chainage along the line, metres; of a time off the line, that of the nearer end.
        ride_s: POSIX seconds, where a time of day was typed; else None.
        off_m: how far the place may be off, metres.
        off_s: how far the time may be off, seconds; 0 where none was typed.
        text: as typed.
    """

    film_s: float
    at_m: float
    ride_s: float | None = None
    off_m: float = PLACE_M
    off_s: float = 0.0
    text: str = ""


def parse_film(text: str) -> float:
    """Return the second of a film that `4:10`, `4:10.5` or `1:02:03` names.

    Raises:
        FilmError: it is no such time.
    """
    match = _FILM.fullmatch(text.strip())
    if match is None or (match[1] and int(match[2]) > 59):
        raise FilmError(
            f"`{shown(text)}` is not a time in the film.", "Write it like `4:10` or `1:02:03`."
        )
    return int(match[1] or 0) * 3600.0 + int(match[2]) * 60.0 + float(match[3])


def parse_cuts(texts: Sequence[str]) -> tuple[float, ...]:
    """Return the seconds of a film at which something was left out, ascending.

    Raises:
        FilmError: one cannot be read, or stands there twice.
    """
    found = sorted(parse_film(text) for text in texts)
    if len(set(found)) < len(found):
        raise FilmError("One cut is given twice.", "Give each second at which a bit is left out.")
    return tuple(found)


def parse_sync(texts: Sequence[str], ride: Ride, settings: Settings) -> tuple[SyncPoint, ...]:
    """Return the points that are typed, in the order of the film.

    Args:
        texts: each `FILM=PLACE`, the place any position of the notes or a time of day.
        ride: as it will be published.
        settings: its time zone is the one of times of day.

    Raises:
        FilmError: one cannot be read, lies off the ride, or runs against another.
    """
    clock = ride_clock(ride)
    points = sorted(
        (_point(text, ride, clock, settings) for text in texts), key=lambda point: point.film_s
    )
    for one, other in pairwise(points):
        both = f"`{shown(one.text)}` and `{shown(other.text)}`"
        if one.film_s == other.film_s:
            raise FilmError(f"{both} name the same second.", "Give each second one place.")
        if other.at_m < one.at_m - one.off_m - other.off_m:
            raise FilmError(
                f"From the first to the second of {both} the film runs back along the line.",
                "Look at both again; where the line passes a place twice, write `near 2.5 km` "
                "behind the coordinates.",
            )
    return tuple(points)


def place_typed(text: str, ride: Ride, settings: Settings) -> float:
    """Return the chainage of a time of day or of a position of the notes, metres.

    Raises:
        FilmError: it lies off the line, or is neither.
    """
    clock = ride_clock(ride)
    point = _point(f"0:00={text}", ride, clock, settings)
    if clock is not None and point.ride_s is not None and not clock.is_known(point.ride_s):
        raise FilmError(
            f"`{shown(text)}` lies before or after the line, or where it was cut.",
            _ridden(clock, settings),
        )
    return point.at_m


def _point(text: str, ride: Ride, clock: RideClock | None, settings: Settings) -> SyncPoint:
    film, equals, place = (part.strip() for part in text.partition("="))
    if not equals or not place:
        raise FilmError(f"`{shown(text)}` does not say what is where.", f"Write {_EXAMPLES}.")
    second = parse_film(film)
    if match := _CLOCK.fullmatch(place):
        if clock is None:
            raise FilmError(
                f"`{shown(text)}` names a time of day, but this line has no times.",
                "Say where it is, like `4:10=1.24km`.",
            )
        time_s = _time_of_day(match, text, clock, settings)
        off_s = CLOCK_S if match[3] else MINUTE_S
        time_s += 0.0 if match[3] else MINUTE_S  # the clock shows a minute until it is over
        return SyncPoint(second, clock.at(time_s), time_s, PLACE_M, off_s, text)
    try:
        at_m = chainage_of(_position(place, text), ride.track, ride.waypoints)
    except Unplaced as error:
        raise FilmError(f"`{shown(text)}`: {error.message}", error.hint) from error
    return SyncPoint(second, at_m, text=text)


def _position(place: str, text: str) -> Position:
    spaced = re.sub(r"near(?=\d)", "near ", re.sub(r",\s*", ", ", place))
    try:
        return parse_position(spaced)
    except PydanticCustomError as error:
        raise FilmError(
            f"`{shown(text)}` is not a position on the line, and no time of day.",
            f"Write {_EXAMPLES}.",
        ) from error


def _time_of_day(match: re.Match[str], text: str, clock: RideClock, settings: Settings) -> float:
    """Return the time of day that lies nearest to the ride, POSIX seconds."""
    hour, minute, second = (int(part or 0) for part in match.groups())
    if hour > 23 or minute > 59 or second > 59:
        raise FilmError(f"`{shown(text)}` is not a time of day.", "Write it like `09:14:05`.")
    begins = dt.datetime.fromtimestamp(clock.start_s, zoneinfo.ZoneInfo(settings.time_zone))
    at = begins.replace(hour=hour, minute=minute, second=second, microsecond=0)
    found = [(at + dt.timedelta(days=days)).timestamp() for days in (-1, 0, 1)]
    middle = (clock.start_s + clock.end_s) / 2
    best = min(found, key=lambda time_s: abs(time_s - middle))
    if not clock.start_s - AROUND_S <= best <= clock.end_s + AROUND_S:
        raise FilmError(
            f"`{shown(text)}` is no time of this ride: {_ridden(clock, settings)}",
            "`time_zone` in softpedal.yml says which clock is meant.",
        )
    return best


def _ridden(clock: RideClock, settings: Settings) -> str:
    zone = zoneinfo.ZoneInfo(settings.time_zone)
    begin, end = (
        dt.datetime.fromtimestamp(time_s, zone).strftime("%H:%M:%S")
        for time_s in (clock.start_s, clock.end_s)
    )
    return f"the ride was under way from {begin} to {end} ({settings.time_zone})."
