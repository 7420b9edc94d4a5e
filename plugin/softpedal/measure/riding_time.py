"""How long the riding takes.

Speed falls 1.44 km/h for each 1 % up and rises 0.86 km/h for each 1 % down, after Parkin &
Rotheram (2010), Design speeds and acceleration characteristics of bicycle traffic, Transport
Policy; the two slopes are from memory.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.track import Floats
    from softpedal.measure.height import Profile
    from softpedal.measure.legs import Stretch
    from softpedal.settings import Settings

SLOWER_UP_KMH_PER_PERCENT = 1.44
FASTER_DOWN_KMH_PER_PERCENT = 0.86
SLOWEST_KMH = 6.0
FASTEST_ABOVE_CRUISE_KMH = 5.0
KMH = 1 / 3.6


def speed_kmh(gradient: Floats, cruise_kmh: float) -> Floats:
    """Return the speed on a gradient (a share, uphill positive), in km/h."""
    percent = 100 * np.asarray(gradient, dtype=np.float64)
    speed = cruise_kmh - np.where(
        percent > 0,
        SLOWER_UP_KMH_PER_PERCENT * percent,
        FASTER_DOWN_KMH_PER_PERCENT * percent,
    )
    return np.clip(speed, SLOWEST_KMH, cruise_kmh + FASTEST_ABOVE_CRUISE_KMH)


def moving_s(met: Sequence[Stretch], shape: Profile | None, settings: Settings) -> float:
    """Return the seconds of riding and of pushing along the legs, without waits."""
    walked = sum(s.length_m for s in met if s.kind == "on foot")
    ridden = [(s.from_m, s.to_m) for s in met if s.kind != "on foot"]
    seconds = walked / settings.walking_speed
    if shape is None:
        metres = sum(end - start for start, end in ridden)
        return seconds + metres / (settings.cruising_speed * KMH)
    speeds = speed_kmh(shape.gradients(), settings.cruising_speed) * KMH
    clock = np.concatenate(([0.0], np.cumsum(np.diff(shape.chainage_m) / speeds)))
    for start, end in ridden:
        a, b = np.interp([start, end], shape.chainage_m, clock)
        seconds += float(b - a)
    return seconds
