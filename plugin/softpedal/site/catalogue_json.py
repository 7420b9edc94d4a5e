"""All routes as data, routes/catalogue.json, and the JSON Schema that describes it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

from markupsafe import Markup
from pydantic import BaseModel, ConfigDict, Field

from softpedal.library.notes import KINDS
from softpedal.measure.document import (
    DifficultyDocument,
    DirectionsDocument,
    measures_document,
)
from softpedal.site.addresses import (
    ALL_ROUTES,
    CATALOGUE,
    CATALOGUE_SCHEMA,
    FEED,
    ROUTES_GEOJSON,
    embed_path,
    oembed_path,
    route_path,
)
from softpedal.site.downloads import geojson_name, gpx_name, offered
from softpedal.site.embed_code import is_shared
from softpedal.site.language import tr
from softpedal.site.published import StaticFile, absolute_address
from softpedal.site.quantities import share_down
from softpedal.site.routes_geojson import bounds_of
from softpedal.site.text import inline

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings
    from softpedal.site.mail_words import CardWords
    from softpedal.site.published import Link

VERSION = 1
SCHEMA_FILE = Path(__file__).with_name("catalogue.schema.json")

#: Shares of the measures: rounded down, so that no figure is flattered.
_SHARES = frozenset({"quietness", "confirmed_share"})
#: Metres whose names do not say so.
_TENTHS = frozenset({*KINDS, "metres"})

Address = Annotated[str, Field(pattern="^https?://")]
Day = Annotated[str, Field(pattern="^[0-9]{4}-[0-9]{2}-[0-9]{2}$")]


class _Catalogued(BaseModel):
    model_config = ConfigDict(extra="forbid", use_attribute_docstrings=True)


class AddressesRecord(_Catalogued):
    """Whole addresses; null where there is no such file, as for the way back if not ridden."""

    page: Address
    embed: Address
    """a page to be shown within another"""
    oembed: Address | None
    """oEmbed 1.0 data of it"""
    gpx: Address | None
    gpx_back: Address | None
    geojson: Address | None
    """the legs, each with street, kind and level"""
    card: Address | None
    """a PNG of 1200 by 630 px"""


class AlertRecord(_Catalogued):
    """Something that holds between two days, both included."""

    from_: Day = Field(alias="from")
    until: Day | None
    """null where the end is not known"""
    text: str


class WithdrawnRecord(_Catalogued):
    """Why a route must not be followed any more."""

    why: str
    on: Day | None
    instead: str | None
    """id of the route to ride instead"""


class RouteRecord(_Catalogued):
    """One route. A withdrawn one has no measures, and no files to follow."""

    id: str
    title: str
    area: list[str]
    start: str
    finish: str
    summary: str
    """plain text"""
    status: Literal["published", "withdrawn"]
    withdrawn: WithdrawnRecord | None
    alerts: list[AlertRecord]
    """all of the notes, ended ones too: look at the days"""
    caution: str
    """goes with the figures wherever they go; says when it was last ridden"""
    first_ridden_on: Day | None
    last_ridden_on: Day | None
    """in either direction"""
    length_m: float
    """of the way out"""
    bounds: Annotated[list[float], Field(min_length=4, max_length=4)]
    """west, south, east, north of the way out"""
    difficulty: DifficultyDocument | None
    hardest: str
    """the hardest bit of the way out in words, empty where it is shut"""
    directions: DirectionsDocument | None
    """all figures, each direction's leading state first, as `softpedal measure` prints them"""
    addresses: AddressesRecord
    attribution: str
    """of map and street data"""


class UnitsRecord(_Catalogued):
    """The units of all values."""

    length: Literal["metres"] = "metres"
    """names that end in _m"""
    time: Literal["seconds"] = "seconds"
    """names that end in _s"""
    share: Literal["0 to 1, rounded down"] = "0 to 1, rounded down"
    gradient: Literal["rise over run"] = "rise over run"
    coordinates: Literal["degrees, WGS84"] = "degrees, WGS84"


class CatalogueDocument(_Catalogued):
    """All routes of a library that have a page, as published beside them."""

    schema_address: Address = Field(alias="$schema")
    """address of this schema"""
    schema_: Literal[1] = Field(alias="schema")
    """version of this form"""
    title: str
    language: str
    """of titles, summaries and other words; codes like `easy` or `back street` are English"""
    address: Address
    """of the page of all routes"""
    feed: Address
    geojson: Address
    """the lines of all published routes"""
    attribution: str
    """of map and street data, to be named where figures or lines are shown"""
    units: UnitsRecord
    routes: list[RouteRecord]


def catalogue_schema() -> dict[str, Any]:
    """Return the JSON Schema of the catalogue."""
    return CatalogueDocument.model_json_schema(by_alias=True)


def catalogue_files(
    records: Sequence[dict[str, Any]], settings: Settings, link: Link
) -> list[StaticFile]:
    """Return the catalogue and its schema; each record is one of `route_record`."""
    content = {
        "$schema": absolute_address(link, CATALOGUE_SCHEMA),
        "schema": VERSION,
        "title": settings.title,
        "language": settings.language,
        "address": absolute_address(link, ALL_ROUTES),
        "feed": absolute_address(link, FEED),
        "geojson": absolute_address(link, ROUTES_GEOJSON),
        "attribution": settings.background_attribution,
        "units": UnitsRecord().model_dump(),
        "routes": records,
    }
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return [
        StaticFile(CATALOGUE, text.encode()),
        StaticFile(CATALOGUE_SCHEMA, SCHEMA_FILE.read_bytes()),
    ]


def route_record(
    route: Route,
    measures: Measures,
    settings: Settings,
    link: Link,
    *,
    words: CardWords,
    caution: str,
) -> dict[str, Any]:
    """Return what the catalogue says of a route, as plain data: a `RouteRecord`.

    Args:
        route: with a page of its own.
        measures: of the route.
        settings: of the library.
        link: knows the site's address.
        words: what is said of the route.
        caution: what goes with its figures.
    """
    notes, gone = route.notes, route.notes.withdrawn
    (measured,) = measures_document([(route, measures)])["routes"]
    days = sorted(ride.on for ride in notes.ridden)
    return {
        "id": route.id,
        "title": notes.title,
        "area": list(notes.area),
        "start": notes.start,
        "finish": notes.finish,
        "summary": words.summary.striptags(),
        "status": notes.status,
        "withdrawn": gone
        and {"why": inline(gone.why).striptags(), "on": gone.on, "instead": gone.instead},
        "alerts": [
            {"from": a.from_, "until": a.until, "text": inline(a.text).striptags()}
            for a in notes.alerts
        ],
        "caution": caution,
        "first_ridden_on": days[0] if days else None,
        "last_ridden_on": days[-1] if days else None,
        "length_m": round(measures.outbound.length_m, 1),
        "bounds": bounds_of(route),
        "difficulty": None if gone else measured["difficulty"],
        "hardest": dict(words.facts).get(tr("Hardest bit"), Markup()).striptags(),
        "directions": None if gone else _shorter(measured["directions"]),
        "addresses": _addresses(route, link, words),
        "attribution": settings.background_attribution,
    }


def _addresses(route: Route, link: Link, words: CardWords) -> dict[str, str | None]:
    folder, directions = f"routes/{route.id}", offered(route)
    paths = {
        "page": route_path(route.id),
        "embed": embed_path(route.id),
        "oembed": oembed_path(route.id) if is_shared(route) else "",
        "gpx": f"{folder}/{gpx_name(route, 'outbound')}" if directions else "",
        "gpx_back": f"{folder}/{gpx_name(route, 'return')}" if "return" in directions else "",
        "geojson": f"{folder}/{geojson_name(route)}" if directions else "",
    }
    found = {name: absolute_address(link, path) if path else None for name, path in paths.items()}
    return {**found, "card": words.picture or None}


def _shorter(value: Any, name: str = "") -> Any:
    """Return metres and seconds to a tenth, all else to four decimals: more was not measured."""
    if isinstance(value, dict):
        return {key: _shorter(content, key) for key, content in value.items()}
    if isinstance(value, list):
        return [_shorter(content, name) for content in value]
    if not isinstance(value, float):
        return value
    if name in _SHARES:
        return share_down(value)
    return round(value, 1 if name in _TENTHS or name.endswith(("_m", "_s")) else 4)
