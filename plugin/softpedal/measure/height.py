"""Climbs and steep bits from noisy recorded heights, by a published recipe.

There is no standard threshold, so ours is stated: heights are resampled every 10 m, smoothed by a
Gaussian of 50 m along the distance, and a rise or fall counts only when each reversal exceeds 3 m.
Recorded heights cannot show ramps shorter than about 150 m.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable

    from softpedal.library.track import Floats, Track

STEP_M = 10.0
SIGMA_M = 50.0
CUT_SIGMAS = 5.0
THRESHOLD_M = 3.0
PLAUSIBLE_M = (-500.0, 9000.0)
#: A longer stretch without heights means that they were not recorded.
MAX_UNRECORDED_M = 500.0
STEEP_OVER_M = 50.0
#: Active Travel England: ideally under 3 %, no more than 5 %.
STEEP_NOTE, STEEP_FLAG = 0.03, 0.05
#: Climb severity H²/L in metres (CROW).
SEVERITY_NOTE, SEVERITY_FLAG = 0.075, 0.200
#: A direction that climbs less than this is called flat.
FLAT_M_PER_KM = 2.0


@dataclass(frozen=True, slots=True)
class Climb:
    """A rise (or fall) that counts: from and to in metres of chainage, and metres gained."""

    from_m: float
    to_m: float
    rise_m: float

    @property
    def severity(self) -> float:
        """H²/L in metres (CROW)."""
        return climb_severity(self.rise_m, self.to_m - self.from_m)


@dataclass(frozen=True, slots=True)
class Steepest:
    """The steepest bit uphill: gradient as a share, where, over how long, and who says so."""

    gradient: float
    at_m: float
    metres: float
    source: str


@dataclass(frozen=True, eq=False, slots=True)
class Profile:
    """A smoothed height profile in riding order.

    Attributes:
        chainage_m: (n,) about every 10 m.
        height_m: (n,) smoothed.
        part: (n,) index of the part of the track.
    """

    chainage_m: Floats
    height_m: Floats
    part: Floats

    def gradients(self) -> Floats:
        """Return the (n-1,) gradient of each step, 0 between parts."""
        rise = np.diff(self.height_m)
        run = np.diff(self.chainage_m)
        same = np.diff(self.part) == 0
        return np.divide(rise, run, out=np.zeros_like(rise), where=same & (run > 0))


def climb_severity(rise_m: float, length_m: float) -> float:
    """Return S = H² / L in metres. CROW: note above 0.075, flag above 0.200."""
    return rise_m**2 / length_m if length_m > 0 else 0.0


def profile(track: Track) -> Profile | None:
    """Return the smoothed profile of a track, or None where heights were not recorded."""
    good = np.isfinite(track.height)
    good &= (track.height >= PLAUSIBLE_M[0]) & (track.height <= PLAUSIBLE_M[1])
    pieces: list[tuple[Floats, Floats, Floats]] = []
    for part in np.unique(track.part):
        inside = track.part == part
        chainage, known = track.chainage_m[inside], good[inside]
        at = chainage[known]
        gaps = np.diff(np.concatenate(([chainage[0]], at, [chainage[-1]])))
        if at.size < 2 or gaps.max() > MAX_UNRECORDED_M:
            return None
        count = max(2, round(float(chainage[-1] - chainage[0]) / STEP_M) + 1)
        grid = np.linspace(chainage[0], chainage[-1], count)
        heights = np.interp(grid, at, track.height[inside][known])
        pieces.append((grid, smooth(heights, grid[1] - grid[0]), np.full(count, part)))
    return Profile(*(np.concatenate(column) for column in zip(*pieces, strict=True)))


def smooth(heights: Floats, step_m: float) -> Floats:
    """Return heights smoothed by a Gaussian of 50 m, edges repeated, cut at five sigmas."""
    if step_m <= 0:
        return heights
    reach = int(CUT_SIGMAS * SIGMA_M / step_m)
    kernel = np.exp(-0.5 * (np.arange(-reach, reach + 1) * step_m / SIGMA_M) ** 2)
    padded = np.pad(heights, reach, mode="edge")
    return np.convolve(padded, kernel / kernel.sum(), mode="valid")


def swings(heights: Floats, threshold_m: float = THRESHOLD_M) -> list[tuple[int, int]]:
    """Return the rises and falls that count, as (index of start, index of end).

    A swing ends where the line turns by more than the threshold; with 0 every change counts.
    """
    found: list[tuple[int, int]] = []
    start = low = high = 0
    direction = 0
    for i in range(1, len(heights)):
        if heights[i] > heights[high]:
            high = i
        if heights[i] < heights[low]:
            low = i
        if direction >= 0 and heights[high] - heights[i] > threshold_m:
            if direction > 0:
                found.append((start, high))
            start, low, direction = high, i, -1
        elif direction <= 0 and heights[i] - heights[low] > threshold_m:
            if direction < 0:
                found.append((start, low))
            start, high, direction = low, i, 1
    if direction > 0 and high > start:
        found.append((start, high))
    elif direction < 0 and low > start:
        found.append((start, low))
    return found


def climbed(heights: Floats, threshold_m: float = THRESHOLD_M) -> tuple[float, float]:
    """Return metres climbed and metres descended."""
    return up_and_down(float(heights[b] - heights[a]) for a, b in swings(heights, threshold_m))


def up_and_down(changes_m: Iterable[float]) -> tuple[float, float]:
    """Return metres climbed and metres descended of rises and falls."""
    changes = list(changes_m)
    return sum(c for c in changes if c > 0), -sum(c for c in changes if c < 0)


def rises_and_falls(shape: Profile) -> list[Climb]:
    """Return the rises and falls that count, in riding order; none reaches across a gap."""
    found = []
    for part in np.unique(shape.part):
        inside = np.flatnonzero(shape.part == part)
        heights, chainage = shape.height_m[inside], shape.chainage_m[inside]
        found += [
            Climb(float(chainage[a]), float(chainage[b]), float(heights[b] - heights[a]))
            for a, b in swings(heights)
        ]
    return found


def steepest(shape: Profile | None, noted: list[tuple[float, float, float]]) -> Steepest | None:
    """Return the steepest bit uphill over 50 m; ramps in the notes beat what was computed there.

    Args:
        shape: the smoothed profile, if any.
        noted: ramps as (from_m, to_m, gradient), uphill positive in riding order.
    """
    found = [
        Steepest(gradient, start, end - start, "notes")
        for start, end, gradient in noted
        if gradient > 0
    ]
    if shape is not None and (computed := _steepest_window(shape, noted)):
        found.append(computed)
    return max(found, key=lambda s: s.gradient, default=None)


def _steepest_window(shape: Profile, noted: list[tuple[float, float, float]]) -> Steepest | None:
    best: Steepest | None = None
    for part in np.unique(shape.part):
        inside = shape.part == part
        chainage, heights = shape.chainage_m[inside], shape.height_m[inside]
        starts = chainage[chainage + STEEP_OVER_M <= chainage[-1] + 1e-6]
        if not starts.size:
            continue
        rise = np.interp(starts + STEEP_OVER_M, chainage, heights) - heights[: starts.size]
        for start, end, _ in noted:
            rise[(starts < end) & (starts + STEEP_OVER_M > start)] = 0.0
        top = int(rise.argmax())
        gradient = max(0.0, float(rise[top]) / STEEP_OVER_M)
        if best is None or gradient > best.gradient:
            best = Steepest(gradient, float(starts[top]), STEEP_OVER_M, "recorded")
    return best
