"""What the notes claim and the measures do not bear out."""

from __future__ import annotations

import pytest

from building import crossing, leg, make_route, notes
from softpedal.library.load import load_route
from softpedal.library.placeholders import AREA, END, SUMMARY, TITLE
from softpedal.measure.route_measures import measure_loaded
from softpedal.settings import Settings


@pytest.fixture
def claims(tmp_path):
    """Return (code, is it an error) of what is found beyond loading, and whether it is left out."""

    def of(**more):
        measured = measure_loaded(load_route(make_route(tmp_path, notes(**more))), Settings())
        found = [p for p in measured.problems if p.code.startswith("claim-")]
        assert all(p.file.endswith("/notes.yml") and p.message and p.hint for p in found)
        return [(p.code, p.is_error) for p in found], measured.measures is None

    return of


AMONG_TRAFFIC = [leg("start", "painted lane")]


def test_nothing_to_say_about_modest_notes(claims):
    assert claims() == ([], False)


@pytest.mark.parametrize("child", ["with an adult", "with care"])
def test_offering_level_3_to_children_is_an_error(claims, child):
    assert claims(who={"child": child}, legs=AMONG_TRAFFIC) == ([("claim-child", True)], True)
    assert claims(who={"child": child}) == ([], False)


def test_level_3_is_fine_where_children_are_not_meant(claims):
    assert claims(who={"child": "no"}, legs=AMONG_TRAFFIC) == ([], False)
    assert claims(who={"cargo": "yes"}, legs=AMONG_TRAFFIC) == ([], False)


def test_a_crossing_of_level_3_and_the_way_back_count_for_children(claims):
    who = {"child": "with an adult"}
    assert claims(who=who, crossings=[crossing("1 km", busy=True)])[1]
    assert claims(who=who, crossings=[crossing("1 km", busy=True, direction="return")])[1]
    kind = {"outbound": "back street", "return": "mixed street"}
    assert claims(who=who, legs=[leg("start", kind)])[1]


def test_level_3_at_some_hours_is_a_route_of_level_3_for_children(claims):
    hours = {"Sa 08:00-18:00": "mixed street", "otherwise": "back street"}
    one = leg("start", hours=hours)
    assert claims(who={"child": "with an adult"}, legs=[one]) == ([("claim-child", True)], True)


def test_a_filtered_street_without_evidence_is_advised_about(claims):
    assert claims(legs=[leg("start", "filtered street")]) == ([("claim-evidence", False)], False)
    closed = leg("start", "filtered street", closed_by="planters at Mill Lane")
    assert claims(legs=[closed]) == ([], False)
    hours = {"Mo-Fr 08:00-09:00": "filtered street", "otherwise": "back street"}
    assert claims(legs=[leg("start", hours=hours)]) == ([("claim-evidence", False)], False)


def test_a_level_that_raises_nothing_is_advised_about(claims):
    said = ([("claim-level", False)], False)
    for level in (2, 3):  # without it 3
        low = leg("start", "painted lane", level=level, why="calm")
        assert claims(legs=[low]) == said
        calm = crossing("1 km", vehicles_per_day=9000, level=level, why="calm")
        assert claims(crossings=[calm]) == said
    assert claims(legs=[leg("start", "painted lane", level=4, why="lorries")]) == ([], False)
    assert claims(crossings=[crossing("1 km", busy=True, level=4, why="fast")]) == ([], False)


def test_a_busy_bridge_is_advised_about(claims):
    assert claims(crossings=[crossing("1 km", "bridge", busy=True)]) == (
        [("claim-busy", False)],
        False,
    )
    assert claims(crossings=[crossing("1 km", "bridge")]) == ([], False)


def test_a_dismount_beside_a_zebra_is_advised_about(claims):
    zebra = [crossing("1 km", "zebra", busy=False)]
    near, far = ({"at": at, "why": "zebra"} for at in ("1.01 km", "1.03 km"))
    assert claims(crossings=zebra, dismounts=[near]) == ([("claim-twice", False)], False)
    assert claims(crossings=zebra, dismounts=[far]) == ([], False)
    ridden = [crossing("1 km", "zebra", ride=True, busy=False)]
    assert claims(crossings=ridden, dismounts=[near]) == ([], False)


@pytest.mark.parametrize(
    "left",
    [
        {"legs": [leg("start", "back street", "Street to be named")]},
        {"crossings": [crossing("1 km", "zebra", "Road to be named", busy=True, ride=True)]},
        {"landmarks": [{"at": "1 km", "what": 'To be filled in (waypoint "Weir gate")'}]},
        {"barriers": [{"at": "1 km", "what": "To be filled in"}]},
        {"summary": SUMMARY},
        {"area": [AREA]},
        {"title": TITLE},
        {"start": END},
        {"finish": END},
    ],
)
def test_what_the_draft_left_to_be_written_is_an_error_once_published(claims, left):
    assert claims(**left) == ([("claim-draft", True)], True)
    assert claims(**left, status="draft", ridden=None) == ([], False)


def test_the_error_names_the_line_of_each_thing_to_fill_in(tmp_path):
    marks = [
        {"at": f"{n} km", "what": f"To be filled in (waypoint {n})", "source": "said"}
        for n in (1, 2)
    ]
    folder = make_route(tmp_path, notes(landmarks=marks))
    lines = (folder / "notes.yml").read_text(encoding="utf-8").splitlines()
    problems = measure_loaded(load_route(folder), Settings()).problems
    assert [(p.code, "at: " in lines[p.line - 1]) for p in problems] == [("claim-draft", True)] * 2
    assert [p.message for p in problems] == [
        f"`To be filled in (waypoint {n})` is still what the draft said." for n in (1, 2)
    ]


@pytest.mark.parametrize("source", ["map", "said"])
def test_guesses_of_a_draft_are_advised_about(claims, source):
    guess = {"source": source, "confidence": "guess", "evidence": "said at 4:10"}
    more = {
        "legs": [leg("start", "back street", **guess)],
        "hazards": [{"at": "1 km", "what": "bump", **guess}],
    }
    assert claims(**more) == ([("claim-draft", False)], False)
