"""Which words and figures have room on a strip: it is as narrow as a phone or as wide as a page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.measure.units import MILE_M

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.measure.units import Units

#: Widths in CSS pixels for which room is worked out; between them the narrow answer holds.
NARROW_PX = 312
WIDE_PX = 600

#: Mean width of a letter at the strip's size of type.
LETTER_PX = 6.6
_SPACE_PX = 10
_LABEL_PX = 44
_END_PX = 64
_STEPS = (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100)

#: The band starts and ends this share of the width from the edges, so that marks are not cut.
MARGIN = 0.02


def place(share: float) -> float:
    """Return the place of a share of the route as a share of the drawing's width."""
    return MARGIN + (1 - 2 * MARGIN) * min(1.0, max(0.0, share))


def anchor(share: float, text: str) -> str:
    """Return how a word hangs at its tick, so that it stays on the drawing on a phone."""
    half = len(text) * LETTER_PX / 2
    x = place(share) * NARROW_PX
    if x < half:
        return "start"
    return "end" if x > NARROW_PX - half else "middle"


def fitting(words: Sequence[tuple[float, str]], width: float, keep: Sequence[int] = ()) -> set[int]:
    """Return the indices of the words that fit in one row, the first in the list preferred.

    Args:
        words: share of the route and text; no text never fits.
        width: of the drawing in pixels.
        keep: indices that are placed before all others.
    """
    taken: list[tuple[float, float]] = []
    chosen: set[int] = set()
    rest = [i for i in range(len(words)) if i not in keep]
    for index in [*keep, *rest]:
        share, text = words[index]
        if not text:
            continue
        start = place(share) * width
        length = len(text) * LETTER_PX
        start -= {"start": 0.0, "middle": length / 2, "end": length}[anchor(share, text)]
        if start < 0 or start + length > width:
            continue
        if all(start > b + _SPACE_PX or start + length < a - _SPACE_PX for a, b in taken):
            taken.append((start, start + length))
            chosen.add(index)
    return chosen


def chainage_ticks(length_m: float, units: Units) -> list[tuple[float, str, bool]]:
    """Return the ticks of the axis: share of the route, figure, and whether it needs a wide page.

    The ends are not among them.
    """
    unit_m = MILE_M if units == "imperial" else 1000.0
    length = length_m / unit_m
    if length <= 0:
        return []
    narrow = _step(length, NARROW_PX, _STEPS)
    wide = _step(length, WIDE_PX, [s for s in _STEPS if round(narrow / s, 6).is_integer()])
    ticks = []
    count = 1
    while (value := count * wide) < length - 1e-9:
        share = value / length
        is_wide = not round(value / narrow, 6).is_integer()
        if (1 - share) * (WIDE_PX if is_wide else NARROW_PX) > _END_PX:
            ticks.append((share, f"{value:g}", is_wide))
        count += 1
    return ticks


def _step(length: float, width: float, steps: Sequence[float]) -> float:
    for step in steps:
        if step / length * width >= _LABEL_PX:
            return step
    return steps[-1]
