"""Where the notes of a published route and the map disagree: advice for each sort, never an error.

Truth is the demo: its notes are right by construction, so that one change is one piece of advice.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from edited_town import (
    FERRY,
    WEIR,
    Town,
    demo_route,
    extract,
    files_in,
    library,
    line_of_ride,
    run,
    tags_of,
    with_tags,
)
from softpedal.draft.drafting import draft_ride, write_draft
from softpedal.draft.town import open_town
from softpedal.library.load import load_route
from softpedal.settings import Settings
from softpedal.upkeep.check import check_library
from softpedal.upkeep.map_check import check_against_map
from town_truth import ROOT

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.draft.town import Town as Known
    from softpedal.problems import Problem


@pytest.fixture(scope="module")
def town(tmp_path_factory: pytest.TempPathFactory) -> Known:
    return open_town(extract(), tmp_path_factory.mktemp("cache"), "GB")


def _found(folder: Path, town: Known) -> list[Problem]:
    loaded = load_route(folder)
    assert loaded.route is not None, [str(p) for p in loaded.problems]
    found = check_against_map(loaded.route, town, Settings())
    assert {p.severity for p in found} <= {"advice"}
    assert {p.file for p in found} <= {f"routes/{folder.name}/notes.yml"}
    return found


def _edited(tmp_path: Path, name: str, *edits: tuple[str, str]) -> Path:
    """Return a demo route whose notes have been edited by pattern."""
    folder = demo_route(library(tmp_path / "library"), name)
    notes = folder / "notes.yml"
    text = notes.read_text(encoding="utf-8")
    for pattern, new in edits:
        text, count = re.subn(pattern, new, text, count=1)
        assert count == 1, f"{pattern} is not in the notes of {name}"
    notes.write_text(text, encoding="utf-8")
    return folder


def _line(folder: Path, words: str) -> int:
    lines = (folder / "notes.yml").read_text(encoding="utf-8").splitlines()
    return next(number for number, line in enumerate(lines, 1) if words in line)


def test_the_demo_agrees_with_its_map(town: Known) -> None:
    """Its notes are true, and so is its map: 11 routes in both directions give nothing."""
    found = [str(p) for p in check_library(ROOT, town=town) if p.code.startswith("map-")]
    assert found == []


@pytest.mark.parametrize("name", sorted(path.name for path in (ROOT / "routes").iterdir()))
def test_a_draft_agrees_with_the_map_that_it_was_drafted_from(
    name: str, town: Known, tmp_path: Path
) -> None:
    draft = draft_ride(town, line_of_ride(name), Settings())
    folder = write_draft(draft, town, Settings(), tmp_path / "routes", name)
    assert [str(problem) for problem in _found(folder, town)] == []


def test_a_corner_that_is_pushed_round_is_no_turn_across_the_traffic(tmp_path: Path) -> None:
    """One walks along both streets, and so round the corner: the draft notes no crossing."""
    changed = Town()
    for name in ("Grain Road", "Dock Road"):
        for way in changed.ways_named(name):
            with_tags(way, bicycle="dismount")
    town = open_town(changed.write(tmp_path / "walked.osm"), tmp_path / "cache", "GB")
    draft = draft_ride(town, line_of_ride("dock-road-to-grain-road"), Settings())
    assert "crossings" not in draft.document
    folder = write_draft(draft, town, Settings(), tmp_path / "routes", "a-way")
    assert [str(problem) for problem in _found(folder, town)] == []


def test_another_kind(tmp_path: Path, town: Known) -> None:
    edit = ("(street: Loom Street\n    kind: )back street", r"\1mixed street")
    folder = _edited(tmp_path, WEIR, edit)
    (one,) = _found(folder, town)
    assert one.code == "map-kind"
    assert one.line == _line(folder, "street: Loom Street") - 1
    assert "Loom Street, from 0.76 km to 1.30 km: the notes say mixed street, the map says" in (
        one.message
    )
    assert "Weir Road → this street" in one.message


def test_quieter_on_the_map_than_noted_says_so(tmp_path: Path, town: Known) -> None:
    edit = ("(street: Bobbin Row\n    kind: )filtered street\n    closed_by: .*", r"\1back street")
    (one,) = _found(_edited(tmp_path, WEIR, edit), town)
    assert one.code == "map-kind"
    assert one.hint == "It may be quieter than you noted, if the map is right."


def test_a_filtered_street_that_the_map_leaves_open(tmp_path: Path) -> None:
    folder = _edited(tmp_path, WEIR)
    streets = Town().open_barriers("Bobbin Row").write(tmp_path / "open.osm")
    (one,) = _found(folder, open_town(streets, tmp_path / "cache", "GB"))
    assert one.code == "map-filtered"
    assert "the notes say filtered street, the map says back street" in one.message
    assert "Chapel Road → this street → Chapel Road" in one.message


def test_a_street_noted_as_filtered_that_never_was(tmp_path: Path, town: Known) -> None:
    edit = (
        "(street: Loom Street\n    kind: )back street",
        r"\1filtered street\n    closed_by: I forget what",
    )
    (one,) = _found(_edited(tmp_path, WEIR, edit), town)
    assert one.code == "map-filtered"
    assert "Weir Road → this street" in one.message


def test_a_one_way_against_which_one_rides(tmp_path: Path) -> None:
    changed = Town()
    for way in changed.ways_named("Loom Street"):
        with_tags(way, oneway="yes", **{"oneway:bicycle": "yes"})
    town = open_town(changed.write(tmp_path / "oneway.osm"), tmp_path / "cache", "GB")
    found = [p for p in _found(_edited(tmp_path, WEIR), town) if p.code == "map-oneway"]
    (one,) = found
    assert "Loom Street" in one.message
    assert "the map says on foot" in one.message
    assert one.hint == "Note a dismount, or that cycles are exempt."


def test_a_banned_turn(tmp_path: Path) -> None:
    """Candle Street into School Lane, on the way out."""
    changed = Town()
    changed.ban_turn("Candle Street", "School Lane")
    town = open_town(changed.write(tmp_path / "banned.osm"), tmp_path / "cache", "GB")
    found = [p for p in _found(_edited(tmp_path, FERRY), town) if p.code == "map-turn"]
    (one,) = found
    assert "at 1.92 km" in one.message
    assert "restriction" in one.message
    assert one.hint == "Note a dismount there with `direction: outbound`."
    told = ("\ndismounts:\n", "\ndismounts:\n  - {at: 1.92 km, why: banned turn, metres: 15}\n")
    notes = tmp_path / "library" / "routes" / FERRY / "notes.yml"
    text = notes.read_text(encoding="utf-8")
    text = text.replace(*told) if told[0] in text else f"{text}{told[1]}"
    notes.write_text(text, encoding="utf-8")
    assert [p for p in _found(notes.parent, town) if p.code == "map-turn"] == []


def test_another_control(tmp_path: Path, town: Known) -> None:
    folder = _edited(tmp_path, WEIR, ("control: zebra", "control: signals"))
    (one,) = _found(folder, town)
    assert one.code == "map-control"
    assert one.line == _line(folder, "road: Chapel Road") - 1
    assert "Chapel Road, at 0.25 km: the notes say signals, the map says zebra" in one.message


def test_what_holds_both_ways_is_told_once(tmp_path: Path, town: Known) -> None:
    """The way back is the same line: the same kind and the same crossing, met again."""
    edits = [
        ("(road: Northgate\n    control: )toucan", r"\1zebra"),
        ("(street: School Lane\n    kind: )back street", r"\1mixed street"),
    ]
    found = _found(_edited(tmp_path, FERRY, *edits), town)
    assert sorted(p.code for p in found) == ["map-control", "map-kind"]
    assert not any("on the way back" in p.message for p in found)


def test_controls_that_differ_in_words_only_are_none(tmp_path: Path, town: Known) -> None:
    assert _found(_edited(tmp_path, WEIR, ("control: zebra", "control: parallel")), town) == []


def test_a_main_road_that_the_notes_omit(tmp_path: Path, town: Known) -> None:
    folder = _edited(tmp_path, FERRY)
    notes = folder / "notes.yml"
    text = notes.read_text(encoding="utf-8")
    start = re.search(r"\n  - [^\n]*(?:\n    [^\n]*)*road: Dock Road[^\n]*(?:\n    [^\n]*)*", text)
    assert start is not None
    notes.write_text(text.replace(start[0], "", 1), encoding="utf-8")
    (one,) = _found(folder, town)
    assert one.code == "map-crossing"
    assert "at 0.99 km the way crosses Dock Road, a main road, which the notes omit" in one.message
    assert "control on the map: toucan" in one.message


def test_a_line_off_the_map(tmp_path: Path) -> None:
    changed = Town().cut_at(lambda _, lon: lon < -20.026)
    town = open_town(changed.write(tmp_path / "west.osm"), tmp_path / "cache", "GB")
    found = [p for p in _found(_edited(tmp_path, FERRY), town) if p.code == "map-off"]
    (one,) = found
    assert re.search(r"off the map from 0\.00 km to 0\.[89]\d km", one.message), one.message


def test_a_line_of_which_nothing_is_on_the_map(tmp_path: Path) -> None:
    changed = Town().cut_at(lambda lat, lon: lat < 50.01 and lon > -20.02)
    town = open_town(changed.write(tmp_path / "far.osm"), tmp_path / "cache", "GB")
    (one,) = _found(_edited(tmp_path, WEIR), town)
    assert one.code == "map-off"
    assert "Nothing of the ride is on the map" in one.message


def test_a_route_that_was_never_drafted_has_no_changes(tmp_path: Path) -> None:
    streets = Town().open_barriers("Bobbin Row").write(tmp_path / "open.osm")
    found = _found(_edited(tmp_path, WEIR), open_town(streets, tmp_path / "cache", "GB"))
    assert {p.code for p in found} == {"map-filtered"}


def test_advice_keeps_the_exit_code_and_the_files(tmp_path: Path) -> None:
    edit = ("(street: Loom Street\n    kind: )back street", r"\1mixed street")
    folder = _edited(tmp_path, WEIR, edit, ("next:.*\n", "")).parents[1]
    before = files_in(folder)
    result = run("check", folder, "--streets", extract())
    assert result.exit_code == 0, result.output
    assert "advice map-kind: Loom Street" in result.output
    assert "map-" not in run("check", folder).output
    assert files_in(folder) == before


def test_only_the_route_that_is_named_is_held_against_the_map(tmp_path: Path, town: Known) -> None:
    edit = ("(street: Loom Street\n    kind: )back street", r"\1mixed street")
    home = _edited(tmp_path, WEIR, edit).parents[1]
    demo_route(home, FERRY)
    assert [p.code for p in check_library(home, [FERRY], town) if p.code[:4] == "map-"] == []
    assert "map-kind" in [p.code for p in check_library(home, [WEIR], town)]


def test_tags_are_those_of_the_demo() -> None:
    """The edits above change what is there, and not what nobody reads."""
    assert "oneway" not in tags_of(Town().ways_named("Loom Street")[0])
