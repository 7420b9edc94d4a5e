"""The narrated ride drafted as its README says: private, placed, and with what was said."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from edited_town import extract, library, names_in, run
from narrated import CAPTIONS as WHOLE_CAPTIONS
from narrated import (
    CUT_CAPTIONS,
    CUT_CAPTIONS_SRT,
    FOLDER,
    RIDE,
    narrated_truth,
    on_the_route,
    sync_words,
)
from softpedal.draft.draft_record import read_record
from softpedal.draft.ride import read_ride
from softpedal.library.load import load_route
from softpedal.library.private_zones import Zone, Zones, write_zones
from softpedal.library.track import WGS84, nearest_on_track
from softpedal.settings import Settings

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.draft.observed import Remark

TRUTH = narrated_truth()
#: A remark lands at most so far from where it was written for, metres.
LANDS_M = 25.0
ZONES = Zones(
    tuple(Zone(z["name"], *z["at"], z["radius_m"]) for z in TRUTH["private"]),
    b"the secret of Lindenferry, 32 by",
)


@pytest.fixture(scope="module")
def drafted(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A library with three drafts of the ride: by the whole film, and twice by the edited one."""
    folder = tmp_path_factory.mktemp("narrated")
    home = library(folder / "library")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SOFTPEDAL_CONFIG", str(folder / "own"))
        write_zones(ZONES)
        for name, captions, edited in (
            ("whole", WHOLE_CAPTIONS, False),
            ("edited", CUT_CAPTIONS, True),
            ("edited-srt", CUT_CAPTIONS_SRT, True),
        ):
            points = sync_words(TRUTH, edited=edited)
            if not edited:
                points = points[:1]
            typed = [word for point in points for word in ("--sync", point)]
            files = ("--streets", extract(), "--captions", captions)
            result = run("draft", RIDE, "--library", home, *files, "--name", name, *typed)
            assert result.exit_code == 0, result.output
            assert "cut off at the start" in result.output
            assert "cut off at the finish" in result.output
            assert "Beware" not in result.output
        checked = run("check", home)
        assert checked.exit_code == 0, checked.output
    return home


def _remarks(home: Path, name: str) -> tuple[Remark, ...]:
    record = read_record(home / "routes" / name)
    assert record is not None
    return record.seen().remarks


@pytest.mark.parametrize(("name", "edited"), [("whole", False), ("edited", True)])
def test_every_remark_lands_where_it_was_written_for(
    name: str, edited: bool, drafted: Path
) -> None:
    """At most 25 m off, also when the film has two cuts; and none is lost."""
    track = read_ride(drafted / "routes" / name / "track.gpx", published=True).track
    key = "film_cut_s" if edited else "film_s"
    placed = {round(r.suggestion.film_s): r for r in _remarks(drafted, name)}
    told = 0
    for remark in on_the_route(TRUTH, edited=edited):
        if not remark["sorts"]:
            continue
        found = placed.get(round(remark[key]))
        if found is None:
            continue
        told += 1
        lat, lon = track.at(found.at_m)
        _, _, off_m = WGS84.inv(lon, lat, remark["at"][1], remark["at"][0])
        assert off_m <= LANDS_M, (remark["sentence"], off_m)
    assert told >= 0.8 * sum(bool(r["sorts"]) for r in on_the_route(TRUTH, edited=edited))


@pytest.mark.parametrize(
    ("captions", "point"), [(WHOLE_CAPTIONS, "9:40=start"), (CUT_CAPTIONS, "7:30=50.01,-20.035")]
)
def test_a_sync_that_street_names_do_not_fit_is_doubted(
    captions: Path, point: str, tmp_path: Path
) -> None:
    """A wrong point, and an edited film with one point only."""
    home = library(tmp_path / "library")
    files = ("--streets", extract(), "--captions", captions, "--sync", point)
    result = run("draft", RIDE, "--library", home, "--name", "doubted", *files)
    assert "sentences that name a street of the line lie far from it" in result.output


def test_both_forms_of_captions_give_the_same(drafted: Path) -> None:
    assert _remarks(drafted, "edited") == _remarks(drafted, "edited-srt")


def test_nothing_of_the_homes_is_in_the_folder(drafted: Path) -> None:
    """No point in a zone, no sentence said there, no time of day, no heart rate."""
    for name in ("whole", "edited", "edited-srt"):
        folder = drafted / "routes" / name
        assert names_in(folder) == [".draft.json", "direct.gpx", "notes.yml", "track.gpx"]
        text = "".join(path.read_text("utf-8") for path in folder.iterdir())
        for word in ("<time>", "hr>", "T07:", "T08:", "front door", "my sister", "breakfast"):
            assert word not in text
        track = read_ride(folder / "track.gpx", published=True).track
        for zone in TRUTH["private"]:
            off_m, _ = nearest_on_track(track, *zone["at"])
            assert off_m.min() >= 0.3 * zone["radius_m"]
        inside, through = ZONES.enter(track.lat, track.lon)
        assert not inside.any()
        assert not through.any()
        loaded = load_route(folder, Settings(), ZONES)
        assert [str(p) for p in loaded.problems if p.is_error] == []


def test_what_was_said_is_never_sure_and_keeps_its_sentence(drafted: Path) -> None:
    loaded = load_route(drafted / "routes" / "whole", Settings())
    assert loaded.route is not None
    line = loaded.route.along
    items: list[Any] = [
        placed.item
        for placed in (*line.legs, *line.crossings, *line.dismounts, *line.hazards, *line.landmarks)
    ]
    said = [item for item in items if item.source.outbound == "said"]
    assert len(said) >= 7
    for item in said:
        assert item.confidence in ("check", "guess")
        assert "said at " in item.evidence or "a button pressed" in item.evidence
    assert all(leg.item.film for leg in line.legs)


def test_the_buttons_stand_in_order_to_be_filled_in(drafted: Path) -> None:
    loaded = load_route(drafted / "routes" / "whole", Settings())
    assert loaded.route is not None
    marks = [p for p in loaded.route.along.landmarks if p.item.what.startswith("To be filled in")]
    assert [p.item.what.partition("waypoint ")[2].strip('")') for p in marks] == [
        button["name"] for button in TRUTH["buttons"]
    ]
    for placed, button in zip(marks, TRUTH["buttons"], strict=True):
        lat, lon = loaded.route.along.track.at(placed.at_m)
        _, _, off_m = WGS84.inv(lon, lat, button["at"][1], button["at"][0])
        assert off_m <= LANDS_M


def test_stops_are_found_where_they_were(drafted: Path) -> None:
    record = read_record(drafted / "routes" / "whole")
    assert record is not None
    track = read_ride(drafted / "routes" / "whole" / "track.gpx", published=True).track
    places = [(stop.seconds, *track.at(stop.at_m)) for stop in record.seen().stops]
    for true in TRUTH["stops"]:
        if not TRUTH["route_from_m"] <= true["along_m"] <= TRUTH["route_to_m"]:
            continue
        off_m = [WGS84.inv(lon, lat, true["at"][1], true["at"][0])[2] for _, lat, lon in places]
        assert min(off_m) <= 15, true
        seconds = places[off_m.index(min(off_m))][0]
        assert seconds == pytest.approx(true["seconds"], abs=12)


def test_drafting_again_says_nothing_new(drafted: Path) -> None:
    """The remarks are kept beside the notes, so that the same draft comes out."""
    folder = drafted / "routes" / "whole"
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    result = run("draft", "--again", folder, "--library", drafted, "--streets", extract())
    assert "Nothing to write" in result.output, result.output
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_the_folder_that_comes_out_is_the_one_that_is_kept(drafted: Path) -> None:
    """To renew it: draft the whole film with the zones and the secret above."""
    kept = {path.name: path.read_text("utf-8") for path in (FOLDER / "drafted").iterdir()}
    made = drafted / "routes" / "whole"
    assert {path.name: path.read_text("utf-8") for path in made.iterdir()} == kept


def test_the_readme_gives_the_commands_that_are_tested() -> None:
    readme = (FOLDER / "README.md").read_text("utf-8")
    for edited in (False, True):
        for point in sync_words(TRUTH, edited=edited)[: None if edited else 1]:
            assert f'--sync "{point}"' in readme
    for zone in TRUTH["private"]:
        lat, lon = zone["at"]
        assert f"softpedal private add {zone['name']} {lat},{lon}" in readme
    assert json.loads((FOLDER / "truth.json").read_text("utf-8")) == TRUTH
