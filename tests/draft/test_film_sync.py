"""Each second of a film at its place on the line."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings, strategies

from draft.films import filmed, one_per_take
from softpedal.draft.film_points import FilmError, parse_sync
from softpedal.draft.film_sync import place_suggestions, sync
from softpedal.draft.heard import second_at
from softpedal.draft.observed import Suggestion
from softpedal.settings import Settings

SETTINGS = Settings()
SEEDS = range(30)
#: Share of the seconds whose place is as near to the truth as is said.
COVERED = 0.95


def misses(film, found):
    """Return (true error, stated bound) at each fourth second, where both know a place."""
    rows = []
    for second in range(2, len(film.shown) - 2, 4):
        placed = found.place(float(second))
        if placed is None:  # the film begins before the line, or ends after it
            assert second < 12 or second > len(film.shown) - 12
            continue
        rows.append((abs(placed[0] - film.truth(second)), placed[1]))
    return np.array(rows)


@pytest.mark.parametrize("typed", [True, False])
@pytest.mark.parametrize("cut_waits", [0, 1, 2])
def test_waits_that_were_left_out_leave_every_remark_within_25_m(cut_waits, typed):
    for seed in SEEDS:
        film = filmed(seed, cut_waits, trimmed_s=seed)
        points = parse_sync(one_per_take(film, seed), film.ride, SETTINGS)
        found = sync(film.ride, points, film.cuts if typed else (), len(film.shown))
        off = misses(film, found)
        assert off[:, 0].max() <= 25, (seed, found.remarks)


def test_cuts_in_mid_ride_that_are_typed_leave_every_remark_within_25_m():
    for seed in SEEDS:
        film = filmed(seed, mid_cuts=2)
        points = parse_sync(one_per_take(film, seed), film.ride, SETTINGS)
        assert misses(film, sync(film.ride, points, film.cuts))[:, 0].max() <= 25, seed


def test_what_is_not_known_of_cuts_in_mid_ride_is_said():
    """A cut in mid-ride that is as long as a wait near by is taken for that wait."""
    rows = []
    for seed in range(60):
        film = filmed(seed, mid_cuts=2)
        points = parse_sync(one_per_take(film, seed), film.ride, SETTINGS)
        rows.append(misses(film, sync(film.ride, points)))
    off = np.concatenate(rows)
    assert (off[:, 0] <= off[:, 1]).mean() >= COVERED


def test_a_cut_wait_is_told_in_words():
    film = filmed(3, 1)
    points = parse_sync(one_per_take(film, 3), film.ride, SETTINGS)
    (said,) = sync(film.ride, points).remarks
    assert said.startswith("a cut of ")
    assert "where the ride stood" in said


def test_without_points_a_film_begins_with_the_recording_and_nothing_is_placed_well():
    film = filmed(1)
    found = sync(film.ride, ())
    at_m, off_m = found.place(100.0)
    assert abs(at_m - film.truth(100)) < 5
    assert off_m > 30
    assert "no --sync given" in found.remarks[0]


@settings(max_examples=25, deadline=None)
@given(strategies.integers(0, 10_000), strategies.integers(0, 3), strategies.integers(0, 2))
def test_the_film_never_runs_back_and_the_inverse_leads_back(seed, waits, mids):
    film = filmed(seed, waits, mids)
    points = parse_sync(one_per_take(film, seed), film.ride, SETTINGS)
    found = sync(film.ride, points, film.cuts, len(film.shown))
    places = [found.place(float(s)) for s in range(len(film.shown))]
    metres = np.array([p[0] for p in places if p is not None])
    assert (np.diff(metres) >= -1e-6).all()
    knots = found.knots()
    assert list(knots) == sorted(knots)
    for s in range(5, len(film.shown) - 5, 7):
        at = places[s][0]
        back = found.second(at)
        assert back is not None
        assert abs(found.place(back)[0] - at) < 0.5 or back in film.cuts
        near = second_at(knots, at)
        waits = [wait.at_m for wait in found.clock.waits]
        if near is not None and min(abs(at - there) for there in waits) > 5:
            assert abs(near - back) <= 3.0 or back in film.cuts


def test_what_lies_in_a_private_gap_is_dropped():
    film = filmed(2)
    ride = film.ride
    keep = np.ones(len(ride.lat), dtype=bool)
    keep[30:50] = False
    part = np.cumsum(np.concatenate([[0], np.diff(np.flatnonzero(keep)) > 1])).astype(np.intp)
    cut = replace(
        ride,
        lat=ride.lat[keep],
        lon=ride.lon[keep],
        height=ride.height[keep],
        part=part,
        time_s=ride.time_s[keep],
        stood_s=ride.stood_s[keep],
    )
    inside = ride.time_s[40] - ride.time_s[0]
    found = sync(cut, parse_sync(["0:20=20 m"], cut, SETTINGS))
    assert found.place(inside + 15) is None
    said = [Suggestion(s, "Get off here.", "dismount") for s in (40.0, float(inside) + 15)]
    assert len(place_suggestions(found, said)) == 1


def test_a_line_without_times_runs_evenly_between_two_points():
    film = filmed(4)
    ride = replace(film.ride, time_s=None, stood_s=None)
    with pytest.raises(FilmError, match="no times") as no:
        sync(ride, parse_sync(["0:00=start"], ride, SETTINGS))
    assert "--sync 0:00=start" in no.value.hint
    points = parse_sync(["1:00=start", "11:00=finish"], ride, SETTINGS)
    found = sync(ride, points)
    assert found.place(30.0) is None
    at_m, off_m = found.place(360.0)
    assert at_m == pytest.approx(ride.track.length_m / 2)
    assert off_m > 500
    assert found.second(at_m) == pytest.approx(360.0)
