"""The signs of the strip: ties for crossings, notches for dismounts, ticks, a flag."""

from __future__ import annotations

from typing import TYPE_CHECKING

from markupsafe import escape

if TYPE_CHECKING:
    from softpedal.site.looks import Stroke

LAMPS = frozenset({"cycle signals", "toucan", "signals", "pedestrian signals"})
BARS = frozenset({"zebra", "parallel"})
APART = frozenset({"bridge", "underpass"})


def percent(place: float) -> str:
    """Return a share of the width as an SVG length."""
    return f"{round(place * 100, 2):g}%"


def upright(x: str, top: float, bottom: float, extra: str = "") -> str:
    """Return an upright line; its stroke comes from the group around it."""
    return f'<line x1="{x}" x2="{x}" y1="{top:g}" y2="{bottom:g}"{extra}/>'


def tie(x: str, band: tuple[float, float], *, busy: bool, control: str) -> str:
    """Return a crossing: a tie across the band, tall where the road is busy.

    A lamp on it means signals, bars mean a zebra; at a bridge or an underpass the tie stops at
    the band's edges, since nothing meets there.
    """
    top, bottom = band
    high, low = (top - 15, bottom + 6) if busy else (top - 5, bottom + 5)
    pieces = [upright(x, high, top), upright(x, bottom, low)]
    if control not in APART:
        pieces.append(upright(x, top, bottom, ' stroke="#fff" stroke-width="7"'))
        pieces.append(upright(x, top, bottom, ' stroke="#000"'))
    if control in LAMPS:
        pieces.append(f'<circle cx="{x}" cy="{high:g}" r="3.5" fill="currentColor" stroke="none"/>')
    if control in BARS:
        pieces.append(upright(x, high - 2, high + 7, ' stroke-width="9" stroke-dasharray="2 1.5"'))
    return "".join(pieces)


def notch(x: str, y: float) -> str:
    """Return a dismount: a notch under the band."""
    return (
        f'<svg x="{x}" y="{y:g}" overflow="visible">'
        '<path d="M0 0l5 8h-10z" fill="currentColor"/></svg>'
    )


def hazard_sign(x: str, y: float) -> str:
    """Return the diamond on a hazard's tick."""
    return (
        f'<svg x="{x}" y="{y:g}" overflow="visible">'
        '<path d="M0-4l4 4-4 4-4-4z" fill="currentColor" stroke="none"/></svg>'
    )


def word(x: str, y: float, text: str, anchor: str) -> str:
    """Return a word of the strip, escaped."""
    hang = "" if anchor == "start" else f' text-anchor="{anchor}"'
    return f'<text x="{x}" y="{y:g}"{hang} stroke="none">{escape(text)}</text>'


def flag(x: str, top: float, foot: float, level: int, *, is_left: bool) -> str:
    """Return the flag of the worst leg, with its level."""
    side = -1 if is_left else 1
    return (
        f'<svg x="{x}" y="{top:g}" overflow="visible"><path d="M0 {foot - top:g}V0h{15 * side}v13'
        f'H0" fill="none" stroke-width="1.5"/><text x="{7.5 * side:g}" y="10.5" '
        f'text-anchor="middle" font-weight="bold" stroke="none">{level:d}</text></svg>'
    )


def stroke_attributes(stroke: Stroke) -> str:
    """Return a look's attributes for a line or a path."""
    text = f' stroke="{stroke.colour}" stroke-width="{stroke.width:g}"'
    if stroke.dash:
        dash = " ".join(f"{length:g}" for length in stroke.dash)
        text += f' stroke-dasharray="{dash}"'
    if stroke.offset:
        text += f' stroke-dashoffset="{stroke.offset:g}"'
    return text + (' stroke-linecap="round"' if stroke.cap == "round" else "")
