"""The tables of traffic stress: Mekuria, Furth & Nixon, Mineta report 11-19 (2012).

Typed in from the design, cell by cell, and run through legs and crossings as an author writes
them.
"""

from __future__ import annotations

import itertools

import pytest

from building import crossing, leg
from softpedal.library.notes import Crossing, Leg
from softpedal.measure.stress import crossing_level, leg_level

LANES = {1: "2-3", 2: "2-3", 3: "2-3", 4: "4-5", 5: "4-5", 6: "6+", 8: "6+", 12: "6+"}
#: Speeds as written, and the column of table 4: a speed between columns takes the higher.
MIXED_SPEEDS = {
    "15 mph": 25,
    "20 mph": 25,
    "25 mph": 25,
    "26 mph": 30,
    "30 mph": 30,
    "31 mph": 35,
    "35 mph": 35,
    "40 mph": 35,
    "60 mph": 35,
    "20 km/h": 25,
    "30 km/h": 25,
    "40 km/h": 25,
    "50 km/h": 30,
    "60 km/h": 35,
    "80 km/h": 35,
}
#: Table 4: lanes, column, then (lower, upper) of the two values.
MIXED_TRAFFIC = {
    ("2-3", 25): (1, 2),
    ("2-3", 30): (2, 3),
    ("2-3", 35): (4, 4),
    ("4-5", 25): (3, 3),
    ("4-5", 30): (4, 4),
    ("4-5", 35): (4, 4),
    ("6+", 25): (4, 4),
    ("6+", 30): (4, 4),
    ("6+", 35): (4, 4),
}
MIXED_KINDS = ("mixed street", "bus lane", "busy road", "back street", "filtered street")


def level_of(kind, direction="outbound", **more):
    return leg_level(Leg.model_validate(leg("start", kind, **more)), kind, direction)


@pytest.mark.parametrize(("lanes", "rows"), LANES.items())
@pytest.mark.parametrize(("written", "column"), MIXED_SPEEDS.items())
@pytest.mark.parametrize("kind", ["mixed street", "bus lane", "busy road"])
def test_table_4_mixed_traffic(kind, written, column, lanes, rows):
    """Report 11-19, table 4: lower where no centre line, or residential with under 3 lanes."""
    low, high = MIXED_TRAFFIC[rows, column]

    def level(**more):
        found = level_of(kind, speed_limit=written, lanes=lanes, **more)
        assert not found.assumed
        return found.level

    assert level() == high
    assert level(centre_line=True) == high
    assert level(centre_line=False) == low
    assert level(residential=True) == (low if lanes < 3 else high)
    assert level(residential=True, centre_line=False) == low


@pytest.mark.parametrize(("lanes", "rows"), LANES.items())
@pytest.mark.parametrize(("written", "column"), MIXED_SPEEDS.items())
def test_table_4_on_back_and_filtered_streets(written, column, lanes, rows):
    """A missing centre line counts as unmarked there; filtered at 25 mph or less is 1."""
    low, high = MIXED_TRAFFIC[rows, column]
    for kind in ("back street", "filtered street"):
        slow_filter = kind == "filtered street" and column == 25
        found = level_of(kind, speed_limit=written, lanes=lanes)
        assert found.level == (1 if slow_filter else low)
        marked = level_of(kind, speed_limit=written, lanes=lanes, centre_line=True)
        assert marked.level == (1 if slow_filter else high)


def test_table_4_two_lanes_are_assumed_where_only_the_speed_is_known():
    for kind, written in itertools.product(MIXED_KINDS, MIXED_SPEEDS):
        assert level_of(kind, speed_limit=written) == level_of(kind, speed_limit=written, lanes=2)


#: The criteria of a painted lane with no parking beside it, table 3.
LANES_WITHOUT_MEDIAN = {1: 1, 2: 1, 3: 3, 4: 3, 5: 3, 6: 3}
LANES_WITH_MEDIAN = {1: 1, 2: 1, 3: 2, 4: 2, 5: 3, 6: 3}
WIDTH = {"6 ft": 1, "1.83 m": 1, "2.5 m": 1, "1.82 m": 2, "5 ft": 2, None: 2}
SPEED = {"20 mph": 1, "30 mph": 1, "50 km/h": 1, "31 mph": 3, "35 mph": 3, "60 km/h": 3} | {
    "36 mph": 4,
    "40 mph": 4,
    "50 mph": 4,
}
BLOCKED = {None: 1, "rare": 1, "frequent": 3}


@pytest.mark.parametrize("median", [False, True])
@pytest.mark.parametrize("lanes", range(1, 7))
def test_table_3_painted_lane_without_parking(lanes, median):
    """Report 11-19, table 3: the worst criterion wins; per direction = half the lanes, up."""
    by_lanes = (LANES_WITH_MEDIAN if median else LANES_WITHOUT_MEDIAN)[lanes]
    for width, written, blocked in itertools.product(WIDTH, SPEED, BLOCKED):
        more = {"lane_width": width, "blocked": blocked}
        known = {key: value for key, value in more.items() if value is not None}
        found = level_of("painted lane", speed_limit=written, lanes=lanes, median=median, **known)
        worst = max(by_lanes, WIDTH[width], SPEED[written], BLOCKED[blocked])
        assert (found.level, found.assumed) == (worst, False), (width, written, blocked)


#: The criteria of a painted lane beside parking, table 2.
LANES_BESIDE_PARKING = {1: 1, 2: 1, 3: 3, 4: 3, 5: 3, 6: 3}
BOTH_WIDTHS = {
    ("5 ft", "10 ft"): 1,
    ("2.0 m", "2.6 m"): 1,
    ("5 ft", "9.9 ft"): 2,
    ("5 ft", "9.5 ft"): 2,
    ("5 ft", "9 ft"): 2,
    ("5 ft", "8.9 ft"): 3,
    ("5 ft", "8.5 ft"): 3,
    ("1.5 m", "2.0 m"): 3,
    ("9 ft", None): 3,
    (None, "16 ft"): 3,
    (None, None): 3,
}
SPEED_BESIDE_PARKING = {
    "20 mph": 1,
    "25 mph": 1,
    "26 mph": 2,
    "30 mph": 2,
    "50 km/h": 2,
    "31 mph": 3,
    "35 mph": 3,
    "36 mph": 4,
    "40 mph": 4,
}


@pytest.mark.parametrize("lanes", range(1, 7))
def test_table_2_painted_lane_beside_parking(lanes):
    """Report 11-19, table 2: a missing width takes the narrower class."""
    for widths, written, blocked in itertools.product(BOTH_WIDTHS, SPEED_BESIDE_PARKING, BLOCKED):
        more = {"lane_width": widths[0], "parking_width": widths[1], "blocked": blocked}
        known = {key: value for key, value in more.items() if value is not None}
        found = level_of("painted lane", speed_limit=written, lanes=lanes, parking=True, **known)
        worst = max(
            LANES_BESIDE_PARKING[lanes],
            BOTH_WIDTHS[widths],
            SPEED_BESIDE_PARKING[written],
            BLOCKED[blocked],
        )
        assert found.level == worst, (widths, written, blocked)


def test_parking_and_blocking_of_one_direction_count_there_only():
    more = {
        "speed_limit": "30 mph",
        "lanes": 2,
        "lane_width": "1.83 m",
        "parking": {"outbound": True, "return": False},
        "blocked": {"outbound": "rare", "return": "frequent"},
    }
    assert level_of("painted lane", **more).level == 3  # beside parking of unknown width
    assert level_of("painted lane", "return", **more).level == 3  # blocked
    more["blocked"] = "rare"
    assert level_of("painted lane", "return", **more).level == 1


CROSSING_SPEEDS = {
    "20 mph": 0,
    "25 mph": 0,
    "26 mph": 1,
    "30 mph": 1,
    "50 km/h": 1,
    "31 mph": 2,
    "35 mph": 2,
    "60 km/h": 2,
    "36 mph": 3,
    "40 mph": 3,
    "50 mph": 3,
}
BINS = {1: 0, 2: 0, 3: 0, 4: 1, 5: 1, 6: 2, 7: 2, 12: 2}
#: Rows: up to 25, 30, 35, 40 mph and more. Columns: up to 3, 4-5, 6 lanes and more.
WITHOUT_REFUGE = [(1, 2, 4), (1, 2, 4), (2, 3, 4), (3, 4, 4)]
WITH_REFUGE = [(1, 1, 2), (1, 2, 3), (2, 3, 4), (3, 4, 4)]


@pytest.mark.parametrize(("lanes", "column"), BINS.items())
@pytest.mark.parametrize(
    ("control", "table"), [("none", WITHOUT_REFUGE), ("refuge", WITH_REFUGE)], ids=str
)
def test_unsignalised_crossings(control, table, lanes, column):
    """Report 11-19, unsignalised crossings; lane bins of the refuge table are from memory."""
    for (written, row), busy in itertools.product(CROSSING_SPEEDS.items(), (False, True)):
        known = {"speed_limit": written, "lanes": lanes}
        noted = Crossing.model_validate(crossing("1 km", control, **known))
        found = crossing_level(noted, busy=busy)
        assert (found.level, found.assumed) == (table[row][column], False), written


@pytest.mark.parametrize(
    ("kmh", "mph"),
    [(5, 5), (10, 5), (20, 10), (30, 20), (40, 25), (50, 30), (60, 35), (70, 45), (80, 50)],
)
def test_km_h_are_rounded_to_the_nearest_5_mph(kmh, mph):
    """The design: 30 → 20, 50 → 30, 60 → 35; 1 mph = 1.609344 km/h."""
    noted = Leg.model_validate(leg("start", "mixed street", speed_limit=f"{kmh} km/h"))
    assert noted.speed_limit.mph == mph


def test_mph_are_kept_as_written():
    noted = Leg.model_validate(leg("start", "mixed street", speed_limit="27 mph"))
    assert noted.speed_limit.mph == 27
