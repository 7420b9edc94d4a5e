"""Pins in the notes: ways that the line takes, and does not take."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from softpedal.draft.again import draft_again, drafted_again
from softpedal.draft.drafting import draft_ride, write_draft
from softpedal.draft.pins import pins_of
from softpedal.draft.town import open_town
from softpedal.settings import Settings
from town_truth import EXTRACT, published, true_rides

if TYPE_CHECKING:
    from softpedal.draft.town import Town

NAME = "ferry-steps-to-chapel-green/track.gpx"


@pytest.fixture(scope="module")
def town(tmp_path_factory: pytest.TempPathFactory) -> Town:
    return open_town(EXTRACT, Path(tmp_path_factory.mktemp("cache")), "GB")


@pytest.fixture
def folder(town: Town, tmp_path: Path) -> Path:
    ride = published(NAME, true_rides()[NAME])
    settings = Settings()
    return write_draft(draft_ride(town, ride, settings), town, settings, tmp_path / "routes")


def _ways(town: Town, draft: object) -> set[int]:
    chain = draft.chain  # type: ignore[attr-defined]
    return {int(town.network.way_id[town.network.edge_way[p.edge]]) for p in chain.pieces}


def test_pins_are_read_from_the_notes_by_their_place() -> None:
    data = {"via_way": [{"at": "1.2 km", "way": 7}, {"at": "300 m", "way": 8}], "not_way": [9]}
    places = {"1.2 km": 1200.0, "300 m": 300.0}
    pins = pins_of(data, places.get)
    assert pins.via_way == ((300.0, 8), (1200.0, 7))
    assert pins.not_way == {9}


@pytest.mark.parametrize("data", [None, [], {"via_way": "x", "not_way": 3}, {"via_way": [{}]}])
def test_what_is_no_pin_is_left_out(data: object) -> None:
    assert pins_of(data, lambda _: None) == pins_of(None, lambda _: None)


def test_a_way_that_the_notes_rule_out_is_not_taken(town: Town, folder: Path) -> None:
    before = _ways(town, drafted_again(folder, town, Settings()).draft)
    track = next(
        int(way)
        for way, tags in zip(town.network.way_id, town.network.way_tags, strict=True)
        if tags.get("highway") == "cycleway" and int(way) in before
    )
    notes = folder / "notes.yml"
    notes.write_text(notes.read_text().replace("\nlegs:", f"\nnot_way: [{track}]\n\nlegs:", 1))
    draft, _ = draft_again(folder, town, Settings())
    assert track not in _ways(town, draft)
