"""The demonstration routes: clean tracks, and notes that tell the truth of the town."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from typing import TYPE_CHECKING, Any

import pytest

from demo.town_files import ROUTES, Built, all_notes, build

if TYPE_CHECKING:
    from collections.abc import Iterator

UNITS_M = {"m": 1.0, "km": 1000.0, "mi": 1609.344}
NEAR_M = 12.0


@pytest.fixture(scope="module")
def notes() -> dict[str, dict[str, Any]]:
    return all_notes()


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Built:
    return build(tmp_path_factory.mktemp("town"))


def test_files_of_every_sort_are_there() -> None:
    for pattern in ("*/return.gpx", "*/story.md", "*/variant-*.gpx", "*/photos/*.png"):
        assert list(ROUTES.glob(pattern)), pattern


def test_tracks_carry_no_times_and_nothing_about_a_device() -> None:
    tracks = sorted(ROUTES.rglob("*.gpx"))
    assert tracks
    allowed = {"gpx", "metadata", "name", "wpt", "trk", "trkseg", "trkpt", "ele"}
    for track in tracks:
        found = {element.tag.split("}")[1] for element in ET.parse(track).iter()}
        assert found <= allowed, track


def test_one_route_has_no_heights_and_one_is_under_a_kilometre(built: Built) -> None:
    bare = [
        p.parent.name for p in ROUTES.glob("*/track.gpx") if "<ele>" not in p.read_text("utf-8")
    ]
    assert bare == ["college-to-northfield"]
    rides = built.truth()["rides"].items()
    assert min(ride["length_m"] for name, ride in rides if name.endswith("/track.gpx")) < 1000


def test_one_route_is_old(notes: dict[str, Any]) -> None:
    latest = {key: max(r["on"] for r in n.get("ridden", [{"on": "-"}])) for key, n in notes.items()}
    assert min(v for v in latest.values() if v != "-") < "2024"


def test_the_words_stay_calm(notes: dict[str, Any]) -> None:
    for route, content in notes.items():
        assert "!" not in str(content), route


def test_kinds_in_the_notes_are_those_of_the_streets(built: Built, notes: dict[str, Any]) -> None:
    """Every 10 m, boundaries aside, in both directions."""
    compared = 0
    for route, section, ride in _lines(built, notes):
        starts = [_metres(leg["from"]) for leg in section["legs"]]
        for direction in ("outbound", "return"):
            legs = ride["outbound" if section is not notes[route] else direction]["legs"]
            for at in range(20, int(ride["length_m"]) - 20, 10):
                if (
                    min(abs(at - edge) for leg in legs for edge in (leg["from"], leg["to"]))
                    <= NEAR_M
                ):
                    continue
                noted = section["legs"][max(i for i, s in enumerate(starts) if s <= at)]
                true = next(leg for leg in legs if leg["from"] <= at <= leg["to"])
                compared += 1
                assert true["kind"] in _kinds(noted, direction), (route, at, noted["street"])
    assert compared > 3000


def test_crossings_in_the_notes_are_where_the_roads_are(
    built: Built, notes: dict[str, Any]
) -> None:
    compared = 0
    for route, section, ride in _lines(built, notes):
        directions = ("outbound", "return") if section is notes[route] else ("outbound",)
        for direction in directions:
            noted = [
                (_metres(c["at"]), c["control"], c.get("movement", "cross"))
                for c in section.get("crossings", [])
                if c.get("direction", "both") in (direction, "both")
            ]
            for true in ride[direction]["crossings"]:
                compared += 1
                assert any(
                    abs(at - true["at"]) <= NEAR_M
                    and control == true["control"]
                    and movement == true["movement"]
                    for at, control, movement in noted
                ), (route, direction, true)
    assert compared >= 20


def test_dismounts_in_the_notes_are_where_they_must_be(built: Built, notes: dict[str, Any]) -> None:
    compared = 0
    for route, section, ride in _lines(built, notes):
        for direction in ("outbound", "return"):
            noted = [
                (_metres(d["at"]), d.get("must", "law"))
                for d in section.get("dismounts", [])
                if d.get("direction", "both") in (direction, "both")
            ]
            for true in ride[direction]["dismounts"]:
                compared += 1
                assert any(
                    abs(at - true["at"]) <= NEAR_M and must == true["must"] for at, must in noted
                ), (route, direction, true)
    assert compared >= 4


def _lines(
    built: Built, notes: dict[str, Any]
) -> Iterator[tuple[str, dict[str, Any], dict[str, Any]]]:
    """Yield (route, its notes or its `return` section, the truth) for every line but variants."""
    for name, ride in built.truth()["rides"].items():
        route, file = name.split("/")
        if file == "track.gpx":
            yield route, notes[route], ride
        elif file == "return.gpx":
            yield route, notes[route]["return"], ride


def _metres(position: str) -> float:
    if position in ("start", "finish"):
        return 0.0 if position == "start" else math.inf
    if match := re.fullmatch(r"([\d.]+) (km|m|mi)", position):
        return float(match[1]) * UNITS_M[match[2]]
    pytest.fail(f"write {position!r} as a chainage, for this test to follow it")


def _kinds(leg: dict[str, Any], direction: str) -> set[str]:
    """Return the kinds that a leg may have in a direction, at any hour."""
    values = list(leg["hours"].values()) if "hours" in leg else [leg["kind"]]
    return {v[direction] if isinstance(v, dict) else v for v in values}
