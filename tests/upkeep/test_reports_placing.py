"""Where a report is: by the page's own line, by names, by measures; never by a guess."""

import pytest

from building import crossing, leg, line_east, make_route, notes
from softpedal.library.load import load_route
from softpedal.upkeep.reports.messages import Message
from softpedal.upkeep.reports.placing import Place, place_of

FERRY, MILL = "ferry-steps-to-chapel-green", "chapel-green-to-weir-mill"


@pytest.fixture(scope="module")
def routes(tmp_path_factory):
    library = tmp_path_factory.mktemp("library")
    ferry = notes(
        legs=[
            leg("start", "back street", "Reed Lane"),
            leg("500 m", "back street", "Lock Street"),
            leg("900 m", "back street", "Reed Lane"),
        ],
        crossings=[crossing("700 m", road="Dock Road"), crossing("1.5 km", road="Northgate")],
        landmarks=[{"at": "800 m", "what": "Grain silo"}, {"at": "850 m", "what": "silo"}],
    )
    mill = notes(title="Chapel Green to Weir Mill", was=["green-to-mill"])
    folders = [
        make_route(library, ferry, id=FERRY),
        make_route(library, mill, points=line_east(1000, lat=50.02), id=MILL),
    ]
    return [load_route(folder).route for folder in folders]


def placed(routes, text, **more):
    return place_of(Message(text, **more), routes)


def test_the_line_of_the_page_goes_before_all_else(routes):
    line = f"[softpedal {FERRY} return\n> 120 m 50.01234,-20.04567 2026-05-16]"
    found = placed(routes, f"Chapel Green to Weir Mill, 0.9 km\n> {line}", subject=MILL)
    assert found == Place(FERRY, 120, "return", (50.01234, -20.04567), "2026-05-16")


def test_an_old_id_leads_to_the_route_and_an_unknown_one_is_kept(routes):
    assert placed(routes, "[softpedal green-to-mill outbound]").route == MILL
    assert placed(routes, "[softpedal no-such-way outbound]").route == "no-such-way"
    assert placed(routes, "Shut.", route="green-to-mill").route == MILL
    assert placed(routes, "Shut.", route="no-such-way").route == "no-such-way"


@pytest.mark.parametrize(
    ("text", "subject", "route"),
    [
        (f"See https://l.example/rides/routes/{MILL}/ please", "", MILL),
        (f"the {FERRY} way is shut", "", FERRY),
        ("the gate is shut", f"re: {MILL}", MILL),
        ("shut", "Chapel Green to Weir Mill", MILL),
        ("On the chapel green  to weir\nmill way a gate is shut", "", MILL),
        ("On Chapel Green to Wier Mill a gate is shut", "", MILL),
        (f"{FERRY} and {MILL} are both shut", "", ""),
        ("The gate is shut", "", ""),
        ("Weir Mill", "", ""),
        ("to", "", ""),
    ],
)
def test_a_route_is_told_by_address_id_or_title(routes, text, subject, route):
    assert placed(routes, text, subject=subject).route == route


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("At 1.24 km a tree is down", 1240),
        ("1,24 km: Baum", 1240),
        ("shut 0.5 mi along", 804.672),
        ("at 310 m a hole", 310),
        ("a hole 310 m long", None),
        ("for 1.2 km it is muddy", None),
        ("a muddy bit of 1.2 km", None),
        ("at 1.2 km and at 1.5 km", None),
        ("at 1.2 km, I mean 1.20 km", 1200),
        ("at 9 km", None),
        ("at 2.005 km", 2000),
        ("the signals at Dock Road", 700),
        ("the GRAIN SILO has gone", 800),
        ("the silo has gone", 850),
        ("Lock Street is wet", 500),
        ("Reed Lane is wet", None),
        ("Dock Road and Northgate", None),
        ("Haddock Roadside", None),
    ],
)
def test_a_chainage_is_told_by_a_measure_or_the_only_place_of_a_name(routes, text, metres):
    found = placed(routes, text, subject=FERRY)
    assert found.metres == (None if metres is None else pytest.approx(metres))


def test_what_is_given_beside_the_text_goes_before_it(routes):
    assert placed(routes, "at 1.2 km", route=FERRY, at="0.3 km").metres == 300
    assert placed(routes, "at 1.2 km", route=FERRY, at="300 m").metres == 300


def test_on_the_way_back_it_counts_from_the_other_end(routes):
    found = placed(routes, "on the way back, at Dock Road", subject=FERRY)
    assert (found.direction, found.metres) == ("return", pytest.approx(1300))


def test_coordinates_on_a_route_place_a_report_and_others_are_not_kept(routes):
    lat, lon = routes[0].along.track.at(640.0)
    found = placed(routes, f"here: {lat:.5f}, {lon:.5f}")
    assert (found.route, found.metres) == (FERRY, pytest.approx(640, abs=1))
    assert found.at == pytest.approx((lat, lon), abs=1e-5)
    assert placed(routes, f"here: {lat + 0.005:.5f},{lon:.5f}") == Place()
    home = placed(routes, f"{lat + 0.005:.5f} {lon:.5f}", subject=FERRY)
    assert (home.metres, home.at) == (None, None)


def test_without_routes_nothing_is_placed():
    assert place_of(Message("Chapel Green to Weir Mill at 1 km"), []) == Place()
