"""How routes meet, on lines whose meetings are plain."""

from __future__ import annotations

import time

import numpy as np
import pytest

from building import LAT, LON, line_east, line_north, track_of
from softpedal.library.track import Track
from softpedal.site.connections import Meetable, Sampled
from softpedal.site.meetings import connections

#: A metre north, and a metre east at 50° north, in degrees.
NORTH, EAST = 1 / 111_229, 1 / 71_696


def meetable(points, onward=(), parts=()) -> Meetable:
    track = track_of(points, parts)
    return Meetable(onward, (track.at(0), track.at(track.length_m)), Sampled.of(track))


def met(**routes):
    return connections({name.replace("_", "-"): route for name, route in routes.items()})


def test_a_crossing_is_told_on_both_with_its_chainage() -> None:
    found = met(
        east=meetable(line_east(2000)),
        north=meetable(line_north(1500, lat=LAT - 500 * NORTH, lon=LON + 700 * EAST)),
    )
    (on_east,), (on_north,) = found["east"].crosses, found["north"].crosses
    assert (on_east.other, on_north.other) == ("north", "east")
    assert on_east.at_m == pytest.approx(700, abs=3)
    assert on_north.at_m == pytest.approx(500, abs=3)
    assert found["east"].shares == found["north"].shares == found["east"].onward == []


def test_a_shared_stretch_is_told_once_and_its_crossings_are_not() -> None:
    """The second line comes from the south, weaves along the first for 400 m, and goes north."""
    own = [(LAT - 400 * NORTH, LON + 600 * EAST)]
    own += [
        (LAT + side * 4 * NORTH, LON + east * EAST)
        for side, east in zip([-1, 1, -1, 1, 1], range(600, 1001, 100), strict=True)
    ]
    own += [(LAT + 500 * NORTH, LON + 1000 * EAST)]
    found = met(east=meetable(line_east(2000)), weave=meetable(own))
    (shared,) = found["east"].shares
    assert (shared.other, found["east"].crosses) == ("weave", [])
    assert (shared.at_m, shared.to_m) == pytest.approx((600, 1000), abs=25)
    (back,) = found["weave"].shares
    assert (back.at_m, back.to_m) == pytest.approx((400, 800), abs=30)


def test_a_parallel_street_and_a_short_stretch_are_not_shared() -> None:
    found = met(
        east=meetable(line_east(2000)),
        parallel=meetable(line_east(2000, lat=LAT + 30 * NORTH)),
        brief=meetable(
            [
                (LAT + 300 * NORTH, LON + 500 * EAST),
                (LAT + 10 * NORTH, LON + 500 * EAST),
                (LAT + 10 * NORTH, LON + 560 * EAST),
                (LAT + 300 * NORTH, LON + 560 * EAST),
            ]
        ),
    )
    assert found["east"].shares == []
    assert found["parallel"].shares == []


def test_a_shared_stretch_counts_the_other_way_round_too() -> None:
    found = met(east=meetable(line_east(500)), west=meetable(line_east(500)[::-1]))
    assert [(m.at_m, m.to_m) for m in found["west"].shares] == [(0, pytest.approx(500, abs=1))]


def test_ends_that_meet_are_told_with_those_of_the_notes_first() -> None:
    found = met(
        first=meetable(line_east(1000), onward=["far"]),
        second=meetable(line_east(1000, lon=LON + 1200 * EAST)),
        third=meetable(line_east(1000, lon=LON + 1300 * EAST, lat=LAT + 400 * NORTH)),
        far=meetable(line_east(1000, lat=LAT + 9000 * NORTH)),
    )
    assert found["first"].onward == ["far", "second"]
    assert found["third"].onward == []


def test_nothing_is_met_in_a_gap_of_a_track() -> None:
    """The way between two parts is unknown: the line across the gap is not there."""
    points = [*line_east(400), *line_east(400, lon=LON + 1000 * EAST)]
    cut = next(i for i in range(1, len(points)) if points[i][1] - points[i - 1][1] > 300 * EAST)
    found = met(
        gap=meetable(points, parts=[cut]),
        north=meetable(line_north(1000, lat=LAT - 500 * NORTH, lon=LON + 700 * EAST)),
    )
    assert found["gap"].crosses == found["north"].crosses == []


def test_a_line_that_crosses_twice_is_told_twice() -> None:
    wave = [
        (LAT + north * NORTH, LON + east * EAST)
        for north, east in [(200, 400), (-200, 600), (200, 800)]
    ]
    crosses = met(east=meetable(line_east(2000)), wave=meetable(wave))["east"].crosses
    assert [m.at_m for m in crosses] == pytest.approx([500, 700], abs=3)


def test_one_route_or_none_meets_nothing() -> None:
    assert connections({}) == {}
    assert met(alone=meetable(line_east(500)))["alone"].crosses == []


def test_five_hundred_routes_take_seconds() -> None:
    random = np.random.default_rng(2)
    routes = {}
    for number in range(500):
        turns = np.where(random.random(60) < 0.4, random.choice([-1, 1], 60), 0).cumsum()
        ways = (turns + random.integers(4)) * np.pi / 2
        steps = (
            np.c_[np.cos(ways), np.sin(ways)].cumsum(axis=0) * 100 + random.integers(0, 80) * 150
        )
        lat, lon = LAT + steps[:, 1] * NORTH, LON + steps[:, 0] * EAST
        track = Track(lat, lon, np.full(60, np.nan), np.zeros(60, dtype=np.int64))
        ends = (track.at(0), track.at(track.length_m))
        routes[f"r{number}"] = Meetable((), ends, Sampled.of(track))
    start = time.process_time()
    found = connections(routes)
    assert time.process_time() - start < 15  # about 3 s; the machine may be slow
    assert sum(len(each.crosses) for each in found.values()) > 1000
