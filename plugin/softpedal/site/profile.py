"""The height profile of a route, as a small drawing with figures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from markupsafe import escape

from softpedal.measure.units import MILE_M
from softpedal.site._strip_marks import percent, word
from softpedal.site._strip_room import anchor, chainage_ticks, place
from softpedal.site.language import tr
from softpedal.site.quantities import coarse
from softpedal.site.quantities import height as height_in_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from softpedal.measure.units import Units

#: A profile with less height than this between its ends is drawn as flat as it is.
MIN_HEIGHT_RANGE_M = 50.0
POINTS = 100
HEIGHT_PX = 108

_TOP, _BOTTOM = 18.0, 88.0


@dataclass(frozen=True, slots=True)
class Climb:
    """A climb to mark: chainage in metres and mean gradient as a ratio."""

    from_m: float
    to_m: float
    gradient: float


def profile_svg(
    chainage: NDArray[np.float64],
    height: NDArray[np.float64],
    climbs: Sequence[Climb] = (),
    *,
    units: Units = "metric",
    text: str | None = None,
) -> str:
    """Return the profile as SVG that follows the width of the page, "" without heights.

    Args:
        chainage: metres, (N,), rising.
        height: metres, (N,); what is not finite is left out.
        climbs: to mark with a line under the ground and their gradient.
        units: of all figures.
        text: the text alternative; None means that of `profile_text`.
    """
    known = np.isfinite(height)
    if known.sum() < 2 or chainage[-1] <= 0:
        return ""
    length = float(chainage[-1])
    steps = np.linspace(0, length, POINTS)
    drawn = np.interp(steps, chainage[known], height[known])
    low, high = float(drawn.min()), float(drawn.max())
    reach = max(MIN_HEIGHT_RANGE_M, high - low)
    ys = np.rint(920 * (1 - (drawn - low) / reach)).astype(int).tolist()
    xs = np.rint(np.linspace(0, 1000, POINTS)).astype(int).tolist()
    line = "L".join(f"{x} {y}" for x, y in _straightened(xs, ys))
    label = profile_text(chainage, height, climbs, units=units) if text is None else text
    box = f'x="2%" y="{_TOP:g}" width="96%" height="{_BOTTOM - _TOP:g}"'
    return (
        '<svg class="sp-profile" xmlns="http://www.w3.org/2000/svg" role="img" width="100%" '
        f'height="{HEIGHT_PX}" font-size="12" fill="currentColor" aria-label="{escape(label)}">'
        f'<svg {box} viewBox="0 0 1000 1000" preserveAspectRatio="none">'
        f'<path d="M0 1000L{line}L1000 1000z" fill-opacity=".14"/>'
        f'<path d="M{line}" fill="none" stroke="currentColor" stroke-width="1.5" '
        'vector-effect="non-scaling-stroke"/></svg>'
        f"{_figures(steps, drawn, units)}{_climbs(climbs, length)}{_axis(length, units)}</svg>"
    )


def profile_text(
    chainage: NDArray[np.float64],
    height: NDArray[np.float64],
    climbs: Sequence[Climb] = (),
    *,
    units: Units = "metric",
) -> str:
    """Return the text alternative of a profile, "" without heights."""
    known = np.isfinite(height)
    if known.sum() < 2:
        return ""
    at, heights = chainage[known], height[known]
    low, high = int(heights.argmin()), int(heights.argmax())
    text = tr(
        "Height along {length}: from {first} to {last}, lowest {low} at {low_at}, "
        "highest {high} at {high_at}",
        length=coarse(float(chainage[-1]), units),
        first=height_in_words(float(heights[0]), units),
        last=height_in_words(float(heights[-1]), units),
        low=height_in_words(float(heights[low]), units),
        low_at=coarse(float(at[low]), units),
        high=height_in_words(float(heights[high]), units),
        high_at=coarse(float(at[high]), units),
    )
    for climb in climbs:
        text += tr(
            "; climbs at {gradient} from {start} to {end}",
            gradient=_gradient(climb.gradient),
            start=coarse(climb.from_m, units),
            end=coarse(climb.to_m, units),
        )
    return text + "."


def _gradient(ratio: float) -> str:
    return f"{ratio * 100:.0f} %"


def _straightened(xs: list[int], ys: list[int]) -> list[tuple[int, int]]:
    """Return the points without those in the middle of a level stretch."""
    last = len(xs) - 1
    return [
        (xs[i], ys[i])
        for i in range(len(xs))
        if i in {0, last} or not ys[i - 1] == ys[i] == ys[i + 1]
    ]


def _figures(steps: NDArray[np.float64], drawn: NDArray[np.float64], units: Units) -> str:
    """Return the greatest height above its place, and the least where it is another."""
    reach = max(MIN_HEIGHT_RANGE_M, float(np.ptp(drawn)))
    parts = []
    heights = {height_in_words(float(drawn[i]), units): i for i in (drawn.argmin(), drawn.argmax())}
    for words, index in heights.items():
        share = float(steps[index] / steps[-1])
        rise = (float(drawn[index]) - float(drawn.min())) / reach
        y = _BOTTOM - (_BOTTOM - _TOP) * (0.08 + 0.92 * rise) - 6
        parts.append(word(percent(place(share)), round(y), words, anchor(share, words)))
    return "".join(parts)


def _climbs(climbs: Sequence[Climb], length: float) -> str:
    parts = []
    for climb in climbs:
        a, b = (place(at / length) for at in (climb.from_m, climb.to_m))
        words = _gradient(climb.gradient)
        middle = (climb.from_m + climb.to_m) / 2 / length
        parts.append(
            f'<line x1="{percent(a)}" x2="{percent(b)}" y1="{_BOTTOM - 2:g}" '
            f'y2="{_BOTTOM - 2:g}" stroke="currentColor" stroke-width="4"/>'
            + word(percent(place(middle)), _BOTTOM - 8, words, anchor(middle, words))
        )
    return "".join(parts)


def _axis(length: float, units: Units) -> str:
    ends = f'x1="{percent(place(0))}" x2="{percent(place(1))}"'
    base = _BOTTOM + 16
    unit = "mi" if units == "imperial" else "km"
    unit_m = MILE_M if units == "imperial" else 1000.0
    end = f"{length / unit_m:.1f} {unit}"
    parts = [
        f'<line {ends} y1="{_BOTTOM:g}" y2="{_BOTTOM:g}" stroke="currentColor"/>',
        word(percent(place(0)), base, "0", "start"),
        *(
            word(percent(place(share)), base, figure, "middle")
            for share, figure, is_wide in chainage_ticks(length, units)
            if not is_wide
        ),
        word(percent(place(1)), base, end, "end"),
    ]
    return "".join(parts)
