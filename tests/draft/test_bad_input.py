"""What cannot be drafted is refused with a message, and nothing is left on the disk."""

from __future__ import annotations

import os
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from building import gpx_text, line_east
from draft.refused import drafted, refused
from edited_town import (
    FERRY,
    WEIR,
    Town,
    extract,
    files_in,
    gpx_of,
    library,
    line_of_ride,
    names_in,
    recording,
    run,
    tags_of,
    with_tags,
)
from softpedal.library.load import load_route
from softpedal.measure.legs import noted_kind
from town_truth import at_one_hertz, true_rides

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from softpedal.draft.ride import Ride


@pytest.fixture(scope="module")
def cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A library in which the town has been read."""
    home = library(tmp_path_factory.mktemp("bad") / "library")
    assert run("streets", extract(), "--library", home).exit_code == 0
    return home


@pytest.fixture
def home(cache: Path, tmp_path: Path) -> Path:
    made = library(tmp_path / "library")
    (made / ".softpedal").symlink_to(cache / ".softpedal")
    return made


# --- the ride and the map ----------------------------------------------------------------------


def test_a_ride_elsewhere(home: Path, tmp_path: Path) -> None:
    away = tmp_path / "away.gpx"
    away.write_text(gpx_text(line_east(3000, lat=51.0, lon=-21.0)))
    result = drafted(away, home, extract())
    refused(result, home, "all 3000 m are off it", "51.00000, -21.00000", "Take an extract")


def test_a_ride_mostly_off_the_map(home: Path, tmp_path: Path) -> None:
    """The extract ends at a longitude that this ride passes after a fifth of its way."""
    lon = -20.051
    streets = Town().cut_at(lambda _, at: at > lon).write(tmp_path / "east.osm")
    line = line_of_ride(WEIR)
    off_m = line.track.length_m - float(line.track.chainage_m[line.lon > lon][-1])
    result = drafted(recording(WEIR, tmp_path), library(tmp_path / "other"), streets)
    refused(result, home, "km of the 1.8 km ridden are off the map: from ", " km to 1.8")
    said = float(result.output.split(" km of the")[0].split()[-1])
    assert abs(said * 1000 - off_m) < 150


def test_a_ride_over_the_edge_is_drafted_and_says_where_it_leaves_the_map(tmp_path: Path) -> None:
    streets = Town().cut_at(lambda _, lon: lon < -20.026).write(tmp_path / "west.osm")
    home, line = library(tmp_path / "library"), line_of_ride(FERRY)
    result = drafted(recording(FERRY, tmp_path), home, streets, "--name", "over")
    assert result.exit_code == 0, result.output
    assert "off the map: from 0.00 km to 0." in result.output
    loaded = load_route(home / "routes" / "over")
    assert loaded.route is not None, [str(p) for p in loaded.problems]
    off_m = float(line.track.chainage_m[line.lon < -20.026][0])
    off = [leg for leg in loaded.route.along.legs if leg.item.street == "Off the map"]
    assert abs(sum(leg.length_m for leg in off) - off_m) < 150
    assert {(noted_kind(leg.item, "outbound", {}), leg.item.confidence) for leg in off} == {
        ("mixed street", "guess")
    }
    assert loaded.route.notes.start == "A place to be named"


def test_a_ride_that_leaves_and_comes_back(home: Path, tmp_path: Path) -> None:
    """Half a kilometre out to sea and back in the middle of a ride."""
    ride = line_of_ride(WEIR)
    middle = len(ride.lat) // 2
    lat, lon = ride.lat[middle], ride.lon[middle]
    out = np.linspace(0, 0.012, 60)
    detour = np.concatenate([lon - out, lon - out[::-1]])
    path = tmp_path / "out.gpx"
    longer = replace(
        ride,
        lat=np.insert(ride.lat, middle, np.full(120, lat + 0.0021)),
        lon=np.insert(ride.lon, middle, detour),
        height=np.full(len(ride.lat) + 120, np.nan),
        part=np.zeros(len(ride.lat) + 120, dtype=np.intp),
    )
    path.write_text(gpx_of(longer))
    result = drafted(path, home, extract(), "--name", "out")
    assert result.exit_code == 0, result.output
    assert run("check", home).exit_code == 0, run("check", home).output
    route = load_route(home / "routes" / "out").route
    assert route is not None
    legs = route.along.legs
    assert sum(leg.to_m for leg in legs[-1:]) == pytest.approx(longer.track.length_m, abs=1)
    off = [leg for leg in legs if leg.item.street == "Off the map"]
    assert sum(leg.length_m for leg in off) > 200
    assert {leg.item.confidence for leg in off} == {"guess"}


# --- the ride ----------------------------------------------------------------------------------


def _text(folder: Path, text: str) -> Path:
    (folder / "bad.gpx").write_text(text, encoding="utf-8")
    return folder / "bad.gpx"


def _standing(folder: Path) -> Path:
    rng = np.random.default_rng(5)
    around = np.array([50.016, -20.05]) + rng.normal(0, 3e-5, (600, 2))
    return _text(folder, gpx_text([tuple(point) for point in around.tolist()]))


RIDES: dict[str, tuple[Callable[[Path], Path], str]] = {
    "empty": (lambda folder: _text(folder, ""), "gpx-"),
    "no line": (
        lambda folder: _text(folder, gpx_text([])),
        "found no <trk> or <rte> with two points or more",
    ),
    "one point": (lambda folder: _text(folder, gpx_text([(50.0, -20.0)])), "stand alone in"),
    "the same point": (
        lambda folder: _text(folder, gpx_text([(50.0, -20.0)] * 9)),
        "all 9 points of the <trk> are the same",
    ),
    "cut short": (
        lambda folder: _text(folder, gpx_text(line_east(2000))[:4000]),
        "gpx-syntax",
    ),
    "no gpx": (lambda folder: _text(folder, "Dear diary"), "gpx-syntax"),
    "standing still": (_standing, "The recording stands still: all of it lies within"),
    "200 km": (
        lambda folder: _text(folder, gpx_text(line_east(200_000, step=100))),
        "The recording is 200 km long, more than 150 km",
    ),
}


@pytest.mark.parametrize("name", RIDES)
def test_a_ride_that_is_none(name: str, home: Path, tmp_path: Path) -> None:
    make, word = RIDES[name]
    refused(drafted(make(tmp_path), home, extract()), home, word)


def test_a_ride_that_is_not_there_is_misuse(home: Path, tmp_path: Path) -> None:
    result = drafted(tmp_path / "none.gpx", home, extract())
    refused(result, home, "does not exist", code=2)
    result = run("draft", "--library", home, "--streets", extract())
    refused(result, home, "Name a RIDE to draft from, or --again", code=2)


def _timed(name: str) -> Ride:
    return at_one_hertz(line_of_ride(name), true_rides()[f"{name}/track.gpx"])[0]


def _drafted(home: Path, path: Path, text: str) -> str:
    path.write_text(text)
    result = drafted(path, home, extract(), "--name", path.stem)
    assert result.exit_code == 0, result.output
    assert run("check", home).exit_code == 0, run("check", home).output
    return result.output


def test_without_times_there_is_a_draft_that_names_no_ride(home: Path, tmp_path: Path) -> None:
    output = _drafted(home, tmp_path / "plain.gpx", gpx_of(_timed(WEIR)))
    assert "6 legs, 2 crossings, 1 barrier" in output
    notes = (home / "routes" / "plain" / "notes.yml").read_text(encoding="utf-8")
    assert "ridden:" not in notes


def test_times_that_run_backwards_are_told_and_not_used(home: Path, tmp_path: Path) -> None:
    ride = _timed(WEIR)
    assert ride.time_s is not None
    times = ride.time_s.copy()
    times[200:] -= 120
    output = _drafted(home, tmp_path / "backwards.gpx", gpx_of(ride, times))
    assert "times are missing or run backwards: the clock of the ride is not used" in output
    notes = (home / "routes" / "backwards" / "notes.yml").read_text(encoding="utf-8")
    assert "ridden:" not in notes


ODD_NAMES = [
    "A & B <script>alert(1)</script>",
    "Мост 🚲",
    "x" * 255,
    "C: #1 - [y]",
    "{a: b}",
    "\u200bfoo\u202e",
    "`code` **b** [l](http://example.org)",
    "yes",
    "1.2",
    "- a",
    "'",
    "null",
    "   ",
]


@pytest.mark.parametrize("name", ODD_NAMES)
def test_whatever_a_street_is_called(name: str, tmp_path: Path) -> None:
    """The map is written by anyone: no name in it makes notes that cannot be read."""
    town = Town()
    for street in ("Loom Street", "Weir Road", "Chapel Green", "Bobbin Row", "Chapel Road"):
        for way in town.ways_named(street):
            with_tags(way, name=name)
    for node in town.nodes.values():
        if tags_of(node).get("name") in ("Chapel", "Weir Mill"):
            with_tags(node, name=name)
    streets, home = town.write(tmp_path / "odd.osm"), library(tmp_path / "library")
    result = drafted(recording(WEIR, tmp_path), home, streets, "--name", "odd")
    assert result.exit_code == 0, result.output
    checked = run("check", home, "--streets", streets)
    assert checked.exit_code == 0, checked.output
    folder = home / "routes" / "odd"
    again = run("draft", "--again", folder, "--library", home, "--streets", streets)
    assert again.output.startswith("Nothing to write"), again.output
    assert run("ridesheet", folder).exit_code == 0


# --- where it is written -----------------------------------------------------------------------


def test_a_name_that_is_taken(home: Path, tmp_path: Path) -> None:
    ride = recording(WEIR, tmp_path)
    taken = home / "routes" / "taken"
    taken.mkdir(parents=True)
    (taken / "notes.yml").write_text("mine")
    before = files_in(home)
    result = drafted(ride, home, extract(), "--name", "taken")
    assert result.exit_code == 2
    assert "taken is there already: --name gives another name, --again drafts it anew" in (
        " ".join(result.output.split())
    )
    assert files_in(home) == before
    assert names_in(home / "routes") == ["taken"]


@pytest.mark.parametrize("name", ["../out", "a/b", "/tmp/x", "Mill", "a b", ".", "a--b", "ü"])
def test_a_name_that_is_none(name: str, home: Path, tmp_path: Path) -> None:
    result = drafted(recording(WEIR, tmp_path), home, extract(), "--name", name)
    refused(result, home, "--name is a-z, 0-9 and single hyphens", code=2)
    assert names_in(tmp_path) == [f"{WEIR}.gpx", "library"]


def test_a_target_below_a_file(home: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine")
    into = tmp_path / "file" / "below"
    result = drafted(recording(WEIR, tmp_path), home, extract(), "--into", into)
    refused(result, home, "cannot be read or written: Not a directory")


@pytest.mark.parametrize("when", ["mkdir", "write", "rename"])
def test_a_disk_that_cannot_be_written(
    when: str, home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever fails, and whenever, there is a message and no folder, not even a hidden one."""
    ride = recording(WEIR, tmp_path)
    (home / "routes").mkdir()
    patch = {"mkdir": "tempfile.mkdtemp", "write": "pathlib.Path.write_text"}
    fault = OSError(28, os.strerror(28), "track.gpx")

    def fails(*_: Any, **__: Any) -> Any:
        raise fault

    with monkeypatch.context() as patched:
        patched.setattr(patch.get(when, "pathlib.Path.rename"), fails)
        result = drafted(ride, home, extract())
    assert result.exit_code == 1
    assert "track.gpx cannot be read or written: No space left on device." in result.output
    assert names_in(home / "routes") == []


def test_folders_made_for_a_draft_that_fails_go_too(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ride = recording(WEIR, tmp_path)

    def fails(*_: Any, **__: Any) -> Any:
        raise OSError(28, os.strerror(28), "track.gpx")

    with monkeypatch.context() as patched:
        patched.setattr("pathlib.Path.write_text", fails)
        result = drafted(ride, home, extract(), "--into", tmp_path / "new" / "drafts")
    refused(result, home, "No space left on device")
    assert names_in(tmp_path) == [ride.name, "library"]


def test_notes_that_cannot_be_written_stay(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    drafted(recording(WEIR, tmp_path), home, extract(), "--name", "weir")
    streets = Town().open_barriers("Bobbin Row").write(tmp_path / "open.osm")
    other = library(tmp_path / "other")  # keeps what is read of the changed map
    run("streets", streets, "--library", other)
    before = files_in(home)

    def fails(*_: Any, **__: Any) -> Any:
        raise OSError(30, os.strerror(30), "notes.yml")

    folder = home / "routes" / "weir"
    with monkeypatch.context() as patched:
        patched.setattr("pathlib.Path.replace", fails)
        arguments = ("--again", folder, "--library", other, "--streets", streets, "--yes")
        result = run("draft", *arguments)
    assert result.exit_code == 1
    assert "notes.yml cannot be read or written: Read-only file system." in result.output
    assert files_in(home) == before


def test_a_cache_that_cannot_be_written(tmp_path: Path) -> None:
    home = library(tmp_path / "library")
    (home / ".softpedal").write_text("a file where the folder should be")
    result = drafted(recording(WEIR, tmp_path), home, extract())
    refused(result, home, ".softpedal", code=result.exit_code)
    assert result.exit_code in (1, 2)
