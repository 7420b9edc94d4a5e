"""softpedal due, from the command line."""

import json

import pytest
from click.testing import CliRunner

from building import make_route, notes
from edited_town import WEIR, Town, extract, recording
from edited_town import library as edited_library
from edited_town import run as draft
from softpedal.cli import main
from softpedal.library.kept_map_changes import FILE


def run(*arguments):
    return CliRunner().invoke(main, ["due", *map(str, arguments)])


@pytest.fixture
def library(tmp_path):
    rides = [{"on": "2020-05-16", "direction": "both"}]
    make_route(tmp_path, notes(title="Long ago", ridden=rides), id="long-ago")
    make_route(tmp_path, notes(title="Broken", legs=[]), id="broken")
    return tmp_path


def test_it_lists_what_is_due_and_says_what_it_did_not_look_at(library):
    result = run("--library", library)
    assert result.exit_code == 0, result.output
    assert "  long-ago, last ridden 2020-05-16\n" in result.stdout
    assert "Both ways last ridden 2020-05-16, 12 months ago or more." in result.stdout
    assert "1 of 1 route is due." in result.stdout
    assert "The map was not looked at" in result.stderr
    assert "broken has errors and is passed over" in result.stderr


def test_months_are_asked_for(library):
    assert "Nothing speaks for a new ride" in run("--library", library, "--months", "600").stdout
    assert run("--library", library, "--months", "0").exit_code == 2


def test_json_is_one_document(library):
    document = json.loads(run("--library", library, "--format", "json").stdout)
    assert (document["schema"], document["months"]) == (1, 12)
    (route,) = document["routes"]
    assert route["reasons"][0]["sort"] == "age"
    assert route["last_ridden"] == "2020-05-16"


def test_faults_in_alerts_and_reports_stop_it(library):
    (library / "alerts.yml").write_text("- at: 1 km\n")
    result = run("--library", library)
    assert result.exit_code == 1
    assert "alerts.yml:1" in result.stderr


def test_a_library_without_routes_has_nothing_due(tmp_path):
    (tmp_path / "routes").mkdir()
    assert run("--library", tmp_path).stdout.startswith("0 of 0 routes are due.")


def test_routes_that_were_never_drafted_are_counted(library):
    result = run("--library", library, "--streets", extract())
    assert result.exit_code == 0, result.output
    assert "not looked at" not in result.stderr
    assert "Not compared with the map: 1 route that no `softpedal draft` has made" in result.stderr


def test_an_extract_that_is_not_there_is_told_or_refused(library):
    (library / "softpedal.yml").write_text("extract: town.osm\n")
    result = run("--library", library)
    assert result.exit_code == 0, result.output
    assert "The map was not looked at: there is no town.osm." in result.stderr
    assert run("--library", library, "--streets", library / "other.osm").exit_code == 1


def test_a_report_on_no_route_is_told(library):
    (library / "reports.yml").write_text(
        "- {key: r0000000001, route: nowhere, sort: changed, on: 2026-01-01, text: A gate.,"
        " state: open}\n"
    )
    assert "1 open report on no route that could be read" in run("--library", library).stderr


def test_what_the_map_says_otherwise_is_a_reason_and_kept(tmp_path):
    home = edited_library(tmp_path / "library")
    ride = recording(WEIR, tmp_path)
    drafted = draft("draft", ride, "--library", home, "--streets", extract(), "--name", "weir")
    assert drafted.exit_code == 0, drafted.output
    notes_file = home / "routes" / "weir" / "notes.yml"
    text = notes_file.read_text(encoding="utf-8")
    text = text.replace("status: draft", "status: published").replace(
        "summary: To be filled in", "summary: Along the weir"
    )
    notes_file.write_text(text, encoding="utf-8")
    opened = Town().open_barriers("Bobbin Row").write(tmp_path / "opened.osm")
    for _ in range(2):
        result = run("--library", home, "--streets", opened, "--format", "json")
        assert result.exit_code == 0, result.output
        document = json.loads(result.stdout)
        (route,) = (r for r in document["routes"] if r["id"] == "weir")
        told = [r["text"] for r in route["reasons"] if r["sort"] == "map"]
        assert any("Bobbin Row: kind was filtered street, is back street" in t for t in told)
        assert "weir" in document["map_compared"]
    kept = json.loads((home / ".softpedal" / FILE).read_text())
    assert kept["routes"]["weir"]["texts"] == told
