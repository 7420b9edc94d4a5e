"""Old addresses of a route lead to the new one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.site.addresses import route_path
from softpedal.site.published import StaticFile
from softpedal.site.render import render

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.route import Route
    from softpedal.site.published import Link


def redirect_files(routes: Sequence[Route], link: Link) -> list[StaticFile]:
    """Return a small page for each old id under `was`."""
    return [
        StaticFile(
            f"routes/{old}/index.html",
            render(
                "redirect.html",
                title=route.notes.title,
                address=link(route_path(route.id), route_path(old)),
            ).encode(),
        )
        for route in routes
        for old in route.notes.was
    ]
