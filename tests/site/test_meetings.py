"""What is kept of meetings: after any change of lines they are those found from nothing."""

from __future__ import annotations

import numpy as np

from building import LAT, LON
from softpedal.library.track import Track
from softpedal.site.connections import Meetable, Sampled
from softpedal.site.meetings import Meetings, connections

#: A metre north, and a metre east at 50° north, in degrees.
NORTH, EAST = 1 / 111_229, 1 / 71_696


def wandering(random: np.random.Generator, lat: float = LAT) -> Meetable:
    """A line through a grid of streets of 100 m."""
    turns = np.where(random.random(30) < 0.4, random.choice([-1, 1], 30), 0).cumsum()
    ways = (turns + random.integers(4)) * np.pi / 2
    steps = np.c_[np.cos(ways), np.sin(ways)].cumsum(axis=0) * 100
    steps += random.integers(0, 8, 2) * 100 + random.choice([0, 50])
    track = Track(
        lat + steps[:, 1] * NORTH,
        LON + steps[:, 0] * EAST,
        np.full(30, np.nan),
        np.zeros(30, dtype=np.int64),
    )
    return Meetable((), (track.at(0), track.at(track.length_m)), Sampled.of(track))


def test_after_any_change_meetings_are_those_found_from_nothing() -> None:
    random = np.random.default_rng(7)
    routes = {f"r{number}": wandering(random) for number in range(12)}
    meetings = Meetings()
    meetings.of(routes)
    met = 0
    for step in range(60):
        for _ in range(random.integers(1, 3)):
            name = f"r{random.integers(16)}"
            if name in routes and random.random() < 0.3:
                del routes[name]
            else:
                routes[name] = wandering(random)
        routes = dict(sorted(routes.items(), key=lambda _: random.random()))
        found = meetings.of(routes)
        assert found == connections(routes), step
        met += sum(len(each.crosses) + len(each.shares) for each in found.values())
    assert met > 1000


def test_who_meets_the_same_keeps_the_very_same() -> None:
    random = np.random.default_rng(3)
    routes = {f"r{number}": wandering(random) for number in range(8)}
    routes["far"] = wandering(random, LAT + 0.2)
    meetings = Meetings()
    before = meetings.of(routes)
    routes["r3"] = wandering(random)
    after = meetings.of(routes)
    assert after["far"] is before["far"]
    assert after["r3"] is not before["r3"]


def test_a_library_that_moves_to_another_middle_is_found_anew() -> None:
    """The projection goes by it, so that all distances change by a hair."""
    random = np.random.default_rng(5)
    routes = {f"r{number}": wandering(random) for number in range(4)}
    meetings = Meetings()
    meetings.of(routes)
    routes |= {f"north-{number}": wandering(random, LAT + 6) for number in range(4)}
    assert meetings.of(routes) == connections(routes)
    assert meetings.of({}) == {}
    assert meetings.of(routes) == connections(routes)
