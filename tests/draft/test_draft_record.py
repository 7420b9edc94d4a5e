"""What was drafted last is kept beside the notes, whole or not at all."""

import json
import shutil
from pathlib import Path

import pytest

from demo.town_files import ROUTES
from softpedal.draft.draft_record import (
    RECORD,
    DraftRecord,
    DraftRecordError,
    read_record,
    write_record,
)
from softpedal.library.load import load_route

DOCUMENT = {"title": "Quay 🚲", "area": ["a"], "direct": {"km": 4.6}, "legs": [{"parking": True}]}
WORDS = {
    "version": 1,
    "extract_digest": "",
    "extract_date": "",
    "extract_name": "",
    "document": {},
}


@pytest.fixture
def record():
    return DraftRecord("ab12", "2026-05-01", "lindenferry.osm.pbf", DOCUMENT)


def test_it_comes_back_as_it_was(tmp_path, record):
    write_record(tmp_path, record)
    assert read_record(tmp_path) == record
    assert list(read_record(tmp_path).document) == list(DOCUMENT)


def test_nothing_drafted_is_no_fault(tmp_path):
    assert read_record(tmp_path) is None


def test_it_is_the_same_bytes_each_time_and_leaves_nothing_else(tmp_path, record):
    write_record(tmp_path, record)
    first = (tmp_path / RECORD).read_bytes()
    write_record(tmp_path, record)
    assert (tmp_path / RECORD).read_bytes() == first
    assert [path.name for path in tmp_path.iterdir()] == [RECORD]


@pytest.mark.parametrize("path", ["/home/ann/maps/town.pbf", "C:\\maps\\town.pbf", "town.pbf"])
def test_it_holds_no_path_of_a_machine(tmp_path, path):
    write_record(tmp_path, DraftRecord("ab", "", path, {}))
    assert read_record(tmp_path).extract_name == "town.pbf"
    assert "maps" not in (tmp_path / RECORD).read_text()


def test_a_route_folder_with_a_record_is_as_good_as_one_without(tmp_path, record):
    folder = tmp_path / "routes" / "school-lane-link"
    shutil.copytree(ROUTES / "school-lane-link", folder)
    before = load_route(folder).problems
    write_record(folder, record)
    assert load_route(folder).problems == before


def test_the_words_that_are_damaged_below_are_whole(tmp_path):
    (tmp_path / RECORD).write_text(json.dumps(WORDS))
    assert read_record(tmp_path) == DraftRecord("", "", "", {})


@pytest.mark.parametrize(
    "damage",
    [
        b"",
        b"{",
        b"[]",
        b"null",
        b"\xff\xfe",
        b"[" * 100_000,
        b'{"version": 1}',
        json.dumps(WORDS | {"version": 2}).encode(),
        json.dumps(WORDS | {"extract_digest": 7}).encode(),
        json.dumps(WORDS | {"document": []}).encode(),
        b" " * (8 * 256 * 1024 + 1),
    ],
    ids=range(11),
)
def test_a_damaged_one_says_what_to_do(tmp_path, damage):
    (tmp_path / RECORD).write_bytes(damage)
    with pytest.raises(DraftRecordError, match=r"\.draft\.json") as caught:
        read_record(tmp_path)
    assert "draft again" in caught.value.hint


def test_one_cut_short_is_damaged(tmp_path, record):
    write_record(tmp_path, record)
    whole = (tmp_path / RECORD).read_bytes()
    (tmp_path / RECORD).write_bytes(whole[: len(whole) // 2])
    with pytest.raises(DraftRecordError):
        read_record(tmp_path)


def test_a_draft_that_cannot_be_kept_leaves_the_old_one(tmp_path, record):
    write_record(tmp_path, record)
    with pytest.raises(DraftRecordError, match="no plain data"):
        write_record(tmp_path, DraftRecord("", "", "", {"track": Path("x")}))
    with pytest.raises(DraftRecordError, match="no plain data"):
        write_record(tmp_path, DraftRecord("", "", "", {"km": float("nan")}))
    assert read_record(tmp_path) == record


def test_a_write_that_fails_leaves_the_old_one(tmp_path, record, monkeypatch):
    write_record(tmp_path, record)

    def fail(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", fail)
    with pytest.raises(DraftRecordError, match="No space left"):
        write_record(tmp_path, DraftRecord("", "", "", {}))
    monkeypatch.undo()
    assert read_record(tmp_path) == record
    assert [path.name for path in tmp_path.iterdir()] == [RECORD]
    assert json.loads((tmp_path / RECORD).read_text())["document"] == DOCUMENT


def test_a_folder_that_is_not_there_is_reported(tmp_path, record):
    with pytest.raises(DraftRecordError, match="cannot be written"):
        write_record(tmp_path / "gone", record)
