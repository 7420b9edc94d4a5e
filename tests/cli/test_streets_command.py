"""`softpedal streets`, `scout` and `ridesheet`: what a map says before anyone rides."""

from __future__ import annotations

import json
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
    run,
)
from softpedal.library.gpx_reader import read_gpx

if TYPE_CHECKING:
    from pathlib import Path

    from click.testing import Result


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A library in which the town has been read; tests write beside it."""
    return library(tmp_path_factory.mktemp("streets") / "library")


# --- streets -----------------------------------------------------------------------------------


def test_the_survey_and_its_geojson(home: Path, tmp_path: Path) -> None:
    to = tmp_path / "verdicts.geojson"
    result = run("streets", extract(), "--library", home, "--to", to)
    assert result.exit_code == 0, result.output
    assert "Only 'sure' is filtered whatever opens; check the rest on a ride." in result.output
    assert "Cask Street: Dock Road → this street → Lantern Street" in result.output
    document = json.loads(to.read_text(encoding="utf-8"))
    assert f"{len(document['features'])} streets written to" in " ".join(result.output.split())
    assert len(document["features"]) > 50


def test_a_target_that_cannot_be_written(home: Path, tmp_path: Path) -> None:
    result = run("streets", extract(), "--library", home, "--to", tmp_path / "none" / "x.geojson")
    assert result.exit_code == 1
    assert "cannot be read or written: No such file or directory." in result.output


# --- scout -------------------------------------------------------------------------------------


def _scout(home: Path, *arguments: object) -> Result:
    return run("scout", *arguments, "--library", home, "--streets", extract())


def test_ways_are_proposed_with_their_measures(home: Path, tmp_path: Path) -> None:
    to = tmp_path / "ways"
    result = _scout(home, "Ferry Steps", "Weir Mill", "--write", to)
    assert result.exit_code == 0, result.output
    lines = result.output.splitlines()
    assert lines[0].endswith(" ways from Ferry Steps to Weir Mill.")
    assert lines[1].startswith("Nobody has ridden them")
    count = int(lines[0].split()[0])
    assert sum("% quiet" in line for line in lines) == count
    tracks = [name for name in names_in(to) if name.endswith(".gpx")]
    assert len(tracks) == count
    for name in tracks:
        gpx, problems = read_gpx((to / name).read_bytes(), name)
        assert problems == []
        assert gpx is not None
        assert gpx.time_s is None
    assert any(name.endswith(".html") for name in names_in(to))
    assert f"{len(names_in(to))} files written to" in result.output


def test_coordinates_are_places_too(home: Path) -> None:
    result = _scout(home, "50.00671,-20.01853", "50.0124, -20.0308", "--ways", "1")
    assert result.exit_code == 0, result.output
    assert " ways from 50.00671,-20.01853 to 50.0124, -20.0308." in result.output


@pytest.mark.parametrize(
    ("from_", "to", "word"),
    [
        ("Nowhere Hill", "Weir Mill", "Nowhere Hill"),
        ("", "Weir Mill", "There is no name."),
        ("91,0", "Weir Mill", "91"),
        ("51.5,-20.0", "Weir Mill", "51.5"),
        ("Weir Mill", "Weir Mill", "Start and finish are one place."),
    ],
)
def test_places_between_which_there_is_no_way(
    from_: str, to: str, word: str, home: Path, tmp_path: Path
) -> None:
    result = _scout(home, from_, to, "--write", tmp_path / "ways")
    assert result.exit_code == 1, result.output
    assert word in result.output
    assert names_in(tmp_path) == []


def test_an_island_is_not_reached(tmp_path: Path) -> None:
    """The middle of the town is left out, so that no way leads from one side to the other."""
    parted = Town().cut_at(lambda _, lon: not -20.045 < lon < -20.021)
    streets = parted.write(tmp_path / "parted.osm")
    other = library(tmp_path / "library")
    ends = ("50.0070,-20.0199", "50.0164,-20.0520")
    result = run("scout", *ends, "--library", other, "--streets", streets)
    assert result.exit_code == 1, result.output
    assert "no way" in result.output.lower()


def test_a_folder_that_is_there_is_misuse(home: Path, tmp_path: Path) -> None:
    (tmp_path / "ways").mkdir()
    result = _scout(home, "Ferry Steps", "Weir Mill", "--write", tmp_path / "ways")
    assert result.exit_code == 2
    assert "is there already" in result.output
    assert names_in(tmp_path / "ways") == []


def test_a_number_of_ways_that_is_none_is_misuse(home: Path) -> None:
    assert _scout(home, "Ferry Steps", "Weir Mill", "--ways", "0").exit_code == 2


# --- ridesheet ---------------------------------------------------------------------------------


def test_the_sheet_of_a_route(tmp_path: Path) -> None:
    """What closes Lantern Hill to motor traffic is a thing to look at, and nothing is changed."""
    folder = demo_route(library(tmp_path / "library"), "lantern-street-to-cinder-path")
    before = files_in(folder)
    result = run("ridesheet", folder, "--write", tmp_path / "sheet")
    assert result.exit_code == 0, result.output
    assert result.output.startswith("To look at on the ride: Lantern Street to the Cinder Path\n")
    assert "0.24 km – 0.79 km  Lantern Hill" in result.output
    assert names_in(tmp_path / "sheet")[-1] == "ridesheet.html"
    assert files_in(folder) == before


def test_the_sheet_of_a_line_without_notes(home: Path, tmp_path: Path) -> None:
    line = tmp_path / "way.gpx"
    line.write_text(gpx_of(line_of_ride(FERRY)))
    result = run("ridesheet", line, "--library", home, "--streets", extract())
    assert result.exit_code == 0, result.output
    assert result.output.startswith("To look at on the ride: ")
    assert "[ ]" in result.output


def test_a_line_needs_an_extract(home: Path, tmp_path: Path) -> None:
    line = tmp_path / "way.gpx"
    line.write_text(gpx_of(line_of_ride(FERRY)))
    result = run("ridesheet", line, "--library", home)
    assert result.exit_code == 2
    assert "Name a map extract with --streets" in result.output


def test_a_line_that_is_none(home: Path, tmp_path: Path) -> None:
    line = tmp_path / "way.gpx"
    line.write_text("<gpx")
    result = run("ridesheet", line, "--library", home, "--streets", extract())
    assert result.exit_code == 1
    assert "gpx-syntax" in result.output


def test_a_route_that_is_none(tmp_path: Path) -> None:
    folder = demo_route(library(tmp_path / "library"), WEIR)
    (folder / "notes.yml").write_text("title: x\n")
    result = run("ridesheet", folder, "--write", tmp_path / "sheet")
    assert result.exit_code == 1
    assert f"{WEIR} is not a valid route." in result.output
    assert "notes-missing" in result.output
    assert not (tmp_path / "sheet").exists()


def test_a_sheet_is_not_written_over(tmp_path: Path) -> None:
    folder = demo_route(library(tmp_path / "library"), WEIR)
    (tmp_path / "sheet").mkdir()
    result = run("ridesheet", folder, "--write", tmp_path / "sheet")
    assert result.exit_code == 2
    assert "is there already" in result.output
