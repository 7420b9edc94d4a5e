"""What a library gives to programs as a whole: feed, catalogue and lines of all routes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from softpedal.problems import Problem
from softpedal.site import wording
from softpedal.site.addresses import (
    ALL_ROUTES,
    CATALOGUE,
    FEED,
    ROUTES_GEOJSON,
    route_path,
)
from softpedal.site.catalogue_json import catalogue_files, route_record
from softpedal.site.feed import Told, feed_file
from softpedal.site.language import tr
from softpedal.site.mail_words import card_words
from softpedal.site.news import news_of
from softpedal.site.published import StaticFile, absolute_address
from softpedal.site.routes_geojson import feature_of, routes_file

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Collection, Sequence

    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings
    from softpedal.site.published import Link

#: Where a door is told the site's address.
SITE_FILE = "mkdocs.yml"


@dataclass(frozen=True, slots=True)
class Shared:
    """What one route gives; it can be sent from one process to another.

    Attributes:
        told: its news, and what is said of it.
        record: of the catalogue.
        feature: its line and figures, None for a withdrawn route.
    """

    told: Told
    record: dict[str, Any]
    feature: dict[str, Any] | None


def shared_of(route: Route, measures: Measures, settings: Settings, link: Link) -> Shared | None:
    """Return what a route gives, None for a draft or where the site's address is not known."""
    address = absolute_address(link, route_path(route.id))
    if not address or route.notes.status == "draft":
        return None
    words = card_words(route, measures, settings, link)
    withdrawn = route.notes.status == "withdrawn"
    news = tuple(n for n in news_of(route.notes) if not withdrawn or n.sort == "withdrawn")
    caution = wording.caution_in_short(measures.ridden_on)
    return Shared(
        Told(words, news),
        route_record(route, measures, settings, link, words=words, caution=caution),
        None if withdrawn else feature_of(route, measures, address, caution),
    )


def shared_files(
    found: Sequence[Shared], settings: Settings, link: Link, today: dt.date
) -> list[StaticFile]:
    """Return the files, in the order of the routes; none where the site's address is not known.

    Args:
        found: of the routes that have a page.
        settings: of the library.
        link: knows the site's address, or not.
        today: the day of the build, after which nothing in the feed is dated.
    """
    address = absolute_address(link, ALL_ROUTES)
    if not address:
        return []
    features = [shared.feature for shared in found if shared.feature]
    return [
        feed_file([shared.told for shared in found], settings, link, today),
        *catalogue_files([shared.record for shared in found], settings, link),
        routes_file(features, settings, address),
    ]


def shared_links(paths: Collection[str], link: Link) -> list[dict[str, str]]:
    """Return links from the page of all routes to those of the files that are there."""
    named = (
        (FEED, "news feed (Atom)"),
        (CATALOGUE, "catalogue (JSON)"),
        (ROUTES_GEOJSON, "lines (GeoJSON)"),
    )
    return [
        {"words": tr(words), "address": link(path, ALL_ROUTES)}
        for path, words in named
        if path in paths
    ]


def address_problems(link: Link) -> list[Problem]:
    """Return one piece of advice where the site's address is not known."""
    if absolute_address(link, ALL_ROUTES):
        return []
    return [
        Problem(
            "site-address",
            SITE_FILE,
            0,
            0,
            "The site's address is not known. Left out are feed, catalogue, the lines of all "
            "routes, codes and data for embedding, what a shared link shows, and codes on paper.",
            "Set `site_url`, or give `--base` to `softpedal pages`.",
            severity="advice",
        )
    ]
