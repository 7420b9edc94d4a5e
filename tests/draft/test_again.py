"""Drafting again: without the ride's clock, with a way back of its own, with named places."""

from __future__ import annotations

import shutil
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from edited_town import WEIR, Town, demo_route, extract, files_in, line_of_ride, names_of_rides
from softpedal.draft.again import draft_again, write_again
from softpedal.draft.changes import changes_text
from softpedal.draft.draft_record import RECORD, read_record
from softpedal.draft.drafting import draft_ride, write_draft
from softpedal.draft.merge import MergeError
from softpedal.draft.ride import cleaned
from softpedal.draft.town import open_town
from softpedal.library.load import load_route
from softpedal.settings import Settings
from town_truth import at_one_hertz, moved, noise, published, true_rides

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.draft.town import Town as Known

SETTINGS = Settings(time_zone="Atlantic/Azores")
RIDES = names_of_rides()


@pytest.fixture(scope="module")
def town(tmp_path_factory: pytest.TempPathFactory) -> Known:
    return open_town(extract(), tmp_path_factory.mktemp("cache"), "GB")


@pytest.fixture(scope="module")
def opened(tmp_path_factory: pytest.TempPathFactory) -> Known:
    folder = tmp_path_factory.mktemp("opened")
    streets = Town().open_barriers("Bobbin Row").write(folder / "opened.osm")
    return open_town(streets, folder / "cache", "GB")


def _drafted(name: str, town: Known, folder: Path) -> Path:
    """Draft a recording with 4 m of noise."""
    facts = true_rides()[name]
    ride, along = at_one_hertz(published(name, facts), facts)
    rng = np.random.default_rng(7)
    east, north = noise(len(along), 4.0, rng), noise(len(along), 4.0, rng)
    draft = draft_ride(town, cleaned(moved(ride, east, north)), SETTINGS)
    return write_draft(draft, town, SETTINGS, folder / "routes", "a-way")


@pytest.mark.parametrize("name", RIDES)
def test_a_noisy_recording_drafted_again_is_as_it_was(
    name: str, town: Known, tmp_path: Path
) -> None:
    folder = _drafted(name, town, tmp_path)
    before = (folder / "notes.yml").read_text(encoding="utf-8")
    _, merged = draft_again(folder, town, SETTINGS)
    assert changes_text(merged.changes) == []
    assert merged.text == before


def test_a_changed_map_changes_what_it_says_and_nothing_else(
    town: Known, opened: Known, tmp_path: Path
) -> None:
    """A filter taken out is told, taken over, and told again once it is back."""
    folder = _drafted(f"{WEIR}/track.gpx", town, tmp_path)
    draft, merged = draft_again(folder, opened, SETTINGS)
    assert {change.place.split(", ")[1] for change in merged.changes} == {"Bobbin Row"}
    write_again(folder, draft, merged, opened)
    record = read_record(folder)
    assert record is not None
    assert record.extract_digest == opened.network.digest
    assert draft_again(folder, opened, SETTINGS)[1].changes == ()
    back = draft_again(folder, town, SETTINGS)[1]
    assert [c.now for c in back.changes if c.key == "kind"] == ["filtered street"]


def test_of_the_clock_is_kept_what_the_line_alone_does_not_say(town: Known, tmp_path: Path) -> None:
    """A pushed stretch, by the clock; the record tells it from what the map says of the line."""
    draft = draft_ride(town, line_of_ride(WEIR), SETTINGS)
    document = draft.document | {"dismounts": [{"at": "700 m", "why": "a crowd", "source": "map"}]}
    clocked = replace(draft, document=document)
    folder = write_draft(clocked, town, SETTINGS, tmp_path / "routes", "a-way")
    assert draft_again(folder, town, SETTINGS)[1].changes == ()
    record = read_record(folder)
    assert record is not None
    assert "dismounts" in record.document
    assert "dismounts" not in record.of_line


def test_a_way_back_of_its_own_is_drafted_under_return(town: Known, tmp_path: Path) -> None:
    """The route has a return.gpx; its notes hold nothing yet of what is along it."""
    draft = draft_ride(town, line_of_ride(WEIR), SETTINGS)
    folder = write_draft(draft, town, SETTINGS, tmp_path / "routes", "a-way")
    demo = demo_route(tmp_path / "demo", WEIR)
    shutil.copy(demo / "return.gpx", folder / "return.gpx")
    draft, merged = draft_again(folder, town, SETTINGS)
    write_again(folder, draft, merged, town)
    loaded = load_route(folder, SETTINGS)
    assert loaded.route is not None, [str(p) for p in loaded.problems]
    assert loaded.route.back is not None
    assert [leg.item.street for leg in loaded.route.back.legs][:1] == ["Towpath"]
    assert [c.item.road for c in loaded.route.back.crossings] == ["Weir Road"]
    assert draft_again(folder, town, SETTINGS)[1].changes == ()


def test_items_at_named_places_are_the_ones_of_the_map(town: Known, tmp_path: Path) -> None:
    """`waypoint Weir gate` is the barrier that the map has there: it is not added once more."""
    folder = demo_route(tmp_path, WEIR)
    assert "waypoint Weir gate" in (folder / "notes.yml").read_text(encoding="utf-8")
    _, merged = draft_again(folder, town, SETTINGS)
    assert [text for text in changes_text(merged.changes) if text.startswith("added: ")] == [
        "added: thanks (the map has it now)",
        "added: track (the map has it now)",
    ]


def test_nothing_is_written_where_only_the_record_changes(town: Known, tmp_path: Path) -> None:
    folder = _drafted(f"{WEIR}/track.gpx", town, tmp_path)
    before = files_in(folder)
    stamp = (folder / "notes.yml").stat().st_mtime_ns
    draft, merged = draft_again(folder, town, SETTINGS)
    write_again(folder, draft, merged, town)
    assert files_in(folder) == before
    assert (folder / "notes.yml").stat().st_mtime_ns == stamp


def test_a_folder_without_notes_is_refused(town: Known, tmp_path: Path) -> None:
    folder = _drafted(f"{WEIR}/track.gpx", town, tmp_path)
    (folder / "notes.yml").unlink()
    (folder / RECORD).unlink()
    with pytest.raises(MergeError, match="holds no notes"):
        draft_again(folder, town, SETTINGS)
