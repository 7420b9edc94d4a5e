"""`softpedal chapters`: what it prints, and when it refuses."""

from __future__ import annotations

from click.testing import CliRunner

from building import leg, make_route, notes
from softpedal.cli import main
from softpedal.library.placeholders import SUMMARY


def run(library, *arguments):
    return CliRunner().invoke(main, ["chapters", "a-way", "--library", str(library), *arguments])


def made(tmp_path, *films, **changes):
    legs = [
        leg(f"{i * 300} m" if i else "start", "back street", f"Lane {i}", film=film)
        for i, film in enumerate(films)
    ]
    make_route(tmp_path, notes(**({"legs": legs} if legs else {}), **changes), id="a-way")
    return tmp_path


def test_the_whole_text_has_figures_link_caution_and_chapters(tmp_path) -> None:
    result = run(made(tmp_path, "0:20", "1:00"), "--base", "https://site.example/")
    assert (result.exit_code, result.stderr) == (0, "")
    for text in (
        "Length: 2.0 km",
        "0 % quiet, and 100 % on back streets",
        "https://site.example/routes/a-way/",
        "Quiet is not a promise of safety.",
        "\n\nChapters\n0:00 Start: Ferry Steps\n0:20 Lane 0, back street\n",
    ):
        assert text in result.stdout
    assert "Chapters" not in run(tmp_path, "--plain").stdout


def test_without_a_base_the_link_is_left_out_and_said(tmp_path) -> None:
    result = run(made(tmp_path, "0:20", "1:00"), "--part", "description")
    assert "http" not in result.stdout
    assert "0:20" not in result.stdout
    assert "Give --base" in result.stderr


def test_a_long_text_keeps_within_5000_characters(tmp_path) -> None:
    long = "word " * 399
    thanks = "thank " * 300
    library = made(tmp_path, *["0:20"], summary=long, thanks=thanks, title="T" * 120)
    result = run(library, "--part", "description")
    assert len(result.stdout.rstrip("\n")) <= 5000
    assert max(len(line) for line in result.stdout.splitlines()[:1]) == 100


def test_nothing_on_film_is_refused_but_the_description_is_not(tmp_path) -> None:
    made(tmp_path)
    refused = run(tmp_path)
    assert refused.exit_code != 0
    assert "says where it is in the film" in refused.stderr
    assert run(tmp_path, "--part", "description").exit_code == 0


def test_a_film_that_begins_before_the_line_has_no_false_start(tmp_path) -> None:
    library = made(tmp_path, "3:57", "5:00", "6:00")
    result = run(library, "--part", "chapters")
    assert result.stdout.startswith("0:00 Before the start\n3:57 Lane 0, back street\n")
    assert "The film runs for 3:57 before the line begins." in result.stderr


def test_the_folder_of_a_route_is_as_good_as_its_name(tmp_path) -> None:
    folder = made(tmp_path, "0:20", "1:00") / "routes" / "a-way"
    by_folder = CliRunner().invoke(main, ["chapters", str(folder), "--library", str(tmp_path)])
    assert by_folder.stdout == run(tmp_path).stdout
    assert by_folder.exit_code == 0


def test_what_a_draft_left_to_be_written_is_not_printed(tmp_path) -> None:
    library = made(tmp_path, "0:20", "1:00", summary=SUMMARY, status="draft")
    assert SUMMARY not in run(library).stdout
