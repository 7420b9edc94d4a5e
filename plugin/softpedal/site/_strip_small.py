"""Drawing the small strip: a few paths, one for each look, since a list has hundreds of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from markupsafe import escape

from softpedal.site._strip_marks import APART, LAMPS, stroke_attributes
from softpedal.site.looks import CASING, LOOKS, look_of

if TYPE_CHECKING:
    from softpedal.site.strip import Strip

WIDTH_PX, HEIGHT_PX = 240, 24
_EDGE = 4
_REACH = WIDTH_PX - 2 * _EDGE
_GRAIN = 5
_TOP, _MIDDLE, _BOTTOM = 8, 13, 18


def draw_small(strip: Strip) -> str:
    """Return the small strip as SVG."""
    kinds = [look_of(leg.kind) for leg in strip.legs]
    parts = [
        (
            f'<svg class="sp-strip-small" xmlns="http://www.w3.org/2000/svg" role="img" '
            f'width="{WIDTH_PX}" height="{HEIGHT_PX}" viewBox="0 0 {WIDTH_PX} {HEIGHT_PX}" '
            f'aria-label="{escape(strip.text)}">'
            f'<path stroke="{CASING}" stroke-width="12" d="M{_EDGE} {_MIDDLE}h{_REACH}"/>'
        )
    ]
    for look in reversed(LOOKS):  # dots first: what follows cuts them where their leg ends
        ends = [
            (_x(strip, leg.from_m), _x(strip, leg.to_m))
            for leg, kind in zip(strip.legs, kinds, strict=True)
            if kind is look
        ]
        path = "".join(f"M{a} {_MIDDLE}H{b}" for a, b in ends if a != b)
        if path:
            stroke = look.stroke(_BOTTOM - _TOP, _GRAIN)
            parts.append(f'<path d="{path}"{stroke_attributes(stroke)}/>')
            if stroke.centre:
                parts.append(f'<path d="{path}" stroke="{CASING}" stroke-width="3"/>')
    parts.append(_marks(strip))
    return "".join(parts) + "</svg>"


def _x(strip: Strip, at_m: float) -> str:
    return f"{_EDGE + _REACH * strip.share(at_m):.0f}"


def _marks(strip: Strip) -> str:
    halos = ties = signs = ""
    for mark in strip.marks:
        x = _x(strip, mark.at_m)
        if mark.sort == "dismount":
            signs += f"M{x} 19l3 5h-6z"
        elif mark.sort in {"crossing", "busy crossing"}:
            high = 2 if mark.sort == "busy crossing" else 6
            ties += f"M{x} {high}V{_TOP if mark.control in APART else 20}"
            signs += f"M{x} {high - 2}l2 2-2 2-2-2z" if mark.control in LAMPS else ""
            halos += "" if mark.control in APART else f"M{x} {_TOP}V{_BOTTOM}"
    if strip.worst is not None:
        x = _x(strip, (strip.worst[0] + strip.worst[1]) / 2)
        ties += f"M{x} 0V{_TOP}"
        signs += f"M{x} 0h6v5h-6z"
    drawn = f'<path d="{halos}" stroke="{CASING}" stroke-width="5"/>' if halos else ""
    if ties:
        drawn += f'<path d="{ties}" stroke="currentColor" stroke-width="1.5"/>'
    if halos:
        drawn += f'<path d="{halos}" stroke="#000" stroke-width="1.5"/>'
    return drawn + (f'<path d="{signs}" fill="currentColor"/>' if signs else "")
