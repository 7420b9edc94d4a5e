"""A photo as it is committed: a picture that opens, and that does not say where it was taken."""

from __future__ import annotations

import warnings
from typing import TYPE_CHECKING

from PIL import Image

if TYPE_CHECKING:
    from pathlib import Path

FORMATS = {".jpg": "JPEG", ".jpeg": "JPEG", ".png": "PNG", ".webp": "WEBP"}
#: More than this is no photo but a trap.
MAX_PIXELS = 100_000_000

_GPS = 0x8825


def is_picture(path: Path) -> bool:
    """Whether the file is a picture of the format that its name says, and of a sane size."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            with Image.open(path, formats=[FORMATS[path.suffix.lower()]]) as picture:
                if picture.width * picture.height > MAX_PIXELS:
                    return False
                picture.load()
    except (KeyError, OSError, SyntaxError, ValueError, Image.DecompressionBombError):
        return False  # what Pillow says holds addresses in memory, which differ each time
    return True


def has_position(path: Path) -> bool:
    """Whether a picture's EXIF data say where it was taken."""
    with Image.open(path, formats=[FORMATS[path.suffix.lower()]]) as picture:
        return bool(picture.getexif().get_ifd(_GPS))
