"""What the page of all routes knows of each route."""

from __future__ import annotations

import json
import pickle
from typing import Any

import pytest
import shapely

from building import crossing, leg, line_east, measures_of, notes, route_of
from softpedal.measure.week import DAY, WEEK
from softpedal.settings import Settings
from softpedal.site.basemap import LAYERS, Background
from softpedal.site.catalogue import ALL_POINTS, DATA, GROUND, library_files, library_script
from softpedal.site.findable import findable
from softpedal.site.lists import Entry, entry_of, in_order
from softpedal.site.overview_ground import MOST_BYTES, overview_ground

LIT = leg("start", "filtered street", "Netmakers’ Quay", closed_by="posts", lit="yes")


def entry(**changes: Any) -> Entry:
    text = notes(**({"legs": [LIT]} | changes))
    return entry_of(route_of(text), measures_of(text), Settings())


def data_of(*entries: Entry, settings: Settings | None = None) -> dict[str, Any]:
    script = library_script(entries, settings or Settings())
    return json.loads(script.removeprefix("window.softpedalLibrary = ").removesuffix(";\n"))


def flags(**changes: Any) -> frozenset[str]:
    return entry(**changes).findable.flags


def test_a_route_without_any_trouble_has_every_flag() -> None:
    assert flags() == {"signals", "riding", "stepfree", "lit"}


@pytest.mark.parametrize(
    ("gone", "changes"),
    [
        ("signals", {"crossings": [crossing("1 km", "none", busy=True)]}),
        ("riding", {"dismounts": [{"at": "1 km", "why": "no entry"}]}),
        ("stepfree", {"barriers": [{"at": "1 km", "what": "three steps", "steps": True}]}),
        ("lit", {"legs": [LIT | {"lit": "partly"}]}),
        ("lit", {"legs": [{k: v for k, v in LIT.items() if k != "lit"}]}),
    ],
)
def test_a_flag_goes_for_its_reason(gone, changes) -> None:
    assert gone not in flags(**changes)


def test_a_busy_crossing_with_signals_is_no_reason() -> None:
    assert "signals" in flags(crossings=[crossing("1 km", "signals", busy=True)])


def test_a_route_that_is_shut_all_week_claims_nothing() -> None:
    found = entry(closed=["24/7"]).findable
    assert (found.percent, found.flags, found.open) == (0, frozenset(), ())


def test_opening_hours_are_minutes_of_the_week_and_left_out_when_always() -> None:
    assert entry().findable.open is None
    spans = entry(closed=["Mo-Su 21:00-06:00"]).findable.open
    assert spans == tuple((day * DAY + 360, day * DAY + 1260) for day in range(7))
    assert data_of(entry(closed=["Mo-Su 21:00-06:00"]))["routes"][0]["open"][6][1] < WEEK
    assert "open" not in data_of(entry())["routes"][0]


@pytest.mark.parametrize(("word", "value"), [("with an adult", 1), ("with care", 2), ("no", None)])
def test_the_author_s_word_on_a_child(word, value) -> None:
    assert data_of(entry(who={"child": word}))["routes"][0].get("child") == value


@pytest.mark.parametrize(("word", "value"), [("yes", 1), ("with care", 2), ("no", None)])
def test_the_author_s_word_on_a_cargo_bike(word, value) -> None:
    assert data_of(entry(who={"cargo": word}))["routes"][0].get("cargo") == value


def test_names_stand_once_and_routes_give_their_numbers() -> None:
    data = data_of(entry(landmarks=[{"at": "1 km", "what": "Grain silo", "side": "left"}]), entry())
    assert sorted(data["names"]) == ["Chapel Green", "Ferry Steps", "Grain silo", "Netmakers’ Quay"]
    name, lat, lon = data["routes"][0]["past"]
    assert data["names"][name] == "Grain silo"
    assert lat + data["at"][0] == 500_000
    assert -200_000 < lon + data["at"][1] < -199_700
    assert [data["names"][i] for i in data["routes"][1]["ends"]] == ["Ferry Steps", "Chapel Green"]


def test_the_quiet_share_is_rounded_down() -> None:
    legs = [leg("start", "traffic-free path"), leg("1.999 km", "back street")]
    assert entry(legs=legs).findable.percent == 99


def test_an_entry_is_small_and_can_be_sent_between_processes() -> None:
    text = notes(landmarks=[{"at": "1 km", "what": "Grain silo", "side": "left"}])
    found = findable(route_of(text), measures_of(text))
    sent = pickle.dumps(found)
    assert pickle.loads(sent) == found
    assert len(sent) < 2000


def test_lines_of_a_large_library_share_one_budget() -> None:
    one = entry()
    zigzag = tuple((500_000 + i % 2 * 40, -200_000 + i * 7) for i in range(160))
    many = [
        Entry(f"r{i}", one.title, one.areas, one.grade, one.texts, _with_line(one, zigzag))
        for i in range(500)
    ]
    data = data_of(*many)
    assert sum(len(r["d"]) // 2 for r in data["routes"]) <= ALL_POINTS
    assert len(library_script(many, Settings())) <= 450_000


def _with_line(one: Entry, line: tuple[tuple[int, int], ...]) -> Any:
    from dataclasses import replace

    return replace(one.findable, line=(line,))


def test_html_in_a_name_ends_no_script() -> None:
    script = library_script([entry(start="</script><b>")], Settings())
    assert "</script" not in script


def test_a_library_without_routes_has_no_scripts() -> None:
    assert library_files([], Settings(), None) == []


def background(count: int = 1) -> Background:
    """Wriggling main roads, one building and one puddle."""
    roads = [
        shapely.LineString(
            [(-20 + i * 0.0001, 50 + j * 0.0002 + i % 2 * 0.0003) for i in range(300)]
        )
        for j in range(count)
    ]
    shapes = [*roads, shapely.box(-20, 50, -19.99, 50.01), shapely.Point(-20, 50).buffer(0.0001)]
    layers = [LAYERS.index("main_road")] * count + [LAYERS.index("building"), LAYERS.index("water")]
    import numpy as np

    return Background(
        shapes=np.array(shapes, dtype=object),
        layers=np.array(layers),
        names=np.array([""] * len(shapes), dtype=object),
        tree=shapely.STRtree(shapes),
    )


def test_the_ground_is_main_roads_and_water_of_some_size() -> None:
    script = overview_ground(background(), [entry().findable.line])
    assert '"main_road"' in script
    assert "building" not in script
    assert "water" not in script


def test_the_ground_keeps_within_its_budget() -> None:
    script = overview_ground(background(200), [entry().findable.line])
    assert len(script) <= MOST_BYTES


def test_the_attribution_stands_only_where_there_is_ground() -> None:
    settings = Settings(background_attribution="Invented")
    paths = {f.path: f.content.decode() for f in library_files([entry()], settings, background())}
    assert set(paths) == {DATA, GROUND}
    assert '"attribution":"Invented"' in paths[DATA]
    assert data_of(entry(), settings=settings)["attribution"] == ""


def test_orders() -> None:
    long = entry_of(*_pair(3000, title="Weir Mill", legs=[LIT]))
    short = entry_of(*_pair(1000, title="Ash Lane"))
    assert [e.title for e in in_order([long, short])] == ["Ash Lane", "Weir Mill"]
    assert in_order([long, short], "length") == [short, long]
    assert in_order([short, long], "title") == [short, long]
    assert in_order([short, long], "quiet") == [long, short]


def _pair(metres: float, **changes: Any) -> tuple[Any, Any, Settings]:
    text, points = notes(**changes), line_east(metres)
    return route_of(text, points), measures_of(text, points), Settings()
