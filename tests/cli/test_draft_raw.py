"""`softpedal draft` and `new` with raw recordings: private, joined, narrated, without a map."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from PIL import Image

from edited_town import (
    FERRY,
    WEIR,
    extract,
    files_in,
    gpx_of,
    library,
    line_of_ride,
    names_in,
    recording,
    run,
)
from softpedal.draft.ride import Ride, read_ride
from softpedal.library.load import load_route
from softpedal.library.track import WGS84
from softpedal.settings import Settings

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.library.route import Route


def _route(folder: Path) -> Route:
    loaded = load_route(folder, Settings())
    assert [str(p) for p in loaded.problems if p.is_error] == []
    assert loaded.route is not None
    return loaded.route


def _part(ride: Ride, from_m: float, to_m: float) -> Ride:
    at = ride.track.chainage_m
    keep = (at >= from_m) & (at <= to_m)
    return Ride(ride.lat[keep], ride.lon[keep], ride.height[keep], ride.part[keep], None)


# --- privacy -----------------------------------------------------------------------------------


@pytest.mark.usefixtures("own_folder")
def test_the_home_is_cut_off_and_only_the_terminal_says_how_much(tmp_path: Path) -> None:
    home, ride = library(tmp_path / "library"), recording(WEIR, tmp_path)
    run("private", "add", "home", "--start-of", ride, "--radius", "200")
    result = run("draft", ride, "--library", home, "--streets", extract(), "--name", "weir")
    assert result.exit_code == 0, result.output
    assert "cut off at the start" in result.output
    whole = read_ride(ride)
    track = _route(home / "routes" / "weir").along.track
    _, _, metres = WGS84.inv(
        np.full(len(track.lat), whole.lon[0]),
        np.full(len(track.lat), whole.lat[0]),
        track.lon,
        track.lat,
    )
    assert metres.min() > 0.3 * 200 - 1
    assert track.length_m < whole.track.length_m - 50
    texts = b"".join(files_in(home / "routes").values()).decode()
    assert "private" not in texts
    assert "cut off" not in texts
    assert run("check", home).exit_code == 0


@pytest.mark.usefixtures("own_folder")
def test_a_route_that_was_published_before_the_zone_is_refused(tmp_path: Path) -> None:
    home, ride = library(tmp_path / "library"), recording(WEIR, tmp_path)
    result = run("draft", ride, "--library", home, "--streets", extract(), "--name", "weir")
    assert "No private zone is set" in result.stderr
    run("private", "add", "home", "--start-of", ride)
    result = run("check", home)
    assert result.exit_code == 1
    assert "private-zone" in result.output
    lat, lon = read_ride(ride).lat[0], read_ride(ride).lon[0]
    assert f"{lat:.3f}" not in result.output
    assert f"{lon:.3f}" not in result.output


# --- without a map -----------------------------------------------------------------------------


def test_without_a_map_each_bend_is_a_leg_and_the_map_may_come_later(tmp_path: Path) -> None:
    home, ride = library(tmp_path / "library"), recording(FERRY, tmp_path)
    result = run("draft", ride, "--library", home, "--name", "ferry")
    assert result.exit_code == 0, result.output
    assert "No map extract" in result.output
    folder = home / "routes" / "ferry"
    assert names_in(folder) == [".draft.json", "notes.yml", "track.gpx"]
    legs = _route(folder).along.legs
    assert len(legs) >= 4
    assert {leg.item.street for leg in legs} == {"Street to be named"}
    assert {leg.item.confidence for leg in legs} == {"guess"}
    result = run(*("draft", "--again", folder, "--library", home, "--streets", extract(), "--yes"))
    assert result.exit_code == 0, result.output
    streets = [leg.item.street for leg in _route(folder).along.legs]
    assert "Sailmaker Row" in streets
    assert "Street to be named" not in streets
    assert _route(folder).notes.title != "A route to be named"


def test_what_a_draft_left_to_be_named_cannot_be_published(tmp_path: Path) -> None:
    home, ride = library(tmp_path / "library"), recording(WEIR, tmp_path)
    run("draft", ride, "--library", home, "--name", "weir")
    notes = home / "routes" / "weir" / "notes.yml"
    notes.write_text(notes.read_text().replace("status: draft", "status: published"))
    result = run("check", home)
    assert result.exit_code == 1
    for word in ("title", "start", "finish", "summary", "area", "Street to be named"):
        assert f"`{word}` is still what the draft said" in result.output


# --- new ---------------------------------------------------------------------------------------


def test_a_drawn_line_becomes_a_folder_that_nobody_has_ridden(tmp_path: Path) -> None:
    home, line = library(tmp_path / "library"), line_of_ride(WEIR)
    file = tmp_path / "planned.gpx"
    text = gpx_of(line).replace("<trkseg>", "").replace("</trkseg>", "")
    file.write_text(text.replace("trkpt", "rtept").replace("trk>", "rte>"))
    for name, streets in (("bare", ()), ("mapped", ("--streets", extract()))):
        result = run("new", name, file, "--library", home, *streets)
        assert result.exit_code == 0, result.output
        route = _route(home / "routes" / name)
        assert route.notes.ridden == []
        assert route.notes.status == "draft"
        assert route.along.track.length_m == pytest.approx(line.track.length_m, rel=1e-6)
    assert route.along.legs[0].item.street == "Chapel Green"
    result = run("new", "bare", file, "--library", home)
    assert result.exit_code == 2
    assert "is there already" in result.output


def test_tracks_that_do_not_follow_on_each_other_are_listed_and_chosen(tmp_path: Path) -> None:
    home = library(tmp_path / "library")
    tracks = [gpx_of(line_of_ride(name)) for name in (WEIR, FERRY)]
    one, other = (text[text.index("<trk>") : text.index("</gpx>")] for text in tracks)
    file = tmp_path / "both.gpx"
    file.write_text(tracks[0].replace(one, one + other))
    result = run("new", "ferry", file, "--library", home)
    assert result.exit_code == 1
    assert "--track 2" in result.output
    assert run("new", "ferry", file, "--library", home, "--track", 2).exit_code == 0
    length_m = _route(home / "routes" / "ferry").along.track.length_m
    assert length_m == pytest.approx(line_of_ride(FERRY).track.length_m, rel=1e-6)


# --- joining, dropping, replacing --------------------------------------------------------------


def test_two_halves_of_a_ride_are_one_line(tmp_path: Path) -> None:
    home, whole = library(tmp_path / "library"), line_of_ride(WEIR)
    files = []
    for name, ends in (("one", (0, 1000)), ("two", (900, 9999))):
        files.append(tmp_path / f"{name}.gpx")
        files[-1].write_text(gpx_of(_part(whole, *ends)))
    result = run("draft", *files, "--library", home, "--streets", extract(), "--name", "weir")
    assert result.exit_code == 0, result.output
    track = _route(home / "routes" / "weir").along.track
    assert track.length_m == pytest.approx(whole.track.length_m, abs=5)
    assert track.is_whole


def test_a_stretch_is_dropped_and_another_replaced(tmp_path: Path) -> None:
    home, whole = library(tmp_path / "library"), line_of_ride(WEIR)
    ride, line = tmp_path / "ride.gpx", tmp_path / "line.gpx"
    ride.write_text(gpx_of(whole))
    straight = _part(whole, 700, 900)
    ends = np.array([0, -1])
    arrays = (straight.lat, straight.lon, straight.height, straight.part)
    drawn = Ride(*(values[ends] for values in arrays), None)
    line.write_text(gpx_of(drawn))
    stretch = ("--drop", "1.6km-finish", "--replace", f"700m-900m={line}")
    result = run("draft", ride, "--library", home, "--name", "weir", *stretch)
    assert result.exit_code == 0, result.output
    assert "replaced by a line" in result.output
    length_m = _route(home / "routes" / "weir").along.track.length_m
    assert length_m == pytest.approx(1600 - 200 + drawn.track.length_m, abs=15)
    twice = ("--drop", "1km-1.2km", "--drop", "1.1km-1.3km")
    again = run("draft", ride, "--library", home, "--name", "x", *twice)
    assert again.exit_code == 1
    assert "overlap" in again.output


def test_the_picture_shows_the_line_before_and_after(tmp_path: Path) -> None:
    home, ride = library(tmp_path / "library"), recording(WEIR, tmp_path)
    plot = tmp_path / "plot.png"
    run("draft", ride, "--library", home, "--name", "weir", "--plot", plot)
    with Image.open(plot) as picture:
        colours = {colour for _, colour in picture.convert("RGB").getcolors(1 << 24) or []}
    assert (0, 119, 187) in colours
    assert (204, 51, 17) in colours


# --- film and notes of one's own ---------------------------------------------------------------

CAPTIONS = """WEBVTT

00:00:50.000 --> 00:00:53.000
There's a speed hump here, take it slowly.

00:03:00.000 --> 00:03:03.000
We get off and push for a bit.
"""
OWN = """\
hazards:
  - {at: video 1:00, what: vans in the lane}
landmarks:
  - {at: "%s", what: Grain silo}
"""


def test_notes_of_ones_own_stand_where_film_and_clock_say(tmp_path: Path) -> None:
    """The ride runs at 4.2 m/s from 20:26:40 on, the film from its start."""
    home, ride = library(tmp_path / "library"), recording(WEIR, tmp_path)
    captions, own = tmp_path / "talk.vtt", tmp_path / "own.yml"
    captions.write_text(CAPTIONS)
    own.write_text(OWN % "20:28:20")
    films = ("--captions", captions, "--sync", "0:00=start", "--notes", own)
    result = run("draft", ride, "--library", home, "--name", "weir", *films)
    assert result.exit_code == 0, result.output
    route = _route(home / "routes" / "weir")
    hazards = {p.item.what: p for p in route.along.hazards}
    assert hazards["speed humps"].at_m == pytest.approx(210, abs=10)
    assert hazards["speed humps"].item.source.outbound == "said"
    assert hazards["vans in the lane"].at_m == pytest.approx(252, abs=10)
    assert hazards["vans in the lane"].item.source.outbound == "ridden"
    (silo,) = route.along.landmarks
    assert silo.at_m == pytest.approx(420, abs=10)
    assert "T20:28" not in "".join(map(str, files_in(home).values()))


def test_a_film_may_come_after_the_draft(tmp_path: Path) -> None:
    home, ride = library(tmp_path / "library"), recording(WEIR, tmp_path)
    captions = tmp_path / "talk.vtt"
    captions.write_text(CAPTIONS)
    run("draft", ride, "--library", home, "--streets", extract(), "--name", "weir")
    folder = home / "routes" / "weir"
    film = ("--captions", captions, "--sync", "0:00=start", "--sync", "7:16=finish")
    again = ("draft", "--again", folder, "--library", home, "--streets", extract(), "--yes")
    assert run(*again, *film).exit_code == 0
    hazards = {p.item.what: p.at_m for p in _route(folder).along.hazards}
    assert hazards["speed humps"] == pytest.approx(210, abs=15)
    assert "Nothing to write" in run(*again).output
    assert {p.item.what: p.at_m for p in _route(folder).along.hazards} == hazards


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--sync", "4:10"), "does not say what is where"),
        (("--sync", "4:10=99km"), "lies beyond the end"),
        (("--cut", "never"), "is not a time in the film"),
        (("--drop", "1.2km"), "is not a stretch"),
        (("--replace", "1.2km-1.3km"), "names no stretch"),
        (("--track", "7"), "7"),
    ],
)
def test_what_is_typed_wrongly_is_said_and_nothing_is_written(
    options: tuple[str, ...], said: str, tmp_path: Path
) -> None:
    home, ride = library(tmp_path / "library"), recording(WEIR, tmp_path)
    result = run("draft", ride, "--library", home, "--name", "weir", *options)
    assert result.exit_code == 1, result.output
    assert said in result.output
    assert not (home / "routes").exists()


def test_captions_that_are_none_are_told_with_their_line(tmp_path: Path) -> None:
    home, ride = library(tmp_path / "library"), recording(WEIR, tmp_path)
    captions = tmp_path / "talk.vtt"
    captions.write_text(CAPTIONS.replace("00:03:03.000", "00:02:03.000"))
    result = run("draft", ride, "--library", home, "--name", "weir", "--captions", captions)
    assert result.exit_code == 1
    assert "talk.vtt:6" in result.output


def test_a_picture_that_cannot_be_written_is_said_before_anything_is(tmp_path: Path) -> None:
    home, ride = library(tmp_path / "library"), recording(WEIR, tmp_path)
    for plot in (tmp_path / "no" / "plot.png", tmp_path / "plot.jpg"):
        result = run("draft", ride, "--library", home, "--name", "weir", "--plot", plot)
        assert result.exit_code == 2
        assert "--plot is a file that ends in .png" in result.output
        assert not (home / "routes").exists()
