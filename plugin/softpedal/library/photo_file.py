"""A photo as it is committed and published: a picture that opens, without where it was taken."""

from __future__ import annotations

import io
import math
import re
import warnings
from typing import TYPE_CHECKING, Any

from PIL import Image, ImageOps

if TYPE_CHECKING:
    from pathlib import Path

FORMATS = {".jpg": "JPEG", ".jpeg": "JPEG", ".png": "PNG", ".webp": "WEBP"}
#: More than this is no photo but a trap.
MAX_PIXELS = 100_000_000

_GPS = 0x8825
#: How EXIF's GPS tags number latitude and longitude: which side of the globe, then degrees.
_GPS_PAIRS = ((1, 2), (3, 4))
#: XMP writes `50,0.738N` or `50,0,44N` (XMP specification, part 2, GPSCoordinate).
_XMP_DEGREES = re.compile(
    rb"GPS(Latitude|Longitude)\b[^0-9]{1,40}?(\d{1,3}),(\d{1,2}(?:\.\d{1,12})?)"
    rb"(?:,(\d{1,2}(?:\.\d{1,12})?))?\s*([NSEW])"
)
_XMP_MENTIONED = re.compile(rb"GPS(Latitude|Longitude)\b")


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
    """Whether a picture's EXIF or XMP data say where it was taken."""
    with Image.open(path, formats=[FORMATS[path.suffix.lower()]]) as picture:
        if picture.getexif().get_ifd(_GPS):
            return True
        return bool(_XMP_MENTIONED.search(path.read_bytes() + _texts(picture)))


def positions(path: Path) -> list[tuple[float, float]]:
    """Return where a picture's EXIF and XMP data say that it was taken: latitude, longitude.

    None of what cannot be read as a picture. Its pixels are not looked at.
    """
    try:
        with Image.open(path, formats=[FORMATS[path.suffix.lower()]]) as picture:
            gps = dict(picture.getexif().get_ifd(_GPS))
            texts = path.read_bytes() + _texts(picture)
    except (KeyError, SyntaxError, ValueError, Image.DecompressionBombError):
        return []
    except OSError as error:
        if error.errno is not None:
            raise
        return []  # no picture: Pillow says so by an OSError without a number
    found = []
    pair = [_exif_degrees(gps.get(side), gps.get(degrees)) for side, degrees in _GPS_PAIRS]
    if all(math.isfinite(value) for value in pair):
        found.append((pair[0], pair[1]))
    written: dict[bytes, list[float]] = {b"Latitude": [], b"Longitude": []}
    for axis, degrees, minutes, seconds, side in _XMP_DEGREES.findall(texts):
        value = float(degrees) + float(minutes) / 60 + float(seconds or 0) / 3600
        written[axis].append(-value if side in b"SW" else value)
    found += zip(written[b"Latitude"], written[b"Longitude"], strict=False)
    return found


def picture_only(content: bytes, form: str, max_side_px: int = 0) -> bytes:
    """Return a picture turned upright, and with nothing but the picture in it.

    Args:
        content: the bytes of its file.
        form: JPEG, PNG or WEBP.
        max_side_px: its longer side is made no longer than this; 0 leaves the size.

    Raises:
        OSError, SyntaxError, ValueError: it is no such picture.
    """
    with Image.open(io.BytesIO(content), formats=[form]) as opened:
        upright = ImageOps.exif_transpose(opened)
        if max_side_px:
            upright.thumbnail((max_side_px, max_side_px))
        if upright.mode == "P":
            upright = upright.convert("RGBA")
        clean = Image.new(upright.mode, upright.size)
        clean.paste(upright)
        out = io.BytesIO()
        clean.save(out, form, **({"quality": 85} if form != "PNG" else {"optimize": True}))
    return out.getvalue()


def _texts(picture: Image.Image) -> bytes:
    """Return the texts beside a picture, which a PNG may hold compressed."""
    values = [value for value in picture.info.values() if isinstance(value, str | bytes)]
    return b"\n".join(v if isinstance(v, bytes) else v.encode(errors="replace") for v in values)


def _exif_degrees(side: Any, parts: Any) -> float:
    """Return degrees from EXIF's degrees, minutes and seconds; nan where there are none."""
    try:
        value = math.fsum(float(part) / 60.0**i for i, part in enumerate(parts))
    except (TypeError, ValueError, ZeroDivisionError):
        return math.nan
    sign = side.decode(errors="replace") if isinstance(side, bytes) else str(side)
    return -value if sign.strip("\0 ").upper() in {"S", "W"} else value
