"""`softpedal check`: every problem of a library, in three formats, and the exit codes."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

import softpedal
from building import make_route, notes
from softpedal.cli import main

PACKAGE = Path(softpedal.__file__).parent
KEYS = ["code", "severity", "route", "file", "line", "column", "message", "hint"]


def run(*arguments):
    return CliRunner().invoke(main, ["check", *map(str, arguments)])


def problems(result):
    document = json.loads(result.stdout)
    assert list(document) == ["schema", "problems"]
    assert document["schema"] == 1
    return document["problems"]


@pytest.fixture
def library(tmp_path):
    make_route(tmp_path, id="a-way")
    make_route(tmp_path, notes(titel="x", title=None), id="bad-way", files={"story.md": "<b>x</b>"})
    make_route(tmp_path, id="odd-way", files={"plan.odt": "x"})
    return tmp_path


@pytest.fixture
def good(tmp_path):
    make_route(tmp_path, id="a-way")
    return tmp_path


def test_no_problem_is_exit_code_0(good):
    result = run(good)
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout == "1 route checked: 0 errors, 0 pieces of advice.\n"


def test_advice_alone_is_exit_code_0(good):
    make_route(good, id="a-way", files={"plan.odt": "x"})
    result = run(good)
    assert result.exit_code == 0
    assert result.stdout == (
        "routes/a-way/plan.odt: advice file-unknown: This file is named nowhere, and no part of a "
        "route folder. (Move it away, or leave it: it is not published.)\n"
        "1 route checked: 0 errors, 1 piece of advice.\n"
    )


def test_errors_are_exit_code_1_and_each_names_its_place(library):
    result = run(library)
    assert result.exit_code == 1
    lines = result.stdout.splitlines()
    assert [line.split(" ", 3)[:3] for line in lines[:-1]] == [
        ["routes/bad-way/notes.yml:1:1:", "error", "notes-missing:"],
        ["routes/bad-way/notes.yml:14:1:", "error", "notes-unknown-key:"],
        ["routes/bad-way/story.md:1:1:", "error", "notes-html:"],
        ["routes/odd-way/plan.odt:", "advice", "file-unknown:"],
    ]
    assert "(Did you mean `title`?)" in lines[1]
    assert lines[-1] == "3 routes checked: 3 errors, 1 piece of advice."


def test_json_has_the_shape_that_is_promised(library):
    result = run(library, "--format", "json")
    assert (result.exit_code, result.stderr) == (1, "")
    found = problems(result)
    assert all(list(problem) == KEYS for problem in found)
    assert found[0] == {
        "code": "notes-missing",
        "severity": "error",
        "route": "bad-way",
        "file": "routes/bad-way/notes.yml",
        "line": 1,
        "column": 1,
        "message": "`title` is missing.",
        "hint": "Add `title: …`.",
    }
    assert [p["severity"] for p in found] == ["error", "error", "error", "advice"]


def test_json_of_a_library_without_problems(good):
    result = run(good, "--format", "json")
    assert result.exit_code == 0
    assert json.loads(result.stdout) == {"schema": 1, "problems": []}


def test_github_gets_a_line_for_each_problem_and_nothing_else(library, monkeypatch):
    monkeypatch.chdir(library)
    result = run("--format", "github")
    assert result.exit_code == 1
    assert result.stdout.splitlines() == [
        (
            "::error file=routes/bad-way/notes.yml,line=1,col=1,title=notes-missing::"
            "`title` is missing. Add `title: …`."
        ),
        (
            "::error file=routes/bad-way/notes.yml,line=14,col=1,title=notes-unknown-key::"
            "`titel` is not a key that is known. Did you mean `title`?"
        ),
        (
            "::error file=routes/bad-way/story.md,line=1,col=1,title=notes-html::The story holds "
            "raw HTML, which the page shows as text. Write it in Markdown, or put code between "
            "backticks."
        ),
        (
            "::notice file=routes/odd-way/plan.odt,title=file-unknown::This file is named "
            "nowhere, and no part of a route folder. Move it away, or leave it: it is not "
            "published."
        ),
    ]


@pytest.mark.parametrize(
    ("start", "path", "prefix"),
    [
        ("", "ways", "ways/routes/"),
        ("", "ways/routes", "ways/routes/"),
        ("", "ways/routes/bad-way", "ways/routes/"),
        ("ways", "routes/bad-way", "routes/"),
        ("ways/routes", ".", "routes/routes/"),
        ("ways/routes/bad-way", ".", "routes/"),
    ],
)
def test_files_for_github_lead_from_the_current_folder(tmp_path, monkeypatch, start, path, prefix):
    """Outside the current folder, the whole path is given."""
    make_route(tmp_path / "ways", notes(title=None), id="bad-way")
    monkeypatch.chdir(tmp_path / start)
    if start in ("ways/routes", "ways/routes/bad-way"):
        prefix = f"{tmp_path.as_posix()}/ways/routes/"
    (line,) = run(path, "--format", "github").stdout.splitlines()
    assert line.startswith(f"::error file={prefix}bad-way/notes.yml,line=1,col=1,")


def test_what_github_takes_for_a_sign_is_escaped(good):
    make_route(good, notes(**{"100%, a:b": 1}), id="a-way")
    (line,) = run(good, "--format", "github").stdout.splitlines()
    assert "`100%25, a:b` is not a key" in line


@pytest.mark.parametrize(
    "path", ["routes/bad-way", "routes/bad-way/", "./routes/../routes/bad-way"]
)
def test_one_folder_alone(library, monkeypatch, path):
    monkeypatch.chdir(library)
    result = run(path, "--format", "json")
    assert result.exit_code == 1
    assert {p["route"] for p in problems(result)} == {"bad-way"}
    assert {p["file"] for p in problems(result)} == {
        "routes/bad-way/notes.yml",
        "routes/bad-way/story.md",
    }
    assert run(path).stdout.endswith("1 route checked: 3 errors, 0 pieces of advice.\n")


def test_one_good_folder_beside_bad_ones(library):
    result = run(library / "routes" / "a-way")
    assert result.exit_code == 0
    assert result.stdout == "1 route checked: 0 errors, 0 pieces of advice.\n"


def test_one_folder_is_held_against_the_names_of_all_others(library):
    make_route(library, notes(was=["bad-way"], next=["odd-way", "zzz"]), id="a-way")
    found = problems(run(library / "routes" / "a-way", "--format", "json"))
    assert [p["code"] for p in found] == ["id-taken", "claim-next"]


def test_one_folder_brings_the_faults_of_the_settings(library):
    (library / "softpedal.yml").write_text("units: imperal\n")
    found = problems(run(library / "routes" / "a-way", "--format", "json"))
    assert [(p["code"], p["file"], p["route"]) for p in found] == [
        ("settings-value", "softpedal.yml", "")
    ]


def test_the_current_folder_by_default(library, monkeypatch):
    monkeypatch.chdir(library)
    assert run().stdout == run(library).stdout
    monkeypatch.chdir(library / "routes" / "bad-way")
    assert run().stdout == run(library / "routes" / "bad-way").stdout


def test_the_routes_folder_stands_for_the_library(library):
    assert run(library / "routes").stdout == run(library).stdout


def test_a_library_with_settings_and_no_routes_yet(tmp_path):
    (tmp_path / "softpedal.yml").write_text("title: Ways\n")
    result = run(tmp_path)
    assert result.exit_code == 0
    assert result.stdout == "0 routes checked: 0 errors, 0 pieces of advice.\n"


def test_another_folder_is_misuse(tmp_path):
    result = run(tmp_path)
    assert result.exit_code == 2
    assert "There is neither routes/ nor softpedal.yml" in result.stderr
    assert result.stdout == ""


@pytest.mark.parametrize("path", ["zzz", "routes/zzz", "routes/a-way/notes.yml"])
def test_no_folder_is_misuse(library, monkeypatch, path):
    monkeypatch.chdir(library)
    assert run(path).exit_code == 2


def test_a_name_that_is_no_utf_8_is_printed_all_the_same(good):
    (good / "routes" / os.fsdecode(b"m\xff")).mkdir()
    for form in ("text", "json", "github"):
        result = run(good, "--format", form)
        assert result.exit_code == 1
        assert "\ufffd" in result.stdout


def test_as_a_program_the_exit_code_and_the_places_arrive(library):
    done = subprocess.run(
        [sys.executable, "-m", "softpedal.cli", "check", "routes/bad-way"],
        cwd=library,
        env={**os.environ, "PYTHONPATH": str(PACKAGE.parent), "PYTHONIOENCODING": "utf-8"},
        capture_output=True,
        check=False,
    )
    assert done.returncode == 1
    assert done.stderr == b""
    assert done.stdout.startswith(b"routes/bad-way/notes.yml:1:1: error notes-missing: ")


def test_help_says_what_it_does_and_what_the_exit_codes_mean():
    text = " ".join(run("--help").stdout.split())
    assert "Report every problem in a library, or in one route's folder" in text
    assert "Exit code 0: no errors; 1: errors; 2: misuse." in text
    assert "[text|json|github]" in text


def test_the_tool_lists_its_commands():
    text = CliRunner().invoke(main, ["-h"]).stdout
    commands = [line.split()[0] for line in text.partition("Commands:\n")[2].splitlines()]
    assert {"check", "measure", "schema"} <= set(commands)


def test_schema_asks_which():
    result = CliRunner().invoke(main, ["schema", "zzz"])
    assert result.exit_code == 2
    assert "'notes', 'settings', 'measures'" in result.stderr
    assert "notes.yml" in CliRunner().invoke(main, ["schema", "--help"]).stdout
