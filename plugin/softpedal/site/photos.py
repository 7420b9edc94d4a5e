"""Photos as they are published: turned upright, and with nothing but the picture in them."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from PIL import Image, ImageOps

from softpedal.library.load import PHOTOS
from softpedal.library.photo_file import FORMATS
from softpedal.site.published import StaticFile

if TYPE_CHECKING:
    from softpedal.library.route import Route

MAX_SIDE_PX = 1600


def photo_files(route: Route) -> list[StaticFile]:
    """Return the photos of a route without positions, times or device."""
    files = []
    for placed in route.photos:
        path = route.folder / PHOTOS / placed.item.file
        content = _picture_only(path.read_bytes(), FORMATS[path.suffix.lower()])
        files.append(StaticFile(f"routes/{route.id}/{PHOTOS}/{path.name}", content))
    return files


def _picture_only(content: bytes, form: str) -> bytes:
    with Image.open(io.BytesIO(content), formats=[form]) as opened:
        upright = ImageOps.exif_transpose(opened)
        upright.thumbnail((MAX_SIDE_PX, MAX_SIDE_PX))
        clean = Image.new(upright.mode, upright.size)
        if upright.mode == "P":
            upright = upright.convert("RGBA")
            clean = Image.new("RGBA", upright.size)
        clean.paste(upright)
        out = io.BytesIO()
        clean.save(out, form, **({"quality": 85} if form != "PNG" else {"optimize": True}))
    return out.getvalue()
