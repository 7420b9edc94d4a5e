"""Traffic stress where the published tables do not reach: defaults, raising, signals."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from building import crossing, leg, measures_of, notes
from softpedal.library.notes import KINDS, Crossing, Leg
from softpedal.measure.stress import (
    DEFAULT_LEVEL,
    LEVEL_WORDS,
    Level,
    crossing_level,
    crossing_words,
    leg_level,
    leg_words,
)
from softpedal.measure.stress import SEPARATED as SEPARATED_KINDS

DEFAULTS = {
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
SEPARATED = ("protected track", "traffic-free path", "shared pavement", "on foot")


def level_of(kind, **more):
    return leg_level(Leg.model_validate(leg("start", kind, **more)), kind, "outbound")


def crossing_of(control, *, busy=False, **more):
    noted = Crossing.model_validate(crossing("1 km", control, **more))
    return crossing_level(noted, busy=busy)


@pytest.mark.parametrize(("kind", "level"), DEFAULTS.items())
def test_a_kind_gives_a_default_where_nothing_is_known(kind, level):
    for more in ({}, {"lanes": 6}):  # lanes without a speed change nothing
        found = level_of(kind, **more)
        assert found.level == level
        assert found.assumed is (kind not in SEPARATED)


@pytest.mark.parametrize("kind", SEPARATED)
def test_away_from_traffic_the_roads_data_do_not_matter(kind):
    assert level_of(kind, speed_limit="50 mph", lanes=6) == Level(1)


def test_the_defaults_that_the_page_prints():
    assert DEFAULT_LEVEL == DEFAULTS
    assert set(SEPARATED) == SEPARATED_KINDS


def test_levels_in_words():
    assert LEVEL_WORDS == {
        1: "away from traffic",
        2: "light, slow traffic",
        3: "among traffic",
        4: "fast or heavy traffic",
    }


@pytest.mark.parametrize("kind", KINDS)
def test_the_words_for_a_leg_do_not_flatter_its_kind(kind):
    """Only what is kept apart from traffic is called away from it."""
    light = "among traffic" if kind == "busy road" else "light, slow traffic"
    first = "away from traffic" if kind in SEPARATED else light
    assert leg_words(1, kind) == ("access traffic only" if kind == "filtered street" else first)
    assert [leg_words(level, kind) for level in (3, 4)] == list(LEVEL_WORDS.values())[2:]
    assert leg_words(2, kind) == LEVEL_WORDS[3 if kind == "busy road" else 2]


def test_the_words_for_crossings():
    words = [crossing_words(level) for level in (1, 2, 3, 4)]
    assert words == ["little stress", "some stress", "stressful", "very stressful"]


@given(
    st.sampled_from(KINDS),
    st.one_of(st.none(), st.sampled_from(["20 mph", "30 mph", "35 mph", "50 mph"])),
    st.integers(1, 8),
    st.integers(1, 4),
)
def test_raising_a_leg_never_lowers_it_and_reaches_the_level(kind, speed, lanes, raised):
    more = {"lanes": lanes} | ({"speed_limit": speed} if speed else {})
    plain = level_of(kind, **more)
    found = level_of(kind, level=raised, why="lorries to the yards", **more)
    assert found.level == max(plain.level, raised)
    if raised > plain.level:
        assert found == Level(raised, assumed=False, raised="lorries to the yards")
    else:
        assert found == plain


CONTROLS = [
    "cycle signals",
    "toucan",
    "signals",
    "pedestrian signals",
    "parallel",
    "zebra",
    "refuge",
    "roundabout",
    "none",
    "bridge",
    "underpass",
]


@given(st.sampled_from(CONTROLS), st.booleans(), st.integers(1, 8), st.integers(1, 4))
def test_raising_a_crossing_never_lowers_it(control, busy, lanes, raised):
    plain = crossing_of(control, busy=busy, lanes=lanes)
    found = crossing_of(control, busy=busy, lanes=lanes, level=raised, why="blind bend")
    assert found.level == max(plain.level, raised)


@given(
    st.lists(st.sampled_from(KINDS), min_size=1, max_size=5),
    st.lists(st.sampled_from(CONTROLS), max_size=4),
)
def test_the_worst_leg_or_crossing_wins(kinds, controls):
    legs = [leg(f"{index * 100} m", kind, closed_by="posts") for index, kind in enumerate(kinds)]
    crossings = [
        crossing(f"{index * 110 + 50} m", control, busy=index % 2 == 0 or None)
        for index, control in enumerate(controls)
    ]
    crossings = [{k: v for k, v in one.items() if v is not None} for one in crossings]
    state = measures_of(notes(legs=legs, crossings=crossings)).outbound.leading
    levels = [level.level for _, level in state.legs] + [c.level.level for c in state.crossings]
    assert len(levels) == len(kinds) + len(controls)
    assert all(state.figures.level >= level for level in levels)
    assert state.figures.level in levels


@pytest.mark.parametrize("control", ["cycle signals", "toucan", "bridge", "underpass"])
def test_crossings_away_from_traffic_are_level_1(control):
    fast = {"speed_limit": "50 mph", "lanes": 6, "vehicles_per_day": 30000}
    for movement in ("cross", "turn"):
        assert crossing_of(control, busy=True, movement=movement, **fast) == Level(1)


@pytest.mark.parametrize("control", ["signals", "pedestrian signals"])
def test_signals_without_a_cycle_stage_our_own_rule(control):
    fast = {"speed_limit": "50 mph", "ride": True}
    for lanes, level in {1: 1, 2: 1, 3: 1, 4: 2, 6: 2}.items():
        assert crossing_of(control, lanes=lanes, **fast).level == level
        assert crossing_of(control, lanes=lanes, movement="turn", **fast).level == 3
        assert crossing_of(control, lanes=lanes, movement="roundabout", **fast).level == 3
    assert crossing_of(control, **fast) == Level(1, assumed=True)  # two lanes are assumed
    assert not crossing_of(control, lanes=2, **fast).assumed


@pytest.mark.parametrize("control", ["zebra", "pedestrian signals"])
def test_pushed_over_is_level_1(control):
    fast = {"speed_limit": "50 mph", "lanes": 6}
    assert crossing_of(control, busy=True, **fast).level == 1
    assert crossing_of(control, busy=True, **fast, ride=False).level == 1


@pytest.mark.parametrize("control", ["zebra", "parallel"])
def test_zebra_and_parallel_crossings_ridden_go_by_the_unsignalised_table(control):
    slow = {"speed_limit": "30 mph", "lanes": 4, "ride": True}
    assert crossing_of(control, **slow).level == 2
    fast = {"speed_limit": "40 mph", "lanes": 2, "ride": True}
    assert crossing_of(control, **fast).level == 3
    assert crossing_of(control, ride=True, busy=True) == Level(3, assumed=True)


@pytest.mark.parametrize("control", ["none", "refuge"])
def test_an_unsignalised_crossing_of_unknown_speed_goes_by_busyness(control):
    assert crossing_of(control, busy=True) == Level(3, assumed=True)
    assert crossing_of(control, busy=False) == Level(2, assumed=True)
    assert crossing_of(control, busy=False, lanes=6) == Level(2, assumed=True)


def test_two_lanes_are_assumed_where_only_the_speed_is_known():
    assert crossing_of("none", speed_limit="40 mph") == Level(3)
    assert crossing_of("none", speed_limit="35 mph") == Level(2)


def test_a_roundabout_in_traffic_is_at_least_level_3():
    slow = {"speed_limit": "20 mph", "lanes": 2}
    assert crossing_of("roundabout", **slow).level == 3
    assert crossing_of("none", movement="roundabout", **slow).level == 3
    assert crossing_of("none", movement="roundabout").level == 3
    assert crossing_of("roundabout", speed_limit="40 mph", lanes=4).level == 4
