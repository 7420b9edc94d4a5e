"""Bends of lines whose geometry is known, and the legs drafted from them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from draft.lines_in_metres import degrees, dense, ride_in_metres, track_in_metres
from softpedal.draft.bends import bends
from softpedal.draft.unmapped import LEG_M, MOST_LEGS, unmapped_items
from softpedal.draft.written import metres_of
from softpedal.library.notes import Leg
from softpedal.library.track import Track

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray


def _cues(track: Track) -> list[tuple[str, str, str]]:
    return [
        (leg["from"], leg["cue"]["outbound"], leg["cue"]["return"])
        for leg in unmapped_items(track)["legs"]
    ]


def _track(xy: NDArray[np.float64]) -> Track:
    lat, lon = degrees(xy)
    n = len(lat)
    return Track(lat, lon, np.full(n, np.nan), np.zeros(n, dtype=np.int64))


def _curve(length_m: float, turn: float) -> Track:
    """200 m east, a curve to the left of so many metres and degrees, and 200 m straight on."""
    angle = np.radians(turn)
    radius = length_m / angle
    t = np.linspace(0, angle, 50)
    bow = np.column_stack([200 + radius * np.sin(t), radius * (1 - np.cos(t))])
    on = bow[-1] + 200 * np.array([np.cos(angle), np.sin(angle)])
    return track_in_metres([(0.0, 0.0), *map(tuple, bow), tuple(on)])


@pytest.mark.parametrize(("side", "turn"), [(1, -90), (-1, 90)])
def test_a_corner_is_a_bend_where_it_is_and_right_is_positive(side: int, turn: float) -> None:
    (bend,) = bends(track_in_metres([(0, 0), (200, 0), (200, side * 200)]))
    assert bend.at_m == pytest.approx(200, abs=1)
    assert bend.turn_degrees == pytest.approx(turn, abs=1)


@pytest.mark.parametrize(("turn", "count"), [(40, 0), (47, 0), (53, 1), (70, 1), (130, 1)])
def test_a_bend_turns_by_fifty_degrees_or_more(turn: float, count: int) -> None:
    angle = np.radians(turn)
    end = (200 + 200 * np.cos(angle), 200 * np.sin(angle))
    assert len(bends(track_in_metres([(0, 0), (200, 0), end]))) == count


@pytest.mark.parametrize(
    ("length_m", "turn", "count"),
    [
        (20, 90, 1),
        (40, 90, 1),
        (60, 90, 0),
        (100, 90, 0),
        (100, 180, 0),
        (150, 270, 0),
        (110, 270, 0),
    ],
)
def test_a_long_curve_is_no_bend(length_m: float, turn: float, count: int) -> None:
    """At a corner with a kerb of 25 m radius one turns; round a square one rides on."""
    assert len(bends(_curve(length_m, turn))) == count


@pytest.mark.parametrize("out_m", [3, 8, 12])
def test_what_goes_out_and_comes_back_is_no_bend(out_m: float) -> None:
    around = [(0, 0), (190, 0), (200, out_m), (210, 0), (400, 0)]
    assert bends(track_in_metres(around)) == ()


def test_noise_makes_no_bends_and_hides_none() -> None:
    """60 rides of 3 km with noise of 4 m that lasts 20 fixes, smoothed over three points."""
    rng = np.random.default_rng(1)
    keeps = np.exp(-1 / 20)

    def noisy(corners: Sequence[tuple[float, float]]) -> Track:
        xy = dense(corners)
        off = np.zeros_like(xy)
        for i in range(1, len(xy)):
            off[i] = keeps * off[i - 1] + rng.normal(0, 4 * np.sqrt(1 - keeps**2), 2)
        xy = xy + off
        xy[1:-1] = (xy[:-2] + xy[1:-1] + xy[2:]) / 3
        return _track(xy)

    assert sum(len(bends(noisy([(0, 0), (3000, 0)]))) for _ in range(20)) == 0
    for _ in range(20):
        track = noisy([(0, 0), (200, 0), (200, 200)])
        (bend,) = bends(track)
        lat, lon = track.at(bend.at_m)
        corner_lat, corner_lon = degrees([(200.0, 0.0)])
        off = np.hypot((lat - corner_lat[0]) * 111_229, (lon - corner_lon[0]) * 71_696)
        assert off < 25


def test_a_corner_at_a_gap_that_is_closed_counts_and_one_at_an_open_gap_does_not() -> None:
    corner = [(0, 0), (200, 0), (200, 200)]
    (bend,) = bends(ride_in_metres(corner, breaks=[200]).track)
    assert bend.at_m == pytest.approx(200, abs=6)
    east, north = ride_in_metres([(0, 0), (200, 0)]), ride_in_metres([(200, 90), (200, 300)])
    torn = Track(
        np.concatenate([east.lat, north.lat]),
        np.concatenate([east.lon, north.lon]),
        np.concatenate([east.height, north.height]),
        np.concatenate([east.part, north.part + 1]),
    )
    assert bends(torn) == ()


@pytest.mark.parametrize("corners", [[(0, 0), (30, 0)], [(0, 0), (10, 0), (10, 10)]])
def test_too_short_a_line_has_no_bend(corners: list[tuple[float, float]]) -> None:
    assert bends(track_in_metres(corners)) == ()


def test_a_line_of_two_points_is_one_leg() -> None:
    items = unmapped_items(track_in_metres([(0, 0), (900, 0)], step=1000))
    assert items == {
        "legs": [
            {
                "from": "start",
                "street": "Street to be named",
                "kind": "mixed street",
                "cue": {"outbound": "Start heading east.", "return": "Start heading west."},
                "source": "map",
                "confidence": "guess",
                "evidence": "no map: nothing is known of this stretch",
            }
        ]
    }


def test_a_leg_is_one_of_the_notes() -> None:
    for leg in unmapped_items(track_in_metres([(0, 0), (200, 0), (200, 200)]))["legs"]:
        assert Leg.model_validate(leg).street == "Street to be named"


def test_the_way_back_turns_into_a_leg_where_it_ends() -> None:
    """East, left to the north, right to the east: coming back west, left to the south, right."""
    track = track_in_metres([(0, 0), (200, 0), (200, 300), (600, 300)])
    assert _cues(track) == [
        ("start", "Start heading east.", "Turn right."),
        ("200 m", "Turn left.", "Turn left."),
        ("500 m", "Turn right.", "Start heading west."),
    ]


def test_the_way_back_has_the_cues_of_the_line_turned_round() -> None:
    """By construction: what is drafted outbound of the reversed line is what is said back."""
    corners = [(0, 0), (300, 0), (300, 200), (200, 260), (200, 500), (0, 500), (20, 460)]
    track = track_in_metres(corners)
    back = [cue for _, cue, _ in _cues(track.reversed())]
    assert [home for _, _, home in reversed(_cues(track))] == back
    assert len(back) >= 4


def test_bends_close_to_each_other_are_one_cue_in_the_order_ridden() -> None:
    """A staggered crossing: over the road is left, 40 m along it, and right; back the same."""
    track = track_in_metres([(0, 0), (200, 0), (200, 40), (500, 40)])
    assert _cues(track) == [
        ("start", "Start heading east.", "Turn left, then right."),
        ("200 m", "Turn left, then right.", "Start heading west."),
    ]
    hook = track_in_metres([(0, 0), (200, 0), (200, 40), (0, 60)])
    assert _cues(hook)[0][2] == "Turn right, then right."


def test_sharp_and_round() -> None:
    sharp = track_in_metres([(0, 0), (200, 0), (60, 80)])
    assert _cues(sharp)[1][1] == "Turn sharp left."
    dead_end = track_in_metres([(0, 0), (200, 0), (0, 0)])
    assert _cues(dead_end)[1][:2] == ("200 m", "Turn round.")


@pytest.mark.parametrize(
    ("end", "there"), [((0, 90), "north"), ((-90, 90), "north-west"), ((-90, -90), "south-west")]
)
def test_the_start_says_where_to(end: tuple[float, float], there: str) -> None:
    assert _cues(track_in_metres([(0, 0), end]))[0][1] == f"Start heading {there}."


def _zigzag(turns: int, apart_m: float) -> Track:
    """East and north by turns."""
    corners = [(0.0, 0.0)]
    for i in range(turns + 1):
        east, north = corners[-1]
        corners.append((east + apart_m, north) if i % 2 == 0 else (east, north + apart_m))
    return track_in_metres(corners)


def test_there_are_at_most_forty_legs_and_what_is_left_out_is_said() -> None:
    legs = unmapped_items(_zigzag(60, 100))["legs"]
    assert len(legs) == MOST_LEGS
    assert legs[0]["evidence"].endswith("; 21 more bends of the line left without a leg")
    few = unmapped_items(_zigzag(39, 100))["legs"]
    assert len(few) == 40
    assert all("more bend" not in leg["evidence"] for leg in few)


def test_legs_are_in_order_and_not_shorter_than_one_can_name() -> None:
    track = _zigzag(30, 45)
    at = [metres_of(leg["from"], track.length_m) for leg in unmapped_items(track)["legs"]]
    assert at[0] == 0
    assert min(np.diff(at)[1:]) >= LEG_M - 1
