"""alerts.yml: what it may say, and which routes an alert reaches."""

import math

import pytest

from building import gpx_text, leg, line_east, line_north, load, make_route, notes
from softpedal.library.library_alerts import read_alerts
from softpedal.library.load import load_route
from softpedal.library.track import WGS84
from softpedal.settings import Settings
from softpedal.upkeep.check import check_library

BRIDGE = """\
- at: {at}
  radius: {radius}
  from: 2026-09-01
  until: 2026-10-15
  text: Swing bridge shut; go by the weir.
"""


def place(east_m, north_m=0.0):
    """Coordinates so many metres from where the lines of `building` begin."""
    lon, lat, _ = WGS84.fwd(-20.0, 50.0, 90.0, east_m)
    lon, lat, _ = WGS84.fwd(lon, lat, 0.0, north_m)
    return f"{lat:.7f}, {lon:.7f}"


def alerts_in(library, at, radius="40 m"):
    (library / "alerts.yml").write_text(BRIDGE.format(at=at, radius=radius))
    alerts, problems = read_alerts(library)
    assert problems == []
    return alerts


@pytest.mark.parametrize(("off_m", "reached"), [(39.0, True), (41.0, False)])
def test_an_alert_reaches_a_route_that_comes_within_its_radius(off_m, reached, tmp_path):
    own = {"from": "2026-06-01", "text": "Loose gravel."}
    folder = make_route(tmp_path, notes(alerts=[own]))
    alerts = alerts_in(tmp_path, place(700, off_m))
    route = load_route(folder, Settings(), alerts=alerts).route
    texts = [alert.text for alert in route.notes.alerts]
    assert texts == ["Loose gravel.", *(["Swing bridge shut; go by the weir."] if reached else [])]
    assert [round(p.at_m) for p in route.passed_alerts] == ([700] if reached else [])
    if reached:
        alert = route.notes.alerts[1]
        assert (alert.from_, alert.until) == ("2026-09-01", "2026-10-15")


def test_without_alerts_a_route_is_as_its_notes_have_it(tmp_path):
    assert load(make_route(tmp_path)).passed_alerts == ()


def test_one_that_is_passed_twice_is_there_once(tmp_path):
    there = line_east(900)
    folder = make_route(tmp_path, points=[*there, *reversed(there[:-1])])
    route = load_route(folder, Settings(), alerts=alerts_in(tmp_path, place(300))).route
    assert [round(p.at_m) for p in route.passed_alerts] == [300]


def test_one_on_the_way_back_alone_reaches_the_route_without_a_place_on_the_way_out(tmp_path):
    back = gpx_text([*reversed(line_north(300)), *line_east(2000, lat=50.0)][::-1])
    text = notes(**{"return": {"legs": [leg("start", "back street")]}})
    folder = make_route(tmp_path, text, return_gpx=back)
    route = load_route(folder, Settings(), alerts=alerts_in(tmp_path, place(0, 280))).route
    (placed,) = route.passed_alerts
    assert math.isnan(placed.at_m)


@pytest.mark.parametrize(
    ("text", "place_of_fault", "says", "hint"),
    [
        ("at: 1", (1, 1), "Expected a list of alerts", "- at:"),
        (BRIDGE.format(at="1.2 km", radius="40 m"), (1, 7), "not coordinates", "50.01234"),
        (BRIDGE.format(at="50.0, -20.0", radius="0 m"), (2, 11), "0", ""),
        (BRIDGE.format(at="50.0, -20.0", radius="9 km"), (2, 11), "5000", ""),
        (BRIDGE.format(at="50.0, -20.0", radius="wide"), (2, 11), "`wide`", "15 m"),
        ("- at: 50.0, -20.0\n  from: 2026-09-01\n  text: Shut.\n", (1, 3), "`radius`", "radius"),
        (
            BRIDGE.format(at="50.0, -20.0", radius="40 m").replace("2026-10-15", "2026-01-15"),
            (4, 3),
            "ends",
            "`from`",
        ),
        (
            BRIDGE.format(at="50.0, -20.0", radius="40 m") + "  txet: Shut.\n",
            (6, 3),
            "txet",
            "`text`",
        ),
    ],
)
def test_what_is_wrong_is_told_with_its_place(text, place_of_fault, says, hint, tmp_path):
    make_route(tmp_path)
    (tmp_path / "alerts.yml").write_text(text)
    problem, *_ = check_library(tmp_path)
    assert (problem.code, problem.file) == ("alerts-value", "alerts.yml")
    assert (problem.line, problem.column) == place_of_fault
    assert says in problem.message
    assert hint in problem.hint
    assert problem.is_error


def test_a_file_that_cannot_be_read_is_reported(tmp_path):
    make_route(tmp_path)
    (tmp_path / "alerts.yml").mkdir()
    (problem,) = check_library(tmp_path)
    assert (problem.code, problem.file) == ("file-unreadable", "alerts.yml")


def test_one_that_the_notes_have_too_stands_once(tmp_path):
    own = {
        "from": "2026-09-01",
        "until": "2026-10-15",
        "text": "Swing bridge shut; go by the weir.",
    }
    folder = make_route(tmp_path, notes(alerts=[own]))
    route = load_route(folder, Settings(), alerts=alerts_in(tmp_path, place(700))).route
    assert len(route.notes.alerts) == 1
    assert route.passed_alerts == ()


def test_one_that_no_route_passes_is_advised_of(tmp_path):
    make_route(tmp_path)
    alerts_in(tmp_path, place(700, 41))
    (problem,) = check_library(tmp_path)
    assert (problem.code, problem.line, problem.column) == ("alerts-value", 1, 7)
    assert not problem.is_error
    alerts_in(tmp_path, place(700, 39))
    assert check_library(tmp_path) == []
