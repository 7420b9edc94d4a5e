"""Small invented pictures, with and without the place where they were taken."""

from __future__ import annotations

import io

from PIL import Image


def picture(form: str = "JPEG", *, position: bool = False, size: tuple[int, int] = (8, 6)) -> bytes:
    """Return a grey picture; with `position`, its EXIF data say 50° N 20° W."""
    image = Image.new("RGB", size, (120, 120, 120))
    exif = Image.Exif()
    if position:
        exif[0x8825] = {1: "N", 2: (50.0, 0.0, 0.0), 3: "W", 4: (20.0, 0.0, 0.0)}
        exif[0x0110] = "A camera"
    out = io.BytesIO()
    image.save(out, form, exif=exif)
    return out.getvalue()
