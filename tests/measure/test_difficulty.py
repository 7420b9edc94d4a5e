"""The two grades row by row, and the reasons in words."""

from __future__ import annotations

import pytest

from building import crossing, leg, line_east, measures_of, notes
from softpedal.measure.difficulty import is_step_free, narrowest_gap_m
from softpedal.settings import EffortLimits, Settings


def graded(points=None, settings=None, **more):
    measures = measures_of(notes(**more), points, settings or Settings())
    return measures.difficulty


def grades(*args, **more):
    grade = graded(*args, **more)
    return grade.traffic, grade.effort, grade.overall


def climbing(metres, rise=0.0):
    """Flat for 500 m, a constant climb, flat for the last 500 m; all heights recorded."""
    return line_east(
        metres, height=lambda s: 50 + rise * min(1, max(0, (s - 500) / (metres - 1000)))
    )


EASY = ("easy", "easy", "easy")
MODERATE_TRAFFIC = ("moderate", "easy", "moderate")
MODERATE_EFFORT = ("easy", "moderate", "moderate")
DEMANDING_TRAFFIC = ("demanding", "easy", "demanding")
DEMANDING_EFFORT = ("easy", "demanding", "demanding")


@pytest.mark.parametrize(
    ("kind", "expected"),
    [
        ("traffic-free path", EASY),
        ("back street", EASY),
        ("painted lane", MODERATE_TRAFFIC),
        ("mixed street", MODERATE_TRAFFIC),
        ("busy road", DEMANDING_TRAFFIC),
    ],
)
def test_traffic_by_the_level_of_legs(kind, expected):
    assert grades(legs=[leg("start", kind)]) == expected


def test_the_reason_names_the_street_its_kind_and_metres():
    legs = [
        leg("start", "back street"),
        leg("500 m", "painted lane", "Dock Road"),
        leg("600 m", "back street"),
        leg("700 m", "painted lane", "Dock Road"),
        leg("840 m", "back street"),
    ]
    assert graded(climbing(3000), legs=legs).reason == (
        "moderate: 240 m of painted lane on Dock Road at level 3"
    )


def test_only_the_reasons_of_the_overall_grade_are_given():
    legs = [leg("start", "painted lane", "Dock Road"), leg("500 m", "busy road", "Grain Road")]
    reason = graded(climbing(3000), legs=legs).reason
    assert reason == "demanding: 2.5 km of busy road on Grain Road at level 4"


def test_an_easy_route_says_what_it_is():
    reason = graded(climbing(3000)).reason
    assert reason == "easy: nothing above level 2 (light, slow traffic); 3.0 km"


@pytest.mark.parametrize(
    ("control", "more", "expected"),
    [
        ("cycle signals", {}, "easy"),
        ("toucan", {}, "easy"),
        ("signals", {}, "easy"),
        ("pedestrian signals", {}, "easy"),
        ("pedestrian signals", {"ride": True}, "easy"),
        ("parallel", {"speed_limit": "30 mph", "lanes": 2}, "easy"),
        ("zebra", {}, "easy"),
        ("zebra", {"ride": True, "speed_limit": "30 mph"}, "moderate"),
        ("none", {"speed_limit": "30 mph"}, "moderate"),
        ("refuge", {"speed_limit": "30 mph"}, "moderate"),
        ("roundabout", {}, "moderate"),
        ("none", {}, "moderate"),
        ("bridge", {}, "easy"),
        ("underpass", {}, "easy"),
    ],
)
def test_busy_crossings_are_easy_only_by_signals_or_pushed_over_a_zebra(control, more, expected):
    crossings = [crossing("1 km", control, road_class="primary", **more)]
    grade = graded(climbing(2000), crossings=crossings)
    assert grade.traffic == expected
    if expected == "moderate":
        assert "Dock Road" in grade.reason


def test_a_quiet_crossing_without_signals_is_easy():
    assert grades(crossings=[crossing("1 km", speed_limit="20 mph", vehicles_per_day=900)]) == EASY


def test_a_crossing_of_level_4_is_demanding():
    fast = crossing("1 km", speed_limit="50 mph", lanes=4, road="Yard Road")
    assert grades(crossings=[fast]) == DEMANDING_TRAFFIC
    reason = graded(climbing(2000), crossings=[fast]).reason
    assert reason == "demanding: crossing Yard Road at level 4"


@pytest.mark.parametrize(
    ("control", "wait", "expected"),
    [
        ("none", "45 s", "easy"),
        ("none", "46 s", "demanding"),
        ("refuge", "46 s", "demanding"),
        ("signals", "90 s", "easy"),
        ("zebra", "90 s", "easy"),
    ],
)
def test_a_long_wait_without_signals_is_demanding(control, wait, expected):
    noted = crossing("1 km", control, wait=wait, speed_limit="20 mph")
    grade = graded(climbing(2000), crossings=[noted])
    assert grade.traffic == expected
    if expected == "demanding":
        assert grade.reason == "demanding: a mean wait of 46 s to cross Dock Road"


@pytest.mark.parametrize(
    ("metres", "expected"),
    [(7990, EASY), (8010, MODERATE_EFFORT), (19990, MODERATE_EFFORT), (20010, DEMANDING_EFFORT)],
)
def test_effort_by_length(metres, expected):
    assert grades(line_east(metres, step=50)) == expected


@pytest.mark.parametrize(
    ("rise", "metres", "expected"),
    [
        (59, 7000, EASY),
        (61, 7000, MODERATE_EFFORT),
        (199, 7000, MODERATE_EFFORT),
        (201, 7000, DEMANDING_EFFORT),
    ],
)
def test_effort_by_climbing(rise, metres, expected):
    points = climbing(metres, rise)
    assert grades(points) == expected
    if expected != EASY:
        assert f"{rise} m climbed" in graded(points).reason


@pytest.mark.parametrize(
    ("percent", "expected"),
    [
        ("5 %", EASY),
        ("5.1 %", MODERATE_EFFORT),
        ("8 %", MODERATE_EFFORT),
        ("8.1 %", DEMANDING_EFFORT),
    ],
)
def test_effort_by_a_noted_ramp(percent, expected):
    ramp = {"at": "1 km", "metres": "60 m", "gradient": percent}
    assert grades(climbing(3000), steep=[ramp]) == expected


def test_effort_by_a_recorded_ramp():
    """6 % over 400 m climbs 24 m; smoothing leaves its middle as it is."""
    points = line_east(3000, height=lambda s: 24 * min(1, max(0, (s - 1000) / 400)))
    assert grades(points) == MODERATE_EFFORT
    assert graded(points).reason == "moderate: 6 % uphill over 50 m"


def dismounts(count, metres="0 m", must="law"):
    return [
        {"at": f"{100 + 100 * i} m", "why": "no entry", "metres": metres, "must": must}
        for i in range(count)
    ]


def test_effort_by_dismounts():
    assert grades(dismounts=dismounts(2)) == EASY
    assert grades(dismounts=dismounts(3)) == MODERATE_EFFORT
    assert grades(dismounts=dismounts(3, must="advised")) == EASY
    assert grades(dismounts=dismounts(15)) == MODERATE_EFFORT  # moderate has no limit
    assert graded(climbing(2000), dismounts=dismounts(3)).reason == "moderate: 3 dismounts"


def test_effort_by_metres_pushed():
    assert grades(dismounts=dismounts(2, "100 m")) == EASY
    assert grades(dismounts=dismounts(2, "101 m")) == MODERATE_EFFORT
    pushed = [leg("start", "back street"), leg("1 km", "on foot"), leg("1.25 km", "back street")]
    assert grades(legs=pushed) == MODERATE_EFFORT
    assert graded(climbing(2000), legs=pushed).reason == "moderate: 250 m pushed"


@pytest.mark.parametrize(
    ("surface", "expected"),
    [
        ("smooth", EASY),
        ("fair", EASY),
        ("rough", MODERATE_EFFORT),
        ("loose", MODERATE_EFFORT),
        ("cobbles", MODERATE_EFFORT),
        ({"outbound": "smooth", "return": "cobbles"}, MODERATE_EFFORT),
    ],
)
def test_effort_by_surface(surface, expected):
    one = leg("start", "back street", "Tar Lane", surface=surface)
    assert grades(legs=[one]) == expected
    if expected != EASY:
        named = "cobbles" if "cobbles" in str(surface) else f"{surface} surface"
        assert f"2.0 km of {named} on Tar Lane" in graded(legs=[one]).reason


@pytest.mark.parametrize(("gap", "expected"), [("1.5 m", EASY), ("1.49 m", MODERATE_EFFORT)])
def test_effort_by_gaps(gap, expected):
    barrier = {"at": "1 km", "what": "chicane gate", "gap": gap}
    assert grades(barriers=[barrier, {**barrier, "gap": "2 m"}]) == expected


def test_gaps_of_one_direction_or_other_hours_do_not_count():
    barrier = {"at": "1 km", "what": "gate", "gap": "1.2 m"}
    assert grades(barriers=[{**barrier, "hours": "Su 03:00-04:00"}]) == EASY
    assert grades(barriers=[{**barrier, "hours": "Mo-Sa 00:00-24:00"}]) == MODERATE_EFFORT
    measures = measures_of(notes(barriers=[{**barrier, "direction": "return"}]))
    assert narrowest_gap_m(measures.outbound) is None
    assert narrowest_gap_m(measures.way_back) == 1.2


def test_the_grade_is_that_of_the_worse_direction():
    kind = {"outbound": "back street", "return": "painted lane"}
    measures = measures_of(notes(legs=[leg("start", kind, "Dock Road")]), climbing(2000))
    assert (measures.difficulty.overall, measures.graded) == ("moderate", "return")
    assert "painted lane on Dock Road" in measures.difficulty.reason


def test_the_grade_is_that_of_the_leading_state():
    hours = {"Su 10:00-12:00": "busy road", "otherwise": "back street"}
    assert grades(legs=[leg("start", hours=hours)]) == EASY


def test_the_worse_of_the_two_is_the_overall_one():
    legs = [leg("start", "painted lane")]
    assert grades(line_east(21000, step=50), legs=legs) == ("moderate", "demanding", "demanding")


def test_limits_of_effort_are_settings():
    short = Settings(easy=EffortLimits(km=1.5, climb_m=60, gradient_percent=5))
    assert grades(line_east(2000), short) == MODERATE_EFFORT
    assert grades(line_east(2000), short, dismounts=dismounts(5)) == MODERATE_EFFORT


def test_climbing_that_was_not_recorded_is_said_not_to_be_graded():
    assert "not recorded" in graded(line_east(2000)).reason
    assert "not recorded" not in graded(climbing(2000)).reason


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({}, ()),
        ({"lit": "yes"}, ()),
        ({"lit": "no"}, ("by day",)),
        ({"lit": "partly"}, ("by day",)),
        ({"wet": "floods after rain"}, ("when dry",)),
        ({"lit": "no", "wet": "floods"}, ("by day", "when dry")),
    ],
)
def test_the_grade_is_qualified_in_words(more, words):
    assert graded(legs=[leg("start", "back street", **more)]).qualified == words


def test_hours_of_closing_qualify_the_grade():
    assert graded(closed=["21:00-06:00"]).qualified == ("when open",)


def test_step_free_comes_from_the_data_alone():
    def free(**more):
        return is_step_free(measures_of(notes(**more)).outbound)

    assert free()
    assert not free(legs=[leg("start", "on foot", steps=True)])
    assert not free(dismounts=[{"at": "1 km", "why": "12 steps down to the lock"}])
    assert not free(dismounts=[{"at": "1 km", "why": "kerb", "steps": True}])
    assert not free(barriers=[{"at": "1 km", "what": "stile", "steps": True}])
    assert free(barriers=[{"at": "1 km", "what": "gate"}])


@pytest.mark.parametrize("control", ["bridge", "underpass"])
def test_a_wait_at_a_bridge_is_no_wait_for_traffic(control):
    """Section 9 counts uncontrolled crossings; a bridge crosses nothing."""
    assert grades(crossings=[crossing("400 m", control, wait="60 s")])[0] == "easy"
    assert grades(crossings=[crossing("400 m", "none", wait="60 s")])[0] == "demanding"


def test_a_street_s_name_is_no_flight_of_steps():
    ferry = measures_of(notes(legs=[leg("start", "back street", "Ferry Steps")]))
    assert is_step_free(ferry.outbound)
    flight = measures_of(notes(dismounts=[{"at": "300 m", "why": "Twelve steps down"}]))
    assert not is_step_free(flight.outbound)
