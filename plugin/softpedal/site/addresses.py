"""Where each page lies: source paths, which are the same for every site generator."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from softpedal.library.names import area_key

if TYPE_CHECKING:
    from softpedal.measure.difficulty import Grade

ALL_ROUTES = "routes/index.md"
AREAS = "areas/index.md"
DIFFICULTY = "difficulty/index.md"
HOW_WE_MEASURE = "how-we-measure/index.md"
DUE = "due/index.md"
GAPS = "gaps/index.md"
GAPS_TABLE = "gaps/gaps.csv"
FEED = "feed.xml"
CATALOGUE = "routes/catalogue.json"
CATALOGUE_SCHEMA = "routes/catalogue.schema.json"
ROUTES_GEOJSON = "routes/routes.geojson"

#: The fixed orders of all routes beside the usual one, the easier ones first.
Order = Literal["title", "length", "quiet"]


def route_path(route_id: str) -> str:
    """Return the path of a route's page."""
    return f"routes/{route_id}/index.md"


def embed_path(route_id: str) -> str:
    """Return the path of the page that others embed: a whole page, and not the generator's."""
    return f"routes/{route_id}/embed/index.html"


def oembed_path(route_id: str) -> str:
    """Return the path of what tells a program how to embed a route."""
    return f"routes/{route_id}/oembed.json"


def area_path(area: str) -> str:
    """Return the path of an area's page."""
    return f"areas/{area_key(area)}/index.md"


def grade_path(grade: Grade) -> str:
    """Return the path of a grade's page."""
    return f"difficulty/{grade}/index.md"


def order_path(order: Order) -> str:
    """Return the path of the list of all routes in a fixed order."""
    return f"lists/by-{'quiet-share' if order == 'quiet' else order}/index.md"
