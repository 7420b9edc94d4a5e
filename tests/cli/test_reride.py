"""softpedal reride, from the command line, on copies of the demo's routes."""

import json
import shutil

import numpy as np
import pytest
from click.testing import CliRunner

from building import load
from edited_town import FERRY, WEIR, extract
from edited_town import recording as recorded
from edited_town import run as edited_run
from softpedal.cli import main
from softpedal.draft.ride import read_ride
from town_truth import ROOT
from upkeep.noisy_lines import EAST_M, LAT, LON, NORTH_M, noisy, recording


def run(*arguments):
    return CliRunner().invoke(main, ["reride", *map(str, arguments)])


def metres(route, file="track.gpx"):
    track = read_ride(ROOT / "routes" / route / file, published=True).track
    return np.column_stack([(track.lon - LON) * EAST_M, (track.lat - LAT) * NORTH_M]), track


def aside(route, from_m, to_m, by_m):
    """Return a route's line with a box-shaped detour, metres."""
    xy, track = metres(route)
    along = track.chainage_m
    a, b = (np.array([np.interp(m, along, axis) for axis in xy.T]) for m in (from_m, to_m))
    way = (b - a) / np.hypot(*(b - a))
    off = np.array([-way[1], way[0]]) * by_m
    box = np.concatenate([np.linspace(p, q, 30) for p, q in ((a, a + off), (a + off, b + off))])
    last = np.linspace(b + off, b, 20)
    return np.concatenate([xy[along < from_m], box, last, xy[along > to_m]])


def content(folder):
    return {str(p): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


@pytest.fixture
def library(tmp_path):
    for route in (FERRY, WEIR, "two-bridges-loop"):
        shutil.copytree(ROOT / "routes" / route, tmp_path / "routes" / route)
    shutil.copy(ROOT / "softpedal.yml", tmp_path)
    return tmp_path


@pytest.fixture
def detour(library):
    path = library / "detour.gpx"
    path.write_text(recording(noisy(aside(FERRY, 2300, 2480, 90), 4, 1.5), stop=(990.0, 60)))
    return path


def test_it_tells_and_writes_nothing(library, detour):
    before = content(library)
    result = run(FERRY, detour, "--library", library)
    assert result.exit_code == 0, result.output
    assert content(library) == before
    for words in (
        "ride of 2026-11-20, the way out, held against track.gpx.",
        "Compared every 10 m: within 15 m",
        "1 stretch differs:",
        "Published there: Linden Avenue",
        f"routes/{FERRY}/notes.yml:191: barriers at 2.32 km, planters",
        "lost   ",
        "`ridden` moves on: 2026-11-20 is added",
        "-  - at: 2.32 km",
        "+  - {on: 2026-11-20, direction: outbound, moving: ",
        "Nothing is written. To adopt the new line:\n  softpedal reride",
        "--yes",
    ):
        assert words in result.stdout


def test_yes_writes_what_was_shown(library, detour):
    shown = json.loads(run(FERRY, detour, "--library", library, "--format", "json").stdout)
    result = run(FERRY, detour, "--library", library, "--yes")
    assert result.exit_code == 0, result.output
    assert "written (notes.yml, track.gpx)." in result.stdout
    route = load(library / "routes" / FERRY)
    assert route.along.length_m == pytest.approx(shown["adoption"]["line_m"], abs=0.1)
    assert route.notes.ridden[-1].on == "2026-11-20"
    assert [w["note"] for w in shown["adoption"]["gone"]] == ["barriers at 2.32 km, planters"]
    again = run(FERRY, detour, "--library", library)
    assert again.exit_code == 1
    assert "`Street to be named` is still what the draft said" in again.stderr


def test_the_places_off_the_stretch_are_where_they_were(library, detour):
    folder = library / "routes" / FERRY
    before = load(folder).along
    run(FERRY, detour, "--library", library, "--yes")
    after = load(folder).along
    for name in ("crossings", "hazards", "landmarks", "dismounts", "signed", "skip"):
        for old, new in zip(getattr(before, name), getattr(after, name), strict=True):
            here, there = before.track.at(old.at_m), after.track.at(new.at_m)
            assert here == pytest.approx(there, abs=0.0002), (name, old.at_m, new.at_m)


def test_points_off_the_stretch_stay_to_the_letter(library, detour):
    path = library / "routes" / FERRY / "track.gpx"
    before = path.read_bytes().splitlines()
    run(FERRY, detour, "--library", library, "--yes")
    after = path.read_bytes().splitlines()
    same = next(i for i, (a, b) in enumerate(zip(before, after, strict=False)) if a != b)
    back = next(
        i for i, (a, b) in enumerate(zip(before[::-1], after[::-1], strict=False)) if a != b
    )
    assert same + back > len(before) - 30


@pytest.mark.parametrize("route", [FERRY, WEIR, "two-bridges-loop"])
def test_a_ride_of_the_line_adds_a_line_and_nothing_else(library, route):
    xy, _ = metres(route)
    ride = library / "same.gpx"
    ride.write_text(recording(noisy(xy, 5, 1.5)))
    before = content(library / "routes" / route)
    result = run(route, ride, "--library", library, "--yes")
    assert result.exit_code == 0, result.output
    assert "Nothing differs." in result.stdout
    after = content(library / "routes" / route)
    changed = [name for name in before if before[name] != after[name]]
    assert [name.rsplit("/", 1)[1] for name in changed] == ["notes.yml"]
    old, new = (side[changed[0]].splitlines() for side in (before, after))
    assert len(new) == len(old) + 1
    assert set(old) <= set(new)


def test_the_way_back_of_its_own_is_found(library):
    xy, _ = metres(WEIR, "return.gpx")
    ride = library / "back.gpx"
    ride.write_text(recording(noisy(xy, 5, 1.5)))
    result = run(WEIR, ride, "--library", library)
    assert "the way back, held against return.gpx." in result.stdout
    assert "Nothing differs." in result.stdout


def test_a_loop_ridden_the_other_way_is_the_way_back(library):
    xy, _ = metres("two-bridges-loop")
    ride = library / "back.gpx"
    ride.write_text(recording(noisy(xy[::-1], 5, 1.5)))
    result = run("two-bridges-loop", ride, "--library", library)
    assert "the way back, held against track.gpx." in result.stdout
    assert "Nothing differs." in result.stdout


def test_a_variant_in_the_air_refuses_and_leaves_all(library):
    ride = library / "detour.gpx"
    ride.write_text(recording(noisy(aside(FERRY, 1500, 1800, 90), 4, 1.5)))
    before = content(library)
    result = run(FERRY, ride, "--library", library, "--yes")
    assert result.exit_code == 1
    assert "The variant variant-bakers-row.gpx leaves the route at 1.67 km" in result.stderr
    assert "1 stretch differs" in result.stdout
    assert content(library) == before


def test_json_is_one_document(library, detour):
    result = run(FERRY, detour, "--library", library, "--format", "json")
    document = json.loads(result.stdout)
    assert (document["schema"], document["route"], document["line"]) == (1, FERRY, "track.gpx")
    assert list(document) == [
        "schema",
        "route",
        "line",
        "direction",
        "turned_round",
        "method",
        "line_m",
        "covered",
        "there_m",
        "new_m",
        "stretches",
        "against",
        "legs",
        "ridden",
        "adoption",
        "not_adopted_because",
    ]
    assert document["adoption"]["files"] == ["notes.yml", "track.gpx"]


def test_the_day_is_checked(library, detour):
    for day, words in (("soon", "is no date"), ("2999-01-01", "is later than today")):
        result = run(FERRY, detour, "--library", library, "--on", day)
        assert result.exit_code == 2
        assert words in result.stderr
    older = run(FERRY, detour, "--library", library, "--on", "2020-01-01")
    assert "`ridden` stays: this ride is of 2020-01-01, and the notes have a later ride" in (
        older.stdout
    )


def test_another_route_is_an_error(library, detour):
    result = run("two-bridges-loop", detour, "--library", library)
    assert result.exit_code == 1
    assert "with the published line of 3.28 km" in result.stderr
    assert run("nowhere", detour, "--library", library).exit_code == 2


def test_private_zones_are_cut_first(library, detour, own_folder):
    lat, lon = load(library / "routes" / FERRY).along.track.at(2390.0)
    place = f"{lat + 40 / NORTH_M:.5f}, {lon:.5f}"
    added = CliRunner().invoke(main, ["private", "add", "home", place, "--radius", "200"])
    assert added.exit_code == 0, (added.output, own_folder)
    before = content(library)
    result = run(FERRY, detour, "--library", library, "--yes")
    assert "Private zones: " in result.stdout
    # Where the circle lies follows from a secret that is drawn anew: in the middle or at an end.
    assert "`ridden` stays: the" in result.stdout
    assert "Nothing to write." in result.stdout
    assert content(library) == before


def test_drafting_again_says_what_is_on_the_new_line(library):
    """The route is drafted, ridden by its variant, adopted, and drafted again."""
    ride, folder = recorded(FERRY, library), library / "routes" / "drafted"
    drafted = edited_run(
        "draft", ride, "--streets", extract(), "--library", library, "--name", "drafted"
    )
    assert drafted.exit_code == 0, drafted.output
    xy, track = metres(FERRY)
    other, _ = metres(FERRY, "variant-bakers-row.gpx")
    along = track.chainage_m
    line = np.concatenate([xy[along < 1665], other, xy[along > 2215]])
    new = library / "new.gpx"
    new.write_text(recording(noisy(line, 4, 1.5)))
    result = run("drafted", new, "--library", library, "--on", "2026-11-21", "--yes")
    assert result.exit_code == 0, result.output
    assert "`softpedal draft --again` puts in what the map knows of it." in result.stdout
    assert "Street to be named" in [leg.item.street for leg in load(folder).along.legs]
    again = edited_run(
        "draft", "--again", folder, "--streets", extract(), "--library", library, "--yes"
    )
    assert again.exit_code == 0, again.output
    legs = load(folder).along.legs
    streets = [leg.item.street for leg in legs]
    assert streets[5:9] == ["Candle Street", "Bakers' Row", "Linden Avenue", "Linden Avenue"]
    assert streets[-2:] == ["Almond Street", "Chapel Green"]
    assert "Street to be named" not in (folder / "notes.yml").read_text()
