"""The demonstration routes use the whole notes format: every key, value and form of position."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import pytest

from demo.town_files import ROUTES, all_notes

if TYPE_CHECKING:
    from collections.abc import Iterator

KINDS = {
    "protected track",
    "traffic-free path",
    "filtered street",
    "back street",
    "shared pavement",
    "painted lane",
    "bus lane",
    "mixed street",
    "busy road",
    "on foot",
}
VALUES = {
    "status": {"draft", "published", "withdrawn"},
    "control": {
        "cycle signals",
        "toucan",
        "signals",
        "pedestrian signals",
        "parallel",
        "zebra",
        "refuge",
        "roundabout",
        "none",
        "bridge",
        "underpass",
    },
    "movement": {"cross", "turn", "roundabout"},
    "must": {"law", "barrier", "advised", "optional"},
    "severity": {"minor", "serious"},
    "surface": {"smooth", "fair", "rough", "loose", "cobbles"},
    "blocked": {"rare", "frequent"},
    "walkers": {"few", "many"},
    "lit": {"yes", "partly", "no"},
    "company": {"overlooked", "out of sight"},
    "side": {"left", "right", "ahead", "both sides"},
    "child": {"with an adult", "with care", "no"},
    "cargo": {"yes", "with care", "no"},
    "direction": {"outbound", "return", "both"},
    "source": {"ridden", "map", "reported"},
    "confidence": {"sure", "check", "guess"},
}
KEYS = {
    "top": "title area start finish summary status ridden direct legs crossings dismounts hazards "
    "landmarks barriers alerts closed video who avoids hardest best signed skip wishes changed "
    "photos was planned thanks variants next return steep withdrawn",
    "ridden": "on direction when moving standing",
    "direct": "km minutes",
    "legs": "from street kind hours closed_by cue walkers lit wet company edge speed_limit lanes "
    "surface lane_width parking_width parking blocked median centre_line residential level why "
    "steps note source film confidence evidence",
    "crossings": "at road control movement speed_limit lanes vehicles_per_day wait easier busy "
    "road_class ride direction hours note source film confidence evidence",
    "dismounts": "at why metres must without_getting_off direction hours note steps",
    "hazards": "at to what severity note direction hours source confidence",
    "landmarks": "at side what story",
    "barriers": "at what gap turn kerb lift way_round steps note",
    "alerts": "from until text",
    "video": "link jump chapters",
    "who": "child cargo",
    "hardest": "at text",
    "best": "at text",
    "signed": "from to as",
    "skip": "at what",
    "wishes": "at what",
    "changed": "on text",
    "photos": "file at alt",
    "planned": "text expected",
    "variants": "file leave rejoin why legs",
    "steep": "at metres gradient",
    "withdrawn": "why instead",
    "return": "legs crossings hazards landmarks barriers hardest best",
}
POSITION_FORMS = {
    "start": r"start",
    "finish": r"finish",
    "kilometres": r"[\d.]+ km",
    "metres": r"[\d.]+ m",
    "miles": r"[\d.]+ mi",
    "coordinates": r"-?[\d.]+, -?[\d.]+",
    "coordinates near": r"-?[\d.]+, -?[\d.]+ near [\d.]+ km",
    "waypoint": r"waypoint .+",
}


def _walk(value: Any, key: str = "") -> Iterator[tuple[str, Any]]:
    """Yield every (key, value) at any depth; mappings by direction count for their key."""
    if isinstance(value, dict):
        for name, inner in value.items():
            own = key if name in ("outbound", "return") and isinstance(inner, str) else name
            yield own, inner
            yield from _walk(inner, own)
    elif isinstance(value, list):
        for inner in value:
            yield from _walk(inner, key)


@pytest.fixture(scope="module")
def notes() -> dict[str, dict[str, Any]]:
    return all_notes()


def test_every_folder_has_notes_and_a_track(notes: dict[str, Any]) -> None:
    folders = {p.name for p in ROUTES.iterdir() if p.is_dir()}
    assert len(folders) >= 9
    assert set(notes) == folders == {p.parent.name for p in ROUTES.glob("*/track.gpx")}


def test_all_kinds_are_used(notes: dict[str, Any]) -> None:
    used = {value for key, value in _walk(notes) if key == "kind" and isinstance(value, str)}
    assert KINDS - used == set()


@pytest.mark.parametrize("key", sorted(VALUES))
def test_all_values_are_used(notes: dict[str, Any], key: str) -> None:
    used = {v for k, v in _walk(notes) if k == key and not isinstance(v, dict | list)}
    assert VALUES[key] - used == set()


@pytest.mark.parametrize("part", sorted(KEYS))
def test_all_keys_are_used(notes: dict[str, Any], part: str) -> None:
    sections = list(notes.values()) if part == "top" else []
    for key, value in _walk(notes):
        if key == part:
            sections += value if isinstance(value, list) else [value]
    used = {key for section in sections if isinstance(section, dict) for key in section}
    assert set(KEYS[part].split()) - used == set()


@pytest.mark.parametrize("form", sorted(POSITION_FORMS))
def test_all_forms_of_position_are_used(notes: dict[str, Any], form: str) -> None:
    places = [v for k, v in _walk(notes) if k in ("at", "from", "to") and isinstance(v, str)]
    assert any(re.fullmatch(POSITION_FORMS[form], place) for place in places)
