"""`softpedal draft`: a recording and a map become a route folder."""

from __future__ import annotations

import json
import os
from typing import TYPE_CHECKING

import pytest

from edited_town import (
    FERRY,
    WEIR,
    Town,
    demo_route,
    extract,
    files_in,
    gpx_of,
    library,
    line_of_ride,
    names_in,
    recording,
    run,
)
from softpedal.library.gpx_reader import read_gpx

if TYPE_CHECKING:
    from pathlib import Path

NAMES = [".draft.json", "direct.gpx", "notes.yml", "track.gpx"]


@pytest.fixture(scope="module")
def drafted(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A library with one drafted route; not to be written to."""
    folder = tmp_path_factory.mktemp("drafted")
    home = library(folder / "library")
    ride = recording(WEIR, folder)
    result = run("draft", ride, "--library", home, "--streets", extract(), "--name", "weir")
    assert result.exit_code == 0, result.output
    return home


def test_a_draft_is_a_route_that_loads_without_errors(drafted: Path) -> None:
    assert names_in(drafted) == ["routes", "softpedal.yml"]
    assert names_in(drafted / "routes" / "weir") == NAMES
    result = run("check", drafted)
    assert result.exit_code == 0, result.output
    assert "1 route checked: 0 errors" in result.output


def test_the_track_has_no_times_and_the_record_names_no_path(drafted: Path) -> None:
    folder = drafted / "routes" / "weir"
    gpx, problems = read_gpx((folder / "track.gpx").read_bytes(), "track.gpx")
    assert problems == []
    assert gpx is not None
    assert (gpx.time_s, gpx.private) == (None, ())
    record = (folder / ".draft.json").read_text(encoding="utf-8")
    assert json.loads(record)["extract_name"] == "lindenferry.osm"
    assert str(extract().parent) not in record
    assert str(drafted) not in record
    assert "2026-05-28T" not in record


def test_the_ride_is_told_and_stays_as_it_was(tmp_path: Path) -> None:
    """The day is the one of the library's zone; 1.83 km at 4.2 m/s are 7.3 minutes."""
    home, ride = library(tmp_path / "library"), recording(WEIR, tmp_path)
    before = ride.read_bytes()
    result = run("draft", ride, "--library", home, "--streets", extract(), "--name", "weir")
    assert ride.read_bytes() == before
    assert "1.83 km: 6 legs, 2 crossings, 1 barrier (9 sure).\n" in result.output
    notes = (home / "routes" / "weir" / "notes.yml").read_text(encoding="utf-8")
    assert "{on: 2026-05-28, direction: outbound, moving: 7, standing: 0}" in notes


def test_two_drafts_of_one_ride_are_the_same_bytes(drafted: Path, tmp_path: Path) -> None:
    home = library(tmp_path / "library")
    ride = recording(WEIR, tmp_path)
    run("draft", ride, "--library", home, "--streets", extract(), "--name", "weir")
    assert files_in(home) == files_in(drafted)


def test_the_folder_is_named_by_the_way_and_may_stand_elsewhere(tmp_path: Path) -> None:
    home, ride = library(tmp_path / "library"), recording(WEIR, tmp_path)
    into = tmp_path / "drafts" / "new"
    result = run("draft", ride, "--library", home, "--streets", extract(), "--into", into)
    assert result.exit_code == 0, result.output
    assert names_in(into) == ["chapel-to-weir-mill"]
    assert not (home / "routes").exists()


def test_the_extract_may_be_named_in_the_settings(tmp_path: Path) -> None:
    home, ride = library(tmp_path / "library"), recording(WEIR, tmp_path)
    place = os.path.relpath(extract(), home)
    with (home / "softpedal.yml").open("a") as settings:
        settings.write(f"extract: {place}\n")
    result = run("draft", ride, "--library", home)
    assert result.exit_code == 0, result.output


# --- again -------------------------------------------------------------------------------------


def _again(home: Path, streets: Path, *more: str, answer: str | None = None) -> str:
    folder = home / "routes" / "weir"
    result = run(
        "draft", "--again", folder, "--library", home, "--streets", streets, *more, answer=answer
    )
    assert result.exit_code == (1 if answer == "" else 0), result.output
    return result.output


@pytest.fixture
def home(drafted: Path, tmp_path: Path) -> Path:
    """A copy of the library, to be written to."""
    copy = library(tmp_path / "library")
    for name, content in files_in(drafted).items():
        (copy / name).parent.mkdir(parents=True, exist_ok=True)
        (copy / name).write_bytes(content)
    return copy


@pytest.fixture(scope="module")
def changed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An extract in which Bobbin Row is open, the zebra has lights, and a bollard is new."""
    town = Town().open_barriers("Bobbin Row")
    town.set_tags("Chapel Road", "crossing_ref", highway="crossing", crossing="traffic_signals")
    town.set_tags("Weir Road", "crossing:island", highway="crossing", crossing="uncontrolled")
    town.bar_middle("Towpath", barrier="bollard", bicycle="yes")
    return town.write(tmp_path_factory.mktemp("changed") / "changed.osm")


def test_again_with_the_same_map_writes_nothing(home: Path) -> None:
    """The ride had a clock, and the published line has none: what it told must stay."""
    before = files_in(home)
    output = _again(home, extract(), "--yes")
    assert output == "Nothing to write: the map says nothing new of what was drafted.\n"
    assert files_in(home) == before


def test_what_only_the_clock_told_stays(tmp_path: Path) -> None:
    """A way walked on a footway beside a road: without times it would be the road."""
    home, ride = library(tmp_path / "library"), recording("two-bridges-loop", tmp_path)
    run("draft", ride, "--library", home, "--streets", extract(), "--name", "weir")
    before = files_in(home)
    assert _again(home, extract(), "--yes").startswith("Nothing to write")
    assert files_in(home) == before


def test_again_takes_what_nobody_touched(home: Path, changed: Path) -> None:
    output = _again(home, changed, "--yes")
    assert "Bobbin Row: kind was filtered street, is back street" in output
    notes = (home / "routes" / "weir" / "notes.yml").read_text(encoding="utf-8")
    bobbin = notes.split("street: Bobbin Row")[1].split("- from")[0]
    assert "kind: back street" in bobbin
    assert "closed_by" not in bobbin
    assert run("check", home).exit_code == 0
    assert _again(home, changed, "--yes").startswith("Nothing to write")


def test_again_keeps_and_lists_what_a_person_wrote(home: Path, changed: Path) -> None:
    notes = home / "routes" / "weir" / "notes.yml"
    text = notes.read_text(encoding="utf-8")
    text = text.replace("closed_by: planters on Bobbin Row", "closed_by: three oak tubs")
    zebra, refuge = text.index("road: Chapel Road"), text.index("road: Weir Road")
    text = (
        text[:zebra] + text[zebra:refuge].replace("source: map", "source: ridden") + text[refuge:]
    )
    head, barriers = text.split("\nbarriers:\n")
    mark = barriers[barriers.index("\ntrack:") :]
    hazard = "\nhazards:\n  - {at: 0.9 km, what: humps}  # mind them\n"
    notes.write_text(head + hazard + mark, encoding="utf-8", newline="\n")
    assert run("check", home).exit_code == 0, run("check", home).output
    output = _again(home, changed, "--yes")
    after = notes.read_text(encoding="utf-8")
    assert "closed_by: three oak tubs" in after
    assert "kind: filtered street\n    closed_by: three oak tubs" in after
    assert "{at: 0.9 km, what: humps}  # mind them" in after
    assert "control: zebra" in after
    assert "chicane barrier" not in after
    kept = [line for line in output.splitlines() if line.startswith("kept: ")]
    assert any("Bobbin Row" in line for line in kept)
    assert any("Chapel Road: control stays zebra; the map now says ped" in line for line in kept)
    assert "\nchanged: crossings at 1.290 km, Weir Road: control was refuge, is zebra" in output
    assert run("check", home).exit_code == 0, run("check", home).output


def test_without_yes_it_asks_and_no_leaves_everything(home: Path, changed: Path) -> None:
    before = files_in(home)
    assert "Write these changes? [y/N]" in _again(home, changed, answer="n")
    assert files_in(home) == before
    _again(home, changed, answer="")
    assert files_in(home) == before
    assert "written" in _again(home, changed, answer="y")
    assert files_in(home) != before


def test_what_is_only_kept_is_told_until_one_says_so(home: Path) -> None:
    notes = home / "routes" / "weir" / "notes.yml"
    text = notes.read_text(encoding="utf-8").replace("source: map", "source: ridden")
    notes.write_text(text, encoding="utf-8", newline="\n")
    town = Town().open_barriers("Bobbin Row").write(home.parent / "open.osm")
    output = _again(home, town, answer="y")
    assert "Keep yours, and tell it no more?" in output
    assert notes.read_text(encoding="utf-8") == text
    assert _again(home, town).startswith("Nothing to write")


def test_what_was_taken_out_is_listed_and_nothing_is_written(home: Path) -> None:
    notes = home / "routes" / "weir" / "notes.yml"
    head, rest = notes.read_text(encoding="utf-8").split("\nbarriers:\n")
    text = head + rest[rest.index("\ntrack:") :]
    notes.write_text(text, encoding="utf-8", newline="\n")
    before = files_in(home)
    output = _again(home, extract(), "--yes")
    assert "kept: barriers at 1.68" in output
    assert "you took it out" in output
    assert output.endswith("Nothing to write: the map says nothing new of what was drafted.\n")
    assert files_in(home) == before


def test_line_ends_stay_as_they_are(home: Path, changed: Path) -> None:
    notes = home / "routes" / "weir" / "notes.yml"
    notes.write_bytes(notes.read_bytes().replace(b"\n", b"\r\n"))
    _again(home, changed, "--yes")
    after = notes.read_bytes()
    assert b"kind: back street\r\n" in after.split(b"street: Bobbin Row")[1].split(b"- from")[0]


def test_a_route_that_was_never_drafted_keeps_all_that_is_its_own(tmp_path: Path) -> None:
    home = library(tmp_path / "library")
    folder = demo_route(home, WEIR)
    before = (folder / "notes.yml").read_text(encoding="utf-8")
    errors = [line.split()[1:] for line in run("check", home).output.splitlines()]
    result = run("draft", "--again", folder, "--library", home, "--streets", extract(), "--yes")
    assert result.exit_code == 0, result.output
    after = (folder / "notes.yml").read_text(encoding="utf-8")
    lines = iter(after.splitlines())
    lost = [line for line in before.splitlines() if line not in lines]
    assert lost == []
    assert [line.split()[1:] for line in run("check", home).output.splitlines()] == errors


@pytest.mark.parametrize("wrong", ["[", "", "legs: {", "\x00", "- a\n"])
def test_notes_that_cannot_be_read_are_a_message(home: Path, wrong: str) -> None:
    notes = home / "routes" / "weir" / "notes.yml"
    notes.write_text(wrong, encoding="utf-8")
    before = files_in(home)
    result = run("draft", "--again", notes.parent, "--library", home, "--streets", extract())
    assert result.exit_code == 1
    assert "Nothing can be drafted into these notes" in result.output
    assert files_in(home) == before


def test_a_folder_that_is_no_route_is_a_message(home: Path) -> None:
    (home / "empty").mkdir()
    result = run("draft", "--again", home / "empty", "--library", home, "--streets", extract())
    assert result.exit_code == 1
    assert "track.gpx cannot be read" in result.output
    (home / "empty" / "track.gpx").write_text(gpx_of(line_of_ride(FERRY)))
    result = run("draft", "--again", home / "empty", "--library", home, "--streets", extract())
    assert result.exit_code == 1
    assert "holds no notes.yml" in result.output
    (home / "empty" / "notes.yml").write_bytes(b"title: \xff")
    result = run("draft", "--again", home / "empty", "--library", home, "--streets", extract())
    assert result.exit_code == 1
    assert "is not UTF-8" in result.output


def test_a_damaged_record_is_a_message(home: Path) -> None:
    (home / "routes" / "weir" / ".draft.json").write_text("{")
    before = files_in(home)
    result = run(
        "draft", "--again", home / "routes" / "weir", "--library", home, "--streets", extract()
    )
    assert result.exit_code == 1
    assert "is damaged: it is no JSON. Take .draft.json away" in result.output
    assert files_in(home) == before
