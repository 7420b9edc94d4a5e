"""Verdicts are kept beside the network, and made anew when they cannot be read."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from softpedal.streets import through_store
from softpedal.streets.ground_store import StoreError
from softpedal.streets.through_store import keep_verdicts, load_verdicts
from streets.small_network import network

STREETS = [
    ([(0, 0), (0, 200)], "tertiary Mill Road"),
    ([(0, 0), (100, 0), (0, 200)], "residential Orchard Lane"),
    ([(100, 0), (200, 0)], "residential Larch Close"),
]


@pytest.fixture
def town():
    return replace(network(STREETS), digest="0123456789abcdef")


def test_kept_verdicts_are_the_same(town, tmp_path, monkeypatch) -> None:
    made = keep_verdicts(town, tmp_path)
    monkeypatch.setattr(through_store, "through_traffic", None)
    kept = keep_verdicts(town, tmp_path)
    assert (kept.grade == made.grade).all()
    assert kept.grade.dtype == np.int8
    assert np.array_equal(kept.rank_s, made.rank_s, equal_nan=True)
    assert kept.closed_by == made.closed_by == {3: "a dead end"}
    assert kept.evidence == made.evidence
    assert sorted(p.suffix for p in tmp_path.iterdir()) == [".json", ".npz"]


def test_another_extract_takes_the_place_of_the_last(town, tmp_path) -> None:
    keep_verdicts(town, tmp_path)
    keep_verdicts(replace(town, digest="fedcba9876543210"), tmp_path)
    assert all("fedcba9876543210" in p.name for p in tmp_path.iterdir())
    assert len(list(tmp_path.iterdir())) == 2


def test_a_network_of_no_file_is_not_kept(town, tmp_path) -> None:
    assert keep_verdicts(replace(town, digest=""), tmp_path).of(0) == "main"
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("suffix", [".json", ".npz"])
@pytest.mark.parametrize("content", [b"", b"[]", b'{"closed_by": 3}', b"PK\x03\x04 cut short"])
def test_what_is_damaged_is_made_anew(town, tmp_path, suffix, content) -> None:
    made = keep_verdicts(town, tmp_path)
    path = next(tmp_path.glob("*.npz"))
    path.with_suffix(suffix).write_bytes(content)
    with pytest.raises(StoreError):
        load_verdicts(path, town.n_edges)
    again = keep_verdicts(town, tmp_path)
    assert again.evidence == made.evidence
    assert load_verdicts(path, town.n_edges).closed_by == made.closed_by


def test_verdicts_on_another_network_are_refused(town, tmp_path) -> None:
    keep_verdicts(town, tmp_path)
    with pytest.raises(StoreError, match="damaged"):
        load_verdicts(next(tmp_path.glob("*.npz")), town.n_edges + 1)
