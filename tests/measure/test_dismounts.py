"""How often one gets off, and for how many metres."""

from __future__ import annotations

import pytest

from building import crossing, leg, measures_of, notes

PUSHED = [
    leg("start", "back street"),
    leg("500 m", "on foot", "Netmakers' Quay"),
    leg("800 m", "back street"),
]


def figures_of(direction="outbound", **more):
    return measures_of(notes(**more)).of(direction).leading.figures


def dismount(at, **more):
    return {"at": at, "why": "no entry", **more}


def test_none_noted_none_counted():
    figures = figures_of()
    assert (figures.dismounts, figures.dismounts_advised, figures.pushed_m) == (0, 0, 0)


def test_a_pushed_stretch_counts_once_whatever_legs_it_is_cut_into():
    legs = [*PUSHED[:2], leg("600 m", "on foot", "Tar Lane"), leg("700 m", "on foot"), PUSHED[2]]
    for direction in ("outbound", "return"):
        figures = figures_of(direction, legs=legs)
        assert figures.dismounts == 1
        assert figures.pushed_m == pytest.approx(300, abs=1e-6)


def test_two_pushed_stretches_apart_count_twice():
    legs = [*PUSHED, leg("1.2 km", "on foot"), leg("1.3 km", "back street")]
    assert figures_of(legs=legs).dismounts == 2
    assert figures_of(legs=legs).pushed_m == pytest.approx(400, abs=1e-6)


def test_a_point_counts_once_outside_a_pushed_stretch_and_not_within():
    figures = figures_of(
        legs=PUSHED,
        dismounts=[dismount("650 m", metres="20 m"), dismount("900 m", metres="15 m")],
    )
    assert figures.dismounts == 2
    assert figures.pushed_m == pytest.approx(315, abs=1e-6)


def test_metres_of_a_dismount_never_enter_the_metres_by_kind_or_q():
    plain = figures_of(legs=[leg("start", "traffic-free path")])
    figures = figures_of(
        legs=[leg("start", "traffic-free path")], dismounts=[dismount("1 km", metres="150 m")]
    )
    assert figures.metres_by_kind == plain.metres_by_kind
    assert figures.quietness == plain.quietness == 1
    assert figures.pushed_m == 150


@pytest.mark.parametrize(
    ("must", "counted"),
    [("law", True), ("barrier", True), ("advised", False), ("optional", False), (None, True)],
)
def test_law_and_barrier_count_and_the_others_are_counted_apart(must, counted):
    more = {"must": must} if must else {}
    plain = figures_of()
    figures = figures_of(dismounts=[dismount("1 km", metres="30 m", **more)])
    assert (figures.dismounts, figures.dismounts_advised) == ((1, 0) if counted else (0, 1))
    assert figures.pushed_m == (30 if counted else 0)
    assert figures.ride_s - plain.ride_s == pytest.approx(30 / 1.2 if counted else 0, abs=1e-9)


@pytest.mark.parametrize("control", ["zebra", "pedestrian signals"])
def test_pushing_over_is_common_practice_unless_the_notes_say_ride(control):
    """Common practice; local law decides."""
    assert figures_of(crossings=[crossing("1 km", control)]).dismounts == 1
    assert figures_of(crossings=[crossing("1 km", control, ride=False)]).dismounts == 1
    assert figures_of(crossings=[crossing("1 km", control, ride=True)]).dismounts == 0


@pytest.mark.parametrize(
    "control",
    ["cycle signals", "toucan", "signals", "parallel", "refuge", "roundabout", "none", "bridge"],
)
def test_other_crossings_are_ridden(control):
    assert figures_of(crossings=[crossing("1 km", control)]).dismounts == 0


def test_a_zebra_within_a_pushed_stretch_adds_none():
    figures = figures_of(legs=PUSHED, crossings=[crossing("650 m", "zebra")])
    assert figures.dismounts == 1


def test_points_count_in_their_direction_only():
    noted = [dismount("1 km", direction="return"), dismount("1.5 km")]
    assert figures_of(dismounts=noted).dismounts == 1
    assert figures_of("return", dismounts=noted).dismounts == 2


def test_points_count_in_their_hours_only():
    noted = [dismount("1 km", hours="Sa 10:00-16:00", metres="40 m")]
    states = measures_of(notes(dismounts=noted)).outbound.states
    assert [(s.figures.dismounts, s.figures.pushed_m) for s in states] == [(0, 0), (1, 40)]


def test_a_point_within_a_stretch_that_is_pushed_at_times_counts_at_the_others():
    legs = [
        leg("start", "back street"),
        leg("500 m", hours={"Mo-Sa 08:00-18:00": "on foot", "otherwise": "back street"}),
        leg("800 m", "back street"),
    ]
    noted = [dismount("650 m", metres="20 m")]
    pushed, otherwise = measures_of(notes(legs=legs, dismounts=noted)).outbound.states
    assert (pushed.figures.dismounts, otherwise.figures.dismounts) == (1, 1)
    assert pushed.figures.pushed_m == pytest.approx(300, abs=1e-6)
    assert otherwise.figures.pushed_m == 20
