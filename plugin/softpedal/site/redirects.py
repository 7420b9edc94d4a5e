"""Old addresses of a route lead to the new one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.site.addresses import route_path
from softpedal.site.published import StaticFile
from softpedal.site.render import render

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.names import Names
    from softpedal.site.published import Link


def redirect_files(routes: Sequence[tuple[str, Names]], link: Link) -> list[StaticFile]:
    """Return a small page for each old id; `routes` are titles and names."""
    return [
        StaticFile(
            f"routes/{old}/index.html",
            render(
                "redirect.html", title=title, address=link(route_path(names.id), route_path(old))
            ).encode(),
        )
        for title, names in routes
        for old, _ in names.was
    ]
