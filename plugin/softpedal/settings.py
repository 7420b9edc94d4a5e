"""softpedal.yml: the settings of a whole library, one model for both doors."""

from __future__ import annotations

import datetime as dt
import re
import zoneinfo
from dataclasses import dataclass
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


@dataclass(frozen=True, slots=True)
class Like:
    """A check that a text has a form.

    Attributes:
        pattern: which all of the text matches.
        what: the form in words, "a country code".
        example: of it.
    """

    pattern: str
    what: str
    example: str

    def __call__(self, text: str) -> str:
        """Return the text, or raise what is wrong with it."""
        if not re.fullmatch(self.pattern, text):
            raise _wrong(f"`{text[:40]}` is not {self.what}.", f"Write it like `{self.example}`.")
        return text


def _like(pattern: str, what: str, example: str) -> AfterValidator:
    return AfterValidator(Like(pattern, what, example))


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
TimeZone = Annotated[str, AfterValidator(_zone)]
Monday = Annotated[str, AfterValidator(_monday)]


class Tiles(_Strict):
    """A raster tile service that the owner of the site may use, with its attribution."""

    url: Annotated[
        str,
        _like(
            r"https?://[^\s<>\"']+\{z\}[^\s<>\"']*",
            "an address of tiles",
            "https://tiles.example/{z}/{x}/{y}.png",
        ),
    ] = Field(examples=["https://tiles.example/{z}/{x}/{y}.png"])
    """the address of a tile, with {z}, {x} and {y} in it"""
    attribution: Line = Field(examples=["© the maker of the tiles"])
    """whose tiles they are, shown on every map"""
    max_zoom: Annotated[int, Field(ge=1, le=22)] = Field(19, examples=[18])
    """the closest zoom that the service has"""


class Limits(_Strict):
    """What is read at most from one track file."""

    bytes: Annotated[int, Field(ge=1024)] = Field(64 * MIB, examples=[10_000_000])
    """the size of the file"""
    points: Annotated[int, Field(ge=2)] = Field(1_000_000, examples=[200_000])
    """the points in it"""
    depth: Annotated[int, Field(ge=4, le=200)] = Field(32, examples=[16])
    """how deep its elements are nested"""


class EffortLimits(_Strict):
    """Limits of one grade of effort. They are this project's own."""

    km: Positive = Field(examples=[10])
    """the longest route"""
    climb_m: Positive = Field(examples=[80])
    """the most climbing, in metres"""
    gradient_percent: Positive = Field(examples=[6])
    """the steepest gradient, in per cent"""
    dismounts: Annotated[int, Field(ge=0)] | None = Field(None, examples=[2])
    """the most dismounts; without a number they do not matter"""
    pushed_m: Positive | None = Field(None, examples=[200])
    """the longest way pushed, in metres; without a number it does not matter"""


class Settings(_Strict):
    """What holds for a whole library of routes."""

    title: Line = Field("Quiet routes", examples=["Quiet ways through our town"])
    """the library's name; feed, catalogue and newsletter carry it"""
    units: Literal["metric", "imperial"] = Field("metric", examples=["imperial"])
    """kilometres and metres, or miles and feet"""
    time_zone: TimeZone = Field("UTC", examples=["Europe/London"])
    """the town's: alerts begin and end by it, and "now" is told by it"""
    language: Annotated[str, _like("[a-z]{2,3}(-[A-Z]{2})?", "a language code", "en")] = Field(
        "en", examples=["de"]
    )
    """the pages' language; other than en, a file languages/<code>.yml gives its texts"""
    country: Annotated[str, _like("[A-Z]{2}", "a country code", "GB")] | None = Field(
        None, examples=["GB"]
    )
    """its two letters say which side one rides on, and what the map's rules of access are"""
    emergency_number: Annotated[str, _like("[0-9 ]{2,12}", "a telephone number", '"112"')] = Field(
        "112", examples=["999"]
    )
    """the number in the caution box; write it in quotes"""
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
    ) = Field(None, examples=["mailto:reports@rides.example"])
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
    ) = Field(None, examples=["Quiet ways <news@rides.example>"])
    """who sends the newsletter"""
    cruising_speed: Annotated[float, Field(ge=6, le=40)] = Field(15.0, examples=[13])
    """how fast one rides on the flat, in km/h"""
    walking_speed: Annotated[float, Field(ge=0.2, le=3)] = Field(1.2, examples=[1])
    """how fast one walks, pushing, in m/s"""
    signal_cycle: Positive = Field(90.0, examples=[100])
    """seconds of a signal's cycle where nothing is known"""
    signal_green: Positive = Field(30.0, examples=[20])
    """seconds of green in that cycle"""
    typical_week: Monday = Field("2026-06-08", examples=["2027-06-07"])
    """the Monday of the week for which times of the week are worked out"""
    extract: str | None = Field(None, examples=["town.osm.pbf"])
    """an OpenStreetMap extract of the town: a path from the folder of softpedal.yml"""
    background: str | None = Field(None, examples=["town.geojson"])
    """a GeoJSON file drawn under the routes: a path from the folder of softpedal.yml"""
    background_attribution: Line = Field("", examples=["© OpenStreetMap contributors"])
    """whose data the map is, shown on every map"""
    cards: bool = Field(default=False, examples=[True])
    """make a picture of each route to be shared, card.png: about 0.15 s each, then kept"""
    tiles: Tiles | None = None
    """tiles of a server under the routes; then every reader's browser calls it"""
    keep_times: bool = Field(default=False, examples=[True])
    """publish the times of tracks, which tell everyone where you were and when"""
    limits: Limits = Limits()
    """what is read at most from one track file"""
    easy: EffortLimits = EffortLimits(
        km=8, climb_m=60, gradient_percent=5, dismounts=2, pushed_m=200
    )
    """up to here a route is easy, as far as effort goes"""
    moderate: EffortLimits = EffortLimits(km=20, climb_m=200, gradient_percent=8)
    """up to here it is moderate, beyond it demanding"""
