"""One route whose every figure is worked out by hand, from first principles.

The line goes 2,500 m east and 1,500 m north. Chainages out (and back = 4,000 − out):

    0-400      Netmakers' Quay   on foot Mo-Sa 08:00-18:00, otherwise filtered (posts)
    400-1200   Sailmaker Row     filtered (planters), 20 mph
    1200-1900  Dock Road         out protected track, back painted lane 1.5 m; 30 mph, 2 lanes
    1900-2500  Grain Road        mixed street, 30 mph, 2 lanes
    2500-3200  Alder Towpath     traffic-free path, unlit, floods
    3200-3500  Lock Passage      on foot; from the map, not ridden
    3500-4000  Chapel Side       back street, nothing known

Heights: flat at 10 m to 600, up 2 % to 30 m at 1600, flat to 2200, down 1.5 % to 18 m at 3000,
flat. The flats are longer than the Gaussian's cut of 250 m, so the plateaus keep their heights
and the middle of each slope its gradient.
"""

from __future__ import annotations

import itertools
import math

import jsonschema
import pytest
from geographiclib.geodesic import Geodesic

from building import crossing, document, leg, line_east, line_north, make_route, notes
from softpedal.library.notes import KINDS
from softpedal.measure.document import measures_schema

LENGTH = 4000.0


def height(s):
    up = min(1, max(0, (s - 600) / 1000))
    down = min(1, max(0, (s - 2200) / 800))
    return 10 + 20 * up - 12 * down


EAST = line_east(2500, height=height)
NORTH = line_north(1500, lat=EAST[-1][0], lon=EAST[-1][1], height=lambda s: height(2500 + s))
POINTS = EAST + NORTH[1:]

PUSHED_BY_DAY = "Mo-Sa 08:00-18:00"
NOTES = notes(
    ridden=[
        {"on": "2026-04-11", "direction": "outbound", "moving": 19, "standing": 3},
        {"on": "2026-05-16", "direction": "outbound"},
    ],
    direct={"km": 3.2, "minutes": 12},
    closed=["21:00-06:00"],
    legs=[
        leg(
            "start",
            street="Netmakers' Quay",
            hours={PUSHED_BY_DAY: "on foot", "otherwise": "filtered street"},
            closed_by="lifting posts",
        ),
        leg(
            "400 m", "filtered street", "Sailmaker Row", closed_by="planters", speed_limit="20 mph"
        ),
        leg(
            "1.2 km",
            {"outbound": "protected track", "return": "painted lane"},
            "Dock Road",
            speed_limit="30 mph",
            lanes=2,
            lane_width="1.5 m",
        ),
        leg("1.9 km", "mixed street", "Grain Road", speed_limit="30 mph", lanes=2),
        leg("2.5 km", "traffic-free path", "Alder Towpath", lit="no", wet="floods after rain"),
        leg("3.2 km", "on foot", "Lock Passage", source="map"),
        leg("3.5 km", "back street", "Chapel Side"),
    ],
    crossings=[
        crossing(
            "1190 m", "signals", "Dock Road", vehicles_per_day=14000, lanes=2, wait="75 s",
            speed_limit="30 mph",
        ),
        crossing(
            "1.9 km", "none", "Grain Road", movement="turn", vehicles_per_day=9000, lanes=2,
            speed_limit="30 mph",
        ),
        crossing("2.6 km", "zebra", "Weir Lane", speed_limit="20 mph", lanes=2),
        crossing(
            "3.1 km", "refuge", "Mill Road", vehicles_per_day=6000, lanes=4,
            speed_limit="35 mph", direction="outbound",
        ),
        crossing("3.6 km", "none", "Chapel Lane"),
    ],
    dismounts=[
        {"at": "850 m", "why": "no entry", "metres": "15 m", "direction": "return"},
        {"at": "2.3 km", "why": "rails", "metres": "5 m", "must": "advised"},
        {"at": "2950 m", "why": "gate", "must": "barrier", "hours": "Mo-Fr 07:00-10:00"},
        {"at": "3.3 km", "why": "stairs", "metres": "20 m"},
    ],
    barriers=[{"at": "2950 m", "what": "chicane gate", "gap": "1.2 m"}],
)  # fmt: skip


def geodesic(start, end):
    return Geodesic.WGS84.Inverse(start[0], start[1], end[0], end[1])["s12"]


# Detour factor: length over the geodesic between the ends. Near 4000 / √(2500² + 1500²) = 1.372;
# the geodesic itself is taken from geographiclib. Main-road way: 4000 / 3200 = 1.25.
DETOUR = LENGTH / geodesic(POINTS[0], POINTS[-1])

# Metres by kind, out: pushed 400 (by day) + 300; filtered 800 (+ 400 otherwise); protected 700;
# mixed 600; path 700; back street 500. Back: the 700 of Dock Road are a painted lane.
KINDS_OUT = {
    "filtered street": 800.0,
    "protected track": 700.0,
    "mixed street": 600.0,
    "traffic-free path": 700.0,
    "back street": 500.0,
}
KINDS_BACK = {**KINDS_OUT, "protected track": 0.0, "painted lane": 700.0}
#: Out by day (800 + 700 + 700) / 4000 = 0.55, otherwise + 400 = 0.65; back 700 m less.
Q = {
    ("outbound", "pushed"): 0.55,
    ("outbound", "ridden"): 0.65,
    ("return", "pushed"): 0.375,
    ("return", "ridden"): 0.475,
}

# Waits. Signals on Dock Road: 75 s, as noted.
# Grain Road: t_c = 7 / 1.2 + 3 = 8.8333 s; v = 0.07 · 9000 / 3600 = 0.175 a second;
#   v·t_c = 1.545833; e^1.545833 = 4.691879; d = (4.691879 − 1.545833 − 1) / 0.175 = 12.2631 s.
# Zebra: 0 s. Mill Road has a refuge: two stages of 2 lanes against 3,000 vehicles each:
#   v = 0.07 · 3000 / 3600 = 0.0583333; v·t_c = 0.5152778; e^0.5152778 = 1.6741034;
#   d = (1.6741034 − 1.5152778) / 0.0583333 = 2.722724 s; twice 5.445448 s. Out only.
# Chapel Lane: volume unknown, counted as 0 s, one wait not known.
WAIT = {"outbound": 75 + 12.2631 + 0 + 5.4454, "return": 75 + 12.2631 + 0}

# Busy. Dock Road and Grain Road by their vehicles; Weir Lane not (20 mph, 2 lanes: level 1);
# Mill Road by vehicles and by stress 3, out only; Chapel Lane not. Uncontrolled: Grain, Mill.
BUSY = {"outbound": (3, 2, 5), "return": (2, 1, 4)}

# Dismounts. The two pushed stretches by day, one otherwise (Lock Passage); the zebra; the gate
# while it counts; back also "no entry" with 15 m. The stairs lie within Lock Passage. The rails
# are advised: counted apart, and their 5 m nowhere.
# (pushed at the quay, gate counts) -> dismounts out; back is one more.
DISMOUNTS_OUT = {(True, False): 3, (True, True): 4, (False, False): 2, (False, True): 3}


def slope(s):
    """The smoothed gradient out: corners of the profile blurred by a Gaussian of 50 m."""

    def step(corner):
        return 0.5 * (1 + math.erf((s - corner) / (50 * math.sqrt(2))))

    return 0.02 * (step(600) - step(1600)) - 0.015 * (step(2200) - step(3000))


def seconds(start, end, direction):
    """Ride out-chainages at 15 km/h, 1.44 slower for 1 % up, 0.86 faster for 1 % down."""
    total = 0.0
    for s in range(start, end):
        percent = 100 * slope(s + 0.5) * (1 if direction == "outbound" else -1)
        kmh = 15 - (1.44 if percent > 0 else 0.86) * percent
        total += 3.6 / kmh
    return total


def ride_s(direction, pushed):
    ridden = seconds(0 if not pushed else 400, 3200, direction) + seconds(3500, 4000, direction)
    walked = (700 if pushed else 300) + (15 if direction == "return" else 0)
    return ridden + walked / 1.2 + WAIT[direction]


# Stress, out: quay 1, row 1 (filtered at 20 mph), track 1, Grain Road: table 4, 2 lanes, 30 mph,
# a centre line is taken to be there: 3; path 1; passage 1; Chapel Side 2, assumed. Crossings:
# signals straight over 2 lanes 1; Grain Road 30 mph, 2 lanes 1 by the table, but a turn across a
# busy road without signals: 3 by our own rule; zebra pushed over 1; Mill Road with refuge, 35 mph,
# 4 lanes 3; Chapel Lane 2, assumed. Back: painted lane max(1 lane 1, under 6 ft 2, 30 mph 1) = 2;
# no Mill Road. The turn at Grain Road is the first of the worst crossings, back at 4000 − 1900.
def worst(what, name, kind, ends, level, *, assumed=False):
    in_words = {("crossing", 2): "some stress", ("crossing", 3): "stressful"}
    words = (in_words | {("leg", 3): "among traffic"})[what, level]
    return {
        "what": what,
        "name": name,
        "kind": kind,
        "from_m": ends[0],
        "to_m": ends[1],
        "level": level,
        "words": words,
        "assumed": assumed,
        "raised": "",
    }


GRAIN_OUT = worst("leg", "Grain Road", "mixed street", (1900, 2500), 3)
GRAIN_BACK = worst("leg", "Grain Road", "mixed street", (1500, 2100), 3)
STRESS = {
    "outbound": {
        "route": 3,
        "worst": GRAIN_OUT,
        "worst_leg": GRAIN_OUT,
        "worst_crossing": worst("crossing", "Grain Road", "none", (1900, 1900), 3),
    },
    "return": {
        "route": 3,
        "worst": GRAIN_BACK,
        "worst_leg": GRAIN_BACK,
        "worst_crossing": worst("crossing", "Grain Road", "none", (2100, 2100), 3),
    },
}

# Climbing out 20 m up, 12 m down; back the other way. Steepest out 2 %, back 1.5 %.
CLIMB = {"outbound": (20.0, 12.0, 0.02), "return": (12.0, 20.0, 0.015)}

# States. By day = Mo-Sa 08-18; gate = Mo-Fr 07-10; shut 21-06.
#   quay pushed, no gate: Mo-Fr 10-18, Sa 08-18        daytime 40 h: leads
#   quay pushed, gate:    Mo-Fr 08-10                  daytime 10 h
#   neither:              Mo-Fr 06-07 and 18-21, Sa 06-08 and 18-21, Su 06-21   daytime 5 h
#   gate only:            Mo-Fr 07-08                  daytime 5 h, later in the week than that
#   shut:                 every night
# The two of 5 h have the same Q, so the one that comes first in the week comes first.
STATES = [
    ("Mo-Fr 10:00-18:00, Sa 08:00-18:00", True, False),
    ("Mo-Fr 08:00-10:00", True, True),
    ("Mo-Fr 06:00-07:00,18:00-21:00, Sa 06:00-08:00,18:00-21:00, Su 06:00-21:00", False, False),
    ("Mo-Fr 07:00-08:00", False, True),
]
SHUT = "21:00-06:00"


def state(direction, index):
    when, pushed, gate = STATES[index]
    back = direction == "return"
    kinds = KINDS_BACK if back else KINDS_OUT
    metres = dict.fromkeys(KINDS, 0.0) | kinds
    metres["on foot"] = 700.0 if pushed else 300.0
    metres["filtered street"] = 800.0 if pushed else 1200.0
    busy, uncontrolled, crossings = BUSY[direction]
    ascent, descent, _ = CLIMB[direction]
    return {
        "when": when,
        "is_daytime": index == 0,
        "passable": True,
        "quietness": Q[direction, "pushed" if pushed else "ridden"],
        "metres_by_kind": metres,
        "busy_crossings": busy,
        "busy_crossings_uncontrolled": uncontrolled,
        "crossings": crossings,
        "dismounts": DISMOUNTS_OUT[pushed, gate] + back,
        "dismounts_advised": 1,
        "pushed_m": metres["on foot"] + (15.0 if back else 0.0),
        "stress": STRESS[direction],
        "ride_s": ride_s(direction, pushed),
        "wait_s": WAIT[direction],
        "waits_unknown": 1,
        "ascent_m": ascent,
        "descent_m": descent,
    }


def shut_state():
    figures = dict.fromkeys(state("outbound", 0))
    return {**figures, "when": SHUT, "is_daytime": False, "passable": False, "steepest": None}


# Confirmed: out 4000 − 300 of Lock Passage = 3700 / 4000; back nothing, as it was not ridden.
# Grade, both ways moderate; where they are equal the outbound one speaks. Traffic: Grain Road and
# Mill Road at level 3, two busy crossings without signals. Effort: 3 dismounts > 2, 700 m pushed
# > 200, a gap of 1.2 m < 1.5. Not 4 km > 8, not 20 m > 60, not 2 % > 5.
REASONS = {
    "600 m of mixed street on Grain Road at level 3",
    "crossing Grain Road at level 3",
    "crossing Mill Road at level 3",
    "crossing busy Grain Road without signals or zebra",
    "crossing busy Mill Road without signals or zebra",
    "3 dismounts",
    "700 m pushed",
    "a gap of 1.2 m",
}


@pytest.fixture
def whole(tmp_path):
    return document(make_route(tmp_path, NOTES, POINTS))


def assert_like(found, expected, where="", rel=1e-6):
    """Compare plain data: numbers to a millionth (times and waits by hand to 0.01 s)."""
    if isinstance(expected, dict):
        assert found.keys() == expected.keys(), where
        for key, value in expected.items():
            assert_like(found[key], value, f"{where}.{key}", rel)
    elif isinstance(expected, float):
        absolute = 0.01 if where.endswith(("ride_s", "wait_s")) else 1e-6
        assert found == pytest.approx(expected, rel=rel, abs=absolute), where
    elif isinstance(expected, int) and not isinstance(expected, bool) and "_m" in where[-6:]:
        assert found == pytest.approx(expected, abs=1e-6), where
    else:
        assert found == expected, where


def test_its_length_is_that_of_geographiclib(whole):
    metres = math.fsum(itertools.starmap(geodesic, itertools.pairwise(POINTS)))
    assert metres == pytest.approx(LENGTH, rel=1e-9)
    (route,) = whole["routes"]
    for found in (route, *route["directions"].values()):
        assert found["length_m"] == pytest.approx(metres, rel=1e-6)


def test_what_stands_at_the_top(whole):
    (route,) = whole["routes"]
    grade = route.pop("difficulty")
    assert_like(
        {key: value for key, value in route.items() if key != "directions"},
        {
            "id": "ferry-steps-to-chapel-green",
            "title": "Ferry Steps to Chapel Green",
            "area": ["Lindenferry"],
            "status": "published",
            "start": "Ferry Steps",
            "finish": "Chapel Green",
            "length_m": LENGTH,
            "detour_factor": DETOUR,
            "direct_ratio": 1.25,
            "confirmed_share": 0.925,
            "ridden_on": "2026-05-16",
        },
    )
    assert pytest.approx(1.372, abs=0.001) == DETOUR
    assert whole["schema"] == 1
    assert [grade[key] for key in ("overall", "traffic", "effort")] == ["moderate"] * 3
    head, reasons = grade["reason"].split(": ", 1)
    assert head == "moderate"
    assert sorted(reasons.split("; ")) == sorted(REASONS)
    assert grade["qualified"] == ["by day", "when dry", "when open"]


@pytest.mark.parametrize("direction", ["outbound", "return"])
def test_what_stands_at_a_direction(whole, direction):
    found = whole["routes"][0]["directions"][direction]
    out = direction == "outbound"
    assert_like(
        {key: value for key, value in found.items() if key != "states"},
        {
            "length_m": LENGTH,
            "detour_factor": DETOUR,
            "direct_ratio": 1.25,
            "confirmed_share": 0.925 if out else 0.0,
            "ridden_on": "2026-05-16" if out else None,
        },
    )
    assert len(found["states"]) == 5


@pytest.mark.parametrize("direction", ["outbound", "return"])
@pytest.mark.parametrize("index", range(4))
def test_every_figure_of_every_state(whole, direction, index):
    found = whole["routes"][0]["directions"][direction]["states"][index]
    steepest = found.pop("steepest")
    assert_like(found, state(direction, index))
    assert steepest["gradient"] == pytest.approx(CLIMB[direction][2], abs=1e-6)
    assert (steepest["metres"], steepest["source"]) == (50, "recorded")
    # the middle of the slope, 250 m from its corners; its 50 m may begin anywhere there
    least, most = (850, 1300) if direction == "outbound" else (1250, 1500)
    assert least - 120 <= steepest["at_m"] <= most + 120


@pytest.mark.parametrize("direction", ["outbound", "return"])
def test_the_night_is_not_passable(whole, direction):
    assert whole["routes"][0]["directions"][direction]["states"][4] == shut_state()


def test_the_whole_is_what_the_schema_says(whole):
    jsonschema.validate(whole, measures_schema())
