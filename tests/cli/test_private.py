"""`softpedal private`, and what it changes in `check`, `pages` and `bare`."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from building import gpx_text, line_east, make_route
from softpedal.cli import main
from softpedal.library.gpx_reader import read_gpx
from softpedal.library.private_zones import Zone, read_zones

pytestmark = pytest.mark.usefixtures("own_folder")


def _run(*arguments, code=0):
    result = CliRunner().invoke(main, [str(each) for each in arguments])
    assert result.exit_code == code, result.output
    return result.output


def _recording(folder):
    path = folder / "ride.gpx"
    path.write_text(gpx_text(line_east(3000)), encoding="utf-8")
    return path


def test_a_zone_is_added_listed_and_taken_out():
    assert "No private zones are set" in _run("private", "list")
    said = _run("private", "add", "home", "50.01234, -20.04567", "--radius", "300")
    assert read_zones().zones == (Zone("home", 50.01234, -20.04567, 300.0),)
    assert "50.01" not in said
    listed = _run("private", "list")
    assert "home: 300 m" in listed
    assert "50.01" not in listed
    assert "private.json" in listed
    assert "second computer" in listed
    assert "50.012340,-20.045670" in _run("private", "list", "--show")
    _run("private", "remove", "home")
    assert read_zones().zones == ()
    assert len(read_zones().secret) == 32


@pytest.mark.parametrize("place", ["-50.01234,-20.04567", "-5.0,20.0"])
def test_south_of_the_equator_is_no_option(place):
    _run("private", "add", "home", place)
    lat, lon = map(float, place.split(","))
    assert read_zones().zones == (Zone("home", lat, lon, 250.0),)


@pytest.mark.parametrize(("option", "end"), [("--start-of", 0), ("--finish-of", -1)])
def test_a_recording_says_where(option, end, tmp_path):
    _run("private", "add", "home", option, _recording(tmp_path))
    (zone,) = read_zones().zones
    lat, lon = line_east(3000)[end]
    assert (zone.lat, zone.lon) == pytest.approx((lat, lon), abs=1e-9)


BAD = {
    "no place": (["home"], 2, "Give a PLACE"),
    "swapped beyond the globe": (["home", "120.5,50.0"], 1, "no place"),
    "words": (["home", "by the mill"], 1, "no place"),
    "a chainage": (["home", "1.2 km"], 1, "no pair of coordinates"),
    "near": (["home", "50.0,-20.0 near 2.5 km"], 1, "no pair of coordinates"),
    "too small": (["home", "50.0,-20.0", "--radius", "50"], 2, "100"),
    "too large": (["home", "50.0,-20.0", "--radius", "5000"], 2, "2000"),
}


@pytest.mark.parametrize(("arguments", "code", "said"), BAD.values(), ids=BAD)
def test_what_is_no_zone_is_refused(arguments, code, said):
    assert said in _run("private", "add", *arguments, code=code)
    assert not read_zones()


def test_a_name_twice_and_a_place_twice_are_refused():
    _run("private", "add", "home", "50.0,-20.0")
    assert "already" in _run("private", "add", "home", "51.0,-20.0", code=1)
    assert "two circles" in _run("private", "add", "door", "50.0005,-20.0", code=1)
    assert "no zone `work`" in _run("private", "remove", "work", code=1)


def test_check_and_pages_leave_out_a_route_that_enters_a_zone(tmp_path):
    make_route(tmp_path, id="from-home")
    make_route(tmp_path, points=line_east(2000, lat=50.1), id="elsewhere")
    _run("check", tmp_path)
    _run("private", "add", "Granny Smith", "50.0,-20.0")
    said = _run("check", tmp_path, code=1)
    assert "routes/from-home/track.gpx:5: error private-zone" in said
    assert "Granny" not in said
    document = json.loads(_run("check", tmp_path, "--format", "json", code=1))
    assert [p["code"] for p in document["problems"]] == ["private-zone"]
    said = _run("pages", "--library", tmp_path, "--to", tmp_path / "out", code=1)
    assert "private-zone" in said
    written = {p.parent.name for p in (tmp_path / "out").rglob("*.gpx")}
    assert any("elsewhere" in name for name in written)
    assert not any("from-home" in name for name in written)


@pytest.mark.parametrize("command", ["check", "pages", "bare", "private"])
def test_a_damaged_file_stops_every_command_that_needs_it(command, own_folder, tmp_path):
    Path(own_folder).mkdir()
    Path(own_folder, "private.json").write_text("{", encoding="utf-8")
    make_route(tmp_path)
    arguments = {
        "check": [tmp_path],
        "pages": ["--library", tmp_path, "--to", tmp_path / "out"],
        "bare": [_recording(tmp_path), tmp_path / "track.gpx"],
        "private": ["list"],
    }[command]
    assert "private.json, which holds your private zones, is damaged" in _run(
        command, *arguments, code=1
    )
    assert not (tmp_path / "out").exists()
    assert not (tmp_path / "track.gpx").exists()


def test_bare_cuts_what_lies_in_a_zone_and_says_so(tmp_path):
    ride, track = _recording(tmp_path), tmp_path / "track.gpx"
    assert "No private zones are set" in _run("bare", ride, track)
    _run("private", "add", "home", "--start-of", ride)
    said = _run("bare", ride, track, "--force")
    assert "cut off at the start" in said
    assert "No private zones" not in said
    gpx, _ = read_gpx(track.read_bytes(), "track.gpx")
    assert not read_zones().enter(gpx.lat, gpx.lon)[0].any()
    assert len(gpx.lat) < 301


def test_bare_says_that_a_line_enters_no_zone(tmp_path):
    _run("private", "add", "home", "51.0,-20.0")
    said = _run("bare", _recording(tmp_path), tmp_path / "track.gpx")
    assert "the line enters none" in said


def test_bare_writes_nothing_where_nothing_is_left(tmp_path):
    ride = tmp_path / "ride.gpx"
    ride.write_text(gpx_text(line_east(300)), encoding="utf-8")
    _run("private", "add", "home", "50.0,-20.0")
    assert "nothing of it is left" in _run("bare", ride, tmp_path / "track.gpx", code=1)
    assert not (tmp_path / "track.gpx").exists()


def test_the_help_says_what_it_does():
    assert "private zones" in " ".join(_run("bare", "--help").split())
