"""`softpedal newsletter`: which routes, where they are told from, and when it refuses."""

from __future__ import annotations

import datetime as dt
import email
import os
import subprocess
from email.policy import default

import pytest
from click.testing import CliRunner

from building import make_route, notes
from mail_html import issue_html
from softpedal.cli import main, share_commands

BASE = "https://lindenferry.example/"
TODAY = dt.datetime(2026, 11, 20, 12, tzinfo=dt.UTC)


@pytest.fixture(autouse=True)
def _alone(monkeypatch, tmp_path_factory) -> None:
    """A fixed day, no repository around the folder, and no configuration of who runs the tests."""
    monkeypatch.setattr(share_commands, "now_in", lambda _: TODAY)
    for name in [name for name in os.environ if name.startswith("GIT_")]:
        monkeypatch.delenv(name)
    monkeypatch.setenv("GIT_CONFIG_NOSYSTEM", "1")
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", os.devnull)
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path_factory.getbasetemp()))


def rides(*days):
    return [{"on": day, "direction": "both"} for day in days]


@pytest.fixture
def library(tmp_path):
    folder = tmp_path / "library"
    make_route(folder, notes(title="Fresh", ridden=rides("2026-10-02")), id="fresh")
    make_route(folder, notes(title="Known", ridden=rides("2025-01-01")), id="known")
    make_route(
        folder, notes(title="Secret", status="draft", ridden=rides("2026-10-03")), id="draft"
    )
    (folder / "softpedal.yml").write_text(
        "title: Quiet ways\ncards: true\nreport_address: mailto:r@lindenferry.example\n"
    )
    return folder


def run(library, *arguments, base=BASE):
    told = ["newsletter", "--library", str(library), *(["--base", base] if base else [])]
    return CliRunner().invoke(main, [*told, *arguments])


def git(folder, *arguments, day="2026-01-01"):
    who = {
        f"GIT_{r}_{k}": "t@l.example" for r in ("AUTHOR", "COMMITTER") for k in ("NAME", "EMAIL")
    }
    when = {f"GIT_{role}_DATE": f"{day}T12:00:00Z" for role in ("AUTHOR", "COMMITTER")}
    subprocess.run(
        ["git", "-C", folder, *arguments],
        env={**os.environ, **who, **when},
        check=True,
        capture_output=True,
    )


def commit(folder, day):
    git(folder, "add", "--all")
    git(folder, "commit", "--quiet", "--message", day, day=day)


def test_by_the_dates_in_the_notes_where_there_is_no_git(library) -> None:
    result = run(library, "--since", "2026-10-01")
    assert result.exit_code == 0
    assert result.stderr == "By the dates in the notes: this is no git repository.\n"
    walked = issue_html(result.stdout)
    assert walked.faults == []
    assert "Fresh" in walked.text
    assert "Known" not in walked.text
    assert "Secret" not in walked.text


def test_by_the_git_history_where_it_reaches_back(library) -> None:
    git(library, "init", "--quiet")
    make_route(library, notes(title="Gone", ridden=rides("2024-01-01")), id="gone")
    (library / "routes" / "fresh").rename(library / "routes" / "later")
    commit(library, "2026-09-01")
    (library / "routes" / "later").rename(library / "routes" / "fresh")
    make_route(library, notes(title="Fresh", ridden=rides("2026-10-02"), was="later"), id="fresh")
    make_route(library, notes(title="Late", ridden=rides("2020-01-01")), id="late")
    for path in (library / "routes" / "gone").iterdir():
        path.unlink()
    (library / "routes" / "gone").rmdir()
    commit(library, "2026-10-05")
    result = run(library, "--since", "2026-10-01", "--format", "text")
    assert result.exit_code == 0, result.stderr
    assert result.stderr == "By the git history.\n"
    assert "\nLate\n" in result.stdout
    assert "No longer offered: Gone." in result.stdout
    assert "Fresh" not in result.stdout, "it is known by its old id"
    assert "Known" not in result.stdout


def test_a_history_that_begins_later_gives_way_to_the_dates(library) -> None:
    git(library, "init", "--quiet")
    commit(library, "2026-11-01")
    result = run(library, "--since", "2026-10-01", "--format", "text")
    assert result.stderr == "By the dates in the notes: the git history begins after that day.\n"
    assert "\nFresh\n" in result.stdout


def test_routes_are_named_by_their_ids(library) -> None:
    result = run(library, "--routes", "known, fresh,known", "--format", "text")
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout.index("\nKnown\n") < result.stdout.index("\nFresh\n")
    assert result.stdout.count("\nKnown\n") == 1


@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    [
        ([], 2, "either --since or --routes"),
        (["--since", "2026-10-01", "--routes", "known"], 2, "either --since or --routes"),
        (["--since", "last week"], 2, "--since"),
        (["--since", "2026-11-21"], 1, "2026-11-21 is still to come"),
        (["--since", "2026-11-20"], 1, "There is nothing to tell since 2026-11-20."),
        (["--since", "0001-01-01"], 0, "there was no git then"),
        (["--routes", "../x"], 2, "There is no route `../x`"),
        (["--routes", " , "], 1, "There is nothing to tell"),
        (["--routes", "draft"], 1, "draft is a draft"),
    ],
)
def test_what_cannot_be_done_is_said(library, arguments, code, words) -> None:
    result = run(library, *arguments)
    assert result.exit_code == code
    assert words in result.stderr
    assert (result.stdout == "") == bool(code)


@pytest.mark.parametrize("base", ["", "lindenferry.example", "file:///srv"])
def test_without_the_sites_address_nothing_is_written(library, base) -> None:
    result = run(library, "--routes", "known", base=base)
    assert (result.exit_code, result.stdout) == (1, "")
    assert "site_url" in result.stderr
    assert "--base" in result.stderr


def test_the_address_is_that_of_mkdocs_yml(library) -> None:
    (library / "mkdocs.yml").write_text(f"site_url: {BASE}rides/\nuse_directory_urls: false\n")
    result = run(library, "--routes", "known", base="")
    assert f"{BASE}rides/routes/known/index.html" in issue_html(result.stdout).links


def test_a_route_with_an_error_is_left_out_and_the_issue_is_written(library) -> None:
    make_route(library, notes(title="Broken", titel="x"), id="broken")
    result = run(library, "--since", "2026-10-01")
    assert result.exit_code == 1
    assert "routes/broken/notes.yml" in result.stderr
    assert "Fresh" in result.stdout
    assert "Broken" not in result.stdout
    named = run(library, "--routes", "broken,known")
    assert named.exit_code == 1
    assert "Known" in named.stdout
    alone = run(library, "--routes", "broken")
    assert (alone.exit_code, alone.stdout) == (1, "")
    assert "nothing to tell" in alone.stderr


def test_an_eml_is_written_to_a_new_file_only(library, tmp_path) -> None:
    to, intro = tmp_path / "issue.eml", tmp_path / "hello.md"
    intro.write_text("Hello **there**.\n")
    arguments = ["--routes", "known", "--format", "eml", "--intro", str(intro), "--to", str(to)]
    result = run(library, *arguments, "--subject", "Known\r\nBcc: x@y.example")
    assert (result.exit_code, result.stdout) == (0, "")
    message = email.message_from_bytes(to.read_bytes(), policy=default)
    assert message["Subject"] == "Known Bcc: x@y.example"
    assert message["From"] == "r@lindenferry.example"
    assert message["Date"].datetime == TODAY
    text, html = message.iter_parts()
    assert "Hello **there**." in text.get_content()
    assert "Hello <strong>there</strong>." in html.get_content()
    there = to.read_bytes()
    again = run(library, *arguments)
    assert again.exit_code == 2
    assert "is there already" in again.stderr
    assert to.read_bytes() == there


def test_an_eml_goes_to_standard_output_byte_for_byte(library) -> None:
    result = run(library, "--routes", "known", "--format", "eml")
    assert result.stdout_bytes.count(b"\r\n") == result.stdout_bytes.count(b"\n") > 100


def test_what_an_issue_does_without_is_said(library) -> None:
    (library / "softpedal.yml").unlink()
    result = run(library, "--routes", "known", "--format", "eml")
    assert "`cards: true`" in result.stderr
    assert "`newsletter_from`" in result.stderr
    assert run(library, "--routes", "known", "--format", "text").stderr == ""


@pytest.mark.parametrize(
    ("content", "words"), [(b"a\xffb", "hello.md:1:2:"), (b"x" * 70_000, "65,536 bytes")]
)
def test_opening_words_that_are_no_text_are_refused(library, tmp_path, content, words) -> None:
    intro = tmp_path / "hello.md"
    intro.write_bytes(content)
    result = run(library, "--routes", "known", "--intro", str(intro))
    assert (result.exit_code, result.stdout) == (1, "")
    assert words in result.stderr


def test_many_routes_are_told_in_short_and_that_is_said(library) -> None:
    for number in range(40):
        changes = {"title": f"Way {number}", "summary": "word " * 200}
        make_route(library, notes(ridden=rides("2026-10-02"), **changes), id=f"way-{number}")
    result = run(library, "--since", "2026-10-01")
    assert result.exit_code == 0
    assert "told in short: an issue has room for 70 kB." in result.stderr
    assert len(result.stdout_bytes) <= 70_000
    assert len(set(issue_html(result.stdout).links)) == 41 + 2
