"""Every command of README and guide is run, and every option that they name is there."""

from __future__ import annotations

import re
import shlex
import shutil
import subprocess
from pathlib import Path

import click
import pytest

from guide.guide_texts import blocks, spans
from guide.prepared import NARRATED, prepare
from guide.running import OTHERWISE, run
from softpedal.cli import main
from softpedal.library.private_zones import CONFIG_VARIABLE

BLOCKS = [block for block in blocks() if block.language == "sh"]
#: A page that is followed from its first command to its last, from an empty folder on.
IN_ONE_GO = "start.md"
#: What stands for something of the reader's own, in a sentence.
_PLACEHOLDER = re.compile(r"[A-Z]{3}|[…\[]")


@pytest.fixture(scope="module")
def prepared(tmp_path_factory):
    return prepare(tmp_path_factory.mktemp("guide") / "library")


@pytest.fixture
def library(prepared, tmp_path, monkeypatch):
    """A copy of the prepared library, where commands run, with settings of its own."""
    folder = shutil.copytree(prepared, tmp_path / "library")
    monkeypatch.chdir(folder)
    monkeypatch.setenv(CONFIG_VARIABLE, str(tmp_path / "own"))
    return folder


@pytest.mark.usefixtures("library")
@pytest.mark.parametrize(
    "block", [b for b in BLOCKS if b.page != IN_ONE_GO], ids=lambda block: block.place
)
def test_the_commands_of_a_block_run(block):
    for command in block.commands:
        run(command)


def test_the_five_minutes_lead_to_a_library_without_the_ride(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv(CONFIG_VARIABLE, str(tmp_path / "own"))
    shutil.copy(NARRATED / "ride.gpx", tmp_path)
    for block in BLOCKS:
        if block.page == IN_ONE_GO:
            for command in block.commands:
                run(command)
    assert Path.cwd().name == "quiet-ways"
    run("mkdocs build --strict")
    kept = subprocess.run(["git", "ls-files"], capture_output=True, text=True, check=True).stdout
    routes = {name.split("/")[1] for name in kept.split() if name.startswith("routes/")}
    assert len(routes) == 1
    assert routes != {"an-example-to-replace"}
    assert "ride.gpx" not in kept


def test_no_command_hides_in_a_block_of_another_language():
    assert {block.language for block in blocks()} == {"sh", "text", "xml", "yaml"}
    for block in blocks():
        if block.language == "text" and block.page != "commands.md":
            assert not re.search(r"^\W*(softpedal|mkdocs|git|pip) ", block.text, re.MULTILINE)


def test_what_is_done_otherwise_is_still_in_the_guide():
    everything = {command for block in BLOCKS for command in block.commands}
    assert set(OTHERWISE) - everything == set()
    assert {c.split()[0] for c in everything - set(OTHERWISE)} >= {"softpedal", "mkdocs", "git"}


def _command(words: str) -> tuple[click.Command, list[str]]:
    """Return the command that words name, and what stands behind it."""
    parts = shlex.split(words)[1:]
    command: click.Command = main
    while parts and isinstance(command, click.Group) and parts[0] in command.commands:
        command = command.commands[parts.pop(0)]
    return command, parts


def _unknown(words: str) -> str | None:
    """Return the part of a command that the command line does not have."""
    command, parts = _command(words)
    if isinstance(command, click.Group):
        name = parts[0] if parts else "-"
        return None if name.startswith("-") or name.isupper() else name
    known = {option for p in command.params for option in (*p.opts, *p.secondary_opts)}
    used = [part for part in parts if re.fullmatch(r"--?[a-z][a-z-]*", part)]
    return next((option for option in used if option not in known | {"--help"}), None)


SPANS = spans()


@pytest.mark.parametrize(("page", "words"), [s for s in SPANS if s[1].startswith("softpedal ")])
def test_what_a_sentence_names_is_there(page, words):
    assert _unknown(words) is None, f"{page}: {words}"


def _is_whole(words: str) -> bool:
    """Whether a sentence has a command that one could type: with something to work on."""
    if _PLACEHOLDER.search(words):
        return False
    if not words.startswith("softpedal "):
        return True
    command, parts = _command(words)
    return not isinstance(command, click.Group) and any(not p.startswith("-") for p in parts)


IN_BLOCKS = {command for block in BLOCKS for command in block.commands}
WHOLE = {words for _, words in SPANS if _is_whole(words)} - IN_BLOCKS


@pytest.mark.usefixtures("library")
@pytest.mark.parametrize("words", sorted(WHOLE))
def test_a_whole_command_in_a_sentence_runs(words):
    run(words)


@pytest.mark.parametrize(
    "words", ["softpedal chek", "softpedal reports lost", "softpedal check --frm"]
)
def test_what_is_not_there_is_found(words):
    assert _unknown(words)
