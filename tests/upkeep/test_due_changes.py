"""What the map was found to say is looked up again only where it may differ."""

import pytest

from building import load, make_route
from softpedal.library.kept_map_changes import (
    FILE,
    Changes,
    KeptChanges,
    folder_digest,
    keep_changes,
    read_kept_changes,
)
from softpedal.problems import Problem
from softpedal.settings import Settings
from softpedal.upkeep import due_changes


class Map:
    """As much of a town as is asked."""

    def __init__(self, digest):
        self.network = self
        self.digest = digest


@pytest.fixture
def looked(monkeypatch):
    asked = []

    def look(route, town, settings):  # noqa: ARG001 - called as `map_changes` is
        asked.append(route.id)
        return [Problem("map-changed", "notes.yml", 1, 1, f"{route.id} changed.")]

    monkeypatch.setattr(due_changes, "map_changes", look)
    return asked


def test_only_what_may_differ_is_looked_at(tmp_path, looked):
    routes = [load(make_route(tmp_path, id=name)) for name in ("one-way", "two-way")]
    cache = tmp_path / "cache"

    def found(digest="m1"):
        looked.clear()
        return due_changes.changes_under(routes, Map(digest), Settings(), cache), list(looked)

    expected = {"one-way": ["one-way changed."], "two-way": ["two-way changed."]}
    assert found() == (expected, ["one-way", "two-way"])
    assert found() == (expected, [])
    notes = routes[0].folder / "notes.yml"
    notes.write_text(notes.read_text() + "# looked over\n")
    assert found() == (expected, ["one-way"])
    assert found("m2") == (expected, ["one-way", "two-way"])


def test_what_is_kept_holds_for_the_folder_as_it_was(tmp_path):
    folder = make_route(tmp_path)
    changes = Changes(folder=folder_digest(folder), texts=["A new gate."])
    keep_changes(tmp_path / "cache", KeptChanges(extract="m1", routes={folder.name: changes}))
    kept = read_kept_changes(tmp_path / "cache")
    assert kept.of(folder) == ["A new gate."]
    (folder / "return.gpx").write_text("new")
    assert kept.of(folder) is None


@pytest.mark.parametrize("content", ["", "{", '{"form": 2, "extract": "x", "routes": {}}', "[]"])
def test_a_file_of_another_form_is_nothing_kept(content, tmp_path):
    (tmp_path / FILE).write_text(content)
    assert read_kept_changes(tmp_path).routes == {}
