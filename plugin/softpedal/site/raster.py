"""Drawings as PNG: the same bytes on every machine, with few colours, and kept between builds."""

from __future__ import annotations

import hashlib
import io
from contextlib import suppress
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING

import resvg_py
from PIL import Image, ImageFont

from softpedal.library.whole_file import write_whole
from softpedal.site._picture_ground import PAPER
from softpedal.site.looks import CASING, LOOKS

if TYPE_CHECKING:
    from PIL.Image import Image as Picture

FONTS = Path(__file__).parent / "fonts"
FAMILY = "Public Sans"
REGULAR, BOLD = FONTS / "PublicSans-Regular.ttf", FONTS / "PublicSans-Bold.ttf"

#: A palette this large holds every tint of the background; the looks' colours are pinned in it.
_COLOURS = 64
_SIZE_PX = 100


def png_of(svg: str, cache: Path | None = None) -> bytes:
    """Return a drawing as PNG of its own size.

    Its words are set in the bundled font, whatever the machine has.

    Args:
        svg: the drawing.
        cache: a folder in which pictures are kept by what they are made from.

    Raises:
        ValueError: the drawing is not readable as SVG.
    """
    kept = cache / f"{_key(svg)}.png" if cache else None
    if kept and kept.is_file():
        return kept.read_bytes()
    content = _few_colours(_drawn(svg))
    if kept:
        with suppress(OSError):  # it is drawn again next time
            kept.parent.mkdir(parents=True, exist_ok=True)
            write_whole(kept, content)
    return content


def text_px(text: str, size: float, *, bold: bool = False) -> float:
    """Return the width of a text in the bundled font, in pixels at a size in pixels."""
    return _font(bold).getlength(text) * size / _SIZE_PX


def can_be_set(text: str) -> bool:
    """Whether the bundled font has every letter of a text; it has those of Latin scripts."""
    return all(_is_in_font(character) for character in set(text))


@lru_cache(maxsize=1024)
def _is_in_font(character: str) -> bool:
    if character.isspace():
        return True
    font = _font(bold=True)
    return bytes(font.getmask(character)) != bytes(font.getmask("\uffff"))


@lru_cache(maxsize=2)
def _font(bold: bool) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(BOLD if bold else REGULAR, _SIZE_PX)


def _drawn(svg: str) -> Picture:
    content = resvg_py.svg_to_bytes(
        svg_string=svg,
        background=CASING,
        skip_system_fonts=True,
        font_files=[str(REGULAR), str(BOLD)],
        font_family=FAMILY,
    )
    return Image.open(io.BytesIO(bytes(content))).convert("RGB")


def _few_colours(picture: Picture) -> bytes:
    """Return a picture with a palette in which the looks' colours stand unchanged.

    The pinned colours come first, since the nearest colour of a pixel is looked for in this order;
    the others are those that stand for the rest of the picture best.
    """
    few = picture.quantize(_COLOURS, Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE)
    pinned = (CASING, PAPER, *(look.colour for look in LOOKS))
    palette = Image.new("P", (1, 1))
    palette.putpalette(
        b"".join(bytes.fromhex(c[1:]) for c in pinned) + bytes(few.getpalette() or ())
    )
    out = io.BytesIO()
    picture.quantize(palette=palette, dither=Image.Dither.NONE).save(out, "PNG")
    return out.getvalue()


def _key(svg: str) -> str:
    """Return a name that changes with the drawing, the font and the programs, this one too."""
    return hashlib.sha256(_made_with() + svg.encode()).hexdigest()[:32]


@lru_cache(maxsize=1)
def _made_with() -> bytes:
    ours = b"".join(
        hashlib.sha256(path.read_bytes()).digest() for path in (REGULAR, BOLD, Path(__file__))
    )
    return f"{version('resvg_py')} {version('pillow')}".encode() + ours
