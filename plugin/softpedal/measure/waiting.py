"""How long one waits to cross: HCM gap acceptance, and random arrival at signals.

The two formulas are those of the Highway Capacity Manual (unsignalised crossing delay) and of
uniform signal delay. The constants for a route are this project's own.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from softpedal.measure.stress import ASSUMED_LANES

if TYPE_CHECKING:
    from softpedal.library.notes import Crossing
    from softpedal.settings import Settings

LANE_WIDTH_M = 3.5
CROSSING_SPEED_MS = 1.2
START_UP_S = 3.0
#: Share of a day's traffic in the busy hour for which the wait is worked out.
PEAK_HOUR_SHARE = 0.07
#: No wait is counted above this.
MAX_WAIT_S = 120.0

_AT_ONCE = frozenset({"zebra", "parallel", "bridge", "underpass"})
_BY_SIGNAL = frozenset({"cycle signals", "toucan", "signals", "pedestrian signals"})


def critical_gap_s(length: float, speed: float, start_up_s: float) -> float:
    """Return the shortest gap in traffic that is used: L / S_p + t_s.

    Args:
        length: of the crossing, in any unit of length.
        speed: of the person crossing, in that unit a second.
        start_up_s: seconds to start and to be clear.
    """
    return length / speed + start_up_s


def gap_wait_s(vehicles_per_s: float, gap_s: float) -> float:
    """Return the mean wait for a gap: d = (e^(v·t) − v·t − 1) / v. HCM, unsignalised crossings."""
    x = vehicles_per_s * gap_s
    if x <= 0:
        return 0.0
    if x > 500:
        return math.inf
    if x < 1e-5:  # the first terms of the series, where the difference would cancel
        return vehicles_per_s * gap_s**2 * (0.5 + x / 6)
    return (math.expm1(x) - x) / vehicles_per_s


def signal_wait_s(cycle_s: float, green_s: float) -> float:
    """Return the mean wait at signals for random arrival: d = (C − g)² / 2C."""
    return (cycle_s - min(green_s, cycle_s)) ** 2 / (2 * cycle_s)


def crossing_wait_s(crossing: Crossing, settings: Settings) -> float | None:
    """Return the wait to expect at a crossing in seconds, or None where it is not known."""
    if crossing.wait is not None:
        return crossing.wait
    if crossing.control in _AT_ONCE:
        return 0.0
    if crossing.control in _BY_SIGNAL:
        return min(signal_wait_s(settings.signal_cycle, settings.signal_green), MAX_WAIT_S)
    if crossing.vehicles_per_day is None:
        return None
    vehicles_per_s = PEAK_HOUR_SHARE * crossing.vehicles_per_day / 3600
    lanes = crossing.lanes or ASSUMED_LANES
    stages = 1
    if crossing.control == "refuge":  # each half is crossed by itself, against its own traffic
        stages, lanes, vehicles_per_s = 2, math.ceil(lanes / 2), vehicles_per_s / 2
    gap = critical_gap_s(LANE_WIDTH_M * lanes, CROSSING_SPEED_MS, START_UP_S)
    return min(stages * gap_wait_s(vehicles_per_s, gap), MAX_WAIT_S)
