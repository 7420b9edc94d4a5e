"""States of the typical week: when which conditions hold, and what the page leads with."""

from __future__ import annotations

import datetime as dt

import opening_hours
import pytest
from hypothesis import given
from hypothesis import strategies as st

from building import crossing, leg, line_east, measures_of, notes
from softpedal.measure.week import WEEK, daytime_minutes, hours_text, joined, week_states
from softpedal.settings import Settings

MONDAY = dt.datetime(2026, 6, 8)  # noqa: DTZ001 - hours are naive local time
PLACE = (50.0, -20.0)
HOUR, DAY = 60, 24 * 60


def minutes_of(expression):
    """The spans of the week in which an expression is open, by the library's own parser."""
    hours = opening_hours.OpeningHours(expression)
    found = [
        tuple(int((moment - MONDAY).total_seconds()) // 60 for moment in (start, end))
        for start, end, state, _ in hours.intervals(MONDAY, MONDAY + dt.timedelta(days=7))
        if state == opening_hours.State.OPEN
    ]
    return joined(found)


@st.composite
def weekly_spans(draw):
    """Spans of the week that neither overlap nor touch; some end at midnight."""
    grid = draw(st.sampled_from([1, 15, 60, 6 * 60, DAY]))
    cuts = draw(st.lists(st.integers(0, WEEK // grid), min_size=2, max_size=16, unique=True))
    cuts = sorted(cut * grid for cut in cuts)
    return tuple(zip(cuts[::2], cuts[1::2], strict=False))


@given(weekly_spans())
def test_hours_text_is_read_back_as_the_same_minutes(spans):
    assert minutes_of(hours_text(spans)) == spans


NIGHT = [(d * DAY + 21 * HOUR, d * DAY + 30 * HOUR) for d in range(6)]


@pytest.mark.parametrize(
    ("spans", "text"),
    [
        ([(0, WEEK)], "24/7"),
        ([(0, 6 * HOUR), *NIGHT, (WEEK - 3 * HOUR, WEEK)], "21:00-06:00"),
        ([(d * DAY + 8 * HOUR, d * DAY + 18 * HOUR) for d in range(6)], "Mo-Sa 08:00-18:00"),
        ([(d * DAY + 8 * HOUR, d * DAY + 18 * HOUR) for d in range(7)], "08:00-18:00"),
        ([(d * DAY + 8 * HOUR, d * DAY + 18 * HOUR) for d in (5, 6)], "Sa,Su 08:00-18:00"),
        ([(5 * DAY, 6 * DAY)], "Sa 00:00-24:00"),
        ([(600, 660), (720, 780)], "Mo 10:00-11:00,12:00-13:00"),
    ],
)
def test_hours_text_is_short(spans, text):
    assert hours_text(spans) == text
    assert minutes_of(text) == joined(spans)


def test_a_night_is_not_wiped_out_by_the_next_days_rule():
    """A rule after a semicolon would replace all of its days, the small hours too."""
    spans = ((21 * HOUR, 30 * HOUR), (DAY + 10 * HOUR, DAY + 12 * HOUR))
    assert minutes_of("Mo 21:00-06:00; Tu 10:00-12:00") != spans
    assert minutes_of(hours_text(spans)) == spans


def test_daytime_is_monday_to_friday_from_7_to_19():
    assert daytime_minutes([(0, WEEK)]) == 5 * 12 * HOUR
    assert daytime_minutes([(5 * DAY, WEEK), (0, 7 * HOUR), (19 * HOUR, 31 * HOUR)]) == 0
    assert daytime_minutes([(6 * HOUR, 8 * HOUR), (18 * HOUR, 20 * HOUR)]) == 2 * HOUR


def test_spans_that_touch_are_joined():
    assert joined([(5, 9), (1, 3), (3, 5), (12, 14), (6, 7)]) == ((1, 9), (12, 14))


def test_without_conditions_there_is_one_state_all_week():
    (state,) = measures_of(notes()).outbound.states
    assert hours_text(state.spans) == "24/7"
    assert state.passable


QUAY = {"Mo-Sa 08:00-18:00": "on foot", "otherwise": "filtered street"}
DESIGN = notes(
    legs=[
        leg("start", hours=QUAY, street="Netmakers' Quay", closed_by="posts"),
        leg("200 m", "traffic-free path"),
    ],
    closed=["21:00-06:00"],
)


@pytest.mark.parametrize("direction", ["outbound", "return"])
def test_the_design_s_example_of_a_quay_and_a_gate(direction):
    """Mon-Sat 08:00-18:00 pushed, otherwise ridden, gate shut 21:00-06:00: not passable."""
    day, otherwise, night = measures_of(DESIGN, line_east(2000)).of(direction).states
    assert hours_text(day.spans) == "Mo-Sa 08:00-18:00"
    assert minutes_of(hours_text(otherwise.spans)) == tuple(
        span
        for d in range(7)
        for span in (
            [(d * DAY + 6 * HOUR, d * DAY + 21 * HOUR)]
            if d == 6
            else [
                (d * DAY + 6 * HOUR, d * DAY + 8 * HOUR),
                (d * DAY + 18 * HOUR, d * DAY + 21 * HOUR),
            ]
        )
    )
    assert hours_text(night.spans) == "21:00-06:00"
    assert [s.passable for s in (day, otherwise, night)] == [True, True, False]
    assert night.figures is None
    assert day.figures.quietness == pytest.approx(0.9, abs=1e-9)
    assert otherwise.figures.quietness == pytest.approx(1.0, abs=1e-9)
    assert (day.figures.dismounts, otherwise.figures.dismounts) == (1, 0)
    assert sum(b - a for s in (day, otherwise, night) for a, b in s.spans) == WEEK


def kinds_of(hours, direction="outbound", **more):
    states = measures_of(notes(legs=[leg("start", hours=hours)], **more)).of(direction).states
    return [
        next(kind for kind, metres in state.figures.metres_by_kind.items() if metres)
        for state in states
        if state.figures
    ]


def test_the_state_of_most_of_daytime_leads_even_if_it_is_the_quieter():
    hours = {"Mo-Fr 07:00-12:00": "bus lane", "otherwise": "traffic-free path"}
    assert kinds_of(hours) == ["traffic-free path", "bus lane"]
    hours = {"Mo-Fr 07:00-14:00": "bus lane", "otherwise": "traffic-free path"}
    assert kinds_of(hours) == ["bus lane", "traffic-free path"]


def test_most_of_the_week_is_not_most_of_daytime():
    hours = {"Mo-Fr 08:00-18:00": "bus lane", "otherwise": "back street"}
    assert kinds_of(hours)[0] == "bus lane"


@pytest.mark.parametrize("first", ["bus lane", "traffic-free path"])
def test_ties_go_to_the_lower_q(first):
    other = {"bus lane": "traffic-free path", "traffic-free path": "bus lane"}[first]
    hours = {"Mo-Fr 07:00-13:00": first, "otherwise": other}
    assert kinds_of(hours) == ["bus lane", "traffic-free path"]


def test_equal_results_merge():
    hours = {
        "Mo-Fr 08:00-09:00": "back street",
        "Sa 08:00-18:00": "bus lane",
        "otherwise": "back street",
    }
    states = measures_of(notes(legs=[leg("start", hours=hours)])).outbound.states
    assert [hours_text(state.spans) for state in states][1] == "Sa 08:00-18:00"
    assert len(states) == 2


def test_states_are_those_of_a_direction():
    hours = {"Mo-Fr 08:00-18:00": {"outbound": "bus lane", "return": "back street"}} | {
        "otherwise": "back street"
    }
    one = [leg("start", hours=hours)]
    crossings = [crossing("1 km", hours="Sa 10:00-11:00", direction="return")]
    measures = measures_of(notes(legs=one, crossings=crossings))
    assert hours_text(measures.outbound.leading.spans) == "Mo-Fr 08:00-18:00"
    assert hours_text(measures.way_back.states[1].spans) == "Sa 10:00-11:00"
    assert len(measures.outbound.states) == len(measures.way_back.states) == 2


def test_an_impassable_state_leads_only_if_all_are():
    by_day = measures_of(notes(closed=["Mo-Su 06:00-22:00"])).outbound.states
    assert [state.passable for state in by_day] == [True, False]
    assert daytime_minutes(by_day[0].spans) == 0
    always = measures_of(notes(closed=["24/7"])).outbound.states
    assert [(state.passable, state.figures) for state in always] == [(False, None)]


def test_several_closing_hours_close_at_each_of_them():
    closed = ["21:00-06:00", "Su 10:00-12:00"]
    states = measures_of(notes(closed=closed)).outbound.states
    assert [state.passable for state in states] == [True, False]
    assert minutes_of(hours_text(states[1].spans)) == joined(
        [*minutes_of("21:00-06:00"), *minutes_of("Su 10:00-12:00")]
    )


def spans_of(expression, settings):
    states = week_states([expression], PLACE, settings)
    return next(state.spans for state in states if state.open)


def test_sunset_follows_the_place_and_the_typical_week():
    """Near 50° N 20° W in UTC the sun sets after 21:00 in June, before 18:00 in December."""
    summer = spans_of("sunrise-sunset", Settings(typical_week="2026-06-08"))
    winter = spans_of("sunrise-sunset", Settings(typical_week="2026-12-07"))
    assert len(summer) == len(winter) == 7
    assert all(21 * HOUR < end % DAY < 22 * HOUR + 30 for _, end in summer)
    assert all(16 * HOUR < end % DAY < 18 * HOUR for _, end in winter)


def test_sunset_is_told_in_the_library_s_time_zone():
    utc = spans_of("sunrise-sunset", Settings())
    later = spans_of("sunrise-sunset", Settings(time_zone="Etc/GMT-2"))
    assert [b - a for (_, a), (_, b) in zip(utc, later, strict=True)] == [120] * 7


def test_the_sun_sets_at_the_route_s_start_in_both_directions():
    """80 km east the sun sets 4.5 minutes earlier; the states are the same both ways."""
    hours = {"sunrise-sunset": "back street", "otherwise": "bus lane"}
    data = notes(legs=[leg("start", hours=hours)])
    measures = measures_of(data, line_east(80_000, step=400))
    texts = [
        {hours_text(state.spans) for state in measures.of(direction).states}
        for direction in ("outbound", "return")
    ]
    assert texts[0] == texts[1]
    reverse = measures_of(data, line_east(80_000, step=400)[::-1])
    assert {hours_text(state.spans) for state in reverse.outbound.states} != texts[0]


def test_fixed_hours_do_not_depend_on_place_zone_or_week():
    fixed = "Mo-Sa 08:00-18:00"
    expected = minutes_of(fixed)
    for settings in (
        Settings(),
        Settings(time_zone="Pacific/Auckland"),
        Settings(typical_week="2026-03-23", time_zone="Europe/London"),  # the clocks change
    ):
        assert spans_of(fixed, settings) == expected
