"""What is kept of an extract: the same again, made anew when file or version changes."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from softpedal.streets import ground_store
from softpedal.streets.extract import ExtractError
from softpedal.streets.ground import read_ground
from softpedal.streets.ground_store import StoreError, keep_ground, load_ground
from streets.small_extract import extract, ring

HOUSE = (ring(0, 0, 40), {"building": "yes"})
LANE = ([(0, 60), (90, 60), (120, 90)], {"highway": "path", "name": "Qu\u00e4y \u2028 Lane"})


def test_what_is_kept_is_what_was_read(tmp_path) -> None:
    path = extract(tmp_path / "town.osm", [HOUSE, LANE])
    kept, read = load_ground(keep_ground(path, tmp_path / "kept")), read_ground(path)
    assert np.array_equal(shapely.to_wkb(kept.shapes), shapely.to_wkb(read.shapes))
    assert kept.layers.tolist() == read.layers.tolist()
    assert kept.names.tolist() == read.names.tolist()


@pytest.mark.parametrize("ways", [[], [HOUSE], [LANE]])
def test_empty_layers_are_kept_too(tmp_path, ways) -> None:
    path = extract(tmp_path / "town.osm", ways)
    assert len(load_ground(keep_ground(path, tmp_path / "kept")).shapes) == len(ways)


def test_an_unchanged_extract_is_not_read_again(tmp_path, monkeypatch) -> None:
    path = extract(tmp_path / "town.osm", [HOUSE])
    kept = keep_ground(path, tmp_path / "kept")
    monkeypatch.setattr(ground_store, "read_ground", None)
    assert keep_ground(path, tmp_path / "kept") == kept


@pytest.mark.parametrize("damaged", [".npz", ".json"])
def test_what_is_damaged_is_made_anew(tmp_path, damaged) -> None:
    path = extract(tmp_path / "town.osm", [HOUSE])
    kept = keep_ground(path, tmp_path / "kept")
    kept.with_suffix(damaged).write_bytes(b"no")
    with pytest.raises(StoreError):
        load_ground(kept)
    assert len(load_ground(keep_ground(path, tmp_path / "kept")).shapes) == 1


def test_a_changed_extract_takes_the_place_of_the_old(tmp_path) -> None:
    first = keep_ground(extract(tmp_path / "town.osm", [HOUSE]), tmp_path / "kept")
    second = keep_ground(extract(tmp_path / "town.osm", [HOUSE, LANE]), tmp_path / "kept")
    assert first != second
    assert sorted(p.name for p in (tmp_path / "kept").iterdir()) == sorted(
        [second.name, second.with_suffix(".json").name]
    )


def test_another_version_is_kept_apart(tmp_path, monkeypatch) -> None:
    path = extract(tmp_path / "town.osm", [HOUSE])
    first = keep_ground(path, tmp_path / "kept")
    monkeypatch.setattr(ground_store, "VERSION", 999)
    assert keep_ground(path, tmp_path / "kept") != first


def test_a_pickle_is_refused(tmp_path) -> None:
    path = extract(tmp_path / "town.osm", [HOUSE])
    kept = keep_ground(path, tmp_path / "kept")
    with np.load(kept) as arrays:
        whole = dict(arrays)
    np.savez(kept, **(whole | {"layers": np.array([{}], dtype=object)}))
    with pytest.raises(StoreError, match="pickle"):
        load_ground(kept)


def test_a_missing_extract_is_no_traceback(tmp_path) -> None:
    with pytest.raises(ExtractError, match="no such file"):
        keep_ground(tmp_path / "town.osm", tmp_path / "kept")
