"""Which routes need a new ride: each reason by itself, and the order between them."""

import datetime as dt
import json

import pytest

from building import leg, load, make_route, notes
from softpedal.library.library_alerts import read_alerts
from softpedal.library.load import load_route
from softpedal.library.reports import Report
from softpedal.settings import Settings
from softpedal.upkeep.due import due, due_document, due_lines

TODAY = dt.date(2026, 11, 25)
FRESH = [{"on": "2026-11-01", "direction": "both"}]


def reasons(tmp_path, reports=(), changes=None, months=12, **changed):
    route = load(make_route(tmp_path, notes(**{"ridden": FRESH, **changed})))
    (one,) = due([route], reports, TODAY, months, changes)
    return [(reason.sort, reason.on) for reason in one.reasons]


def report(**changed):
    return Report.model_validate(
        {
            "key": "r0000000001",
            "route": "ferry-steps-to-chapel-green",
            "sort": "changed",
            "on": "2026-11-10",
            "text": "A fence.",
            "state": "open",
            **changed,
        }
    )


def test_nothing_speaks_for_a_route_that_was_just_ridden_both_ways(tmp_path):
    assert reasons(tmp_path) == []


@pytest.mark.parametrize(("on", "is_old"), [("2025-11-25", True), ("2025-11-26", False)])
def test_a_ride_is_old_after_so_many_calendar_months(on, is_old, tmp_path):
    found = reasons(tmp_path, ridden=[{"on": on, "direction": "both"}])
    assert found == ([("age", on)] if is_old else [])


def test_each_direction_has_an_age_of_its_own(tmp_path):
    rides = [
        {"on": "2026-11-01", "direction": "outbound"},
        {"on": "2024-03-01", "direction": "return"},
    ]
    assert reasons(tmp_path, ridden=rides) == [("age", "2024-03-01")]
    assert reasons(tmp_path, ridden=rides, months=60) == []


def test_a_direction_that_nobody_rode_is_told_once(tmp_path):
    found = reasons(tmp_path, ridden=[{"on": "2026-11-01", "direction": "outbound"}])
    assert found == [("never ridden", "")]


def test_a_leg_that_is_drafted_only_is_not_confirmed(tmp_path):
    drafted = leg("900 m", "back street", "Tar Lane", source="map")
    legs = [leg("start", "back street"), drafted]
    assert reasons(tmp_path, legs=legs) == [("unconfirmed", ""), ("unconfirmed", "")]


@pytest.mark.parametrize(
    ("alert", "expected"),
    [
        ({"from": "2026-11-10"}, [("alert", "2026-11-10")]),
        ({"from": "2026-11-26"}, []),  # not yet
        ({"from": "2026-10-20"}, []),  # it held when it was ridden
        ({"from": "2026-10-20", "until": "2026-11-20"}, [("alert over", "2026-11-20")]),
        ({"from": "2026-10-20", "until": "2026-11-25"}, []),  # its last day
        ({"from": "2026-10-01", "until": "2026-10-31"}, []),  # ridden since
    ],
)
def test_an_alert_that_began_or_ended_since_the_last_ride(alert, expected, tmp_path):
    assert reasons(tmp_path, alerts=[{"text": "Works.", **alert}]) == expected


def test_an_alert_of_the_whole_library_counts_where_it_reaches(tmp_path):
    (tmp_path / "alerts.yml").write_text(
        "- {at: '50.0, -20.0', radius: 50 m, from: 2026-11-10, text: Bridge shut.}\n"
    )
    folder = make_route(tmp_path, notes(ridden=FRESH))
    alerts, _ = read_alerts(tmp_path)
    route = load_route(folder, Settings(), alerts=alerts).route
    (one,) = due([route], (), TODAY)
    assert [r.sort for r in one.reasons] == ["alert"]


@pytest.mark.parametrize(
    ("changed", "counts"),
    [
        ({}, True),
        ({"state": "done"}, False),
        ({"route": "elsewhere"}, False),
        ({"route": "old-name"}, True),
        ({"sort": "thanks"}, False),
    ],
)
def test_open_reports_count_under_old_ids_too(changed, counts, tmp_path):
    found = reasons(tmp_path, [report(**changed)], was=["old-name"])
    assert found == ([("report", "2026-11-10")] if counts else [])


@pytest.mark.parametrize("year", [2025, 2026, 2027, "next summer"])
def test_a_plan_of_a_year_in_which_it_was_ridden_or_that_is_to_come(year, tmp_path):
    assert reasons(tmp_path, planned=[{"text": "A wider path.", "expected": year}]) == []


def test_a_plan_counts_again_when_its_year_is_over(tmp_path):
    rides = [{"on": "2025-06-01", "direction": "both"}]
    plans = [{"text": "A wider path.", "expected": 2025}]
    assert reasons(tmp_path, months=60, ridden=rides, planned=plans) == [("plan", "2026-01-01")]


def test_a_plan_whose_year_has_come_since(tmp_path):
    rides = [{"on": "2025-12-30", "direction": "both"}]
    found = reasons(tmp_path, ridden=rides, planned=[{"text": "Wider.", "expected": 2026}])
    assert found == [("plan", "2026-01-01")]


def test_changes_in_the_map(tmp_path):
    changes = {"ferry-steps-to-chapel-green": ["The map has changed."], "other": ["No."]}
    assert reasons(tmp_path, changes=changes) == [("map", "")]


def test_what_has_changed_comes_before_what_nobody_rode_and_that_before_age(tmp_path):
    def made(name, on, direction="both", **more):
        rides = [{"on": on, "direction": direction}]
        return load(make_route(tmp_path, notes(ridden=rides, **more), id=name))

    routes = [
        made("a-fresh", "2026-11-01"),
        made("b-old", "2024-01-01"),
        made("c-older", "2023-01-01"),
        made("d-half", "2026-11-02", "outbound"),
        made("e-alert", "2026-11-03", alerts=[{"from": "2026-11-10", "text": "Works."}]),
        made("f-draft", "2020-01-01", status="draft"),
        made("g-gone", "2020-01-01", status="withdrawn", withdrawn={"why": "Built over."}),
    ]
    found = due(routes, (), TODAY)
    assert [one.id for one in found] == ["e-alert", "d-half", "c-older", "b-old", "a-fresh"]
    assert [one.need for one in found] == ["changed", "unridden", "old", "old", None]
    lines = list(due_lines(found))
    assert [line for line in lines if line and not line.startswith(" ")] == [
        "Something on the way has changed",
        "Some of it was never ridden",
        "Ridden long ago",
        "Nothing speaks for a new ride",
    ]
    document = due_document(found, TODAY, 12)
    assert [one["is_due"] for one in document["routes"]] == [True, True, True, True, False]
    assert document["routes"][-1] == {
        "id": "a-fresh",
        "title": "Ferry Steps to Chapel Green",
        "last_ridden": "2026-11-01",
        "last_by_direction": {"outbound": "2026-11-01", "return": "2026-11-01"},
        "is_due": False,
        "need": None,
        "reasons": [],
    }


def test_evidence_is_plain_data_in_metres_and_iso_days(tmp_path):
    rides = [{"on": "2026-11-01", "direction": "outbound"}]
    legs = [leg("start", "back street"), leg("900 m", "back street", "Tar Lane", source="said")]
    alerts = [{"from": "2026-11-10", "text": "Works."}]
    route = load(make_route(tmp_path, notes(ridden=rides, legs=legs, alerts=alerts)))
    found = due([route], [report(at="1.24 km"), report(key="r0000000002", on="2026-10-01")], TODAY)
    (told,) = json.loads(json.dumps(due_document(found, TODAY, 12)))["routes"]
    by_sort = [(r["sort"], r) for r in told["reasons"]]
    assert [sort for sort, _ in by_sort] == [
        "report",
        "report",
        "alert",
        "never ridden",
        "unconfirmed",
    ]
    assert by_sort[0][1]["at_m"] == 1240
    assert [r["is_since_last_ride"] for _, r in by_sort[:2]] == [True, False]
    assert (by_sort[2][1]["from"], by_sort[2][1]["until"]) == ("2026-11-10", None)
    assert by_sort[3][1]["length_m"] == pytest.approx(2000, abs=0.1)
    assert by_sort[4][1]["legs"] == [
        {
            "street": "Tar Lane",
            "from_m": pytest.approx(900, abs=0.1),
            "to_m": pytest.approx(2000, abs=0.1),
            "source": "said",
        }
    ]


def test_within_a_need_the_direction_ridden_longest_ago_counts(tmp_path):
    def made(name, out, back):
        rides = [{"on": out, "direction": "outbound"}, {"on": back, "direction": "return"}]
        return load(make_route(tmp_path, notes(ridden=rides), id=name))

    routes = [made("a", "2024-06-01", "2024-06-01"), made("b", "2026-11-01", "2023-06-01")]
    assert [one.id for one in due(routes, (), TODAY)] == ["b", "a"]
