"""A variant measured as if taken: nothing changes where it is the stretch that it replaces."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from building import crossing, gpx_text, leg, line_east, make_route, notes, route_of
from softpedal.library.load import load_route
from softpedal.library.notes import KINDS
from softpedal.library.route import AnotherLine, Line, Placed
from softpedal.library.track import Track
from softpedal.measure.route_measures import measure
from softpedal.measure.variant import with_variant
from softpedal.settings import Settings

SETTINGS = Settings()


def stretch(line: Line, leave: float, rejoin: float) -> Line:
    """The part of a line between two chainages, as a line of its own."""
    track = line.track
    at = track.chainage_m
    stops = np.concatenate(([leave], at[(at > leave) & (at < rejoin)], [rejoin]))
    columns = [np.interp(stops, at, column) for column in (track.lat, track.lon, track.height)]
    own = Track(*columns, np.zeros(len(stops), dtype=np.int64))

    def within(items):
        return tuple(
            replace(p, at_m=p.at_m - leave, to_m=p.to_m - leave)
            for p in items
            if leave < p.at_m < rejoin
        )

    legs = tuple(
        Placed(p.item, max(p.at_m, leave) - leave, min(p.to_m, rejoin) - leave)
        for p in line.legs
        if p.to_m > leave and p.at_m < rejoin
    )
    return Line(own, legs, within(line.crossings), within(line.dismounts))


def numbers(measures) -> list[float]:
    """All figures of both directions in every state."""
    found: list[float] = []
    for direction in (measures.outbound, measures.way_back):
        found += [direction.length_m, direction.detour_factor or 0.0]
        if direction.heights:
            found += [direction.heights.ascent_m, direction.heights.descent_m]
        for state in direction.states:
            figures = state.figures
            assert figures is not None
            found += figures.metres_by_kind.values()
            found += [
                figures.quietness,
                figures.busy,
                figures.busy_uncontrolled,
                figures.crossings,
                figures.dismounts,
                figures.pushed_m,
                figures.ride_s,
                figures.wait_s,
                figures.level,
            ]
    return found


@given(
    starts=st.lists(st.integers(20, 1980), min_size=1, max_size=6, unique=True),
    kinds=st.lists(st.sampled_from(KINDS), min_size=7, max_size=7),
    ends=st.tuples(st.integers(0, 2000), st.integers(0, 2000)).filter(lambda e: e[0] != e[1]),
    points=st.lists(st.integers(1, 1999), min_size=1, max_size=5, unique=True),
    rise=st.sampled_from([None, 0.02, 0.06]),
)
def test_a_variant_that_is_the_stretch_itself_changes_no_figure(
    starts, kinds, ends, points, rise
) -> None:
    legs = [
        leg(f"{at} m", kind, closed_by="planters", street=f"Street {at}")
        for at, kind in zip([0, *sorted(starts)], kinds, strict=False)
    ]
    controls = ["none", "zebra", "signals", "refuge", "toucan"]
    route = route_of(
        notes(
            legs=legs,
            crossings=[
                crossing(f"{at} m", control, speed_limit="30 mph", vehicles_per_day=5000)
                for at, control in zip(points, controls, strict=False)
            ],
            dismounts=[{"at": f"{at} m", "why": "gate", "metres": 12} for at in points],
        ),
        line_east(2000, height=rise and (lambda at: 20 + rise * abs(at - 900))),
    )
    leave, rejoin = (float(e) for e in sorted(ends))
    if leave in points or rejoin in points:  # these stay the route's own, as the next test has it
        leave, rejoin = leave + 0.5, min(rejoin + 0.5, 2000.0)
    own = stretch(route.along, leave, min(rejoin, route.along.length_m))
    taken = with_variant(route, AnotherLine(None, leave, min(rejoin, 2000.0), own))
    assert numbers(measure(taken, SETTINGS)) == pytest.approx(
        numbers(measure(route, SETTINGS)), rel=1e-6, abs=1e-6
    )


@pytest.fixture
def route(tmp_path):
    """2 km of mixed street; a variant of 900 m of path stands for the 600 m from 0.7 to 1.3 km."""
    out = line_east(2000)
    first, last = out[70], out[130]
    north = (first[0] + 150 / 111_200, first[1])
    aside = [first, north, (north[0], last[1]), last]
    text = notes(
        legs=[leg("start", "mixed street", "Dock Road")],
        crossings=[
            crossing("0.7 km", "signals", "Mill Lane", busy=True),
            crossing("1 km", "none", "Northgate", busy=True),
        ],
        dismounts=[{"at": "900 m", "why": "gate"}, {"at": "1.5 km", "why": "steps"}],
        hazards=[{"at": "1.2 km", "to": "1.4 km", "what": "humps"}],
        variants=[
            {
                "file": "variant-quay.gpx",
                "leave": "0.7 km",
                "rejoin": "1.3 km",
                "why": "Level.",
                "legs": [leg("start", "traffic-free path", "Quay")],
            }
        ],
    )
    folder = make_route(tmp_path, text, out, files={"variant-quay.gpx": gpx_text(aside)})
    loaded = load_route(folder)
    assert loaded.route is not None, loaded.problems
    return loaded.route


def test_the_variant_stands_for_its_stretch(route) -> None:
    taken = with_variant(route, route.variants[0])
    measures = measure(taken, SETTINGS)
    figures = measures.outbound.leading.figures
    own = route.variants[0].line.length_m
    assert own == pytest.approx(900, rel=0.01)
    assert measures.outbound.length_m == pytest.approx(1400 + own, abs=0.01)
    assert figures.metres_by_kind["traffic-free path"] == pytest.approx(own, abs=0.01)
    assert figures.metres_by_kind["mixed street"] == pytest.approx(1400, abs=0.01)
    # the crossing where it leaves stays; what lies on the stretch goes
    assert [c.crossing.road for c in measures.outbound.leading.crossings] == ["Mill Lane"]
    assert [d.why for d in measures.outbound.leading.dismounts] == ["steps"]
    (hazard,) = taken.along.hazards
    assert (hazard.at_m, hazard.to_m) == pytest.approx((700 + own, 800 + own), abs=0.01)


def test_the_way_back_takes_it_too(route) -> None:
    measures = measure(with_variant(route, route.variants[0]), SETTINGS)
    assert measures.way_back.length_m == pytest.approx(measures.outbound.length_m)
    assert measures.way_back.leading.figures.metres_by_kind["traffic-free path"] > 890


def test_the_way_to_the_variant_and_back_is_its_own(route) -> None:
    """A variant drawn some metres off the line is reached by riding these metres."""
    other = route.variants[0]
    track = other.line.track
    off = Track(track.lat[1:-1], track.lon[1:-1], track.height[1:-1], track.part[1:-1])
    legs = (Placed(other.line.legs[0].item, 0.0, off.length_m),)
    taken = with_variant(route, replace(other, line=Line(off, legs)))
    assert taken.along.length_m == pytest.approx(1400 + track.length_m, abs=0.01)
    assert [p.length_m for p in taken.along.legs][1] == pytest.approx(track.length_m, abs=0.01)
