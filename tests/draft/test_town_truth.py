"""Drafts of the invented town's rides against what is true of them by construction."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from softpedal.draft.drafting import draft_ride
from softpedal.draft.ride import cleaned
from softpedal.draft.town import open_town
from softpedal.settings import Settings
from town_truth import (
    EXTRACT,
    Score,
    at_one_hertz,
    moved,
    noise,
    published,
    score,
    true_rides,
)

if TYPE_CHECKING:
    from softpedal.draft.town import Town

#: The figures to reach, of the design.
KIND_RIGHT = 0.97
CROSSINGS = DISMOUNTS = 0.95


@pytest.fixture(scope="module")
def town(tmp_path_factory: pytest.TempPathFactory) -> Town:
    return open_town(EXTRACT, Path(tmp_path_factory.mktemp("cache")), "GB")


def _told(found: Score) -> str:
    return "\n".join(found.wrong)


def test_published_lines_give_the_truth(town: Town) -> None:
    found = Score()
    for name, facts in true_rides().items():
        ride = published(name, facts)
        score(draft_ride(town, ride, Settings()), facts, found, name)
    assert found.kind_right >= KIND_RIGHT, _told(found)
    for what in ("crossings", "dismounts"):
        assert found.precision(what) >= CROSSINGS, _told(found)
        assert found.recall(what) >= DISMOUNTS, _told(found)
    # What is shorter than a flicker belongs to the leg beside it, which may be a filtered street.
    assert found.false_filtered_m <= 0.001 * found.metres, _told(found)


def test_recordings_with_noise_give_the_truth(town: Town) -> None:
    found = Score()
    for number, (name, facts) in enumerate(true_rides().items()):
        rng = np.random.default_rng(number)
        ride, along = at_one_hertz(published(name, facts), facts)
        n, seconds = len(along), ride.time_s
        ride = cleaned(moved(ride, noise(n, 4.0, rng), noise(n, 4.0, rng)))
        along = np.interp(ride.time_s, seconds, along)
        score(draft_ride(town, ride, Settings()), facts, found, name, along)
    assert found.kind_right >= KIND_RIGHT, _told(found)
    for what in ("crossings", "dismounts"):
        assert found.precision(what) >= CROSSINGS, _told(found)
        assert found.recall(what) >= DISMOUNTS, _told(found)


def test_the_score_falls_where_a_draft_is_wrong(town: Town) -> None:
    name, facts = next(iter(true_rides().items()))
    draft = draft_ride(town, published(name, facts), Settings())
    right, wrong = Score(), Score()
    score(draft, facts, right, name)
    other: dict[str, Any] = {**facts, "outbound": {**facts["outbound"], "crossings": []}}
    other["outbound"]["legs"] = [{**g, "kind": "busy road"} for g in facts["outbound"]["legs"]]
    score(draft, other, wrong, name)
    assert wrong.kind_right < right.kind_right - 0.3
    assert wrong.precision("crossings") < right.precision("crossings")
    assert wrong.false_filtered_m > 500
