"""`softpedal measure`: which routes, which format, and what a bad route does to it."""

import csv
import io
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner

import softpedal
from building import leg, make_route, notes
from softpedal.cli import main
from softpedal.library.notes import KINDS

PACKAGE = Path(softpedal.__file__).parent
BY_HOURS = notes(
    legs=[leg("start", hours={"Mo-Sa 08:00-18:00": "on foot", "otherwise": "back street"})]
)


def run(*arguments):
    return CliRunner().invoke(main, ["measure", *map(str, arguments)])


def ids(result):
    return [route["id"] for route in json.loads(result.stdout)["routes"]]


@pytest.fixture
def library(tmp_path):
    make_route(tmp_path, id="b-way")
    make_route(tmp_path, BY_HOURS, id="a-way")
    return tmp_path


@pytest.fixture
def broken(library):
    make_route(library, notes(title=None), id="bad-way")
    return library


def test_all_routes_of_a_library_by_name(library):
    result = run("--library", library, "--format", "json")
    assert result.exit_code == 0
    assert result.stderr == ""
    assert ids(result) == ["a-way", "b-way"]


def test_the_library_is_the_current_folder_by_default(library, monkeypatch):
    monkeypatch.chdir(library)
    assert ids(run("--format", "json")) == ["a-way", "b-way"]


def test_a_route_by_id(library):
    assert ids(run("b-way", "--library", library, "--format", "json")) == ["b-way"]


def test_a_route_by_path(library):
    assert ids(run(library / "routes" / "b-way", "--format", "json")) == ["b-way"]


def test_routes_in_the_order_in_which_they_are_named(library):
    result = run("b-way", "a-way", "--library", library, "--format", "json")
    assert ids(result) == ["b-way", "a-way"]


def test_the_current_folder_where_it_is_a_route(library, monkeypatch):
    monkeypatch.chdir(library / "routes" / "b-way")
    assert ids(run(".", "--format", "json")) == ["b-way"]


def test_a_route_by_path_takes_the_settings_of_its_library(library):
    (library / "softpedal.yml").write_text("cruising_speed: 7.5\n")

    def seconds():
        document = json.loads(run(library / "routes" / "b-way", "--format", "json").stdout)
        return document["routes"][0]["directions"]["outbound"]["states"][0]["ride_s"]

    slow = seconds()
    (library / "softpedal.yml").write_text("cruising_speed: 15\n")
    assert slow == pytest.approx(2 * seconds())


def test_the_json_is_what_its_schema_says(library):
    document = json.loads(run("--library", library, "--format", "json").stdout)
    schema = json.loads((PACKAGE / "measure/measures.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(document)
    assert document["schema"] == 1
    assert document["routes"][1]["length_m"] == pytest.approx(2000)


def test_csv_has_a_row_for_each_direction_and_state(library):
    result = run("--library", library, "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(result.stdout)))
    assert [(row["id"], row["direction"]) for row in rows] == [
        ("a-way", "outbound"),
        ("a-way", "outbound"),
        ("a-way", "return"),
        ("a-way", "return"),
        ("b-way", "outbound"),
        ("b-way", "return"),
    ]
    assert {f"m {kind}" for kind in KINDS} <= set(rows[0])
    assert float(rows[4]["m back street"]) == pytest.approx(2000)
    assert not result.stdout.endswith("\n\n")


def test_the_table_shows_whole_names_and_figures(library):
    name = "from-the-old-harbour-by-the-lock-and-the-alders-to-north-quay"
    make_route(library, id=name)
    result = run("--library", library)
    assert result.exit_code == 0
    assert name in result.stdout
    rows = [line.split() for line in result.stdout.splitlines() if line.startswith("b-way")]
    assert [row[:5] for row in rows] == [
        ["b-way", "outbound", "24/7", "2.0", "km"],
        ["b-way", "return", "24/7", "2.0", "km"],
    ]
    assert "…" not in result.stdout


def test_json_is_alone_on_standard_output_beside_a_bad_route(broken):
    result = run("--library", broken, "--format", "json")
    assert result.exit_code == 1
    assert ids(result) == ["a-way", "b-way"]
    assert result.stderr == (
        "routes/bad-way/notes.yml:1:1: error notes-missing: `title` is missing. (Add `title: …`.)\n"
    )


@pytest.mark.parametrize("form", ["table", "csv"])
def test_a_bad_route_is_left_out_and_reported(broken, form):
    result = run("--library", broken, "--format", form)
    assert result.exit_code == 1
    assert "b-way" in result.stdout
    assert "bad-way" not in result.stdout
    assert "routes/bad-way/notes.yml:1:1" in result.stderr


def test_a_bad_route_does_not_matter_where_another_is_meant(broken):
    result = run("b-way", "--library", broken, "--format", "json")
    assert (result.exit_code, result.stderr) == (0, "")


def test_only_a_bad_route_gives_an_empty_document(broken):
    result = run("bad-way", "--library", broken, "--format", "json")
    assert result.exit_code == 1
    assert json.loads(result.stdout) == {"schema": 1, "routes": []}
    assert run("bad-way", "--library", broken, "--format", "csv").stdout == "id\n"


def test_a_route_whose_claims_are_wrong_is_left_out(library):
    claim = notes(legs=[leg("start", "busy road")], who={"child": "with care"})
    make_route(library, claim, id="c-way")
    result = run("--library", library, "--format", "json")
    assert result.exit_code == 1
    assert ids(result) == ["a-way", "b-way"]
    assert "claim-child" in result.stderr


def test_advice_is_left_to_check(library):
    make_route(library, id="b-way", files={"plan.odt": "x"})
    result = run("--library", library, "--format", "json")
    assert (result.exit_code, result.stderr) == (0, "")


def test_bad_settings_are_reported_once_and_the_defaults_taken(library):
    (library / "softpedal.yml").write_text("units: imperal\n")
    result = run("--library", library, "--format", "json")
    assert result.exit_code == 1
    assert ids(result) == ["a-way", "b-way"]
    assert result.stderr.count("settings-value") == 1
    assert result.stderr.startswith("softpedal.yml:1:8: error")


def test_no_routes_is_misuse(tmp_path):
    result = run("--library", tmp_path)
    assert result.exit_code == 2
    assert "There are no route folders under" in result.stderr
    assert result.stdout == ""


@pytest.mark.parametrize("name", ["zzz", "", "b-way/zzz", "../routes"])
def test_an_unknown_route_is_misuse(library, name):
    result = run(name, "--library", library)
    assert result.exit_code == 2
    assert "There is no route" in result.stderr or "is not a route's folder" in result.stderr


def test_a_library_is_not_a_route(library, monkeypatch):
    monkeypatch.chdir(library)
    for name in (".", "routes"):
        result = run(name)
        assert result.exit_code == 2
        assert "holds no notes.yml" in result.stderr


def test_an_unknown_format_is_misuse(library):
    result = run("--library", library, "--format", "xml")
    assert result.exit_code == 2
    assert "'table', 'json', 'csv'" in result.stderr


def test_a_link_to_a_folder_elsewhere_is_not_followed(library, tmp_path):
    elsewhere = tmp_path / "elsewhere"
    shutil.move(library / "routes" / "b-way", elsewhere)
    (library / "routes" / "b-way").symlink_to(elsewhere)
    result = run("b-way", "--library", library, "--format", "json")
    assert result.exit_code == 1
    assert ids(result) == []


def test_as_a_program_json_is_alone_on_standard_output(broken):
    done = subprocess.run(
        [sys.executable, "-m", "softpedal.cli", "measure", "--format", "json"],
        cwd=broken,
        env={**os.environ, "PYTHONPATH": str(PACKAGE.parent), "PYTHONIOENCODING": "utf-8"},
        capture_output=True,
        check=False,
    )
    assert done.returncode == 1
    assert [route["id"] for route in json.loads(done.stdout)["routes"]] == ["a-way", "b-way"]
    assert done.stderr.decode().startswith("routes/bad-way/notes.yml:1:1: error notes-missing")


def test_help_says_what_it_does_and_what_the_exit_code_means():
    text = " ".join(run("--help").stdout.split())
    assert "Measure routes: all, or those named by id or by their folder's path." in text
    assert "the exit code is then 1" in text
    assert "Default: the current folder." in text
    assert "[ROUTE]..." in text
