"""The code that puts a route's embed page into somebody else's page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from markupsafe import Markup

from softpedal.site.addresses import embed_path, route_path
from softpedal.site.language import tr
from softpedal.site.published import absolute_address

if TYPE_CHECKING:
    from softpedal.library.route import Route
    from softpedal.site.published import Link

#: CSS pixels of the frame that is handed out; its width gives way to the page that holds it.
WIDTH, HEIGHT = 640, 900
#: What the page in the frame may do (HTML Living Standard, 7.5.3): run its scripts, and open a
#: window for a link, which is then a window like any other. No origin, so no cookies nor storage.
SANDBOX = "allow-scripts allow-popups allow-popups-to-escape-sandbox"

_INDEX = "index.html"


def is_shared(route: Route) -> bool:
    """Whether codes and cards of a route are handed out: not of a draft, nor a withdrawn one."""
    return route.notes.status == "published"


def embed_address(route_id: str, link: Link) -> str:
    """Return the whole address of a route's embed page, "" where the site's is not known.

    It ends as that of the route's own page does: in a folder or in a file.
    """
    address = absolute_address(link, embed_path(route_id))
    if absolute_address(link, route_path(route_id)).endswith("/"):
        return address.removesuffix(_INDEX)
    return address


def iframe_code(route: Route, link: Link) -> str:
    """Return the HTML of a frame with the embed page, "" where the site's address is not known."""
    address = embed_address(route.id, link)
    if not address:
        return ""
    code = Markup(
        '<iframe src="{}" title="{}" width="100%" height="{}" loading="lazy" sandbox="{}"></iframe>'
    )
    title = tr("Cycling route: {title}", title=route.notes.title)
    return str(code.format(address, title, HEIGHT, SANDBOX))
