"""softpedal due, from the command line."""

import json

import pytest
from click.testing import CliRunner

from building import make_route, notes
from demo_site import ROOT
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
    assert "Last ridden 2020-05-16, 12 months ago or more." in result.stdout
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


def test_a_map_is_looked_at_once(library):
    extract = ROOT / "site_demo/town/built/lindenferry.osm"
    result = run("--library", library, "--streets", extract)
    assert result.exit_code == 0, result.output
    assert "not looked at" not in result.stderr
    kept = json.loads((library / ".softpedal" / FILE).read_text())
    assert list(kept["routes"]) == ["long-ago"]
