"""The map of a route as one drawing: for a page before its script, for paper, for a picture.

It carries no ids, styles or scripts, so that it can stand in any page and in any other drawing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import shapely
from markupsafe import escape

from softpedal.site._picture_ends import end_names, names_svg
from softpedal.site._picture_frame import Frame, round_words
from softpedal.site._picture_ground import PAPER, ground_svg
from softpedal.site._picture_line import DrawnLine, line_svg
from softpedal.site._picture_signs import INK, signs_svg
from softpedal.site.language import number

if TYPE_CHECKING:
    from softpedal.measure.units import Units
    from softpedal.site.basemap import Background
    from softpedal.site.map_data import MapLeg, MapLine, MapMarker

#: Of the picture on a route's page, and of that on paper, in pixels.
PAGE_SIZE = (720, 480)
SHEET_SIZE = (400, 268)
BAND_PX = 6.0

_FONT = "system-ui, sans-serif"
_MARGINS = (34.0, 40.0, 44.0, 40.0)


@dataclass(frozen=True, slots=True)
class Picture:
    """What the drawing of a route shows.

    Attributes:
        line: the way out.
        legs: in riding order.
        markers: of which the ends, crossings, dismounts and barriers are drawn.
        ends: names of start and finish.
        text: the text alternative.
        attribution: of the background, as plain text.
        units: of the scale.
    """

    line: MapLine
    legs: tuple[MapLeg, ...]
    markers: tuple[MapMarker, ...]
    ends: tuple[str, str]
    text: str
    attribution: str = ""
    units: Units = "metric"


def map_picture(
    picture: Picture,
    background: Background | None,
    size: tuple[float, float] = PAGE_SIZE,
    *,
    font: str = _FONT,
    grow: float = 1.0,
) -> str:
    """Return the map as SVG, north up.

    Args:
        picture: what to draw.
        background: of the whole site, or None for plain paper.
        size: width and height in pixels.
        font: family of its words.
        grow: how much larger lines, signs and words are drawn than on a page.

    Raises:
        ValueError: if a leg is of no known kind.
    """
    width, height = size[0] / grow, size[1] / grow
    line = picture.line
    frame = Frame.around(line.lat, line.lon, (width, height), _MARGINS)
    drawn = DrawnLine(line, frame, BAND_PX)
    ends = end_names(picture.ends, drawn, frame, [m.at_m for m in picture.markers])
    keep_off = [shapely.buffer(drawn.shape, 9, quad_segs=2), *(end.box for end in ends)]
    # where start and finish are one place, one sign will do
    shown = [m for m in picture.markers if len(ends) == len(picture.ends) or m.sort != "finish"]
    placed = [(marker, drawn.spot(marker.at_m)) for marker in shown]
    inner = "".join(
        [
            f'<rect width="{width:g}" height="{height:g}" fill="{PAPER}"/>',
            ground_svg(background, frame, keep_off) if background else "",
            line_svg(drawn, picture.legs, INK),
            signs_svg(placed, (width, height)),
            names_svg(ends),
            _north(width),
            _foot(picture, frame),
        ]
    )
    text = escape(picture.text)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{size[0]:g}" height="{size[1]:g}" '
        f'viewBox="0 0 {width:g} {height:g}" role="img" aria-label="{text}" '
        f'font-family="{font}" font-size="12" fill="{INK}"><title>{text}</title>{inner}</svg>'
    )


def _halo(colour: str = "#FFFFFF") -> str:
    return f'stroke="{colour}" stroke-width="3.5" stroke-linejoin="round" paint-order="stroke"'


def _north(width: float) -> str:
    return (
        f'<g transform="translate({width - 18:g} 26)"><path d="M0-14l5 12-5-3-5 3z"/>'
        f'<text y="11" font-size="11" text-anchor="middle" {_halo(PAPER)}>N</text></g>'
    )


def _foot(picture: Picture, frame: Frame) -> str:
    """Return the scale at the left and who made the background at the right."""
    base = frame.height - 10
    metres, pixels = frame.scale_bar(frame.width / 4, picture.units)
    bar = (
        f'<path d="M10 {base - 4:g}v4h{pixels:.1f}v-4" fill="none" stroke="{INK}" '
        f'stroke-width="1.5"/><text x="{16 + pixels:.1f}" y="{base:g}" {_halo(PAPER)}>'
        f"{escape(number(round_words(metres, picture.units)))}</text>"
    )
    if not picture.attribution:
        return bar
    return (
        f'{bar}<text x="{frame.width - 8:g}" y="{base:g}" font-size="10" text-anchor="end" '
        f'fill="#444" {_halo(PAPER)}>{escape(picture.attribution)}</text>'
    )
