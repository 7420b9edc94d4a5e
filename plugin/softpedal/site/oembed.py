"""What tells a program how to embed a route: oEmbed 1.0 (the specification at oembed.com).

The answer is a file, so it is the same for every `maxwidth`; the code in it gives way in width.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from markupsafe import Markup

from softpedal.site._picture_card import CARD_SIZE
from softpedal.site.addresses import oembed_path
from softpedal.site.embed_code import HEIGHT, WIDTH, iframe_code, is_shared
from softpedal.site.map_data import script_json
from softpedal.site.pictures import CARD, has_card
from softpedal.site.published import StaticFile, absolute_address

if TYPE_CHECKING:
    from softpedal.library.route import Route
    from softpedal.settings import Settings
    from softpedal.site.published import Link

#: The type under which a page names the file (oEmbed 1.0, section 4: Discovery).
TYPE = "application/json+oembed"


def oembed_head(route: Route, link: Link) -> Markup:
    """Return the element of a page's <head> that names the file, empty where there is none."""
    address = absolute_address(link, oembed_path(route.id))
    if not address or not is_shared(route):
        return Markup()
    # The space: Material's script takes `rel=alternate`, written just so, for the site in another
    # language, and asks for a sitemap.xml beside it. A list of words may end in a space (HTML).
    element = Markup('<link rel="alternate " type="{}" href="{}" title="{}">')
    return element.format(TYPE, address, route.notes.title)


def oembed_files(route: Route, settings: Settings, link: Link) -> list[StaticFile]:
    """Return the file, or nothing of a route that is not shared or a site without an address."""
    text = oembed_json(route, settings, link)
    return [StaticFile(oembed_path(route.id), text.encode())] if text else []


def oembed_json(route: Route, settings: Settings, link: Link) -> str:
    """Return the answer of type `rich` as JSON, "" where nothing is to be embedded.

    Required are type, version, html, width and height (oEmbed 1.0, sections 2.3.4 and 2.3.4.4);
    a thumbnail has its address, width and height together or not at all.
    """
    code = iframe_code(route, link)
    if not code or not is_shared(route):
        return ""
    answer: dict[str, object] = {
        "version": "1.0",
        "type": "rich",
        "title": route.notes.title,
        "provider_name": settings.title,
        "provider_url": absolute_address(link, "index.md"),
        "html": code,
        "width": WIDTH,
        "height": HEIGHT,
    }
    if has_card(route, settings):
        answer["thumbnail_url"] = absolute_address(link, f"routes/{route.id}/{CARD}")
        answer["thumbnail_width"], answer["thumbnail_height"] = CARD_SIZE
    return f"{script_json(answer)}\n"
