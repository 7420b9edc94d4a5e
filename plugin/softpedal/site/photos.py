"""Photos as they are published: turned upright, and with nothing but the picture in them."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from PIL import Image, ImageOps, UnidentifiedImageError

from softpedal.library.load import PHOTOS
from softpedal.problems import Problem
from softpedal.site.published import StaticFile

if TYPE_CHECKING:
    from softpedal.library.route import Route

MAX_SIDE_PX = 1600
_FORMATS = {".jpg": "JPEG", ".jpeg": "JPEG", ".png": "PNG", ".webp": "WEBP"}


def photo_files(route: Route) -> tuple[list[StaticFile], list[Problem]]:
    """Return the photos of a route without positions, times or device, and those unreadable."""
    files, problems = [], []
    for placed in route.photos:
        name = placed.item.file
        path = route.folder / PHOTOS / name
        try:
            content = _picture_only(path.read_bytes(), _FORMATS[path.suffix.lower()])
        except (UnidentifiedImageError, OSError, Image.DecompressionBombError) as error:
            message = f"photos/{name} cannot be read as a picture: {error}."
            file = f"routes/{route.id}/notes.yml"
            problems.append(Problem("photo-file", file, *placed.mark, message, route=route.id))
            continue
        files.append(StaticFile(f"routes/{route.id}/{PHOTOS}/{name}", content))
    return files, problems


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
