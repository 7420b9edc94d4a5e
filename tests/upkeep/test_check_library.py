"""All problems of a library in one run: collected, sorted, told once, as plain data."""

import dataclasses
import json

import pytest

from building import leg, make_route, notes
from softpedal.problems import CODES, Problem, sort_problems
from softpedal.upkeep.check import check_library, github_line, problems_document


@pytest.fixture
def library(tmp_path):
    make_route(tmp_path, notes(title=None, titel="x"), id="b-way")
    make_route(tmp_path, id="c-way", files={"plan.odt": "x"})
    make_route(tmp_path, notes(next=["zzz"]), id="a-way", gpx="<gpx")
    (tmp_path / "softpedal.yml").write_text("units: imperal\n")
    return tmp_path


def test_all_problems_of_all_folders_come_in_one_run(library):
    found = [(p.route, p.code) for p in check_library(library)]
    assert found == [
        ("", "settings-value"),
        ("a-way", "gpx-syntax"),
        ("b-way", "notes-missing"),
        ("b-way", "notes-unknown-key"),
        ("c-way", "file-unknown"),
    ]


def test_checking_again_gives_the_same(library):
    assert check_library(library) == check_library(library)


def test_one_route_alone_keeps_the_problems_of_the_library(library):
    assert [p.route for p in check_library(library, ["b-way"])] == ["", "b-way", "b-way"]
    assert [p.route for p in check_library(library, ["a-way", "c-way"])] == ["", "a-way", "c-way"]


def test_claims_are_checked_with_the_settings_of_the_library(tmp_path):
    """What a claim says depends on measures, which come with the settings of the library."""
    claim = notes(legs=[leg("start", "busy road")], who={"child": "with care"})
    make_route(tmp_path, claim)
    assert [p.code for p in check_library(tmp_path)] == ["claim-child"]


def test_the_same_fault_is_told_once(tmp_path):
    """Two variants of one file read it twice."""
    variant = {
        "file": "quay.gpx",
        "leave": "0.5 km",
        "rejoin": "1 km",
        "why": "Level.",
        "legs": [leg("start", "back street")],
    }
    make_route(tmp_path, notes(variants=[variant, variant]), files={"quay.gpx": "<gpx"})
    assert [p.code for p in check_library(tmp_path)] == ["gpx-syntax"]


def test_a_library_without_routes_has_no_problem(tmp_path):
    assert check_library(tmp_path) == []


class TestProblem:
    """The one way to report a fault."""

    def test_it_reads_as_file_line_column_severity_code_message_and_hint(self):
        problem = Problem("notes-value", "routes/a/notes.yml", 3, 7, "Wrong.", "Write it right.")
        text = "routes/a/notes.yml:3:7: error notes-value: Wrong. (Write it right.)"
        assert str(problem) == text

    def test_it_leaves_out_what_is_not_known(self):
        whole = Problem("file-missing", "routes/a/notes.yml", 0, 0, "None.", severity="advice")
        assert str(whole) == "routes/a/notes.yml: advice file-missing: None."
        line = Problem("notes-html", "routes/a/story.md", 3, 0, "HTML.")
        assert str(line) == "routes/a/story.md:3: error notes-html: HTML."

    def test_a_code_must_be_known(self):
        with pytest.raises(ValueError, match="zzz"):
            Problem("zzz", "a", 1, 1, "x")

    def test_problems_are_sorted_by_route_file_and_place(self):
        problems = [
            Problem("notes-value", file, line, column, "x", route=route)
            for route, file, line, column in [
                ("", "softpedal.yml", 9, 9),
                ("a", "notes.yml", 2, 9),
                ("a", "notes.yml", 10, 1),
                ("a", "track.gpx", 1, 1),
                ("b", "notes.yml", 1, 1),
            ]
        ]
        assert sort_problems(reversed(problems)) == problems

    def test_every_code_has_a_rule_in_one_sentence(self):
        for rule in CODES.values():
            assert rule.endswith(".")


def test_the_document_is_plain_data_in_a_fixed_order(library):
    problems = check_library(library)
    document = problems_document(problems)
    assert json.loads(json.dumps(document)) == document
    fields = [field.name for field in dataclasses.fields(Problem)]
    for plain, problem in zip(document["problems"], problems, strict=True):
        assert sorted(plain) == sorted(fields)
        assert all(plain[name] == getattr(problem, name) for name in fields)
        assert not plain["file"].startswith("/")


@pytest.mark.parametrize(
    ("problem", "line"),
    [
        (Problem("notes-value", "a:b,c%.yml", 3, 0, "x"), "::error file=a%3Ab%2Cc%25.yml,line=3,"),
        (Problem("notes-value", "a.yml", 0, 0, "x\ny\r: z, 5 %"), "::x%0Ay%0D: z, 5 %25"),
        (Problem("notes-value", "a.yml", 3, 7, "x", "y"), "file=a.yml,line=3,col=7,"),
        (Problem("notes-value", "a.yml", 3, 7, "x", "y"), "title=notes-value::x y"),
        (
            Problem("notes-value", "a.yml", 0, 0, "x", severity="advice"),
            "::notice file=a.yml,title",
        ),
    ],
)
def test_a_line_for_github(problem, line):
    assert line in github_line(problem)
    assert github_line(problem).count("\n") == 0


def test_a_line_for_github_leads_to_the_file():
    problem = Problem("notes-value", "routes/a/notes.yml", 0, 0, "x")
    assert "file=ways/routes/a/notes.yml," in github_line(problem, "ways/")
