"""Levels of traffic stress, 1 (away from traffic) to 4 (fast or heavy traffic).

After Mekuria, Furth & Nixon, Low-Stress Bicycling and Network Connectivity, Mineta Transportation
Institute report 11-19 (2012). Within a leg the worst criterion wins; levels are never averaged.
The lane bins of the crossing table with a refuge are from memory. The rule for signals without a
cycle stage is our own.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from softpedal.library.notes import Crossing, Direction, Kind, Leg

FOOT_M = 0.3048

LEVEL_WORDS = {
    1: "away from traffic",
    2: "light, slow traffic",
    3: "among traffic",
    4: "fast or heavy traffic",
}

#: At level 1 some kinds of street still have traffic; pages must not say otherwise.
ACCESS_ONLY_WORDS = "access traffic only"
CROSSING_WORDS = {1: "little stress", 2: "some stress", 3: "stressful", 4: "very stressful"}

#: Level where neither notes nor map give the speed.
DEFAULT_LEVEL: dict[Kind, int] = {
    "protected track": 1,
    "traffic-free path": 1,
    "filtered street": 1,
    "back street": 2,
    "shared pavement": 1,
    "painted lane": 3,
    "bus lane": 3,
    "mixed street": 3,
    "busy road": 4,
    "on foot": 1,
}
#: Kinds whose level does not depend on a road's data.
SEPARATED: frozenset[Kind] = frozenset(
    {"protected track", "traffic-free path", "shared pavement", "on foot"}
)
#: From this default level on, one rides among traffic.
AMONG_TRAFFIC_LEVEL = 3
DEFAULT_BUSY_CROSSING = 3
DEFAULT_CROSSING = 2
#: Lanes of both directions where only the speed is known.
ASSUMED_LANES = 2

MIXED_SPEEDS_MPH = (25.0, 30.0)
#: Table 4 by lanes (up to 3, 4-5, 6 and more) and speed (up to 25, 30, more): lower and upper.
MIXED_TRAFFIC = (
    ((1, 2), (2, 3), (4, 4)),
    ((3, 3), (4, 4), (4, 4)),
    ((4, 4), (4, 4), (4, 4)),
)
CROSSING_SPEEDS_MPH = (25.0, 30.0, 35.0)
#: Unsignalised crossing by speed (up to 25, 30, 35, more) and lanes (up to 3, 4-5, 6 and more).
CROSSING_PLAIN = ((1, 2, 4), (1, 2, 4), (2, 3, 4), (3, 4, 4))
CROSSING_REFUGE = ((1, 1, 2), (1, 2, 3), (2, 3, 4), (3, 4, 4))

#: Widths of a lane, and of lane and parking together, at which the level falls, in metres.
LANE_WIDE_M = 6 * FOOT_M
WITH_PARKING_M = (14 * FOOT_M, 15 * FOOT_M)

CYCLE_STAGE = frozenset({"cycle signals", "toucan"})
GRADE_SEPARATED = frozenset({"bridge", "underpass"})
SIGNALS = frozenset({"signals", "pedestrian signals"})
ROUNDABOUT_LEVEL = 3
#: Our own rule: turning across the traffic of a busy road, which the table does not cover.
TURN_LEVEL = 3


@dataclass(frozen=True, slots=True)
class Level:
    """A level, and what it rests on.

    Attributes:
        level: 1 to 4.
        assumed: no speed is known, so the kind of street or road gave the level.
        raised: the author's reason for a higher level, or "".
    """

    level: int
    assumed: bool = False
    raised: str = ""


def mixed_traffic(mph: float, lanes: int, *, centre_line: bool, residential: bool) -> int:
    """Return the level of riding among traffic (table 4); `lanes` of both directions."""
    low, high = MIXED_TRAFFIC[_lane_bin(lanes)][_column(mph, MIXED_SPEEDS_MPH)]
    return low if not centre_line or (residential and lanes < 3) else high


def bike_lane(
    mph: float, lanes_per_direction: int, width_m: float, *, median: bool, often_blocked: bool
) -> int:
    """Return the level of a painted lane with no parking beside it (table 3)."""
    lanes = 1 if lanes_per_direction <= 1 else 2 if lanes_per_direction == 2 and median else 3
    width = 1 if width_m >= LANE_WIDE_M - 1e-9 else 2
    speed = 1 if mph <= 30 else 3 if mph <= 35 else 4
    return max(lanes, width, speed, 3 if often_blocked else 1)


def bike_lane_beside_parking(
    mph: float, lanes_per_direction: int, width_m: float, *, often_blocked: bool
) -> int:
    """Return the level of a painted lane beside parking (table 2); width of both together."""
    lanes = 1 if lanes_per_direction <= 1 else 3
    narrow, wide = WITH_PARKING_M
    width = 1 if width_m >= wide - 1e-9 else 2 if width_m >= narrow - 1e-9 else 3
    speed = 1 if mph <= 25 else 2 if mph <= 30 else 3 if mph <= 35 else 4
    return max(lanes, width, speed, 3 if often_blocked else 1)


def unsignalised_crossing(mph: float, lanes: int, *, refuge: bool) -> int:
    """Return the level of crossing a road without signals; `lanes` of both directions."""
    table = CROSSING_REFUGE if refuge else CROSSING_PLAIN
    return table[_column(mph, CROSSING_SPEEDS_MPH)][_lane_bin(lanes)]


def leg_words(level: int, kind: Kind) -> str:
    """Return a leg's level in words that do not flatter its kind."""
    if kind == "busy road":  # heavy or fast by what the word means, whatever speed and lanes say
        return LEVEL_WORDS[max(3, level)]
    if level == 1 and kind not in SEPARATED:
        return ACCESS_ONLY_WORDS if kind == "filtered street" else LEVEL_WORDS[2]
    return LEVEL_WORDS[level]


def crossing_words(level: int, *, open_and_busy: bool = False) -> str:
    """Return a crossing's level in words; a busy road without signals is never little stress."""
    return CROSSING_WORDS[max(2, level) if open_and_busy else level]


def leg_level(leg: Leg, kind: Kind, direction: Direction) -> Level:
    """Return the level of a leg measured as a kind, in one direction."""
    if kind in SEPARATED:
        return _raised(1, leg.level, leg.why)
    if leg.speed_limit is None:
        return _raised(DEFAULT_LEVEL[kind], leg.level, leg.why, assumed=True)
    mph = leg.speed_limit.mph
    lanes = leg.lanes or ASSUMED_LANES
    if kind == "painted lane":
        return _raised(_painted_lane(leg, mph, lanes, direction), leg.level, leg.why)
    if kind == "filtered street" and mph <= MIXED_SPEEDS_MPH[0]:
        return _raised(1, leg.level, leg.why)
    usually_unmarked = kind in ("back street", "filtered street")
    centre_line = not usually_unmarked if leg.centre_line is None else leg.centre_line
    level = mixed_traffic(mph, lanes, centre_line=centre_line, residential=leg.residential)
    return _raised(level, leg.level, leg.why)


def _painted_lane(leg: Leg, mph: float, lanes: int, direction: Direction) -> int:
    per_direction = math.ceil(lanes / 2)
    often = leg.blocked is not None and leg.blocked.get(direction) == "frequent"
    width = (leg.lane_width and leg.lane_width.get(direction)) or 0.0
    if leg.parking is not None and leg.parking.get(direction):
        parking = leg.parking_width and leg.parking_width.get(direction)
        both = width + parking if width and parking else 0.0
        return bike_lane_beside_parking(mph, per_direction, both, often_blocked=often)
    return bike_lane(mph, per_direction, width, median=leg.median, often_blocked=often)


def crossing_level(crossing: Crossing, *, busy: bool) -> Level:
    """Return the level of a crossing; `busy` decides where no speed is known."""
    control = crossing.control
    own = crossing.level, crossing.why
    if control in GRADE_SEPARATED or control in CYCLE_STAGE:
        return _raised(1, *own)
    if not crossing.is_ridden and (control in SIGNALS or control in ("zebra", "parallel")):
        return _raised(1, *own)
    least = ROUNDABOUT_LEVEL if "roundabout" in (control, crossing.movement) else 1
    if control in SIGNALS:
        level = max(least, _signals(crossing))
        return _raised(level, *own, assumed=crossing.lanes is None and level < ROUNDABOUT_LEVEL)
    if crossing.speed_limit is None:
        default = DEFAULT_BUSY_CROSSING if busy else DEFAULT_CROSSING
        return _raised(max(least, default), *own, assumed=True)
    lanes = crossing.lanes or ASSUMED_LANES
    if busy and crossing.movement == "turn":
        least = TURN_LEVEL
    level = unsignalised_crossing(crossing.speed_limit.mph, lanes, refuge=control == "refuge")
    return _raised(max(least, level), *own)


def _signals(crossing: Crossing) -> int:
    """Our own rule for signals without a cycle stage."""
    if crossing.movement != "cross":
        return 3
    return 1 if (crossing.lanes or ASSUMED_LANES) <= 3 else 2


def _raised(level: int, authors: int | None, why: str | None, *, assumed: bool = False) -> Level:
    if authors is not None and authors > level:
        return Level(authors, assumed=False, raised=why or "")
    return Level(level, assumed)


def _column(mph: float, upper_ends: tuple[float, ...]) -> int:
    """Return the column of a speed; one between two columns takes the higher."""
    return sum(mph > end for end in upper_ends)


def _lane_bin(lanes: int) -> int:
    return 0 if lanes <= 3 else 1 if lanes <= 5 else 2
