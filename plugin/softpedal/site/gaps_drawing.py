"""A drawing of all routes with the places where the quiet network breaks, numbered."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import shapely
from markupsafe import escape

from softpedal.site._picture_frame import Frame, round_words
from softpedal.site._picture_ground import PAPER, ground_svg
from softpedal.site.language import number, trn

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.settings import Settings
    from softpedal.site.basemap import Background
    from softpedal.site.connections import Sampled
    from softpedal.site.gaps_merged import Gap

#: Numbers beyond this would only hide each other; the table goes on.
MOST_NUMBERED = 20

_WIDTH = 520.0
_HEIGHTS = (260.0, 560.0)
_MARGINS = (26.0, 26.0, 40.0, 26.0)
_INK = "#1F1F1F"
_SIGN_PX = 21.0


def gaps_svg(
    gaps: Sequence[Gap],
    lines: Sequence[Sampled],
    background: Background | None,
    settings: Settings,
) -> str:
    """Return the drawing as SVG, north up; "" if there is nothing to draw.

    Routes are thin; stressful legs are broad, and stressful crossings and legs carry their number.
    """
    if not gaps or not lines:
        return ""
    lat = np.concatenate([line.lat for line in lines])
    lon = np.concatenate([line.lon for line in lines])
    frame = _frame(lat, lon)
    thin = _path([shapely.linestrings(frame.place(np.c_[line.lon, line.lat])) for line in lines])
    signs = _signs(gaps[:MOST_NUMBERED], frame)
    keep_off: list[Any] = [shapely.buffer(shapely.points(x, y), 12) for _, x, y in signs]
    text = trn(
        "Map of {count} place where the quiet network breaks; the table below lists it",
        "Map of {count} places where the quiet network breaks; the table below lists them",
        len(gaps),
    )
    inner = "".join(
        [
            f'<rect width="{frame.width:g}" height="{frame.height:g}" fill="{PAPER}"/>',
            ground_svg(background, frame, keep_off) if background else "",
            _stroke(thin, "#FFFFFF", 4.5),
            _stroke(thin, "#6B6862", 1.6),
            _stroke(_path(_broad(gaps, frame)), _INK, 5),
            *(_sign(n, x, y) for n, x, y in reversed(signs)),
            _foot(frame, settings, has_ground=background is not None),
        ]
    )
    return (
        f'<svg class="sp-gaps-map" xmlns="http://www.w3.org/2000/svg" '
        f'viewBox="0 0 {frame.width:g} {frame.height:g}" role="img" aria-label="{escape(text)}" '
        f'font-size="12" fill="{_INK}">{inner}</svg>'
    )


def _frame(lat: Any, lon: Any) -> Frame:
    """Return a frame as high as the library needs at this width."""
    across = float(np.ptp(lon)) * float(np.cos(np.radians(lat.mean())))
    top, right, bottom, left = _MARGINS
    shape = float(np.ptp(lat)) / max(across, 1e-9)
    height = min(max((_WIDTH - left - right) * shape + top + bottom, _HEIGHTS[0]), _HEIGHTS[1])
    return Frame.around(lat, lon, (_WIDTH, round(height)), _MARGINS)


def _broad(gaps: Sequence[Gap], frame: Frame) -> list[Any]:
    return [
        shapely.linestrings(frame.place(np.c_[place.lon, place.lat]))
        for gap in gaps
        for place in gap.places
        if place.sort == "leg"
    ]


def _signs(gaps: Sequence[Gap], frame: Frame) -> list[tuple[int, float, float]]:
    """Return number and place of each sign; one that would cover another is moved aside."""
    found: list[tuple[int, float, float]] = []
    around = [(0.0, 0.0)] + [
        (np.cos(turn) * ring, np.sin(turn) * ring)
        for ring in (_SIGN_PX + 1, 2 * _SIGN_PX, 3 * _SIGN_PX)
        for turn in np.linspace(0, 2 * np.pi, 12, endpoint=False)
    ]
    for rank, gap in enumerate(gaps, start=1):
        lat, lon = gap.middle
        ((x, y),) = frame.place(np.array([[lon, lat]]))
        for dx, dy in around:
            at = float(x + dx), float(y + dy)
            if all(np.hypot(at[0] - a, at[1] - b) >= _SIGN_PX for _, a, b in found):
                found.append((rank, *at))
                break
    return found


def _sign(rank: int, x: float, y: float) -> str:
    return (
        f'<g transform="translate({x:.1f} {y:.1f})"><circle r="10" fill="{_INK}" stroke="#FFFFFF" '
        f'stroke-width="1.5"/><text y="4.5" text-anchor="middle" font-size="13" fill="#FFFFFF">'
        f"{rank}</text></g>"
    )


def _path(lines: Sequence[Any]) -> str:
    """Return what a path along lines is, "" without any."""
    parts = []
    for line in shapely.simplify(np.array(lines, dtype=object), 0.5, preserve_topology=False):
        points = [f"{x:.1f} {y:.1f}" for x, y in shapely.get_coordinates(line)]
        parts.append(f"M{points[0]}L{' '.join(points[1:])}")
    return "".join(parts)


def _stroke(path: str, colour: str, width: float) -> str:
    return (
        f'<path fill="none" stroke="{colour}" stroke-width="{width:g}" stroke-linejoin="round" '
        f'd="{path}"/>'
        if path
        else ""
    )


def _foot(frame: Frame, settings: Settings, *, has_ground: bool) -> str:
    metres, pixels = frame.scale_bar(frame.width / 5, settings.units)
    base = frame.height - 10
    halo = f'stroke="{PAPER}" stroke-width="3.5" stroke-linejoin="round" paint-order="stroke"'
    bar = (
        f'<path d="M12 {base - 4:g}v4h{pixels:.1f}v-4" fill="none" stroke="{_INK}" '
        f'stroke-width="1.5"/><text x="{18 + pixels:.1f}" y="{base:g}" {halo}>'
        f"{escape(number(round_words(metres, settings.units)))}</text>"
    )
    if not (has_ground and settings.background_attribution):
        return bar
    return (
        f'{bar}<text x="{frame.width - 10:g}" y="{base:g}" font-size="10" text-anchor="end" '
        f'fill="#444" {halo}>{escape(settings.background_attribution)}</text>'
    )
