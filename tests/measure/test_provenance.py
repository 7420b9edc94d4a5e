"""What share of a direction was confirmed by riding, and when."""

from __future__ import annotations

import pytest

from building import gpx_text, leg, line_east, measures_of, notes


def ridden(*rides):
    return [{"on": on, "direction": direction} for on, direction in rides]


LEGS = [
    leg("start", "back street"),
    leg("500 m", "back street", source="map"),
    leg("800 m", "back street", source={"outbound": "ridden", "return": "reported"}),
]


def test_what_was_not_ridden_in_a_direction_is_from_the_map_there():
    measures = measures_of(notes(ridden=ridden(("2026-05-16", "outbound"))))
    assert (measures.outbound.confirmed_share, measures.way_back.confirmed_share) == (1, 0)
    assert (measures.outbound.ridden_on, measures.way_back.ridden_on) == ("2026-05-16", None)
    assert measures.ridden_on == "2026-05-16"


def test_only_what_the_author_saw_is_confirmed():
    measures = measures_of(notes(legs=LEGS), line_east(2000))
    assert measures.outbound.confirmed_share == pytest.approx(1700 / 2000, abs=1e-9)
    assert measures.way_back.confirmed_share == pytest.approx(500 / 2000, abs=1e-9)


def test_what_was_only_said_on_the_ride_is_not_confirmed():
    legs = [leg("start", "back street"), leg("500 m", "back street", source="said")]
    measures = measures_of(notes(legs=legs), line_east(2000))
    assert measures.outbound.confirmed_share == pytest.approx(500 / 2000, abs=1e-9)
    assert measures.way_back.confirmed_share == pytest.approx(500 / 2000, abs=1e-9)


def test_the_date_is_that_of_the_latest_ride_in_a_direction():
    rides = ridden(("2026-03-01", "both"), ("2026-05-16", "outbound"), ("2026-04-02", "return"))
    measures = measures_of(notes(ridden=rides))
    assert measures.outbound.ridden_on == "2026-05-16"
    assert measures.way_back.ridden_on == "2026-04-02"
    assert measures.ridden_on == "2026-05-16"


def test_a_draft_that_nobody_has_ridden_is_not_confirmed():
    measures = measures_of(notes(status="draft", ridden=None))
    assert measures.outbound.confirmed_share == measures.way_back.confirmed_share == 0
    assert measures.ridden_on is None


def test_a_way_back_of_its_own_is_confirmed_by_rides_of_that_direction():
    back = notes(
        ridden=ridden(("2026-05-16", "return")), **{"return": {"legs": [leg("start", "bus lane")]}}
    )
    way_back = gpx_text(line_east(2500)[::-1])
    measures = measures_of(back, line_east(2000), return_gpx=way_back)
    assert (measures.outbound.confirmed_share, measures.way_back.confirmed_share) == (0, 1)
    assert measures.way_back.length_m == pytest.approx(2500)
    assert measures.way_back.leading.figures.metres_by_kind["bus lane"] == pytest.approx(2500)
