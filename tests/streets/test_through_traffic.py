"""The grades of streets drawn by hand, and the words that say what closes them."""

from __future__ import annotations

import numpy as np
import pytest

from softpedal.streets.through_traffic import through_traffic
from streets.small_network import network

#: Mill Road runs north in the west, High Street in the east.
MAIN = [
    ([(0, -900), (0, 0), (0, 200), (0, 900)], "secondary Mill Road"),
    ([(400, -900), (400, 0), (400, 200), (400, 900)], "tertiary High Street"),
]
#: One street between them, in two halves, numbered 0 and 1 by its edges.
ACROSS = [(0, 0), (200, 0), (400, 0)]


def verdicts(streets, nodes=None, cut=(), **options):
    return through_traffic(network([*streets, *MAIN], nodes, cut), **options)


def of_halves(text, nodes=None, cut=()) -> list[str]:
    found = verdicts([(ACROSS, text)], nodes, cut)
    return [found.of(0), found.of(1)]


def test_a_street_between_two_main_roads_is_a_way_through() -> None:
    found = verdicts([(ACROSS, "residential Barrel Street")])
    assert found.of(0) == found.of(1) == "through"
    assert found.evidence[0] in (
        "Mill Road → this street → High Street",
        "High Street → this street → Mill Road",
    )
    assert 0 not in found.closed_by
    assert found.of(2) == "main"
    assert 2 not in found.evidence


@pytest.mark.parametrize(
    ("barrier", "words"),
    [
        ("barrier=bollard", "bollards on Barrel Street"),
        ("barrier=planter; motor_vehicle=no; bicycle=yes", "planters on Barrel Street"),
        ("barrier=kissing_gate", "a kissing gate on Barrel Street"),
        ("motor_vehicle=no", "a barrier on Barrel Street"),
        ("barrier=bus_trap; bus=yes", "the bus gate on Barrel Street"),
    ],
)
def test_a_barrier_makes_it_sure(barrier, words) -> None:
    found = verdicts([(ACROSS, "residential Barrel Street")], {(200, 0): barrier})
    assert found.of(0) == found.of(1) == "sure"
    assert found.closed_by == {0: words, 1: words}
    assert found.evidence[0] == f"One could drive through only past {words}."


@pytest.mark.parametrize(
    ("barrier", "words"),
    [
        ("barrier=gate", "a gate on Barrel Street"),
        ("barrier=gate; access=private; locked=yes", "a locked gate on Barrel Street"),
        ("barrier=bollard; bollard=rising", "rising bollards on Barrel Street"),
        (
            "barrier=bollard; motor_vehicle:conditional=yes @ (22:00-06:00)",
            "bollards on Barrel Street",
        ),
    ],
)
def test_what_may_be_opened_makes_it_depend(barrier, words) -> None:
    found = verdicts([(ACROSS, "residential Barrel Street")], {(200, 0): barrier})
    assert found.of(0) == found.of(1) == "gate"
    assert found.closed_by[0] == words
    assert found.evidence[0] == f"Closed only as long as it stays shut: {words}."


def test_what_lets_cars_pass_closes_nothing() -> None:
    for tags in ("barrier=cattle_grid", "barrier=toll_booth", "barrier=bollard; motor_vehicle=yes"):
        assert of_halves("residential Barrel Street", {(200, 0): tags}) == ["through"] * 2


def test_a_barrier_on_another_street_is_named_with_it() -> None:
    streets = [
        ([(0, 0), (200, 0)], "residential Barrel Street"),
        ([(200, 0), (300, 0), (400, 0)], "residential Vine Street"),
    ]
    found = verdicts(streets, {(300, 0): "barrier=planter"})
    assert found.closed_by[0] == "planters on Vine Street"
    assert found.closed_by[1] == "planters on Vine Street"


def test_a_barrier_near_a_corner_is_named_after_it() -> None:
    streets = [([(0, 0), (350, 0), (400, 0)], "residential Barrel Street")]
    found = verdicts(streets, {(350, 0): "barrier=bollard"})
    assert found.closed_by[0] == found.closed_by[1] == "bollards at High Street"


def test_several_closures_are_listed_the_nearest_first() -> None:
    streets = [
        ([(0, 0), (200, 0)], "residential Barrel Street"),
        ([(200, 0), (220, 0), (400, 0)], "residential Vine Street"),
        ([(200, 0), (200, 90), (200, 200), (400, 200)], "residential Quince Street"),
    ]
    nodes = {(220, 0): "barrier=bollard", (200, 90): "barrier=gate"}
    found = verdicts(streets, nodes)
    assert found.of(0) == "gate"
    assert found.closed_by[0] == "a gate on Quince Street and bollards on Vine Street"
    assert found.evidence[0] == "Closed only as long as it stays shut: a gate on Quince Street."
    nodes[200, 90] = "barrier=block"
    found = verdicts(streets, nodes)
    assert found.of(0) == "sure"
    assert found.closed_by[0] == "bollards on Vine Street and blocks on Quince Street"


def test_a_barrier_where_three_streets_meet_is_not_sure() -> None:
    streets = [(ACROSS, "residential Barrel Street"), ([(200, 0), (200, 90)], "service")]
    found = verdicts(streets, {(200, 0): "barrier=bollard"})
    assert [found.of(e) for e in range(3)] == ["gate", "gate", "sure"]


def test_private_ways_are_driven_on_by_somebody() -> None:
    found = verdicts([(ACROSS, "service; access=private")])
    assert found.of(0) == "gate"
    assert found.closed_by[0] == "a private road"
    assert of_halves("service; access=no") == ["gate"] * 2
    assert of_halves("service; access=no; bus=yes") == ["no motor traffic"] * 2
    assert of_halves("service; motor_vehicle=no") == ["no motor traffic"] * 2
    streets = [
        ([(0, 0), (200, 0)], "residential Barrel Street"),
        ([(200, 0), (400, 0)], "service Tannery Yard; access=private"),
    ]
    found = verdicts(streets)
    assert [found.of(0), found.of(1)] == ["gate", "gate"]
    assert found.closed_by[0] == "private ground on Tannery Yard"


def test_signs_are_no_walls() -> None:
    streets = [
        ([(0, 0), (200, 0)], "residential Barrel Street"),
        ([(200, 0), (400, 0)], "residential Vine Street; motor_vehicle=destination"),
    ]
    found = verdicts(streets)
    assert [found.of(0), found.of(1)] == ["sign only"] * 2
    assert found.closed_by == {
        0: "a sign for access only on Vine Street",
        1: "a sign for access only",
    }


def test_one_ways_are_no_walls() -> None:
    streets = [
        ([(0, 0), (200, 0)], "residential Barrel Street; oneway=yes"),
        ([(400, 0), (200, 0)], "residential Barrel Street; oneway=yes"),
    ]
    found = verdicts(streets)
    assert [found.of(0), found.of(1)] == ["one-ways"] * 2
    assert found.closed_by[0] == "opposed one-ways"
    assert of_halves("residential Barrel Street; oneway=yes") == ["through"] * 2


def test_a_ring_and_back_is_no_way_through_with_one_ways() -> None:
    """The gap in the middle can only be left: both its arms are dead ends to who drives in."""
    streets = [
        ([(0, 0), (150, 0)], "residential Barrel Street"),
        ([(200, 0), (150, 0)], "residential Barrel Street; oneway=yes"),
        ([(200, 0), (250, 0)], "residential Barrel Street; oneway=yes"),
        ([(250, 0), (400, 0)], "residential Barrel Street"),
    ]
    found = verdicts(streets)
    assert [found.of(e) for e in range(4)] == ["one-ways"] * 4


def test_a_drive_that_comes_back_to_where_it_began_is_no_way_through() -> None:
    """A one-way ring at one corner of Mill Road, into which one can also turn elsewhere."""
    streets = [
        ([(0, 0), (100, 0), (100, 100)], "residential Orchard Ring; oneway=yes"),
        ([(100, 100), (0, 0)], "residential Orchard Ring; oneway=yes"),
        ([(400, 0), (100, 100)], "residential Vine Street; oneway=yes"),
        ([(0, 200), (-100, 100), (0, 0)], "residential Mill Lane"),
    ]
    found = verdicts(streets)
    grades = [found.of(e) for e in range(6)]
    assert grades == ["one-ways", "one-ways", "through", "through", "through", "through"]


def test_beyond_a_cut_end_anything_may_lie() -> None:
    line = [(0, 0), (200, 0)]
    found = verdicts([(line, "residential Barrel Street")], cut=[(200, 0)])
    assert found.of(0) == "edge"
    assert 0 not in found.closed_by
    assert "the edge of the extract" in found.evidence[0]
    assert verdicts([(line, "residential Barrel Street")]).of(0) == "sure"


def test_a_barrier_at_a_cut_end_is_not_believed() -> None:
    line = [(0, 0), (200, 0)]
    found = verdicts(
        [(line, "residential Barrel Street")], {(200, 0): "barrier=bollard"}, cut=[(200, 0)]
    )
    assert found.of(0) == "edge"


def test_a_loop_that_comes_back_to_the_same_junction_is_filtered() -> None:
    loop = [(0, 0), (100, 0), (100, 100), (0, 0)]
    found = verdicts([(loop, "residential Orchard Close")])
    assert [found.of(e) for e in range(3)] == ["sure"] * 3
    assert found.closed_by[0] == "a dead end"


def test_a_loop_that_comes_back_elsewhere_on_the_road_is_a_way_through() -> None:
    loop = [(0, 0), (100, 0), (100, 200), (0, 200)]
    found = verdicts([(loop, "residential Orchard Close")])
    assert [found.of(e) for e in range(3)] == ["through"] * 3
    assert found.evidence[0] == "Mill Road → this street → Mill Road"


def test_two_streets_between_the_same_corners_are_two() -> None:
    streets = [
        ([(0, 0), (100, 0)], "residential Barrel Street"),
        ([(100, 0), (200, 0)], "residential Vine Street"),
        ([(100, 0), (200, 0)], "residential Quince Street"),
    ]
    found = verdicts(streets)
    assert [found.of(e) for e in range(3)] == ["sure"] * 3
    streets.append(([(200, 0), (400, 0)], "residential Barrel Street"))
    found = verdicts(streets)
    assert [found.of(e) for e in range(4)] == ["through"] * 4


def test_a_dead_end_says_that_a_path_goes_on() -> None:
    streets = [([(0, 0), (200, 0)], "residential Larch Close")]
    assert verdicts(streets).evidence[0] == "A dead end for motor traffic."
    streets.append(([(200, 0), (400, 0)], "cycleway"))
    found = verdicts(streets)
    assert found.evidence[0] == "A dead end for motor traffic; a path goes on."
    assert found.of(1) == "no motor traffic"
    streets[1] = ([(200, 0), (300, 0)], "pedestrian Larch Close")
    assert verdicts(streets).closed_by[0] == "a dead end"


def test_closed_streets_close_their_neighbours() -> None:
    for text, words in (
        ("pedestrian Quince Street", "the pedestrian street Quince Street"),
        ("pedestrian", "a pedestrian street"),
        ("residential Quince Street; access=no; bus=yes", "the bus gate on Quince Street"),
        ("residential Quince Street; motor_vehicle=no", "the closed road Quince Street"),
    ):
        streets = [
            ([(0, 0), (200, 0)], "residential Barrel Street"),
            ([(200, 0), (400, 0)], text),
        ]
        found = verdicts(streets)
        assert [found.of(0), found.of(1)] == ["sure", "no motor traffic"]
        assert found.closed_by == {0: words}


def test_what_closes_a_street_next_door_does_not_close_a_dead_end() -> None:
    streets = [
        (ACROSS, "residential Barrel Street"),
        ([(200, 0), (200, 90)], "residential Larch Close"),
        ([(200, 0), (200, -90), (0, -900)], "pedestrian Quince Street"),
        ([(200, 90), (250, 90)], "residential Larch Close"),
        ([(200, 90), (200, 150), (400, 200)], "residential Vine Street"),
    ]
    found = verdicts(streets, {(200, 150): "barrier=bollard"})
    assert found.of(0) == found.of(1) == "through"
    assert found.closed_by[2] == "bollards on Vine Street"
    assert found.closed_by[5] == "a dead end"
    streets[-1] = ([(0, 200), (0, 210)], "service")
    found = verdicts(streets)
    assert found.closed_by[2] == found.closed_by[5] == "a dead end"


def test_a_street_closed_at_times_is_open_at_others() -> None:
    timed = "motor_vehicle:conditional=no @ (Mo-Fr 08:00-09:00)"
    assert of_halves(f"residential Barrel Street; {timed}") == ["through"] * 2
    timed = "motor_vehicle=no; motor_vehicle:conditional=yes @ (18:00-08:00)"
    assert of_halves(f"residential Barrel Street; {timed}") == ["gate"] * 2


def test_a_main_road_for_buses_alone_is_not_of_the_main_network() -> None:
    streets = [
        ([(0, 0), (200, 0)], "residential Barrel Street"),
        ([(200, -100), (200, 0), (200, 100)], "tertiary Bus Street; access=no; bus=yes"),
    ]
    found = verdicts(streets)
    assert found.of(0) == "sure"
    assert found.of(1) == "no motor traffic"


def test_an_island_is_closed_by_all_that_closes_it() -> None:
    streets = [
        ([(0, 0), (100, 0), (200, 0), (300, 0), (400, 0)], "residential Barrel Street"),
    ]
    found = verdicts(streets, {(100, 0): "barrier=bollard", (300, 0): "barrier=planter"})
    assert [found.of(e) for e in range(4)] == ["sure"] * 4
    assert found.closed_by[1] == "bollards on Barrel Street and planters on Barrel Street"


def test_the_main_classes_can_be_chosen() -> None:
    streets = [(ACROSS, "residential Barrel Street")]
    found = verdicts(streets, main_classes=("secondary",))
    assert found.of(0) == "sure"
    assert found.of(5) == "sure"
    found = verdicts(streets, main_classes=("secondary", "tertiary", "residential"))
    assert found.of(0) == "main"


def test_seconds_saved_compare_with_the_main_roads() -> None:
    round_about = ([(0, 900), (400, 900)], "tertiary North Road")
    found = verdicts([(ACROSS, "residential Barrel Street"), round_about])
    by_main = (900 + 400 + 900) * 3.6 / 40.0
    through = 400 * 3.6 / 25.0
    assert found.rank_s[:2] == pytest.approx([by_main - through] * 2, rel=1e-3)
    assert np.isnan(found.rank_s[2:]).all()


def test_no_streets_at_all() -> None:
    found = through_traffic(network(MAIN))
    assert {found.of(e) for e in range(6)} == {"main"}
    assert found.closed_by == found.evidence == {}


def test_a_way_over_a_square_is_no_street() -> None:
    from dataclasses import replace

    town = network([(ACROSS, "residential Barrel Street"), *MAIN])
    across = np.zeros(town.n_edges, dtype=bool)
    across[0] = True
    found = through_traffic(replace(town, edge_across=across))
    assert [found.of(0), found.of(1)] == ["no motor traffic", "sure"]
