"""Notes that an author has typed themselves: each position becomes a chainage, or an error."""

import pytest

from softpedal.draft.own_notes import OwnNotesError, own_notes, with_own
from softpedal.problems import CannotDoError

PLACES = {"video 4:10": 812.4, "09:14:05": 1203.6, "50.01, -20.02": 40.2, "0.30 km": 300.0}


def place(text):
    if text not in PLACES:
        raise CannotDoError(f"`{text}` is nowhere.", "Write another.")
    return PLACES[text]


def typed(tmp_path, text):
    file = tmp_path / "own.yml"
    file.write_text(text)
    return own_notes(file, place)


def test_every_form_of_position_becomes_a_chainage(tmp_path):
    text = """\
hazards:
  - {at: video 4:10, to: "09:14:05", what: vans}
landmarks:
  - at: 50.01, -20.02
    what: Grain silo
crossings:
  - {at: 0.30 km, road: Dock Road, control: signals}
"""
    assert typed(tmp_path, text) == {
        "hazards": [{"at": "812 m", "to": "1.204 km", "what": "vans"}],
        "landmarks": [{"at": "40 m", "what": "Grain silo"}],
        "crossings": [{"at": "300 m", "road": "Dock Road", "control": "signals"}],
    }


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("hazards:\n  - what: vans\n    at: video 9:99\n", "own.yml:3:9: `video 9:99` is nowhere."),
        ("hazards:\n  - {at: 0.30 km}\n", "own.yml:2:5: error notes-missing: `what` is missing."),
        ("hazard:\n  - {at: 0.30 km, what: x}\n", "Did you mean `hazards`"),
        ("legs:\n  - {at: 0.30 km, what: x}\n", "own.yml:1:1: error notes-unknown-key"),
        ("hazards:\n  - {at: 12, what: x}\n", "own.yml:2:10: error position-form"),
        ("hazards: [", "own.yml:2:1: error yaml-syntax"),
        ("- a\n", "own.yml:1:1: error"),
        ("hazards: &a []\n", "own.yml:1:10: error yaml-"),
    ],
)
def test_what_is_wrong_is_told_with_its_place(text, said, tmp_path):
    with pytest.raises(OwnNotesError) as raised:
        typed(tmp_path, text)
    assert said in f"{raised.value} {raised.value.hint}"


def test_a_file_that_is_not_there_is_told(tmp_path):
    with pytest.raises(OwnNotesError, match=r"^no\.yml cannot be read"):
        own_notes(tmp_path / "no.yml", place)


def test_own_notes_stand_among_the_drafted_ones_in_riding_order():
    drafted = {"hazards": [{"at": "100 m"}, {"at": "900 m"}], "legs": [{"from": "start"}]}
    own = {"hazards": [{"at": "1.20 km"}, {"at": "start"}], "skip": [{"at": "5 m"}]}
    found = with_own(drafted, own, 2000.0)
    assert found == {
        "hazards": [{"at": "start"}, {"at": "100 m"}, {"at": "900 m"}, {"at": "1.20 km"}],
        "legs": [{"from": "start"}],
        "skip": [{"at": "5 m"}],
    }
    assert drafted["hazards"] == [{"at": "100 m"}, {"at": "900 m"}]
