"""The worked example loads whole, and everything in it arrives as it was meant."""

import pytest

from library.worked_example import NOTES, TRACK_M, write_example
from softpedal.library.load import load_route
from softpedal.upkeep.check import check_library


@pytest.fixture(scope="module")
def route(tmp_path_factory):
    loaded = load_route(write_example(tmp_path_factory.mktemp("library")))
    assert loaded.problems == ()
    return loaded.route


def places(items):
    return [(round(item.at_m), round(item.to_m)) for item in items]


def test_it_has_no_fault_but_a_claim_that_the_dock_road_is_for_children(tmp_path):
    write_example(tmp_path)
    problems = check_library(tmp_path)
    assert [p.code for p in problems] == ["claim-child"]


def test_it_loads_without_that_claim(tmp_path):
    write_example(tmp_path, NOTES.replace("child: with an adult", 'child: "no"'))
    assert check_library(tmp_path) == []


def test_legs_run_from_start_to_finish(route):
    assert places(route.along.legs) == [(0, 310), (310, 1200), (1200, round(TRACK_M))]


def test_points_and_stretches_stand_at_their_chainage(route):
    assert places(route.along.crossings) == [(1180, 1180)]
    assert places(route.along.dismounts) == [(920, 920)]
    assert places(route.along.hazards) == [(1050, 1300), (1900, 1900)]
    assert places(route.along.landmarks) == [(2400, 2400)]
    assert places(route.along.barriers) == [(3100, 3100)]
    assert places(route.along.signed) == [(2400, 3000)]
    assert places(route.along.skip) == [(1500, 1500)]
    assert places(route.along.wishes) == [(1900, 1900)]
    assert places([route.along.hardest, route.along.best]) == [(1300, 1300), (2200, 2200)]
    assert places(route.photos) == [(2200, 2200)]
    assert [(v.leave_m, v.rejoin_m) for v in route.variants] == [(2100, 2900)]
    assert places(route.variants[0].line.legs) == [(0, 900)]


def test_values_arrive_with_their_units(route):
    quay, row, dock = (placed.item for placed in route.along.legs)
    (crossing,) = (placed.item for placed in route.along.crossings)
    assert dock.speed_limit == ("30 mph", 30.0)
    assert dock.lane_width.get("outbound") == dock.lane_width.get("return") == 1.4
    assert dock.parking.get("return") is True
    assert dock.kind.get("outbound") == "protected track"
    assert dock.kind.get("return") == "painted lane"
    assert crossing.wait == 75.0
    assert crossing.vehicles_per_day == 14000
    assert row.lit == "yes"
    assert route.along.dismounts[0].item.metres == 15.0
    assert route.along.barriers[0].item.gap == 1.2
    assert list(quay.hours) == ["Mo-Sa 08:00-18:00", "otherwise"]
    assert route.notes.planned[0].expected == 2027
    assert route.notes.video.chapters is True


def test_dates_and_words_stay_as_written(route):
    assert route.notes.ridden[0].on == "2026-05-16"
    assert route.notes.changed[0].on == "2025-04"
    assert route.notes.alerts[0].until == "2026-10-15"
    assert route.notes.who.child == "with an adult"
    assert route.notes.was == ["ferry-steps-to-chapel"]


def test_a_plain_cue_is_the_outbound_one_only(route):
    quay, row, _ = (placed.item for placed in route.along.legs)
    assert quay.cue.get("return") == "Push to the ferry."
    assert row.cue.get("outbound") == "Straight on past the baths."
    assert row.cue.get("return") is None


def test_a_dismount_of_one_direction_is_met_in_that_one_only(route):
    assert places(route.outbound.dismounts) == []
    assert places(route.way_back.dismounts) == [(2680, 2680)]


def test_where_things_stand_in_the_notes_is_kept(route):
    lines = NOTES.splitlines()
    for placed in (*route.along.legs, *route.along.crossings, *route.along.hazards):
        line, column = placed.mark
        assert lines[line - 1][column - 1 :].startswith(("from: ", "at: "))
    line, column = route.place("next", 0)
    assert lines[line - 1][column - 1 :].startswith("chapel-green-to-weir-mill")
    assert lines[route.place("who", "child")[0] - 1].startswith("who:")
