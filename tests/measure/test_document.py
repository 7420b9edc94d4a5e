"""The measures as plain data: their schema, their leading states, and that they are pure."""

from __future__ import annotations

import csv
import datetime as dt
import io
import time

import jsonschema
import pytest

from building import crossing, document, leg, line_east, load, make_route, notes
from softpedal.measure import week
from softpedal.measure.document import measures_csv, measures_document, measures_schema
from softpedal.measure.route_measures import measure
from softpedal.settings import Settings

HOURS = {"Mo-Sa 08:00-18:00": "on foot", "otherwise": "filtered street"}
RICH = notes(
    legs=[
        leg("start", hours=HOURS, closed_by="posts"),
        leg("300 m", "traffic-free path"),
        leg("1 km", {"outbound": "bus lane", "return": "busy road"}, level=4, why="lorries"),
    ],
    crossings=[crossing("700 m", "zebra"), crossing("1.2 km", "none", busy=True)],
    closed=["21:00-06:00"],
    direct={"km": 1.6},
    steep=[{"at": "500 m", "metres": "40 m", "gradient": "8 %"}],
)
NOTES = {"plain": notes(), "rich": RICH, "always shut": notes(closed=["24/7"])}
POINTS = {
    "bare": line_east(2000),
    "with heights": line_east(2000, height=lambda s: 10 + s / 200),
}


class _NoToday(dt.datetime):
    """A datetime that does not know what day it is."""

    @classmethod
    def now(cls, tz=None):  # noqa: ARG003 - the base class's signature
        pytest.fail("the clock was read")

    utcnow = today = now


@pytest.mark.parametrize("points", POINTS.values(), ids=POINTS)
@pytest.mark.parametrize("data", NOTES.values(), ids=NOTES)
def test_the_document_is_what_its_schema_says(tmp_path, data, points):
    schema = measures_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    found = document(make_route(tmp_path, data, points))
    jsonschema.validate(found, schema)
    found["routes"][0]["surprise"] = 1
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(found, schema)


@pytest.mark.parametrize("data", NOTES.values(), ids=NOTES)
def test_exactly_one_state_of_a_direction_is_the_daytime_one_and_comes_first(tmp_path, data):
    (route,) = document(make_route(tmp_path, data))["routes"]
    for direction in route["directions"].values():
        assert [s["is_daytime"] for s in direction["states"]] == [
            index == 0 for index in range(len(direction["states"]))
        ]


def test_an_impassable_state_has_null_figures_and_only_those(tmp_path):
    (route,) = document(make_route(tmp_path, RICH, POINTS["with heights"]))["routes"]
    *open_states, shut = route["directions"]["outbound"]["states"]
    assert shut["when"] == "21:00-06:00"
    figures = {k: v for k, v in shut.items() if k not in ("when", "is_daytime", "passable")}
    assert set(figures.values()) == {None}
    assert len(figures) == 15
    for state in open_states:
        assert state.keys() == shut.keys()
        assert None not in state.values()


def test_heights_that_were_not_recorded_are_null(tmp_path):
    (route,) = document(make_route(tmp_path, notes(), POINTS["bare"]))["routes"]
    (state,) = route["directions"]["outbound"]["states"]
    assert (state["ascent_m"], state["descent_m"], state["steepest"]) == (None, None, None)


def test_the_worst_is_the_crossing_only_where_it_is_above_the_worst_leg(tmp_path):
    data = notes(legs=[leg("start", "mixed street")], crossings=[crossing("1 km", busy=True)])
    (route,) = document(make_route(tmp_path, data))["routes"]
    stress = route["directions"]["outbound"]["states"][0]["stress"]
    assert (stress["route"], stress["worst"]["what"]) == (3, "leg")
    assert stress["worst_crossing"]["level"] == 3
    data["crossings"][0] |= {"level": 4, "why": "blind bend"}
    (route,) = document(make_route(tmp_path, data))["routes"]
    stress = route["directions"]["outbound"]["states"][0]["stress"]
    assert (stress["route"], stress["worst"]["what"]) == (4, "crossing")
    assert stress["worst"]["raised"] == "blind bend"
    assert stress["worst_leg"]["level"] == 3


@pytest.mark.parametrize(
    ("kind", "control", "more", "what"),
    [
        ("traffic-free path", "none", {"vehicles_per_day": 9000}, "crossing"),
        ("traffic-free path", "signals", {"vehicles_per_day": 9000}, "leg"),
        ("traffic-free path", "none", {}, "leg"),
        ("back street", "none", {"vehicles_per_day": 9000, "lanes": 4}, "crossing"),
    ],
)
def test_at_equal_levels_a_busy_crossing_without_signals_is_worse_than_a_leg_off_the_traffic(
    tmp_path, kind, control, more, what
):
    met = crossing("1 km", control, speed_limit="30 mph", **more)
    (route,) = document(make_route(tmp_path, notes(legs=[leg("start", kind)], crossings=[met])))[
        "routes"
    ]
    stress = route["directions"]["outbound"]["states"][0]["stress"]
    assert stress["worst_leg"]["level"] == stress["worst_crossing"]["level"] == stress["route"]
    assert stress["worst"]["what"] == what


def test_of_legs_at_one_level_the_worst_kind_is_named_and_of_those_the_longest(tmp_path):
    legs = [
        leg("start", "painted lane", "Dock Road"),
        leg("1 km", "busy road", "Grain Road", speed_limit="30 mph"),
        leg("1.1 km", "back street"),
        leg("1.2 km", "busy road", "Yard Road", speed_limit="30 mph"),
        leg("1.4 km", "back street"),
    ]
    (route,) = document(make_route(tmp_path, notes(legs=legs)))["routes"]
    named = route["directions"]["outbound"]["states"][0]["stress"]["worst_leg"]
    assert (named["name"], named["level"]) == ("Yard Road", 3)


def test_of_crossings_at_one_level_a_busy_one_without_signals_is_named(tmp_path):
    crossings = [
        crossing("0.2 km", speed_limit="30 mph", road="Mill Lane"),
        crossing("0.4 km", "toucan", speed_limit="30 mph", road="Dock Road", busy=True),
        crossing("0.6 km", speed_limit="30 mph", road="Grain Road", busy=True),
        crossing("0.8 km", speed_limit="30 mph", road="Yard Road", busy=True),
    ]
    (route,) = document(make_route(tmp_path, notes(crossings=crossings)))["routes"]
    named = route["directions"]["outbound"]["states"][0]["stress"]["worst_crossing"]
    assert (named["name"], named["level"]) == ("Grain Road", 1)


def test_measuring_twice_gives_equal_documents(tmp_path):
    folder = make_route(tmp_path, RICH, POINTS["with heights"])
    route = load(folder)
    first, second = (measures_document([(route, measure(route, Settings()))]) for _ in range(2))
    assert first == second == document(folder)


def test_measuring_reads_no_clock(tmp_path, monkeypatch):
    """Nothing in a build depends on the day on which it is built."""
    route = load(make_route(tmp_path, RICH, POINTS["with heights"]))
    expected = measures_document([(route, measure(route, Settings()))])

    def refuse(*_):
        pytest.fail("the clock was read")

    week._open_spans.cache_clear()
    with monkeypatch.context() as patch:
        for name in ("time", "time_ns", "localtime", "gmtime", "strftime"):
            patch.setattr(time, name, refuse)
        patch.setattr(week.dt, "datetime", _NoToday)
        found = measures_document([(route, measure(route, Settings(title="Other")))])
    assert found == expected


def test_the_csv_has_a_row_for_each_direction_and_state(tmp_path):
    route = load(make_route(tmp_path, RICH, POINTS["with heights"]))
    pair = [(route, measure(route, Settings()))]
    rows = list(csv.DictReader(io.StringIO(measures_csv(pair))))
    (whole,) = measures_document(pair)["routes"]
    expected = [
        (direction, state["when"])
        for direction, figures in whole["directions"].items()
        for state in figures["states"]
    ]
    assert [(row["direction"], row["when"]) for row in rows] == expected
    leading = whole["directions"]["outbound"]["states"][0]
    assert float(rows[0]["quietness"]) == leading["quietness"]
    assert float(rows[0]["m on foot"]) == leading["metres_by_kind"]["on foot"]
    assert rows[0]["stress"] == str(leading["stress"]["route"])
    assert rows[-1]["quietness"] == ""


def test_no_routes_are_an_empty_document_and_a_bare_header():
    assert measures_document([]) == {"schema": 1, "routes": []}
    assert measures_csv([]) == "id\n"
