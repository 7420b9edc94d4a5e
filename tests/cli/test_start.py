"""`softpedal start`: what it writes, says and refuses."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from softpedal.cli import main


def run(*arguments):
    return CliRunner().invoke(main, ["start", *map(str, arguments)])


def test_a_library_is_written_and_passes_the_check(tmp_path) -> None:
    folder = tmp_path / "deep" / "rides"
    result = run(folder, "--title", "Quiet ways", "--softpedal", "softpedal==9.8")
    assert (result.exit_code, result.stderr) == (0, "")
    assert f"A new library is in {folder}: 15 files." in result.stdout
    assert "softpedal private add home --start-of ride.gpx" in result.stdout
    assert (folder / "requirements.txt").read_text().splitlines()[-1] == "softpedal==9.8"
    assert 'title: "Quiet ways"' in (folder / "softpedal.yml").read_text()
    checked = CliRunner().invoke(main, ["check", str(folder)])
    assert checked.output == "1 route checked: 0 errors, 0 pieces of advice.\n"


def test_the_folder_may_be_the_one_that_one_stands_in(tmp_path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(".").exit_code == 0
    assert (tmp_path / "mkdocs.yml").is_file()


def test_a_line_is_printed_where_nobody_can_tell_what_to_install(tmp_path, monkeypatch) -> None:
    monkeypatch.setattr("softpedal.cli.start_commands.installed_requirement", lambda _: "")
    result = run(tmp_path / "rides", "--extract", "none")
    assert result.exit_code == 0
    assert "write into requirements.txt where it can be had" in result.stderr
    lines = (tmp_path / "rides/requirements.txt").read_text().splitlines()
    assert all(line.startswith("#") for line in lines)
    assert lines[-1].startswith("# softpedal @ git+https://")


@pytest.mark.parametrize(
    ("extract", "extras"), [("download", "[streets]"), ("lfs", "[streets]"), ("none", "")]
)
def test_a_map_needs_its_reader(extract, extras, tmp_path, monkeypatch) -> None:
    place = "softpedal.cli.start_commands.installed_requirement"
    monkeypatch.setattr(place, lambda asked: f"softpedal{asked}==1")
    assert run(tmp_path / "rides", "--extract", extract).exit_code == 0
    text = (tmp_path / "rides/requirements.txt").read_text()
    assert text.endswith(f"\nsoftpedal{extras}==1\n")


def test_a_folder_that_is_not_empty_is_refused(tmp_path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    result = run(tmp_path)
    assert result.exit_code == 1
    assert "is not empty: it holds mine.txt." in result.stderr
    assert "Name a folder that is new or empty; nothing was written." in result.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


REFUSED = {
    "a file": (["{file}"], 2, "is a file"),
    "no title": (["{new}", "--title", " "], 1, "cannot be the title"),
    "another way to a map": (["{new}", "--extract", "post"], 2, "download"),
    "no requirement": (["{new}", "--softpedal", "-e ."], 1, "is no requirement for softpedal"),
    "nothing": ([], 2, "FOLDER"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_cannot_be_is_refused_and_nothing_written(case, tmp_path) -> None:
    arguments, code, words = REFUSED[case]
    file = tmp_path / "file"
    file.write_text("mine")
    new = tmp_path / "new"
    result = run(*[each.format(file=file, new=new) for each in arguments])
    assert result.exit_code == code
    assert words in result.stderr
    assert not new.exists()
