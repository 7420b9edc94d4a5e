"""The card of a route: title, strip, map and three figures in one picture, to be shared."""

from __future__ import annotations

from typing import TYPE_CHECKING

from markupsafe import escape

from softpedal.site._picture_ground import PAPER
from softpedal.site._picture_signs import INK
from softpedal.site.picture import map_picture
from softpedal.site.raster import FAMILY, text_px
from softpedal.site.strip import large_strip

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.site.basemap import Background
    from softpedal.site.picture import Picture
    from softpedal.site.route_view import BigFigure
    from softpedal.site.strip import Strip

#: Pixels.
CARD_SIZE = WIDTH, HEIGHT = 1200, 630

_EDGE = 48
_MAP_LEFT, _MAP_HEIGHT = 580, 430
_COLUMN = _MAP_LEFT - 2 * _EDGE
_STRIP_GROWS = 1.5
_SOFT, _RULE = "#5B5B5B", "#BDB9B0"
_TITLE_SIZES = (50, 44, 38, 33)
_ELLIPSIS = "…"


def card_svg(
    *,
    title: str,
    lines: Sequence[str],
    site: str,
    figures: Sequence[BigFigure],
    strip: Strip,
    picture: Picture,
    background: Background | None,
) -> str:
    """Return the card as SVG, 1200 by 630 px.

    Args:
        title: of the route.
        lines: what stands under the title.
        site: title of the whole site.
        figures: quiet share, busy crossings and dismounts; none where the way is shut.
        strip: of the way out.
        picture: of the same.
        background: of the whole site, or None for plain paper.
    """
    drawn_map = map_picture(
        picture, background, (WIDTH - _MAP_LEFT, _MAP_HEIGHT), font=FAMILY, grow=1.35
    ).replace("<svg ", f'<svg x="{_MAP_LEFT}" ', 1)
    drawn_strip = large_strip(strip, (WIDTH - 2 * _EDGE) / _STRIP_GROWS)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}" height="{HEIGHT}" '
        f'font-family="{FAMILY}" color="{INK}" fill="{INK}">'
        f'<rect width="{WIDTH}" height="{HEIGHT}" fill="#FFFFFF"/>'
        f'<rect width="{WIDTH}" height="{_MAP_HEIGHT}" fill="{PAPER}"/>{drawn_map}'
        f'<path d="M{_MAP_LEFT} 0V{_MAP_HEIGHT}M0 {_MAP_HEIGHT}H{WIDTH}" stroke="{_RULE}"/>'
        f"{_words(title, lines, site)}{_figures(figures)}"
        f'<g transform="translate({_EDGE} {_MAP_HEIGHT + 22})scale({_STRIP_GROWS})">'
        f"{drawn_strip}</g></svg>"
    )


def _words(title: str, lines: Sequence[str], site: str) -> str:
    size, title_lines = _title_lines(title)
    y = 96.0 + size
    parts = [_text(_EDGE, 60, 21, _fitting(site, 21), colour=_SOFT)]
    for line in title_lines:
        parts.append(_text(_EDGE, y, size, line, bold=True))
        y += round(size * 1.15)
    y += 40 - size
    for line in lines:
        parts.append(_text(_EDGE, y, 23, _fitting(line, 23), colour=_SOFT))
        y += 31
    return "".join(parts)


def _title_lines(title: str) -> tuple[int, list[str]]:
    """Return the largest size at which a title has room on two lines, or three of the least."""
    for size in _TITLE_SIZES:
        lines = _wrapped(title, size, bold=True)
        if len(lines) <= 2 and all(text_px(li, size, bold=True) <= _COLUMN for li in lines):
            return size, lines
    return size, _wrapped(title, size, bold=True, most=3)


def _figures(figures: Sequence[BigFigure]) -> str:
    """Return the three figures in a row, with their words under them on at most two lines."""
    top = _MAP_HEIGHT - 132
    column = (_COLUMN + 24) / 3
    parts = [f'<path d="M{_EDGE} {top}h{_COLUMN}" stroke="{_RULE}"/>'] if figures else []
    for index, figure in enumerate(figures):
        x = _EDGE + index * column + (14 if index else 0)
        if index:
            parts.append(f'<path d="M{x - 14:.0f} {top}v132" stroke="{_RULE}"/>')
        parts.append(_text(x, top + 54, 44, figure.figure))
        for number, line in enumerate(_wrapped(figure.words, 16, column - 26, most=3)):
            parts.append(_text(x, top + 78 + 19 * number, 16, line, colour=_SOFT))
    return "".join(parts)


def _wrapped(
    text: str, size: float, wide: float = _COLUMN, *, bold: bool = False, most: int = 9
) -> list[str]:
    """Return a text in lines of at most a width; what has no room ends in an ellipsis."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_px(longer, size, bold=bold) <= wide:
            lines[-1] = longer
        else:
            lines.append(word)
    if len(lines) > most:
        lines = [*lines[: most - 1], " ".join(lines[most - 1 :])]
        lines[-1] = _fitting(lines[-1], size, wide, bold=bold)
    return lines


def _fitting(text: str, size: float, wide: float = _COLUMN, *, bold: bool = False) -> str:
    if text_px(text, size, bold=bold) <= wide:
        return text
    while text and text_px(text + _ELLIPSIS, size, bold=bold) > wide:
        text = text[:-1]
    return text.rstrip(" ,;") + _ELLIPSIS


def _text(
    x: float, y: float, size: float, text: str, *, bold: bool = False, colour: str = INK
) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return (
        f'<text x="{x:g}" y="{y:g}" font-size="{size:g}"{weight} fill="{colour}">'
        f"{escape(text)}</text>"
    )
