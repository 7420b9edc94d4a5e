"""Old addresses of a route lead to the new one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.site.addresses import embed_path, route_path
from softpedal.site.language import language_values
from softpedal.site.published import StaticFile
from softpedal.site.render import render

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.names import Names
    from softpedal.site.published import Link


def redirect_files(routes: Sequence[tuple[str, Names]], link: Link) -> list[StaticFile]:
    """Return small pages for each old id, of the route and of what others have embedded.

    `routes` are titles and names.
    """
    files, language = [], language_values()
    for title, names in routes:
        for old, _ in names.was:
            moves = (
                (f"routes/{old}/index.html", link(route_path(names.id), route_path(old))),
                (embed_path(old), link(embed_path(names.id), embed_path(old))),
            )
            for path, address in moves:
                html = render("redirect.html", title=title, address=address, **language)
                files.append(StaticFile(path, html.encode()))
    return files
