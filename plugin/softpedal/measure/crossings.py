"""Busy-road crossings and dismounts, each counted once as it is met."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.measure.stress import (
    ASSUMED_LANES,
    GRADE_SEPARATED,
    Level,
    crossing_level,
    crossing_words,
    unsignalised_crossing,
)
from softpedal.measure.waiting import crossing_wait_s

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from softpedal.library.notes import Crossing, Dismount
    from softpedal.library.route import Line, Placed
    from softpedal.settings import Settings

BUSY_VEHICLES_PER_DAY = 2000
BUSY_LEVEL = 3
BUSY_CLASSES = frozenset({"trunk", "primary", "secondary"})
CONTROLLED = frozenset(
    {"cycle signals", "toucan", "signals", "pedestrian signals", "parallel", "zebra"}
)
#: What the rider must do, and so is counted; the rest is listed and counted apart.
COUNTED = frozenset({"law", "barrier"})


@dataclass(frozen=True, slots=True)
class MetCrossing:
    """A crossing as it is met.

    Attributes:
        at_m: chainage.
        crossing: its notes.
        busy: whether it counts as a busy-road crossing.
        level: its traffic stress.
        wait_s: seconds to expect, None where not known.
    """

    at_m: float
    crossing: Crossing
    busy: bool
    level: Level
    wait_s: float | None

    @property
    def controlled(self) -> bool:
        """Whether it has signals or a zebra."""
        return self.crossing.control in CONTROLLED

    @property
    def is_open(self) -> bool:
        """Whether one crosses among traffic that nothing stops."""
        return not self.controlled and self.crossing.control not in GRADE_SEPARATED

    @property
    def words(self) -> str:
        """Its level in words."""
        return crossing_words(self.level.level, open_and_busy=self.busy and self.is_open)


@dataclass(frozen=True, slots=True)
class MetDismount:
    """A place outside pushed stretches where one gets off; `counted` if one must."""

    at_m: float
    why: str
    metres: float
    counted: bool
    dismount: Dismount | None = None


def is_busy(crossing: Crossing) -> bool:
    """Whether a crossing is one of a busy road. Signals remove stress, not busyness."""
    if crossing.control in GRADE_SEPARATED:
        return False
    if crossing.busy or crossing.road_class in BUSY_CLASSES:
        return True
    if (crossing.vehicles_per_day or 0) > BUSY_VEHICLES_PER_DAY:
        return True
    if crossing.speed_limit is None:
        return False
    level = unsignalised_crossing(
        crossing.speed_limit.mph,
        crossing.lanes or ASSUMED_LANES,
        refuge=crossing.control == "refuge",
    )
    return level >= BUSY_LEVEL


def met_crossings(line: Line, is_open: Mapping[str, bool], settings: Settings) -> list[MetCrossing]:
    """Return the crossings that are there at the time, in riding order."""
    met = []
    for placed in line.crossings:
        crossing = placed.item
        if is_there(crossing.hours, is_open):
            busy = is_busy(crossing)
            met.append(
                MetCrossing(
                    placed.at_m,
                    crossing,
                    busy,
                    crossing_level(crossing, busy=busy),
                    crossing_wait_s(crossing, settings),
                )
            )
    return met


def met_dismounts(
    line: Line,
    crossings: Sequence[MetCrossing],
    pushed: Sequence[tuple[float, float]],
    is_open: Mapping[str, bool],
) -> list[MetDismount]:
    """Return the dismounts outside pushed stretches, in riding order.

    A crossing by zebra or pedestrian signals is one unless its notes say `ride: true` (common
    practice; local law decides).
    """
    noted: list[Placed[Dismount]] = [p for p in line.dismounts if is_there(p.item.hours, is_open)]
    met = [
        MetDismount(p.at_m, p.item.why, p.item.metres, p.item.must in COUNTED, p.item)
        for p in noted
    ]
    met += [
        MetDismount(c.at_m, f"push over the {c.crossing.control}", 0.0, counted=True)
        for c in crossings
        if c.controlled and not c.crossing.is_ridden
    ]
    outside = [d for d in met if not any(start <= d.at_m <= end for start, end in pushed)]
    return sorted(outside, key=lambda d: d.at_m)


def is_there(hours: str | None, is_open: Mapping[str, bool]) -> bool:
    """Whether something with these hours is there at the time."""
    return hours is None or is_open.get(hours, False)
