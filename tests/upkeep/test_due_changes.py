"""What the map was found to say is looked up again only where it may differ."""

import pytest

from building import load, make_route
from softpedal.draft.draft_record import RECORD
from softpedal.library.kept_map_changes import (
    FILE,
    Changes,
    KeptChanges,
    folder_digest,
    keep_changes,
    read_kept_changes,
)
from softpedal.problems import CannotDoError
from softpedal.settings import Settings
from softpedal.upkeep import due_changes


@pytest.fixture
def looked(monkeypatch):
    asked = []

    def look(route, town, settings):  # noqa: ARG001 - called as `changes_since_draft` is
        asked.append(route.id)
        if route.id == "lost-way":
            raise CannotDoError("Nothing of the ride is on the map.", "Name another.")
        return [f"{route.id} changed."]

    monkeypatch.setattr(due_changes, "changes_since_draft", look)
    return asked


@pytest.fixture
def extract(tmp_path):
    path = tmp_path / "town.osm"
    path.write_text("m1")
    return path


def drafted(library, name):
    return load(make_route(library, id=name, files={RECORD: "{}"}))


def test_only_what_may_differ_is_looked_at(tmp_path, looked, extract):
    routes = [drafted(tmp_path, name) for name in ("one-way", "two-way")]
    cache = tmp_path / "cache"
    opened = []

    def found(settings=Settings()):  # noqa: B008 - it is frozen
        looked.clear()
        opened.clear()

        def open_town():
            opened.append(True)
            return "a town"

        compared = due_changes.changes_under(routes, extract, open_town, settings, cache)
        return compared.changes, list(looked), len(opened)

    expected = {"one-way": ["one-way changed."], "two-way": ["two-way changed."]}
    assert found() == (expected, ["one-way", "two-way"], 1)
    assert found() == (expected, [], 0)
    notes = routes[0].folder / "notes.yml"
    notes.write_text(notes.read_text() + "# looked over\n")
    assert found() == (expected, ["one-way"], 1)
    extract.write_text("m2")
    assert found() == (expected, ["one-way", "two-way"], 1)
    assert found(Settings(country="GB")) == (expected, ["one-way", "two-way"], 1)


def test_a_route_that_cannot_be_compared_has_no_change(tmp_path, looked, extract):
    routes = [drafted(tmp_path, "lost-way"), drafted(tmp_path, "one-way")]
    for _ in range(2):  # a failure is not kept
        compared = due_changes.changes_under(routes, extract, str, Settings(), tmp_path / "cache")
        assert compared.changes == {"one-way": ["one-way changed."]}
        assert compared.failed == {"lost-way": "Nothing of the ride is on the map. Name another."}
    assert looked == ["lost-way", "one-way", "lost-way"]


def test_what_was_never_drafted_is_counted_and_no_map_is_read(tmp_path, looked):
    routes = [load(make_route(tmp_path))]
    cache = tmp_path / "cache"
    compared = due_changes.changes_under(routes, tmp_path / "none", str, Settings(), cache)
    assert (compared.changes, compared.undrafted, looked) == ({}, 1, [])
    assert not cache.exists()


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
