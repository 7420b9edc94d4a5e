"""The narrated ride: made the same each time, and true to what it claims."""

from __future__ import annotations

import re
import subprocess
import sys
from datetime import datetime
from itertools import pairwise
from typing import get_args

import numpy as np
import pytest
import webvtt
import xmlschema

from narrated import (
    CAPTIONS,
    CUT_CAPTIONS,
    CUT_CAPTIONS_SRT,
    FOLDER,
    RIDE,
    ROOT,
    SCRIPT,
    narrated_truth,
    on_the_route,
    sync_words,
)
from softpedal.draft.observed import Sort
from softpedal.library.gpx_reader import read_gpx
from softpedal.library.track import WGS84

TRUTH = narrated_truth()
SORTS = set(get_args(Sort))
#: Capitals within a sentence that name no street of the town.
CAPITALS = {"I", "I'm", "Lane", "Road", "Row", "Street"}


@pytest.fixture(scope="module")
def raw():
    gpx, problems = read_gpx(RIDE.read_bytes(), RIDE.name)
    assert gpx is not None
    assert not any(problem.is_error for problem in problems)
    return gpx


def metres(a, b) -> float:
    return float(WGS84.inv(a[1], a[0], b[1], b[0])[2])


def recorded_from() -> float:
    return datetime.fromisoformat(TRUTH["recording_starts"]).timestamp()


def test_the_committed_files_are_what_the_script_writes(tmp_path) -> None:
    command = [sys.executable, str(SCRIPT), "--out", str(tmp_path)]
    subprocess.run(command, check=True, capture_output=True, timeout=60)
    made = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    assert made == {path.name: path.read_bytes() for path in FOLDER.iterdir() if path.is_file()}
    assert len(made["ride.gpx"]) < 450_000


def test_the_recording_is_valid() -> None:
    schema = xmlschema.XMLSchema(ROOT / "tests" / "published" / "gpx_schema" / "gpx.xsd")
    schema.validate(RIDE)


def test_the_recording_is_raw(raw) -> None:
    assert 1200 <= len(raw.lat) <= 1600
    assert raw.part[-1] == 1
    assert (np.diff(raw.time_s)[np.diff(raw.part) == 0] == 1).all()
    assert [point.name for point in raw.waypoints] == ["Vans here", "001", "002"]
    assert "author" not in RIDE.read_text("utf-8")
    steps = np.array(WGS84.inv(raw.lon[:-1], raw.lat[:-1], raw.lon[1:], raw.lat[1:])[2])
    assert 6 <= (steps > 40).sum() - (np.diff(raw.part) > 0).sum() <= 8


def test_each_remark_is_where_the_recording_is_at_that_second(raw) -> None:
    checked = 0
    for remark in TRUTH["remarks"]:
        second = remark["recording_s"] + recorded_from()
        if second < raw.time_s[0]:
            continue
        at = (np.interp(second, raw.time_s, raw.lat), np.interp(second, raw.time_s, raw.lon))
        assert metres(at, remark["at"]) <= 15, remark
        checked += 1
    assert checked == len(TRUTH["remarks"]) - 1


def test_the_recording_stands_at_each_stop(raw) -> None:
    kept = [stop for stop in TRUTH["stops"] if not stop["recorder_paused"]]
    assert len(kept) == 5
    for stop in kept:
        begins = stop["recording_s"] + recorded_from()
        during = (raw.time_s >= begins) & (raw.time_s <= begins + stop["seconds"])
        off = [metres(at, stop["at"]) for at in zip(raw.lat[during], raw.lon[during], strict=True)]
        assert 18 <= stop["seconds"] <= 75
        assert np.median(off) <= 10, stop


def test_the_recorder_paused_once(raw) -> None:
    (pause,) = [stop for stop in TRUTH["stops"] if stop["recorder_paused"]]
    gap = float(np.diff(raw.time_s)[np.diff(raw.part) > 0][0])
    assert pause["seconds"] - 15 < gap < pause["seconds"]


def test_the_route_lies_outside_both_zones_wherever_they_are_centred() -> None:
    """A zone's circle is moved by up to 0.7 of its radius."""
    route = [r["at"] for r in on_the_route(TRUTH)]
    for zone in TRUTH["private"]:
        assert min(metres(at, zone["at"]) for at in route) > 1.7 * zone["radius_m"]
    for ends in (TRUTH["route_from_m"], TRUTH["length_m"] - TRUTH["route_to_m"]):
        assert 350 <= ends <= 800


@pytest.mark.parametrize("path", [CAPTIONS, CUT_CAPTIONS, CUT_CAPTIONS_SRT], ids=lambda p: p.name)
def test_captions_are_the_remarks_within_the_film(path) -> None:
    edited = path != CAPTIONS
    key = "film_cut_s" if edited else "film_s"
    length = TRUTH["film_length_s"]
    if edited:
        length -= sum(end - start for start, end in TRUTH["film_cuts"])
    cues = webvtt.from_srt(path) if path.suffix == ".srt" else webvtt.read(path)
    assert all(0 <= cue.start_in_seconds < cue.end_in_seconds <= length for cue in cues)
    assert all(
        a.end_time.in_milliseconds() <= b.start_time.in_milliseconds() for a, b in pairwise(cues)
    )
    said = [r for r in TRUTH["remarks"] if r[key] is not None]
    assert " ".join(cue.text for cue in cues) == " ".join(r["sentence"] for r in said)
    begins = {cue.start_time.in_milliseconds() for cue in cues}
    assert all(round(r[key] * 1000) in begins for r in said)


def test_the_edited_film_lost_its_start_and_two_waits_without_a_word_cut_in_two() -> None:
    assert len(TRUTH["film_cuts"]) == 3
    for remark in TRUTH["remarks"]:
        ends = remark["film_s"] + len(remark["sentence"].split()) / 2.5
        for start, end in TRUTH["film_cuts"]:
            assert ends <= start or remark["film_s"] >= end or ends <= end
    lost = [r["sentence"] for r in TRUTH["remarks"] if r["film_cut_s"] is None]
    assert len(lost) == 1


def test_one_known_place_lies_in_each_piece_of_the_edited_film() -> None:
    starts = [end for _, end in TRUTH["film_cuts"]]
    pieces = [sum(start <= point["film_s"] for start in starts) for point in TRUTH["sync"]]
    assert pieces == [1, 2, 3]
    readme = (FOLDER / "README.md").read_text("utf-8")
    assert all(words in readme for words in sync_words(TRUTH, edited=True))
    assert sync_words(TRUTH)[0] in readme


def test_every_sort_is_told_twice_or_more_and_some_sentences_tell_nothing() -> None:
    told = [sort for remark in on_the_route(TRUTH) for sort in remark["sorts"]]
    assert set(told) == SORTS
    assert all(told.count(sort) >= 2 for sort in SORTS)
    assert sum(not remark["sorts"] for remark in on_the_route(TRUTH)) >= 6


def test_nothing_is_named_but_the_town_s_own_streets() -> None:
    plan = "".join(path.read_text("utf-8") for path in SCRIPT.parent.glob("*.py"))
    streets = set(re.findall(r'"([A-Z][\w\' ]+)"', plan))
    names = {word for street in streets for word in street.split()}
    for remark in TRUTH["remarks"]:
        for word in re.findall(r"(?<!^)\b[A-Z][\w']*", remark["sentence"]):
            assert word.removesuffix("'s") in names | CAPITALS, remark["sentence"]


def test_what_is_said_of_a_street_is_true_of_it() -> None:
    """Each sentence that claims a thing is said on, or just before, a street that has it."""
    claims = {
        "cobbles": {"weighhouse-south", "weighhouse-north"},
        "no entry": {"sailmaker-north", "sailmaker-mouth"},
        "underpass": {"campus-path", "saltway-underpass"},
        "toucan": {"almond-street"},
        "not allowed to turn right": {"herring-row"},
        "lock it at night": {"northfield-lane", "allotment-path"},
        "both ends": {"almond-street"},
        "hump": {"cask-street"},
    }
    for words, streets in claims.items():
        (remark,) = [r for r in TRUTH["remarks"] if words in r["sentence"]]
        on = {
            part["street"]
            for part in TRUTH["line_streets"]
            if part["from_m"] - 1 <= remark["along_m"] <= part["to_m"] + 1
        }
        assert on & streets, (words, on)
