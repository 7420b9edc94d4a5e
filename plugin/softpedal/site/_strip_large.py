"""Drawing the large strip of a route's page."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from markupsafe import escape

from softpedal.site import _strip_marks as sign
from softpedal.site._strip_room import NARROW_PX, WIDE_PX, anchor, chainage_ticks, fitting, place
from softpedal.site.language import tr
from softpedal.site.looks import CASING, ON_FOOT, look_of
from softpedal.site.quantities import coarse

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from softpedal.site.strip import Strip, StripLeg

HEIGHT_PX = 110

#: A profile with less height than this between its ends is drawn as flat as it is.
MIN_HEIGHT_RANGE_M = 50.0
PROFILE_POINTS = 60

_TOP, _BOTTOM = 40.0, 58.0
_GRAIN_PX = 10.0
_WORDS_Y = 12.0
_PROFILE_TOP, _PROFILE_PX = 69.0, 23.0
_AXIS_Y = 92.0

#: Beyond this share of the route the flag flies to the left, so that it is not cut.
_LATE = 0.9


def draw_large(strip: Strip, width: float | None) -> str:
    """Return the large strip as SVG."""
    across = "100%" if width is None else f"{width:g}"
    return "".join(
        [
            (
                '<svg class="sp-strip" xmlns="http://www.w3.org/2000/svg" role="img" '
                f'width="{across}" height="{HEIGHT_PX}" font-size="12" fill="currentColor" '
                f'aria-label="{escape(strip.text)}">'
            ),
            _profile(strip.profile),
            *(_leg(strip, index) for index in range(len(strip.legs))),
            f'<g stroke="currentColor" stroke-width="2">{_crossings(strip)}</g>',
            *(
                sign.notch(_x(strip, mark.at_m), _BOTTOM + 1)
                for mark in strip.marks
                if mark.sort == "dismount"
            ),
            _words(strip),
            _axis(strip),
            "</svg>",
        ]
    )


def _x(strip: Strip, at_m: float) -> str:
    return sign.percent(place(strip.share(at_m)))


def _profile(heights: NDArray[np.float64] | None) -> str:
    if heights is None:
        return ""
    known = np.flatnonzero(np.isfinite(heights))
    if len(known) < 2:
        return ""
    steps = np.linspace(0, len(heights) - 1, min(PROFILE_POINTS, len(heights)))
    drawn = np.interp(steps, known, heights[known])
    low = float(drawn.min())
    scale = 100 / max(MIN_HEIGHT_RANGE_M, float(drawn.max()) - low)
    # 4 of 100 stay under the lowest point, so that a level route is a thin band and not nothing
    ys = np.rint(96 - (drawn - low) * scale * 0.96).astype(int)
    xs = np.rint(np.linspace(0, 1000, len(ys))).astype(int)
    path = "L".join(f"{x} {y}" for x, y in zip(xs.tolist(), ys.tolist(), strict=True))
    return (
        f'<svg x="2%" y="{_PROFILE_TOP:g}" width="96%" height="{_PROFILE_PX:g}" '
        'viewBox="0 0 1000 100" preserveAspectRatio="none">'
        f'<path d="M0 100L{path}L1000 100z" fill-opacity=".16"/></svg>'
    )


def _leg(strip: Strip, index: int) -> str:
    leg = strip.legs[index]
    look = look_of(leg.kind)
    stroke = look.stroke(_BOTTOM - _TOP, _GRAIN_PX)
    start, end = place(strip.share(leg.from_m)), place(strip.share(leg.to_m))
    ends = f'x1="{sign.percent(start)}" x2="{sign.percent(end)}"'
    middle = f' y1="{(_TOP + _BOTTOM) / 2:g}" y2="{(_TOP + _BOTTOM) / 2:g}"'
    parts = [
        (
            f'<g data-leg="{index}"><title>{escape(_leg_words(strip, leg))}</title>'
            f'<rect class="sp-hit" x="{sign.percent(start)}" y="{_TOP - 1:g}" '
            f'width="{sign.percent(end - start)}" height="{_BOTTOM - _TOP + 2:g}" fill="{CASING}"/>'
            f"<line {ends}{middle}{sign.stroke_attributes(stroke)}/>"
        )
    ]
    if stroke.centre:
        centre = f' stroke="{CASING}" stroke-width="{stroke.centre:g}"'
        parts.append(f"<line {ends}{middle}{centre}/>")
    if look is not ON_FOOT:
        # the road's two edges; where one pushes, the road has a gap
        edge = ' stroke="currentColor" stroke-opacity=".55"'
        parts += [
            f'<line {ends} y1="{y}" y2="{y}"{edge}/>' for y in (f"{_TOP - 1:g}", f"{_BOTTOM + 1:g}")
        ]
    return "".join(parts) + "</g>"


def _leg_words(strip: Strip, leg: StripLeg) -> str:
    length = coarse(leg.to_m - leg.from_m, strip.units)
    return tr("{kind}, {length}, level {level}", kind=tr(leg.kind), length=length, level=leg.level)


def _crossings(strip: Strip) -> str:
    return "".join(
        sign.tie(
            _x(strip, mark.at_m),
            (_TOP - 1, _BOTTOM + 1),
            busy=mark.sort == "busy crossing",
            control=mark.control,
        )
        for mark in strip.marks
        if mark.sort in {"crossing", "busy crossing"}
    )


def _words(strip: Strip) -> str:
    """Return the row above the band: the flag, and ticks with a word where there is room."""
    items: list[tuple[float, str]] = []
    if strip.worst is not None:
        items.append((strip.share((strip.worst[0] + strip.worst[1]) / 2), "flag"))
    ticks = sorted(
        (mark for mark in strip.marks if mark.sort in {"hazard", "landmark"}),
        key=lambda mark: (mark.sort, mark.at_m),
    )
    items += [(strip.share(mark.at_m), mark.word) for mark in ticks]
    first = len(items) - len(ticks)
    narrow = fitting(items, NARROW_PX)
    wide = fitting(items, WIDE_PX, keep=sorted(narrow))
    parts: list[str] = []
    if strip.worst is not None:
        share = items[0][0]
        level, is_late = strip.worst[2], share > _LATE
        parts.append(sign.flag(sign.percent(place(share)), 1, _TOP - 1, level, is_left=is_late))
    for index, mark in enumerate(ticks, start=first):
        x = _x(strip, mark.at_m)
        if index in wide:
            hang = anchor(items[index][0], mark.word)
            label = sign.upright(x, _WORDS_Y + 5, _TOP - 8) + sign.word(
                x, _WORDS_Y, mark.word, hang
            )
            parts.append(label if index in narrow else f'<g class="sp-wide">{label}</g>')
        parts.append(sign.upright(x, _TOP - 8, _TOP - 1))
        if mark.sort == "hazard":
            parts.append(sign.hazard_sign(x, _TOP - 7))
    return f'<g stroke="currentColor">{"".join(parts)}</g>' if parts else ""


def _axis(strip: Strip) -> str:
    """Return the chainage beneath: a line, ticks and figures, the unit at the end only."""
    ends = f'x1="{sign.percent(place(0))}" x2="{sign.percent(place(1))}"'
    base = _AXIS_Y + 14
    lines = [f'<line {ends} y1="{_AXIS_Y:g}" y2="{_AXIS_Y:g}"/>']
    figures = [sign.word(sign.percent(place(0)), base, "0", "start")]
    for share, figure, is_wide in chainage_ticks(strip.length_m, strip.units):
        x = sign.percent(place(share))
        hidden = ' class="sp-wide"' if is_wide else ""
        lines.append(f"<g{hidden}>{sign.upright(x, _AXIS_Y, _AXIS_Y + 3)}</g>")
        figures.append(f"<g{hidden}>{sign.word(x, base, figure, 'middle')}</g>")
    end = coarse(strip.length_m, strip.units)
    figures.append(sign.word(sign.percent(place(1)), base, end, "end"))
    return f'<g stroke="currentColor" stroke-opacity=".6">{"".join(lines)}</g>{"".join(figures)}'
