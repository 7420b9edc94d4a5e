"""What has changed in the map under a route since it was drafted: advice until it is dealt with."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from edited_town import WEIR, Town, extract, library, recording, retag, run
from softpedal.draft.draft_record import RECORD
from softpedal.draft.town import open_town
from softpedal.library.load import load_route
from softpedal.settings import Settings
from softpedal.upkeep.map_changes import map_changes

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path


@pytest.fixture
def route(tmp_path: Path) -> Path:
    """A drafted route of a library whose riders cruise at 19 km/h."""
    home = library(tmp_path / "library")
    with (home / "softpedal.yml").open("a") as settings:
        settings.write("cruising_speed: 19\n")
    ride = recording(WEIR, tmp_path)
    result = run("draft", ride, "--library", home, "--streets", extract(), "--name", "weir")
    assert result.exit_code == 0, result.output
    return home / "routes" / "weir"


@pytest.fixture(scope="module")
def opened(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("opened")
    return Town().open_barriers("Bobbin Row").write(folder / "opened.osm")


def _told(route: Path, streets: Path) -> list[str]:
    loaded = load_route(route).route
    assert loaded is not None
    found = map_changes(
        loaded,
        open_town(streets, route.parents[1] / ".softpedal", "GB"),
        Settings(cruising_speed=19),
    )
    assert {(p.code, p.severity) for p in found} <= {("map-changed", "advice")}
    return [p.message for p in found]


def _again(route: Path, streets: Path) -> None:
    home = route.parents[1]
    result = run("draft", "--again", route, "--library", home, "--streets", streets, "--yes")
    assert result.exit_code == 0, result.output


def _edit(route: Path, *edits: tuple[str, str]) -> None:
    text = (route / "notes.yml").read_text(encoding="utf-8")
    for old, new in edits:
        assert old in text
        text = text.replace(old, new)
    (route / "notes.yml").write_text(text, encoding="utf-8", newline="\n")


def test_the_same_map_has_no_changes(route: Path) -> None:
    assert _told(route, extract()) == []


def test_a_map_that_changed_elsewhere_has_none(route: Path, tmp_path: Path) -> None:
    """Another digest, and nothing else on this line, whatever the cruising speed."""
    town = Town()
    for node in town.nodes_along("Barrel Lane"):
        retag(node, {})
    assert _told(route, town.write(tmp_path / "elsewhere.osm")) == []


def test_each_change_is_told_with_the_date(route: Path, opened: Path) -> None:
    since = "The map has changed since the extract of 2026-01-01; changed: legs at 250 m, Bobbin"
    assert _told(route, opened) == [
        f"{since} Row: kind was filtered street, is back street.",
        f"{since} Row: closed_by was planters on Bobbin Row, is nothing.",
    ]


def test_after_drafting_again_it_is_told_no_more(route: Path, opened: Path) -> None:
    _again(route, opened)
    assert _told(route, opened) == []


def test_what_the_author_has_put_right_is_told_no_more(route: Path, opened: Path) -> None:
    _edit(
        route,
        ("kind: filtered street\n    closed_by: planters on Bobbin Row\n", "kind: back street\n"),
    )
    assert _told(route, opened) == []


def test_what_the_author_confirmed_is_told_until_they_say_it_stays(
    route: Path, opened: Path
) -> None:
    _edit(route, ("source: map", "source: ridden"))
    told = _told(route, opened)
    assert any("Bobbin Row: kind stays filtered street; the map now says" in line for line in told)
    _again(route, opened)
    assert _told(route, opened) == []


def test_what_was_taken_out_is_no_change_of_the_map(
    route: Path, opened: Path, tmp_path: Path
) -> None:
    text = (route / "notes.yml").read_text(encoding="utf-8")
    head, rest = text.split("\nbarriers:\n")
    (route / "notes.yml").write_text(head + rest[rest.index("\ntrack:") :], encoding="utf-8")
    town = Town()
    for node in town.nodes_along("Barrel Lane"):
        retag(node, {})
    assert _told(route, town.write(tmp_path / "elsewhere.osm")) == []
    told = _told(route, opened)
    assert len(told) == 2
    assert all("Bobbin Row" in line for line in told)


def test_a_route_without_a_record_has_none(route: Path, opened: Path) -> None:
    (route / RECORD).unlink()
    assert _told(route, opened) == []


def _damage(route: Path) -> None:
    (route / RECORD).write_text("{")


def test_a_damaged_record_is_advice(route: Path, opened: Path) -> None:
    _damage(route)
    (told,) = _told(route, opened)
    assert told == ".draft.json is damaged: it is no JSON."


def test_a_map_of_another_town_is_advice(route: Path, tmp_path: Path) -> None:
    """All that lies west of the route is left."""
    elsewhere = Town().cut_at(lambda _, lon: lon > -20.02).write(tmp_path / "east.osm")
    result = run("check", route.parents[1], "--streets", elsewhere)
    assert result.exit_code == 0, result.output
    assert "advice map-changed: Nothing of the ride is on the map" in result.output


@pytest.mark.parametrize("damage", [_damage])
def test_check_goes_on(route: Path, opened: Path, damage: Callable[[Path], None]) -> None:
    damage(route)
    result = run("check", route.parents[1], "--streets", opened)
    assert result.exit_code == 0, result.output
    assert "advice map-changed: .draft.json is damaged" in result.output
    assert "advice map-filtered: Bobbin Row" in result.output
