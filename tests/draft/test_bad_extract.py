"""Map extracts that are none are refused with a message, and nothing is left on the disk."""

from __future__ import annotations

import builtins
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from draft.refused import drafted, refused
from edited_town import WEIR, Town, extract, files_in, library, recording, run, tags_of
from softpedal.streets import extract as extracts

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path


def _packed(folder: Path) -> Path:
    """The town as .osm.pbf."""
    osmium = pytest.importorskip("osmium")
    path = folder / "town.osm.pbf"
    with osmium.SimpleWriter(str(path)) as writer:
        for thing in osmium.FileProcessor(str(extract())):
            writer.add(thing)
    return path


def _cut(path: Path, share: float) -> Path:
    content = path.read_bytes()
    path.write_bytes(content[: int(len(content) * share)])
    return path


def _bytes(folder: Path, name: str, content: bytes) -> Path:
    (folder / name).write_bytes(content)
    return folder / name


def _without_ways(folder: Path) -> Path:
    town = Town()
    for way in town.ways:
        town.tree.getroot().remove(way)
    return town.write(folder / "bare.osm")


def _only_buildings(folder: Path) -> Path:
    town = Town()
    for way in town.ways:
        if "highway" in tags_of(way):
            town.tree.getroot().remove(way)
    return town.write(folder / "houses.osm")


EXTRACTS: dict[str, tuple[Callable[[Path], Path], str]] = {
    "missing": (lambda folder: folder / "none.osm.pbf", "there is no such file"),
    "a folder": (lambda folder: folder, "there is no such file"),
    "half a pbf": (lambda folder: _cut(_packed(folder), 0.5), "it is cut short or no extract"),
    "a tenth of a pbf": (lambda folder: _cut(_packed(folder), 0.1), "it is cut short or no"),
    "most of a pbf": (lambda folder: _cut(_packed(folder), 0.98), "it is cut short or no"),
    "half an xml": (
        lambda folder: _cut(Town().write(folder / "half.osm"), 0.5),
        "it is cut short or no extract",
    ),
    "random bytes": (
        lambda folder: _bytes(folder, "x.osm.pbf", np.random.default_rng(1).bytes(5000)),
        "it is cut short or no extract",
    ),
    "a text": (lambda folder: _bytes(folder, "x.osm.pbf", b"Mind the gap.\n"), "no extract"),
    "empty": (lambda folder: _bytes(folder, "x.osm.pbf", b""), "x.osm.pbf"),
    "empty xml": (lambda folder: _bytes(folder, "x.osm", b""), "x.osm"),
    "another name": (lambda folder: _bytes(folder, "x.zip", b"PK"), "it is cut short or no"),
    "no ways": (_without_ways, "there is no street in it"),
    "no streets": (_only_buildings, "there is no street in it"),
}


@pytest.mark.parametrize("name", EXTRACTS)
@pytest.mark.parametrize("command", ["draft", "streets", "check"])
def test_an_extract_that_is_none(name: str, command: str, tmp_path: Path) -> None:
    make, word = EXTRACTS[name]
    home, ride = library(tmp_path / "library"), recording(WEIR, tmp_path)
    streets = make(tmp_path)
    arguments = {
        "draft": ("draft", ride, "--library", home, "--streets", streets),
        "streets": ("streets", streets, "--library", home),
        "check": ("check", home, "--streets", streets),
    }
    result = run(*arguments[command])
    refused(result, home, f"{streets.name}: ", word)
    assert str(tmp_path) not in result.output
    assert not (home / ".softpedal").exists()


def test_no_extract_is_misuse_where_a_map_was_used_before(tmp_path: Path) -> None:
    """A draft without a map would take out all that the map had said."""
    home = library(tmp_path / "library")
    assert drafted(recording(WEIR, tmp_path), home, extract(), "--name", "weir").exit_code == 0
    before = files_in(home)
    result = run("draft", "--again", home / "routes" / "weir", "--library", home, "--yes")
    assert result.exit_code == 2
    assert "Name a map extract with --streets, or `extract` in" in result.output
    assert files_in(home) == before


def test_without_osmium(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    home, ride = library(tmp_path / "library"), recording(WEIR, tmp_path)
    known = builtins.__import__

    def without(name: str, *more: Any, **named: Any) -> Any:
        if name.partition(".")[0] == "osmium":
            raise ImportError(name)
        return known(name, *more, **named)

    monkeypatch.setattr(builtins, "__import__", without)
    with pytest.raises(extracts.ExtractError), extracts.opened(extract()):
        pass
    words = "needs the library osmium", "pip install 'softpedal[streets]'"
    refused(drafted(ride, home, extract()), home, *words)
