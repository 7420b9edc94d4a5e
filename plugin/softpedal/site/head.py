"""What stands in a page's <head> for programs: Open Graph, schema.org, other forms of the page.

Nothing stands there where the site's address is not known, for all of it needs whole addresses.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from babel.core import get_global, parse_locale
from markupsafe import Markup

from softpedal.site import wording
from softpedal.site._picture_card import CARD_SIZE
from softpedal.site.addresses import ALL_ROUTES, FEED, route_path
from softpedal.site.downloads import geojson_name, gpx_name, offered
from softpedal.site.language import tr
from softpedal.site.mail_words import card_words
from softpedal.site.map_data import script_json
from softpedal.site.oembed import oembed_head
from softpedal.site.published import absolute_address
from softpedal.site.render import render

if TYPE_CHECKING:
    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings
    from softpedal.site.mail_words import CardWords
    from softpedal.site.published import Link

ATOM = "application/atom+xml"
#: Not registered with IANA; the usual type of GPX files (common practice).
GPX = "application/gpx+xml"
#: RFC 7946, section 12.
GEOJSON = "application/geo+json"

Properties = list[tuple[str, str]]


def route_head(route: Route, measures: Measures, settings: Settings, link: Link) -> str:
    """Return the elements for a route's page; a draft has none.

    A withdrawn route keeps its name and its reason, and offers no picture, line or trip.

    Args:
        route: the route.
        measures: of the route.
        settings: of the library.
        link: knows the site's address, or not.
    """
    address = absolute_address(link, route_path(route.id))
    if not address or route.notes.status == "draft":
        return ""
    words = card_words(route, measures, settings, link)
    description = _description(words)
    properties = _site_properties(words.title, "article", address, settings)
    properties.insert(3, ("og:description", description))
    properties += _picture(words)
    if route.notes.status == "withdrawn":
        return _head(settings, link, properties)
    return _head(
        settings,
        link,
        properties,
        files=_files(route, link),
        oembed=oembed_head(route, link),
        data=Markup(script_json(trip(route, words, description, settings, link))),  # noqa: S704
    )


def site_head(settings: Settings, link: Link, path: str, title: str = "") -> str:
    """Return the elements for another page of ours: its feed, and what it is called.

    Args:
        settings: of the library.
        link: knows the site's address, or not.
        path: source path of the page.
        title: of the page; the site's where it is left out.
    """
    address = absolute_address(link, path)
    if not address:
        return ""
    return _head(
        settings, link, _site_properties(title or settings.title, "website", address, settings)
    )


def feed_head(settings: Settings, link: Link) -> str:
    """Return the link to the feed alone, for pages that are their author's own."""
    return _head(settings, link, []) if absolute_address(link, FEED) else ""


def trip(
    route: Route, words: CardWords, description: str, settings: Settings, link: Link
) -> dict[str, Any]:
    """Return a route as a schema.org TouristTrip in JSON-LD.

    A trip has no language of its own there, so the page that it is the subject of says it.
    """
    track, notes = route.along.track, route.notes
    ends = ((notes.start, 0.0), (notes.finish, track.length_m))
    places = [
        {
            "@type": "ListItem",
            "position": number,
            "item": {
                "@type": "Place",
                "name": name,
                "geo": {"@type": "GeoCoordinates"} | _degrees(*track.at(at_m)),
            },
        }
        for number, (name, at_m) in enumerate(ends, 1)
    ]
    found: dict[str, Any] = {
        "@context": "https://schema.org",
        "@type": "TouristTrip",
        "@id": f"{words.address}#route",
        "name": words.title,
        "description": description,
        "url": words.address,
        "touristType": {"@type": "Audience", "audienceType": tr("people who cycle")},
        "itinerary": {"@type": "ItemList", "numberOfItems": 2, "itemListElement": places},
        "mainEntityOfPage": {
            "@type": "WebPage",
            "url": words.address,
            "inLanguage": settings.language,
            "isPartOf": {
                "@type": "WebSite",
                "name": settings.title,
                "url": absolute_address(link, ALL_ROUTES),
            },
        },
    }
    if words.picture:
        found["image"] = words.picture
    return found


def locale_of(settings: Settings) -> str:
    """Return the locale of the pages as Open Graph writes it: language_TERRITORY.

    The territory is that of the language's code, else the library's country, else the one that
    CLDR finds most likely, for without one a program takes it for en_US.
    """
    language, _, territory = settings.language.partition("-")
    if not territory:
        likely = get_global("likely_subtags").get(language, language)
        territory = settings.country or parse_locale(likely)[1] or ""
    return f"{language}_{territory}" if territory else ""


def _head(settings: Settings, link: Link, properties: Properties, **more: Any) -> str:
    given: dict[str, Any] = {"files": [], "oembed": "", "data": ""} | more
    return render(
        "page_head.html",
        atom=ATOM,
        feed=absolute_address(link, FEED),
        feed_title=tr("News of {site}", site=settings.title),
        properties=properties,
        **given,
    )


def _site_properties(title: str, kind: str, address: str, settings: Settings) -> Properties:
    """Return what the Open Graph protocol asks of every page, but for a picture."""
    found = [
        ("og:title", title),
        ("og:type", kind),
        ("og:url", address),
        ("og:site_name", settings.title),
    ]
    if locale := locale_of(settings):
        found.append(("og:locale", locale))
    return found


def _picture(words: CardWords) -> Properties:
    if not words.picture:
        return []
    width, height = CARD_SIZE
    return [
        ("og:image", words.picture),
        ("og:image:type", "image/png"),
        ("og:image:width", str(width)),
        ("og:image:height", str(height)),
        ("og:image:alt", words.picture_text),
    ]


def _description(words: CardWords) -> str:
    """Return summary, figures and the caution in short; of a withdrawn route that it is so."""
    notices = [f"{head} {why.striptags()}" for head, why in words.notices]
    figures = ", ".join(map(str, words.figures))
    told = dict(words.facts)
    length = told.get(tr("Length"), "")
    measured = ": ".join(part for part in (str(length), figures) if part)
    parts = [
        *notices,
        "" if notices else words.summary.striptags(),
        words.shut,
        f"{measured}." if measured else "",
        f"{tr('The way back')}: {back}." if (back := told.get(tr("The way back"))) else "",
        tr(wording.CAUTION_SHORT),
    ]
    return " ".join(part for part in parts if part)


def _files(route: Route, link: Link) -> list[dict[str, str]]:
    """Return the other forms in which the route is offered."""
    folder, title = f"routes/{route.id}", route.notes.title
    found = []
    for direction in offered(route):
        words = title
        if direction == "return":
            words = tr("{title}: the way back", title=title)
        name = gpx_name(route, direction)
        found.append({"type": GPX, "title": words, "path": f"{folder}/{name}"})
    if found:
        words = tr("{title}: the legs as data", title=title)
        found.append({"type": GEOJSON, "title": words, "path": f"{folder}/{geojson_name(route)}"})
    return [file | {"address": absolute_address(link, file["path"])} for file in found]


def _degrees(lat: float, lon: float) -> dict[str, float]:
    """Return a place to six decimals, a tenth of a metre."""
    return {"latitude": round(float(lat), 6) + 0.0, "longitude": round(float(lon), 6) + 0.0}
