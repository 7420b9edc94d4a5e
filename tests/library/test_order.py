"""What always holds of a route that was read: the same each time, sorted, without gaps."""

import itertools

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from building import gpx_text, leg, line_east, make_route, notes
from library.worked_example import write_example
from softpedal.library.load import load_route, route_folders

LENGTH_M = 2000
_LISTS = ("crossings", "dismounts", "hazards", "landmarks", "barriers", "skip", "wishes", "signed")
few = settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
metres = st.integers(0, LENGTH_M)


@pytest.fixture(scope="module")
def library(tmp_path_factory):
    return tmp_path_factory.mktemp("library")


def read(library, **changes):
    gpx = gpx_text(line_east(LENGTH_M, step=200))
    loaded = load_route(make_route(library, notes(**changes), gpx=gpx))
    assert loaded.route, [str(p) for p in loaded.problems]
    return loaded.route


def test_reading_again_gives_the_same(tmp_path):
    folder = write_example(tmp_path)
    first, second = load_route(folder).route, load_route(folder).route
    assert first.notes == second.notes
    assert first.along.legs == second.along.legs
    for name in _LISTS:
        assert getattr(first.along, name) == getattr(second.along, name)
    assert first.photos == second.photos
    assert first.places == second.places
    assert first.along.track.checksum == second.along.track.checksum
    assert np.array_equal(first.along.track.chainage_m, second.along.track.chainage_m)


def test_reading_faults_again_gives_the_same(tmp_path):
    folder = make_route(tmp_path, "title: x\nkrossings: 1\nlegs: [{from: 1, street: 2}]\n")
    assert load_route(folder).problems == load_route(folder).problems
    assert len(load_route(folder).problems) > 5


@few
@given(starts=st.sets(st.integers(1, LENGTH_M - 1), max_size=8), first=st.integers(0, 10))
def test_legs_neither_overlap_nor_leave_a_gap(library, starts, first):
    starts = [first, *sorted(start for start in starts if start > first)]
    legs = [leg(f"{start} m", "back street") for start in starts]
    placed = read(library, legs=legs).along.legs
    assert placed[0].at_m == 0
    assert placed[-1].to_m == pytest.approx(LENGTH_M)
    assert all(a.to_m == b.at_m for a, b in itertools.pairwise(placed))
    assert all(a.at_m < a.to_m for a in placed)
    assert sum(a.length_m for a in placed) == pytest.approx(LENGTH_M)


@few
@given(places=st.lists(metres, max_size=8))
def test_points_in_any_order_are_sorted(library, places):
    items = [{"at": f"{place} m", "what": f"{place}"} for place in places]
    route = read(library, hazards=items, landmarks=items)
    for found in (route.along.hazards, route.along.landmarks):
        assert [p.at_m for p in found] == pytest.approx(sorted(places), abs=1e-6)
        assert [float(p.item.what) for p in found] == sorted(places)


@few
@given(stretches=st.lists(st.tuples(metres, metres).map(sorted), max_size=6))
def test_stretches_end_after_they_start_both_ways(library, stretches):
    hazards = [{"at": f"{a} m", "to": f"{b} m", "what": "humps"} for a, b in stretches]
    route = read(library, hazards=hazards)
    assert all(0 <= p.at_m <= p.to_m for p in route.outbound.hazards)
    assert all(-1e-6 <= p.at_m <= p.to_m for p in route.way_back.hazards)
    back = sorted((LENGTH_M - p.to_m, LENGTH_M - p.at_m) for p in route.outbound.hazards)
    turned = sorted((p.at_m, p.to_m) for p in route.way_back.hazards)
    assert np.allclose(np.array(back).ravel(), np.array(turned).ravel(), atol=1e-6)


def test_folders_are_read_by_name_and_hidden_ones_passed_over(tmp_path):
    for name in ("b-way", "a-way", ".hidden", "_draft"):
        make_route(tmp_path, id=name)
    (tmp_path / "routes" / "README.md").write_text("x")
    assert [f.name for f in route_folders(tmp_path)] == ["a-way", "b-way"]
    assert route_folders(tmp_path / "nothing") == []
