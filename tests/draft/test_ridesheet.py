from __future__ import annotations

import html
import re

import pytest

from building import crossing, leg, notes, route_of
from softpedal.draft.questions import questions
from softpedal.draft.ridesheet import ride_sheet, sheet_gpx, sheet_lines, sheet_page
from softpedal.library.gpx_reader import read_gpx
from softpedal.library.placeholders import ROAD, STREET, TO_FILL_IN

HOSTILE = '<script>alert(1)</script> & "Row" </title>'


def drafted(**changes):
    """Notes as drafted: not ridden, and each thing says how sure it is."""
    return notes(status="draft", ridden=None, **changes)


def looks_of(**changes):
    return questions(route_of(drafted(**changes)).along)


def asked(**changes):
    return {look.what: look.ask for look in looks_of(**changes)}


def doubtful(confidence="check", **more):
    return {"source": "map", "confidence": confidence, **more}


def test_what_was_ridden_and_is_complete_leaves_nothing_open():
    route = route_of(notes(legs=[leg("start", "filtered street", closed_by="planters")]))
    sheet = ride_sheet(route)
    assert sheet.lines[0].looks == ()
    assert "The notes leave nothing open." in sheet_lines(sheet, "metric")
    assert "The notes leave nothing open." in sheet_page(sheet, "metric")


@pytest.mark.parametrize(("confidence", "guess"), [("check", False), ("guess", True)])
def test_a_doubtful_kind_is_asked_for_with_what_it_goes_by(confidence, guess):
    evidence = "filtered if the gate 12 stays shut"
    one = leg("start", "back street", "Mill Lane", **doubtful(confidence, evidence=evidence))
    (look,) = looks_of(legs=[one])
    assert (look.what, look.evidence) == ("Mill Lane", evidence)
    assert "back street" in look.ask[0]
    assert ("a guess" in look.ask[0]) is guess
    assert (look.at_m, look.to_m) == pytest.approx((0, 2000), abs=1)


@pytest.mark.parametrize("source", ["map", "said"])
def test_what_was_drafted_without_a_name_is_asked_for(source):
    more = doubtful("guess") | {"source": source}
    found = asked(
        legs=[leg("start", "mixed street", STREET, speed_limit="30 mph", lanes=2, **more)],
        crossings=[crossing("500 m", "zebra", ROAD, **more)],
        landmarks=[{"at": "700 m", "what": f"{TO_FILL_IN} (waypoint 3)", **more}],
        hazards=[{"at": "800 m", "what": "bump", **more}],
    )
    assert found == {
        STREET: ("What is the street called?", "Is it this: mixed street? This is a guess."),
        ROAD: ("What is the road called?", "Is it crossed like this: zebra?"),
        f"{TO_FILL_IN} (waypoint 3)": ("What is here?",),
        "bump": ("Is it so?",),
    }


@pytest.mark.parametrize("source", ["map", "said", "ridden"])
def test_what_closes_a_street_is_asked_for_unless_somebody_saw_it(source):
    one = leg("start", "filtered street", "Mill Lane", closed_by="posts", source=source)
    assert ("Mill Lane" in asked(legs=[one])) is (source != "ridden")


def test_kinds_by_direction_are_both_named():
    kind = {"outbound": "protected track", "return": "painted lane"}
    (questions_,) = asked(legs=[leg("start", kind, **doubtful())]).values()
    assert "protected track on the way out, painted lane on the way back" in questions_[0]


def test_what_closes_a_filtered_street_is_looked_for_until_it_was_seen():
    def of(**more):
        return asked(legs=[leg("start", "filtered street", closed_by="planters", **more)])

    assert "planters" in of(source="map", confidence="sure")["Reed Lane"][0]
    assert of() == {}


def test_hours_are_read_off_the_sign():
    hours = {"Mo-Sa 08:00-18:00": "on foot", "otherwise": "filtered street"}
    one = leg("start", hours=hours, closed_by="posts", source="map")
    ask = asked(legs=[one])["Reed Lane"]
    assert any("Mo-Sa 08:00-18:00" in question and "sign" in question for question in ask)
    gate = {"at": "1 km", "what": "gate", "gap": "1.6 m", "hours": "08:00-18:00", "source": "map"}
    assert "08:00-18:00" in asked(barriers=[gate])["gate"][0]


@pytest.mark.parametrize(
    ("kind", "facts", "asks"),
    [
        ("busy road", {}, 2),
        ("mixed street", {"speed_limit": "20 mph"}, 1),
        ("painted lane", {"speed_limit": "20 mph", "lanes": 2}, 0),
        ("bus lane", {}, 2),
        ("back street", {}, 0),
        ("protected track", {}, 0),
    ],
)
def test_speed_and_lanes_are_asked_for_among_traffic_only(kind, facts, asks):
    assert sum(map(len, asked(legs=[leg("start", kind, **facts)]).values())) == asks


@pytest.mark.parametrize(("gap", "asks"), [(None, 1), ("1.2 m", 0)])
def test_the_width_of_a_gap_is_measured(gap, asks):
    barrier = {"at": "1 km", "what": "chicane gate"} | ({"gap": gap} if gap else {})
    found = asked(barriers=[barrier])
    assert len(found) == asks
    assert all("gap" in ask[0] for ask in found.values())


def test_an_open_crossing_of_a_busy_road_wants_speed_and_lanes():
    busy = {"road_class": "primary"}
    ask = asked(crossings=[crossing("1 km", **busy, **doubtful())])["Dock Road"]
    assert "nothing helps you across" in ask[0]
    assert len(ask) == 3
    assert asked(crossings=[crossing("1 km", "signals", **busy)]) == {}
    assert asked(crossings=[crossing("1 km", road_class="residential")]) == {}


def test_riding_order_and_direction():
    found = looks_of(
        legs=[
            leg("start", "back street", "First Lane", **doubtful()),
            leg("1 km", "back street", "Second Lane", **doubtful()),
        ],
        dismounts=[{"at": "0.5 km", "why": "no entry", "direction": "return", **doubtful()}],
        hazards=[{"at": "1.5 km", "what": "humps", **doubtful("guess")}],
        landmarks=[{"at": "0.2 km", "what": "a mill", **doubtful("sure")}],
    )
    assert [look.what for look in found] == [
        "First Lane",
        "getting off: no entry",
        "Second Lane",
        "humps",
    ]
    assert [look.when for look in found] == ["both", "return", "both", "both"]
    assert [round(look.at_m) for look in found] == [0, 500, 1000, 1500]


SHEET = {
    "title": HOSTILE,
    "legs": [leg("start", "back street", HOSTILE, **doubtful(evidence=HOSTILE))],
    "barriers": [{"at": "1.24 km", "what": "gate --> here\nand there"}],
    "closed": ["21:00-06:00"],
}


def test_text():
    lines = sheet_lines(ride_sheet(route_of(drafted(**SHEET))), "metric")
    assert all("\n" not in line for line in lines)
    at = next(i for i, line in enumerate(lines) if line.startswith("1.24 km"))
    assert lines[at + 1] == "    [ ] How wide is the gap?"
    assert any("21:00-06:00" in line for line in lines)
    assert "no statement about the way" in lines[-1]
    miles = sheet_lines(ride_sheet(route_of(drafted(**SHEET))), "imperial")
    assert any(line.startswith("0.77 mi") for line in miles)


def test_page_shows_hostile_text_as_text_and_asks_nobody_for_anything():
    page = sheet_page(ride_sheet(route_of(drafted(**SHEET))), "metric", "Map data by a town.")
    assert "<script" not in page
    assert page.count(html.escape(HOSTILE).replace("&quot;", "&#34;")) == 4
    assert not re.search(r'(?:src|href|url)\s*[=(]\s*["\']?\s*(?:https?:)?//', page)
    assert "size: A4" in page
    assert page.count('<ul class="ask">') == 3
    assert "50.00000, -20.00000" in page  # where the leg begins
    assert "Map data by a town." in page


def test_waypoints_lie_where_the_questions_arise():
    route = route_of(drafted(**SHEET))
    (text,) = sheet_gpx(ride_sheet(route))
    gpx, problems = read_gpx(text.encode(), "sheet.gpx")
    assert problems == []
    assert gpx.private == ()
    assert len(gpx.waypoints) == 2
    assert gpx.waypoints[1].name.startswith("2. gate")
    assert (gpx.waypoints[1].lat, gpx.waypoints[1].lon) == pytest.approx(
        route.along.track.at(1240), abs=1e-6
    )
    assert gpx.lat == pytest.approx(route.along.track.lat, abs=1e-7)


def test_a_way_back_of_its_own_has_its_own_list():
    from building import gpx_text, line_east

    back = {"legs": [leg("start", "busy road", "Back Road")]}
    route = route_of(
        drafted(legs=[leg("start", "busy road")], **{"return": back}),
        return_gpx=gpx_text(line_east(1500)[::-1]),
    )
    sheet = ride_sheet(route)
    assert [part.heading for part in sheet.lines] == ["The way out", "The way back"]
    assert [part.looks[0].what for part in sheet.lines] == ["Reed Lane", "Back Road"]
    assert len(sheet_gpx(sheet)) == 2


def test_the_same_again():
    first, again = (ride_sheet(route_of(drafted(**SHEET))) for _ in range(2))
    assert sheet_page(first, "metric") == sheet_page(again, "metric")
    assert sheet_gpx(first) == sheet_gpx(again)
