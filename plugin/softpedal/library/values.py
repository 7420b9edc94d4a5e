"""The values that notes are made of: lengths, speeds, hours, dates, positions.

Each type turns the author's text into a number in SI units (or keeps checked text) and raises a
fault that says what would be right.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, Any, Literal, NamedTuple

import opening_hours
from pydantic import (
    AfterValidator,
    BeforeValidator,
    Field,
    PlainValidator,
    StringConstraints,
    WithJsonSchema,
)

from softpedal.authored_text import direction_closed, one_line
from softpedal.library.faults import fault, shown

METRES = {"m": 1.0, "km": 1000.0, "mi": 1609.344, "ft": 0.3048, "yd": 0.9144, "cm": 0.01}
CHAINAGE_UNITS = {unit: METRES[unit] for unit in ("km", "m", "mi")}
KMH_PER_MPH = 1.609344

#: OpenStreetMap's limit for the value of a tag, in which opening hours are defined.
MAX_HOURS_CHARACTERS = 255

_QUANTITY = re.compile(r"(\d{1,9}(?:\.\d{1,9})?)\s*([a-z/%]{1,5})")
_COORDINATES = re.compile(
    r"(-?\d{1,2}(?:\.\d{1,20})?)\s*,\s*(-?\d{1,3}(?:\.\d{1,20})?)(?:\s+near\s+(\S.{0,20}))?"
)
#: A route's id, which is its folder's name and its address.
ROUTE_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_FILM = re.compile(r"(?:(\d{1,2}):)?(\d{1,3}):([0-5]\d)")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
#: RFC 3987, section 4.1: an address holds no mark that turns the direction of text.
_LINK = re.compile(r"https?://[^\s<>\"'\u200e\u200f\u202a-\u202e\u2066-\u2069]{3,2000}")


def quantity(value: Any, units: dict[str, float], example: str, code: str = "notes-value") -> float:
    """Return a number with a unit in SI, or raise a fault that shows an example."""
    if isinstance(value, str) and (match := _QUANTITY.fullmatch(value.strip())):
        number, unit = match.groups()
        if unit in units:
            return float(number) * units[unit]
    raise fault(
        f"`{shown(value)}` is not a number with a unit ({', '.join(units)}).",
        f"Write it like `{example}`.",
        code,
    )


def _metres(value: Any) -> float:
    if isinstance(value, int | float) and not isinstance(value, bool) and 0 <= value < 1e6:
        return float(value)
    return quantity(value, METRES, "15 m")


def _seconds(value: Any) -> float:
    return quantity(value, {"s": 1.0, "min": 60.0}, "75 s")


def _gradient(value: Any) -> float:
    text = value.strip() if isinstance(value, str) else value
    sign = -1.0 if isinstance(text, str) and text.startswith("-") else 1.0
    gradient = sign * quantity(text[1:] if sign < 0 else text, {"%": 0.01}, "8 %")
    if abs(gradient) > 0.5:
        raise fault(f"A gradient of {shown(value)} is steeper than any street.", "Write it in %.")
    return gradient


class SpeedLimit(NamedTuple):
    """A speed limit as written, and on the 5 mph grid of the published stress tables."""

    text: str
    mph: float


def _speed(value: Any) -> SpeedLimit:
    kmh = quantity(value, {"mph": KMH_PER_MPH, "km/h": 1.0}, "30 mph` or `50 km/h")
    mph = kmh / KMH_PER_MPH
    if "km/h" in value:
        mph = 5.0 * math.floor(mph / 5.0 + 0.5)
    return SpeedLimit(" ".join(value.split()), round(mph, 6))


@lru_cache(maxsize=4096)
def _hours_error(text: str) -> tuple[str, str] | None:
    if len(text) > MAX_HOURS_CHARACTERS:
        what = f"`{shown(text)}` is longer than {MAX_HOURS_CHARACTERS} characters."
        return what, "Give the hours of a typical week only."
    if not opening_hours.validate(text):
        what = f"`{shown(text)}` is not an opening_hours expression."
        days = re.sub(r"\b(Mon|Tue|Wed|Thu|Fri|Sat|Sun)[a-z]*", lambda m: m[1][:2], text)
        if days != text:
            return what, f"Days have two letters: write `{shown(days)}`."
        return what, "Write it like `Mo-Sa 08:00-18:00` or `21:00-06:00`."
    if re.search(r'"|\bunknown\b|\d\+', text):
        return (
            f"`{shown(text)}` can be neither open nor closed.",
            "Give plain hours, and put the rest in the note.",
        )
    return None


def check_hours(text: str, at: str = "") -> str:
    """Return an opening_hours expression unchanged, or raise a fault; `at` as in `fault`."""
    if error := _hours_error(text):
        raise fault(*error, code="notes-hours", at=at)
    return text


def _plain_hours(text: str) -> str:
    return check_hours(text)


def _date(text: str) -> str:
    if not _is_date(text):
        raise fault(f"`{shown(text)}` is not a date.", "Write it like `2026-05-16`.")
    return text


def _month_or_date(text: str) -> str:
    if not _is_date(text) and not _is_date(f"{text}-01"):
        hint = "Write it like `2025-04` or `2025-04-16`."
        raise fault(f"`{shown(text)}` is neither a month nor a date.", hint)
    return text


def _is_date(text: str) -> bool:
    if not _DATE.fullmatch(text):
        return False
    try:
        dt.date.fromisoformat(text)
    except ValueError:
        return False
    return True


def _matches(pattern: re.Pattern[str], what: str, example: str) -> AfterValidator:
    def check(text: str) -> str:
        if not pattern.fullmatch(text):
            raise fault(f"`{shown(text)}` is not {what}.", f"Write it like `{example}`.")
        return text

    return AfterValidator(check)


@dataclass(frozen=True, slots=True)
class Position:
    """Where something is, as the author wrote it; resolved against a track later.

    Attributes:
        form: which of the five forms it has.
        metres: chainage for `chainage`; the chainage after `near` for `coordinates`, if any.
        lat: degrees, for `coordinates`.
        lon: degrees, for `coordinates`.
        name: of the waypoint, for `waypoint`.
        text: as written.
    """

    form: Literal["start", "finish", "chainage", "coordinates", "waypoint"]
    text: str
    metres: float | None = None
    lat: float = math.nan
    lon: float = math.nan
    name: str = ""


def parse_position(value: Any) -> Position:
    """Return a Position, or raise a fault that shows the forms."""
    text = " ".join(value.split()) if isinstance(value, str) else ""
    if text in ("start", "finish"):
        return Position(text, text)  # type: ignore[arg-type]
    if text.startswith("waypoint "):
        return Position("waypoint", text, name=text.removeprefix("waypoint ").strip())
    if match := _COORDINATES.fullmatch(text):
        near = _chainage(match[3], "50.01234, -20.04567 near 2.5 km") if match[3] else None
        lat, lon = float(match[1]), float(match[2])
        if abs(lat) > 90 or abs(lon) > 180:
            hint = "Latitude first, then longitude."
            raise fault(f"`{shown(text)}` is outside the globe.", hint, "position-form")
        return Position("coordinates", text, near, lat, lon)
    if match := _QUANTITY.fullmatch(text):
        return Position("chainage", text, _chainage(text, "1.24 km"))
    hint = (
        "Write `start`, `finish`, a chainage (`1.24 km`, `310 m`), coordinates "
        "(`50.01234, -20.04567`) or `waypoint` and its name."
    )
    if isinstance(value, int | float) and not isinstance(value, bool):
        hint = f"Say the unit: `{value} km` or `{value} m`."
    elif re.match(r"video\b|\d\d:\d\d", text):
        hint = "Film and clock positions are for drafting; a published note needs a chainage."
    raise fault(f"`{shown(value)}` is not a position.", hint, "position-form")


def _chainage(text: str, example: str) -> float:
    return quantity(text, CHAINAGE_UNITS, example, "position-form")


def _schema(example: str, description: str, *types: str) -> WithJsonSchema:
    kind = list(types) if types else "string"
    return WithJsonSchema({"type": kind, "description": description, "examples": [example]})


def _of_form(form: str, example: str) -> PlainValidator:
    def check(value: Any) -> Position:
        if not isinstance(value, str) or (position := parse_position(value)).form != form:
            raise fault(f"`{shown(value)}` is not {form}.", f"Write it like `{example}`.")
        return position

    return PlainValidator(check)


def _line(value: Any) -> Any:
    return one_line(value) if isinstance(value, str) else value


def _closed(value: Any) -> Any:
    return direction_closed(value) if isinstance(value, str) else value


#: Words of any length; what they turn round ends with them.
Text = Annotated[str, StringConstraints(min_length=1, max_length=2000), BeforeValidator(_closed)]
#: A name, on one line whatever the author typed.
Title = Annotated[str, StringConstraints(min_length=1, max_length=120), BeforeValidator(_line)]
Metres = Annotated[
    float,
    PlainValidator(_metres),
    _schema("1.4 m", "a length with its unit, or metres", "string", "number"),
]
Seconds = Annotated[float, PlainValidator(_seconds), _schema("75 s", "seconds or minutes")]
Gradient = Annotated[float, PlainValidator(_gradient), _schema("8 %", "a gradient in per cent")]
Speed = Annotated[SpeedLimit, PlainValidator(_speed), _schema("30 mph", "mph or km/h")]
At = Annotated[Position, PlainValidator(parse_position), _schema("1.24 km", "a position")]
Chainage = Annotated[
    Position, _of_form("chainage", "1.24 km"), _schema("1.24 km", "metres along the track")
]
Coordinates = Annotated[
    Position,
    _of_form("coordinates", "50.01234, -20.04567"),
    _schema("50.01234, -20.04567", "latitude and longitude"),
]
Hours = Annotated[str, AfterValidator(_plain_hours)]
Date = Annotated[str, AfterValidator(_date)]
MonthOrDate = Annotated[str, AfterValidator(_month_or_date)]
Film = Annotated[str, _matches(_FILM, "a time in the film", "4:10")]
Link = Annotated[str, _matches(_LINK, "a web address", "https://video.example/w/12")]
RouteId = Annotated[
    str,
    Field(max_length=120),
    _matches(ROUTE_ID, "a route's id (a-z, 0-9 and single hyphens)", "ferry-steps-to-weir-mill"),
]
FileName = Annotated[
    str, _matches(re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,80}"), "a plain file name", "lock.jpg")
]
