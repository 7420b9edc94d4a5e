"""Points proposed from spoken names and turns."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from draft.films import filmed
from softpedal.draft.bends import bends
from softpedal.draft.film_points import parse_sync
from softpedal.draft.film_proposals import proposals
from softpedal.draft.film_sync import sync
from softpedal.draft.sentences import Sentence
from softpedal.settings import Settings

STREETS = ["Sailmaker Row", "Weir Street", "St Osk's Lane", "Cooper's Yard", "Rope-Walk Road"]
HEARD = ["sail maker row", "Weir St.", "saint osks lane", "coopers yard", "rope walk road"]


def narrated(seed, trimmed_s=40):
    """Return a film, its legs and what is said where each begins."""
    film = filmed(seed, trimmed_s=trimmed_s)
    turns = [b for b in bends(film.ride.track) if b.at_m > 400][::2][: len(STREETS)]
    legs = [(0.0, "Quay"), *((b.at_m, s) for b, s in zip(turns, STREETS, strict=False))]
    said = []
    for bend, heard in zip(turns, HEARD, strict=False):
        second = int(np.searchsorted(film.along_m[film.shown], bend.at_m))
        side = "right" if bend.turn_degrees > 0 else "left"
        said.append(Sentence(second, second + 3, f"Now we turn {side} into {heard}."))
    return film, legs, said


@pytest.mark.parametrize("seed", range(12))
def test_points_as_proposed_bring_the_film_nearer_to_the_truth(seed):
    film, legs, said = narrated(seed)
    blind = sync(film.ride, ())
    found = proposals(said, legs, film.ride.track, blind)
    assert len(found) == len(legs) - 1
    typed = [p.as_option().removeprefix("--sync ") for p in found]
    better = sync(film.ride, parse_sync(typed, film.ride, Settings()))
    seconds = range(60, len(film.shown) - 60, 10)
    off = [
        np.median([abs(s.place(float(t))[0] - film.truth(t)) for t in seconds])
        for s in (blind, better)
    ]
    assert off[1] < 25 < off[0]
    for one, other in pairwise(found):
        assert one.film_s < other.film_s
        assert one.at_m < other.at_m


def test_what_the_sync_explains_is_not_proposed_again():
    film, legs, said = narrated(1, 0)
    known = sync(film.ride, parse_sync(["0:00=20:26:40"], film.ride, Settings()))
    assert proposals(said, legs, film.ride.track, known) == ()


def test_other_names_and_the_wrong_side_propose_nothing():
    film, legs, _ = narrated(1)
    said = [Sentence(100.0, 103.0, "A fine day for the bakery on the corner.")]
    assert proposals(said, legs, film.ride.track, sync(film.ride, ())) == ()


def test_a_turn_alone_fits_a_turn_of_its_side_nearby():
    film = filmed(5, trimmed_s=8)
    bend = bends(film.ride.track)[1]
    second = int(np.searchsorted(film.along_m[film.shown], bend.at_m))
    side, wrong = ("right", "left") if bend.turn_degrees > 0 else ("left", "right")
    blind = sync(film.ride, ())
    for word in (side, wrong):
        said = [Sentence(second, second + 2, f"Turn {word} here.")]
        found = proposals(said, [], film.ride.track, blind)
        assert any(abs(p.at_m - bend.at_m) < 1 for p in found) == (word == side)
