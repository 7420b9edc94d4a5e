"""The measures of a draft are those of the folder that it becomes."""

from __future__ import annotations

import tempfile
from typing import TYPE_CHECKING

import pytest

from edited_town import FERRY, extract, line_of_ride
from softpedal.draft.drafting import draft_ride, write_draft
from softpedal.draft.measured import measured, measures_along
from softpedal.draft.ride import RideError
from softpedal.draft.town import open_town
from softpedal.library.load import load_route
from softpedal.library.notes import DIRECTIONS
from softpedal.measure.document import measures_document
from softpedal.measure.route_measures import measure
from softpedal.settings import Settings

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.draft.drafting import Draft
    from softpedal.draft.town import Town


@pytest.fixture(scope="module")
def town(tmp_path_factory: pytest.TempPathFactory) -> Town:
    return open_town(extract(), tmp_path_factory.mktemp("cache"), "GB")


@pytest.fixture(scope="module")
def draft(town: Town) -> Draft:
    return draft_ride(town, line_of_ride(FERRY), Settings())


def test_they_are_those_of_the_folder(draft: Draft, town: Town, tmp_path: Path) -> None:
    """By the document of `measure --format json`, without the route's name and title."""
    folder = write_draft(draft, town, Settings(), tmp_path / "routes", "draft")
    route = load_route(folder, Settings()).route
    assert route is not None
    there = measures_document([(route, measure(route, Settings()))])
    here = measures_document([measured(draft.document, draft.track, Settings())])
    assert here == there


def test_a_line_has_the_measures_of_its_draft(draft: Draft, town: Town) -> None:
    found = measures_along(town, draft.chain, draft.track, Settings())
    whole = measured(draft.document, draft.track, Settings())[1]
    for direction in DIRECTIONS:
        of_line, of_draft = found.of(direction), whole.of(direction)
        assert len(of_line.states) == len(of_draft.states) > 1
        for one, other in zip(of_line.states, of_draft.states, strict=True):
            assert one.figures == other.figures
            assert one.open == other.open


def test_a_gate_that_is_shut_at_night_shuts_the_line(town: Town) -> None:
    """The gate of the allotments: a line through it must not be told as open."""
    gated = draft_ride(town, line_of_ride("college-to-northfield"), Settings())
    assert gated.document["closed"]
    found = measures_along(town, gated.chain, gated.track, Settings())
    assert {state.figures is None for state in found.outbound.states} == {True, False}


def test_nothing_is_left_on_the_disk(
    draft: Draft, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    measured(draft.document, draft.track, Settings())
    with pytest.raises(RideError):
        measured(draft.document | {"legs": []}, draft.track, Settings())
    assert list(tmp_path.iterdir()) == []


def test_a_draft_that_is_no_route_is_a_fault_of_the_program_and_says_so(draft: Draft) -> None:
    wrong = draft.document | {"legs": [{"from": "start", "street": "Dock Road", "kind": "calm"}]}
    with pytest.raises(RideError, match="The draft of this line is no valid route") as caught:
        measured(wrong, draft.track, Settings())
    assert "a fault of softpedal" in caught.value.hint
