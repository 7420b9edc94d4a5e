from __future__ import annotations

import pytest

from softpedal.draft.named_places import PlaceError, find_place
from streets.drawn_network import degrees, drawn

ROAD = {"highway": "residential"}


def town():
    return drawn(
        [
            (((0, 0), (100, 0), (200, 0)), {**ROAD, "name": "Sailmaker Row"}),
            (((0, 500), (100, 500)), {**ROAD, "name": "Mill Lane"}),
            (((100, 600), (100, 800)), {**ROAD, "name": "Mill Lane"}),
            (((3000, 0), (3100, 0)), {**ROAD, "name": "Church Street"}),
            (((0, 3000), (400, 3000)), {**ROAD, "name": "Church Street"}),
        ],
        places=[
            ("Chapel Green", (50, 50)),
            ("Chapel Green", (60, 50)),
            ("Boathouse", (0, 0)),
            ("Boathouse", (2000, 0)),
            ("Mill Lane", (900, 900)),
        ],
    )


@pytest.mark.parametrize("text", ["50.01, -20.03", " 50.01,-20.03 ", "50.01; -20.03"])
def test_coordinates(text):
    assert find_place(town(), text) == (50.01, -20.03)


@pytest.mark.parametrize("text", ["95, 10", "10, 190"])
def test_coordinates_off_the_earth(text):
    with pytest.raises(PlaceError, match="no place on earth"):
        find_place(town(), text)


@pytest.mark.parametrize("text", ["Chapel Green", "chapel  GREEN"])
def test_a_place_that_two_marks_beside_each_other_name(text):
    assert find_place(town(), text) == pytest.approx(degrees(50, 50))


def test_a_place_goes_before_a_street_of_its_name():
    assert find_place(town(), "Mill Lane") == pytest.approx(degrees(900, 900))


def test_the_middle_of_a_street():
    assert find_place(town(), "sailmaker row") == pytest.approx(degrees(100, 0), abs=1e-6)


@pytest.mark.parametrize(
    ("text", "first"), [("Boathouse", degrees(0, 0)), ("Church Street", degrees(200, 3000))]
)
def test_a_name_of_two_places_lists_them(text, first):
    with pytest.raises(PlaceError, match="the name of 2 places") as error:
        find_place(town(), text)
    assert f"{first[0]:.5f}, {first[1]:.5f}; " in error.value.hint


def test_many_places_of_one_name_are_not_all_listed():
    network = drawn([(((0, 0), (9, 0)), ROAD)], places=[("Inn", (i * 900, 0)) for i in range(8)])
    with pytest.raises(PlaceError, match="of 8 places") as error:
        find_place(network, "Inn")
    assert error.value.hint.count(";") == 5
    assert "and 3 more" in error.value.hint


@pytest.mark.parametrize("text", ["Sailmaker Rwo", "sailmaker", "Row"])
def test_an_unknown_name_is_answered_with_the_nearest(text):
    with pytest.raises(PlaceError, match="nothing called") as error:
        find_place(town(), text)
    assert "`Sailmaker Row`" in error.value.hint


@pytest.mark.parametrize("text", ["", "  ", "Xyzzy-1"])
def test_nothing_like_it(text):
    with pytest.raises(PlaceError) as error:
        find_place(town(), text)
    assert "50.01, -20.03" in error.value.hint
