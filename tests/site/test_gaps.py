"""Where the quiet network breaks: what counts, what is one place, how it is ranked and written."""

from __future__ import annotations

import csv
import io
import re

import pytest

from building import LAT, LON, crossing, leg, line_east, line_north, notes, route_of
from softpedal.measure.route_measures import measure
from softpedal.settings import Settings
from softpedal.site import gaps
from softpedal.site.connections import Sampled
from softpedal.site.gap_places import route_gaps
from softpedal.site.gaps import gaps_csv, gaps_page
from softpedal.site.gaps_merged import ranked_gaps

SETTINGS = Settings()
NORTH, EAST = 1 / 111_229, 1 / 71_696


def gaps_of(id_="one", points=None, **changes):
    route = route_of(notes(**changes), points, id=id_)
    return route_gaps(route, measure(route, SETTINGS), "metric")


def places_of(id_="one", points=None, **changes):
    return gaps_of(id_, points, **changes).places


ROAD = leg("start", "busy road", "Dock Road", speed_limit="40 mph", lanes=2)
QUIET = leg("start", "traffic-free path", "Towpath")


def link(target, source) -> str:
    assert source == "gaps/index.md"
    return f"../{target.removesuffix('index.md')}"


def test_legs_from_level_three_are_found_in_both_directions() -> None:
    legs = [
        leg("start", "back street", "Reed Lane"),
        leg("500 m", "painted lane", "Dock Road"),
        leg("1 km", "busy road", "Salt Road"),
    ]
    found = places_of(legs=legs)
    assert {(p.name, p.level) for p in found} == {("Dock Road", 3), ("Salt Road", 4)}
    assert [p.direction for p in found].count("return") == 2
    assert [p.leg for p in found if p.direction == "return"] == [0, 1]
    (gap, lane) = ranked_gaps(found)
    assert (gap.worst.name, gap.metres) == ("Salt Road", pytest.approx(1000, abs=0.1))
    assert (lane.worst.name, lane.metres) == ("Dock Road", pytest.approx(500, abs=0.1))


def test_crossings_count_if_stressful_or_busy_and_open() -> None:
    crossings = [
        crossing("300 m", "none", "Quiet Road"),
        crossing("600 m", "none", "Busy Road", busy=True),
        crossing("900 m", "refuge", "Calm Busy Road", speed_limit="20 mph", lanes=2, busy=True),
        crossing("1200 m", "signals", "Signals Road", busy=True),
        crossing("1500 m", "bridge", "Bridge Road"),
        crossing("1800 m", "none", "Fast Road", speed_limit="40 mph", lanes=2),
    ]
    found = places_of(legs=[QUIET], crossings=crossings)
    assert {p.name for p in found} == {"Busy Road", "Calm Busy Road", "Fast Road"}


def test_a_place_that_differs_by_direction_keeps_its_own() -> None:
    kind = {"outbound": "protected track", "return": "painted lane"}
    found = places_of(legs=[leg("start", kind, "Dock Road")])
    assert [(p.direction, p.what) for p in found] == [("return", "painted lane")]


def test_one_street_on_several_routes_is_one_place_as_long_as_they_reach_together() -> None:
    first = places_of("first", line_east(1000), legs=[ROAD])
    second = places_of("second", line_east(1000, lon=LON + 600 * EAST), legs=[ROAD])
    turned = places_of("third", line_east(1000)[::-1], legs=[ROAD])
    (gap,) = ranked_gaps([*first, *second, *turned])
    assert gap.routes == ["first", "second", "third"]
    assert gap.metres == pytest.approx(1600, abs=35)


def test_two_stretches_of_a_street_become_one_by_a_third_that_joins_them() -> None:
    parts = [
        places_of("a", line_east(400), legs=[ROAD]),
        places_of("b", line_east(400, lon=LON + 700 * EAST), legs=[ROAD]),
        places_of("c", line_east(900, lon=LON + 100 * EAST), legs=[ROAD]),
    ]
    assert len(ranked_gaps([*parts[0], *parts[1]])) == 2
    (gap,) = ranked_gaps([place for part in parts for place in part])
    assert gap.metres == pytest.approx(1100, abs=50)


def test_streets_that_only_share_a_name_or_a_crossroads_stay_apart() -> None:
    here = places_of("here", line_east(1000), legs=[ROAD])
    far = places_of("far", line_east(1000, lat=LAT + 5000 * NORTH), legs=[ROAD])
    across = places_of("across", line_north(1000, lat=LAT - 500 * NORTH, lon=LON), legs=[ROAD])
    other = places_of("other", line_east(1000), legs=[{**ROAD, "street": "Salt Road"}])
    assert len(ranked_gaps([*here, *far, *across, *other])) == 4


def test_crossings_of_one_road_within_thirty_metres_are_one() -> None:
    def at(place):
        return places_of(
            place.replace(" ", "-"),
            legs=[QUIET],
            crossings=[crossing(place, "none", "Dock Road", busy=True)],
        )

    assert len(ranked_gaps([*at("500 m"), *at("525 m")])) == 1
    assert len(ranked_gaps([*at("500 m"), *at("540 m")])) == 2
    other = places_of(
        "other", legs=[QUIET], crossings=[crossing("500 m", "none", "Salt Road", busy=True)]
    )
    assert len(ranked_gaps([*at("500 m"), *other])) == 2


def test_the_ranking_goes_by_level_then_routes_then_metres() -> None:
    def road(name, kind):
        return [leg("start", kind, name)]

    def at(north):
        return {"lat": LAT + north * NORTH}

    places = [
        *places_of("a", line_east(300, **at(0)), legs=road("Once", "painted lane")),
        *places_of("b", line_east(900, **at(500)), legs=road("Long", "painted lane")),
        *places_of("c", line_east(200, **at(900)), legs=road("Twice", "painted lane")),
        *places_of("d", line_east(200, **at(900)), legs=road("Twice", "painted lane")),
        *places_of("e", line_east(150, **at(1500)), legs=road("Worst", "busy road")),
    ]
    for order in (places, places[::-1]):
        assert [g.worst.name for g in ranked_gaps(order)] == ["Worst", "Twice", "Long", "Once"]


def test_why_a_level_is_what_it_is() -> None:
    lane = {"speed_limit": "30 mph", "lanes": 2, "lane_width": "1.4 m", "blocked": "frequent"}
    raised = {"level": 4, "why": "lorries to the *yards*"}
    found = places_of(
        legs=[
            leg("start", "painted lane", "A", **lane),
            leg("500 m", "mixed street", "B"),
            leg("1 km", "mixed street", "C", **raised),
        ],
        crossings=[crossing("1.5 km", "none", "D", vehicles_per_day=9000, movement="turn")],
    )
    why = {p.name: p.why for p in found}
    assert why["A"] == "30 mph, 2 lanes, lane 1.4 m wide, often blocked"
    assert why["B"] == "assumed from the kind of street"
    assert why["C"] == "lorries to the *yards*"
    assert why["D"].startswith("9000 vehicles a day, turning across its traffic")


def page_of(**changes):
    route = route_of(notes(**changes), id="one")
    found = route_gaps(route, measure(route, SETTINGS), "metric")
    line = Sampled.of(route.along.track)
    return gaps_page({"one": ("Ferry & <b>Green</b>", found, line)}, SETTINGS, link, None)


def test_the_page_links_to_the_place_on_the_route_and_escapes_what_authors_write() -> None:
    page, table = page_of(
        legs=[
            leg("start", {"outbound": "busy road", "return": "back street"}, "<i>Dock</i>"),
            leg("1 km", {"outbound": "back street", "return": "busy road"}, "Salt Road"),
        ],
        wishes=[{"at": "1.2 km", "what": "a **gate** <u>"}],
    )
    html = page.late["gaps"] + page.late["wishes"]
    assert "&lt;i&gt;Dock&lt;/i&gt;" in html
    assert "Ferry &amp; &lt;b&gt;Green&lt;/b&gt;" in html
    assert 'href="../routes/one/#outbound-0-leg-0"' in html
    assert 'href="../routes/one/?direction=return#return-0-leg-0"' in html
    assert "1.20 km" in page.late["wishes"]
    assert "&lt;u&gt;" in page.late["wishes"]
    assert not re.search(r"<script|<style|\sstyle=|\son[a-z]+=|<[ibu]>", html)
    assert "2 stressful stretches and 0 stressful" in page.markdown
    assert table.path == "gaps/gaps.csv"


def test_a_library_without_gaps_says_so() -> None:
    page, table = page_of(legs=[QUIET])
    assert "no stressful leg" in page.markdown
    assert "<table" not in page.late["gaps"]
    assert len(table.content.decode().splitlines()) == 1


def test_the_table_is_plain_csv_and_no_cell_starts_a_formula() -> None:
    raised = {"level": 4, "why": '=1+1, "quoted"'}
    places = places_of(
        legs=[leg("start", "mixed street", "=HYPERLINK()", **raised)],
        crossings=[crossing("1 km", "none", "@road", busy=True)],
    )
    rows = list(csv.DictReader(io.StringIO(gaps_csv(ranked_gaps(places)))))
    assert [row["rank"] for row in rows] == ["1", "2"]
    assert rows[0]["name"] == "'=HYPERLINK()"
    assert rows[0]["why"] == '\'=1+1, "quoted"'
    assert rows[0]["metres"] == "2000"
    assert (rows[1]["name"], rows[1]["metres"], rows[1]["sort"]) == ("'@road", "", "crossing")
    assert float(rows[1]["latitude"]) == pytest.approx(LAT, abs=1e-4)
    assert float(rows[1]["longitude"]) == pytest.approx(LON + 1000 * EAST, abs=1e-4)


def test_a_long_list_goes_on_in_the_file(monkeypatch) -> None:
    monkeypatch.setattr(gaps, "MOST_LISTED", 1)
    page, table = page_of(legs=[ROAD], crossings=[crossing("1 km", "none", "Salt Road", busy=True)])
    assert 'id="gap-1"' in page.late["gaps"]
    assert 'id="gap-2"' not in page.late["gaps"]
    assert "1 more place is in the file." in page.late["gaps"]
    assert len(table.content.decode().splitlines()) == 3


def test_the_drawing_numbers_the_places() -> None:
    page, _ = page_of(legs=[ROAD], crossings=[crossing("1 km", "none", "Salt Road", busy=True)])
    drawing = page.late["gaps"]
    assert re.findall(r'fill="#FFFFFF">(\d+)</text>', drawing) == ["2", "1"]
    assert 'aria-label="Map of 2 places where the quiet network breaks' in drawing
    assert "nan" not in drawing
