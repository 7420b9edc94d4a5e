"""What an author types of a film, and what is said when it is wrong."""

from __future__ import annotations

from dataclasses import replace

import pytest

from draft.films import filmed
from draft.raw_rides import START
from softpedal.draft.film_points import FilmError, parse_cuts, parse_film, parse_sync
from softpedal.library.gpx_reader import Waypoint
from softpedal.settings import Settings

FILM = filmed(7)
# START is 20:26:40 UTC.
CASES = [
    (["4:10"], "does not say what is where"),
    (["4:10="], "does not say what is where"),
    (["4.10=1km"], "is not a time in the film"),
    (["4:70=1km"], "is not a time in the film"),
    (["1:75:00=1km"], "is not a time in the film"),
    (["4:10=1.24"], "is not a position"),
    (["4:10=99km"], "lies beyond the end"),
    (["4:10=10.0,-20.0"], "from the track"),
    (["4:10=waypoint Weir gate"], "no waypoint named `Weir gate`"),
    (["4:10=03:00"], "the ride was under way from 20:26:40"),
    (["4:10=25:00"], "not a time of day"),
    (["1:00=1km", "2:00=0.5km"], "runs back along the line"),
    (["1:00=1km", "1:00=1.1km"], "the same second"),
]


@pytest.mark.parametrize(("typed", "said"), CASES)
def test_a_mistake_says_what_was_found(typed, said):
    with pytest.raises(FilmError, match=said) as no:
        parse_sync(typed, FILM.ride, Settings())
    assert no.value.hint


def test_each_form_is_understood():
    lat, lon = FILM.ride.track.at(1000.0)
    ride = replace(FILM.ride, waypoints=(Waypoint(lat, lon, name="Weir gate", line=1),))
    typed = ["0:00=start", "0:10=20:26:50", "4:10=1.00km", "4:11=1001 m", "1:02:03=finish"]
    points = parse_sync(typed, ride, Settings())
    assert [p.film_s for p in points] == [0, 10, 250, 251, 3723]
    assert points[1].ride_s == START + 10
    assert points[-1].at_m == ride.track.length_m
    for where in (f"{lat:.6f},{lon:.6f} near 1 km", "waypoint Weir gate"):
        (point,) = parse_sync([f"4:10={where}"], ride, Settings())
        assert point.at_m == pytest.approx(1000, abs=2)
    (point,) = parse_sync(["0:00=21:26:50"], ride, Settings(time_zone="Etc/GMT-1"))
    assert point.ride_s == START + 10


def test_cuts_come_in_order_and_once():
    assert parse_cuts(["6:02", "1:00.5"]) == (60.5, 362.0)
    with pytest.raises(FilmError, match="twice"):
        parse_cuts(["6:02", "6:02"])
    assert parse_film("1:02:03") == 3723
