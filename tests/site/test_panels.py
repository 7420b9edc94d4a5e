"""The panels of a route's page: one for each direction and state of the week."""

from __future__ import annotations

import json
from html.parser import HTMLParser

import pytest

from building import gpx_text, leg, line_east, line_north, make_route, notes
from softpedal.library.load import load_route
from softpedal.measure.route_measures import measure
from softpedal.settings import Settings
from softpedal.site.drawings import map_of, strip_of
from softpedal.site.panels import NAMES, Panels, states_script
from softpedal.site.route_view import facts
from softpedal.site.variants import map_variants

NASTY = "</script><img src=x onerror=alert(1)> & 'x'"


def panels_of(tmp_path, points=None, **changes) -> Panels:
    folder = make_route(tmp_path, notes(**changes), points or line_east(2000))
    loaded = load_route(folder, Settings())
    assert loaded.route, loaded.problems
    return Panels(loaded.route, measure(loaded.route, Settings()), "metric")


def by_day(kind: str = "on foot", otherwise: str = "filtered street", **more):
    """Legs of which the first is another kind by day."""
    first = leg("start", None, "Quay", hours={"Mo-Fr 08:00-18:00": kind, "otherwise": otherwise})
    return [first | {"closed_by": "posts"}, leg("0.5 km", "back street", "Yard Street", **more)]


class Elements(HTMLParser):
    """The names of all elements and attributes in a piece of HTML."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag, attrs) -> None:
        self.found += [tag, *(name for name, _ in attrs)]


def test_each_direction_in_each_state_is_a_view(tmp_path) -> None:
    panels = panels_of(tmp_path, legs=by_day())
    assert [view.key for view in panels.views] == [
        "outbound-0",
        "outbound-1",
        "return-0",
        "return-1",
    ]
    assert panels.views[0].when == "Mon–Fri 08:00–18:00"
    for view in panels.views:
        assert view.state.figures
        found = panels.of(view)
        assert tuple(found) == NAMES
        for name, html in found.items():
            assert f'data-sp-panel="{name}" data-sp-view="{view.key}"' in html
        assert found["legs"].count("on foot") >= 1 - view.index
        assert f"<dd>{view.state.figures.dismounts}</dd>" in found["figures"]


def test_what_stays_the_same_at_other_hours_is_not_sent_twice(tmp_path) -> None:
    hazard = {"at": "1.2 km", "what": "vans", "hours": "Mo-Fr 07:00-11:00"}
    panels = panels_of(tmp_path, legs=by_day(), hazards=[hazard])
    further = panels.further()
    assert set(further) == {view.key for view in panels.views if view.index}
    for key, found in further.items():
        view = next(v for v in panels.views if v.key == key)
        whole = panels.of(view)
        assert {"figures", "legs"} <= set(found)
        assert all(found[name] == str(whole[name]) for name in found)
    shut = panels_of(tmp_path / "b", closed=["21:00-06:00"]).further()["outbound-1"]
    assert set(shut) == {"figures", "strip", "legs", "facts"}


def test_a_state_leads_to_the_hours_of_the_other_direction_that_it_shares(tmp_path) -> None:
    hours = {"hours": {"Mo-Fr 08:00-18:00": "on foot", "otherwise": "back street"}}
    one = leg("start", None, "Quay", **hours)
    ban = {"at": "0.2 km", "why": "no riding", "must": "law", "direction": "return"}
    panels = panels_of(tmp_path, legs=[one], dismounts=[ban | {"hours": "Sa,Su 00:00-24:00"}])
    out = [v for v in panels.views if v.direction.direction == "outbound"]
    back = [v for v in panels.views if v.direction.direction == "return"]
    assert (len(out), len(back)) == (2, 3)
    for view in out:
        shares = [
            sum(
                max(0, min(b, d) - max(a, c)) for a, b in view.state.spans for c, d in v.state.spans
            )
            for v in back
        ]
        assert shares[view.other] == max(shares)


def test_shut_hours_say_so_in_figures_table_and_switch(tmp_path) -> None:
    panels = panels_of(tmp_path, closed=["21:00-06:00"])
    shut = next(view for view in panels.views if not view.state.passable)
    found = panels.of(shut)
    words = "Shut 21:00–06:00: this way cannot be ridden then."
    assert words in found["figures"]
    assert words in found["legs"]
    assert "sp-figures" not in found["figures"]
    assert "Hardest bit" not in found["strip"]
    assert "sp-strip-shut" in found["strip"]
    switch = panels.switches()[0]["states"]
    assert [state["when"] for state in switch] == ["06:00–21:00", "21:00–06:00: shut"]


def test_a_way_that_is_always_shut_says_so(tmp_path) -> None:
    panels = panels_of(tmp_path, closed=["24/7"])
    assert "Shut at all times" in panels.of(panels.leading("outbound"))["figures"]


@pytest.mark.parametrize("heights", [True, False])
def test_a_route_without_heights_says_so(tmp_path, heights) -> None:
    points = line_east(2000, height=(lambda at: 5 + at / 100) if heights else None)
    found = panels_of(tmp_path, points).of
    panels = panels_of(tmp_path / "b", points)
    facts = found(panels.leading("outbound"))["facts"]
    assert ("Heights were not recorded" in facts) is not heights
    assert ("sp-profile" in facts) is heights


def test_the_way_back_is_told_from_its_own_start(tmp_path) -> None:
    legs = [leg("start", "back street", "First"), leg("1.5 km", "busy road", "Last")]
    panels = panels_of(tmp_path, legs=legs)
    back = panels.of(panels.leading("return"))
    assert back["legs"].index("Last") < back["legs"].index("First")
    assert "From Chapel Green to Ferry Steps" in back["legs"]
    assert panels.ends("return") == "From Chapel Green to Ferry Steps"


def test_what_authors_write_is_text_in_panels_and_their_script(tmp_path) -> None:
    legs = by_day()
    legs[0]["street"] = NASTY
    panels = panels_of(
        tmp_path, legs=legs, landmarks=[{"at": "0.3 km", "what": NASTY}], finish=NASTY
    )
    script = states_script("a", panels.further())
    assert not {"<", ">", "&"} & set(script)
    first, second, _ = script.split("\n")
    assert first == "window.softpedalStates = window.softpedalStates || {};"
    sent = json.loads(second.split(" = ", 1)[1].removesuffix(";"))
    assert "&lt;/script&gt;" in sent["outbound-1"]["legs"]
    for found in sent.values():
        for html in found.values():
            elements = Elements(html).found
            assert not {"script", "img", "onerror", "style"} & set(elements)


def test_the_map_holds_every_view_once(tmp_path) -> None:
    panels = panels_of(tmp_path, legs=by_day())
    rows = {view.key: (view, panels.rows(view)) for view in panels.views}
    script = map_of(panels.route, rows, Settings())
    data = json.loads(script.split("\n")[1].split(" = ", 1)[1].removesuffix(";"))
    pool = data["legs"] + data["more"]["legs"]
    for view in panels.views:
        mine = data["views"][view.key]
        assert [pool[i]["kind"] for i in mine["legs"]] == [s.kind for s, _ in view.state.legs]
        assert mine["way"] == view.direction.direction
        assert pool[mine["legs"][-1]]["to"] == round(view.direction.length_m * 10)
    assert len({json.dumps(item) for item in pool}) == len(pool)
    assert data["views"]["outbound-0"]["legs"] == [0, 1]
    # by day and otherwise the second leg is the same
    assert data["views"]["outbound-1"]["legs"][1] == 1


def test_a_hazard_of_other_hours_is_never_left_out(tmp_path) -> None:
    hazard = {"at": "1.2 km", "what": "vans", "hours": "Mo-Fr 08:00-18:00"}
    panels = panels_of(tmp_path, legs=by_day(), hazards=[hazard])
    found = [
        [m.word for m in strip_of(v.direction, v.state, "metric").marks if m.sort == "hazard"]
        for v in panels.views
    ]
    assert found == [["vans"]] * 4
    assert all("vans" in panels.of(v)["legs"] for v in panels.views)


@pytest.mark.parametrize(("direct", "words"), [(None, "1.8 km"), ({"km": 1.7}, "1.7 km")])
def test_the_direct_road_says_its_length_and_where_it_is_on_the_map(tmp_path, direct, words):
    out = line_east(1500) + line_north(1000, lon=line_east(1500)[-1][1])[1:]
    changes = {"direct": direct} if direct else {}
    folder = make_route(
        tmp_path, notes(**changes), out, files={"direct.gpx": gpx_text([out[0], out[-1]])}
    )
    route = load_route(folder, Settings()).route
    found = dict(facts(route, measured := measure(route, Settings()), measured.outbound, "metric"))
    assert f"the direct road, {words} long, is the grey dashed line" in found["Directness"]
    assert "times the main-road way" in found["Directness"]
    (drawn,) = map_variants(route)
    assert (drawn.label, drawn.is_direct) == ("The direct road", True)
