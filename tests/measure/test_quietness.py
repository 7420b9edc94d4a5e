"""The quietness index: the identities that its definition implies, on random routes."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from building import LAT, LON, leg, line_east, measures_of, notes
from softpedal.library.notes import KINDS
from softpedal.library.track import WGS84
from softpedal.measure.quietness import whole_percent

#: Which kinds count as quiet, as the design has it; a filtered street with evidence.
QUIET = {"protected track", "traffic-free path", "filtered street"}


@st.composite
def lines(draw):
    """A line of 4 to 14 straight steps of 40 to 400 m that wander about."""
    steps = draw(
        st.lists(
            st.tuples(st.floats(0, 360, width=32), st.floats(40, 400, width=32)),
            min_size=4,
            max_size=14,
        )
    )
    points = [(LAT, LON)]
    for bearing, metres in steps:
        lon, lat, _ = WGS84.fwd(points[-1][1], points[-1][0], bearing, metres)
        points.append((lat, lon))
    return points, math.fsum(metres for _, metres in steps)


@st.composite
def routes(draw):
    """A line with 1 to 8 legs of random kinds: points, starts in whole metres, and kinds."""
    points, length = draw(lines())
    count = draw(st.integers(1, 8))
    starts = draw(
        st.lists(
            st.integers(1, int(length) - 2), min_size=count - 1, max_size=count - 1, unique=True
        )
    )
    kinds = draw(st.lists(st.sampled_from(KINDS), min_size=count, max_size=count))
    return points, [0, *sorted(starts)], kinds


def noted(starts, kinds):
    return notes(
        legs=[
            leg(f"{start} m", kind, closed_by="planters")
            for start, kind in zip(starts, kinds, strict=True)
        ]
    )


def figures_of(points, starts, kinds, direction="outbound"):
    measures = measures_of(noted(starts, kinds), points)
    return measures.of(direction).leading.figures


@given(routes())
def test_q_is_the_share_of_quiet_metres_and_the_metres_add_up(route):
    points, starts, kinds = route
    measures = measures_of(noted(starts, kinds), points)
    length = measures.outbound.length_m
    quiet = sum(
        end - start
        for start, end, kind in zip(starts, [*starts[1:], length], kinds, strict=True)
        if kind in QUIET
    )
    for direction in ("outbound", "return"):
        figures = measures.of(direction).leading.figures
        assert 0 <= figures.quietness <= 1
        assert math.fsum(figures.metres_by_kind.values()) == pytest.approx(length, abs=1e-9)
        assert figures.quietness == pytest.approx(quiet / length, abs=1e-9)


@given(routes(), st.data())
def test_splitting_a_leg_leaves_q_unchanged(route, data):
    points, starts, kinds = route
    end = int(measures_of(noted(starts, kinds), points).outbound.length_m) - 1
    where = data.draw(st.integers(1, end))
    assume(where not in starts)
    index = max(i for i, start in enumerate(starts) if start < where)
    more = [*starts[: index + 1], where, *starts[index + 1 :]]
    doubled = [*kinds[: index + 1], kinds[index], *kinds[index + 1 :]]
    before, after = figures_of(points, starts, kinds), figures_of(points, more, doubled)
    assert after.quietness == pytest.approx(before.quietness, abs=1e-9)
    assert after.metres_by_kind == pytest.approx(before.metres_by_kind, abs=1e-6)
    assert after.dismounts == before.dismounts  # a pushed stretch counts once, however it is cut


@given(routes(), st.integers(1, 5))
def test_densifying_the_track_leaves_q_unchanged(route, between):
    points, starts, kinds = route
    dense = []
    for (lat, lon), (to_lat, to_lon) in itertools.pairwise(points):
        inner = WGS84.npts(lon, lat, to_lon, to_lat, between)
        dense += [(lat, lon), *((inner_lat, inner_lon) for inner_lon, inner_lat in inner)]
    dense.append(points[-1])
    before, after = figures_of(points, starts, kinds), figures_of(dense, starts, kinds)
    assert after.quietness == pytest.approx(before.quietness, abs=1e-9)


@given(routes())
def test_reversing_a_route_leaves_q_unchanged(route):
    points, starts, kinds = route
    measures = measures_of(noted(starts, kinds), points)
    length = measures.outbound.length_m
    q = measures.outbound.leading.figures.quietness
    assert measures.way_back.leading.figures.quietness == pytest.approx(q, abs=1e-9)
    turned = [0.0, *(length - start for start in reversed(starts[1:]))]
    positions = [f"{start:.9f}" for start in turned]
    drawn_backwards = figures_of(points[::-1], positions, kinds[::-1])
    assert drawn_backwards.quietness == pytest.approx(q, abs=1e-9)


@given(routes(), st.data())
def test_turning_a_quiet_leg_unquiet_lowers_q_by_exactly_its_share(route, data):
    points, starts, kinds = route
    index = data.draw(st.integers(0, len(kinds) - 1))
    quiet_kind = data.draw(st.sampled_from(sorted(QUIET)))
    other = data.draw(st.sampled_from([kind for kind in KINDS if kind not in QUIET]))
    quiet, unquiet = ([*kinds[:index], kind, *kinds[index + 1 :]] for kind in (quiet_kind, other))
    measures = measures_of(noted(starts, quiet), points)
    length = measures.outbound.length_m
    share = ([*starts[1:], length][index] - starts[index]) / length
    before = measures.outbound.leading.figures.quietness
    after = figures_of(points, starts, unquiet).quietness
    assert before - after == pytest.approx(share, abs=1e-9)


@pytest.mark.parametrize("kind", KINDS)
def test_exactly_the_quiet_kinds_are_quiet(kind):
    figures = measures_of(notes(legs=[leg("start", kind, closed_by="posts")]))
    assert figures.outbound.leading.figures.quietness == (1.0 if kind in QUIET else 0.0)


def test_pushed_stretches_belong_to_the_whole():
    legs = [leg("start", "on foot"), leg("500 m", "traffic-free path")]
    figures = measures_of(notes(legs=legs), line_east(2000)).outbound.leading.figures
    assert figures.quietness == pytest.approx(0.75, abs=1e-9)


@pytest.mark.parametrize(
    ("share", "percent"),
    [(0.0, 0), (0.62, 62), (0.6299999, 62), (0.29, 29), (0.57, 57), (0.999999, 99), (1.0, 100)],
)
def test_whole_percent_is_rounded_down(share, percent):
    assert whole_percent(share) == percent


@given(st.floats(0, 1))
def test_whole_percent_never_claims_more_than_a_billionth(share):
    assert whole_percent(share) <= share * 100 + 1e-9
    assert whole_percent(share) > share * 100 - 1
