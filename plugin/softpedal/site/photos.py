"""Photos as they are published: turned upright, and with nothing but the picture in them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.library.load import PHOTOS
from softpedal.library.photo_file import FORMATS, picture_only
from softpedal.site.published import StaticFile

if TYPE_CHECKING:
    from softpedal.library.route import Route

MAX_SIDE_PX = 1600


def photo_files(route: Route) -> list[StaticFile]:
    """Return the photos of a route without positions, times or device."""
    files = []
    for placed in route.photos:
        path = route.folder / PHOTOS / placed.item.file
        content = picture_only(path.read_bytes(), FORMATS[path.suffix.lower()], MAX_SIDE_PX)
        files.append(StaticFile(f"routes/{route.id}/{PHOTOS}/{path.name}", content))
    return files
