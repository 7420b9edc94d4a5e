"""softpedal.yml: the settings of a whole library, one model for both doors."""

from __future__ import annotations

import datetime as dt
import re
import zoneinfo
from typing import Annotated, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field
from pydantic_core import PydanticCustomError

from softpedal.authored_text import one_line

FILE_NAME = "softpedal.yml"
MIB = 1024 * 1024
#: What may stand in braces in the address to report to.
REPORT_PLACEHOLDERS = (
    *("route", "title", "at", "metres", "lat", "lon"),
    *("date", "address", "subject", "body"),
)


class _Strict(BaseModel):
    model_config = ConfigDict(
        extra="forbid", strict=True, frozen=True, allow_inf_nan=False, use_attribute_docstrings=True
    )


def _wrong(text: str, hint: str) -> PydanticCustomError:
    return PydanticCustomError(
        "softpedal", "{text}", {"text": text, "hint": hint, "code": "settings-value"}
    )


def _monday(text: str) -> str:
    try:
        is_monday = dt.date.fromisoformat(text).weekday() == 0
    except ValueError:
        is_monday = False
    if not is_monday:
        raise _wrong(f"`{text[:40]}` is not the date of a Monday.", "Write it like `2026-06-08`.")
    return text


def _zone(text: str) -> str:
    try:
        zoneinfo.ZoneInfo(text)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError, OSError):
        raise _wrong(
            f"`{text[:40]}` is not a time zone.", "Write a name like `Europe/London` or `UTC`."
        ) from None
    return text


def _like(pattern: str, what: str, example: str) -> AfterValidator:
    def check(text: str) -> str:
        if not re.fullmatch(pattern, text):
            raise _wrong(f"`{text[:40]}` is not {what}.", f"Write it like `{example}`.")
        return text

    return AfterValidator(check)


def _filled_in(text: str) -> str:
    known = ", ".join(f"{{{name}}}" for name in REPORT_PLACEHOLDERS)
    for name in re.findall(r"\{([^{}]*)\}", text):
        if name not in REPORT_PLACEHOLDERS:
            raise _wrong(f"`{{{name[:40]}}}` is nothing that is filled in.", f"Known: {known}.")
    if re.search(r"[{}]", re.sub(r"\{[^{}]*\}", "", text)):
        raise _wrong(
            "A brace stands alone in the address to report to.",
            f"Write a placeholder like `{{route}}`; known are {known}.",
        )
    return text


Positive = Annotated[float, Field(gt=0, lt=1e6)]
#: Words of the library's owner, on one line.
Line = Annotated[str, AfterValidator(one_line)]


class Tiles(_Strict):
    """A raster tile service that the owner of the site may use, with its attribution."""

    url: Annotated[
        str,
        _like(
            r"https?://[^\s<>\"']+\{z\}[^\s<>\"']*",
            "an address of tiles",
            "https://tiles.example/{z}/{x}/{y}.png",
        ),
    ]
    attribution: Line
    max_zoom: Annotated[int, Field(ge=1, le=22)] = 19


class Limits(_Strict):
    """What is read at most from one track file."""

    bytes: Annotated[int, Field(ge=1024)] = 64 * MIB
    points: Annotated[int, Field(ge=2)] = 1_000_000
    depth: Annotated[int, Field(ge=4, le=200)] = 32


class EffortLimits(_Strict):
    """Limits of one grade of effort. They are this project's own."""

    km: Positive
    climb_m: Positive
    gradient_percent: Positive
    dismounts: Annotated[int, Field(ge=0)] | None = None
    pushed_m: Positive | None = None


class Settings(_Strict):
    """What holds for a whole library of routes."""

    title: Line = "Quiet routes"
    units: Literal["metric", "imperial"] = "metric"
    time_zone: Annotated[str, AfterValidator(_zone)] = "UTC"
    language: Annotated[str, _like("[a-z]{2,3}(-[A-Z]{2})?", "a language code", "en")] = "en"
    """of the pages; other than en, a file languages/<code>.yml gives its texts"""
    country: Annotated[str, _like("[A-Z]{2}", "a country code", "GB")] | None = None
    emergency_number: Annotated[str, _like("[0-9 ]{2,12}", "a telephone number", '"112"')] = "112"
    report_address: (
        Annotated[
            str,
            _like(
                r"(mailto:|https?://)[^\s<>\"']+",
                "an address to report to",
                "mailto:reports@example.org",
            ),
            AfterValidator(_filled_in),
        ]
        | None
    ) = None
    """where readers report what has changed; {route} and other placeholders are filled in"""
    newsletter_from: (
        Annotated[
            str,
            _like(
                r"[^<>@\s,;:\"]+(?: [^<>@\s,;:\"]+)* <[^<>@\s]+@[^<>@\s]+>|[^<>@\s]+@[^<>@\s]+",
                "a sender's address",
                "Quiet ways <news@example.org>",
            ),
        ]
        | None
    ) = None
    """who sends the newsletter"""
    cruising_speed: Annotated[float, Field(ge=6, le=40)] = 15.0
    """km/h on the flat"""
    walking_speed: Annotated[float, Field(ge=0.2, le=3)] = 1.2
    """m/s, pushing"""
    signal_cycle: Positive = 90.0
    """seconds of a signal's cycle where nothing is known"""
    signal_green: Positive = 30.0
    """seconds of green in it"""
    typical_week: Annotated[str, AfterValidator(_monday)] = "2026-06-08"
    """the Monday of the week for which times of the week are worked out"""
    extract: str | None = None
    """an OpenStreetMap extract of the town"""
    background: str | None = None
    """a GeoJSON file drawn under the routes"""
    background_attribution: Line = ""
    cards: bool = False
    """make a picture of each route to be shared, card.png: about 0.15 s each, then kept"""
    tiles: Tiles | None = None
    keep_times: bool = False
    """publish the times of tracks: who was where, when"""
    limits: Limits = Limits()
    easy: EffortLimits = EffortLimits(
        km=8, climb_m=60, gradient_percent=5, dismounts=2, pushed_m=200
    )
    moderate: EffortLimits = EffortLimits(km=20, climb_m=200, gradient_percent=8)
