"""Runs a command of the guide as its reader would, in the folder where the test stands."""

from __future__ import annotations

import os
import re
import shlex
import socket
import subprocess
import sys
import time
import tomllib
import urllib.error
import urllib.request
from pathlib import Path

from click.testing import CliRunner

from guide.guide_texts import ROOT
from softpedal.cli import main
from softpedal.library.reports import load_reports

#: Seconds in which `mkdocs serve` must answer; a slow machine takes a few.
_SERVED_WITHIN = 60
_OWN = {
    f"GIT_{who}_{what}": "a@example.org"
    for who in ("AUTHOR", "COMMITTER")
    for what in ("NAME", "EMAIL")
}


def run(command: str) -> None:
    """Run a command, or do what `OTHERWISE` has for it; what fails is an AssertionError."""
    program, *arguments = shlex.split(command)
    if command in OTHERWISE:
        OTHERWISE[command]()
    elif program == "cd":
        os.chdir(arguments[0])
    elif program == "softpedal":
        if "KEY" in arguments:
            key = load_reports(Path()).reports[0].key
            arguments[arguments.index("KEY")] = key
        done = CliRunner().invoke(main, arguments, input="y\n")
        assert done.exit_code == 0, f"{command}\n{done.output}\n{done.exception!r}"
    else:
        words = [sys.executable, "-m", program] if program == "mkdocs" else [program]
        _done([*words, *arguments])


def _done(words: list[str]) -> str:
    env = {**os.environ, **_OWN, "NO_MKDOCS_2_WARNING": "1"}
    done = subprocess.run(words, capture_output=True, text=True, check=False, env=env)
    assert done.returncode == 0, f"{shlex.join(words)}\n{done.stdout}\n{done.stderr}"
    return done.stdout


def _makes_an_environment() -> None:
    """An environment without pip, which takes long to put in and which nothing here uses."""
    _done([sys.executable, "-m", "venv", "--without-pip", ".venv"])


def _is_a_shell_s_own() -> None:
    """`.` changes the shell that reads it, so that the file which it reads must be there."""
    text = Path(".venv/bin/activate").read_text(encoding="utf-8")
    assert "VIRTUAL_ENV" in text


def _names_an_extra() -> None:
    """pip fetches packages from the network: that the extra is one is looked up instead."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert any(line.startswith("osmium") for line in project["optional-dependencies"]["streets"])
    assert "softpedal" in project["scripts"]


def _dry(target: str) -> None:
    """`make demo` serves for ever, `make test` runs this test: what they would do is listed."""
    said = _done(["make", "--dry-run", "--directory", str(ROOT), target])
    assert re.search(r"mkdocs build --strict", said)


def _serve() -> None:
    """`mkdocs serve` never ends: it is run on a free port until it answers, and stopped."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        address = f"127.0.0.1:{free.getsockname()[1]}"
    words = [sys.executable, "-m", "mkdocs", "serve", "--dev-addr", address]
    env = {**os.environ, "NO_MKDOCS_2_WARNING": "1"}
    with Path("served.log").open("w+", encoding="utf-8") as log:
        server = subprocess.Popen(words, stdout=log, stderr=log, env=env)
        try:
            assert _answers(f"http://{address}/", server), Path("served.log").read_text("utf-8")
        finally:
            server.terminate()
            server.wait(timeout=30)
    Path("served.log").unlink()


def _answers(address: str, server: subprocess.Popen[bytes]) -> bool:
    end = time.monotonic() + _SERVED_WITHIN
    while time.monotonic() < end and server.poll() is None:
        try:
            with urllib.request.urlopen(address, timeout=5) as answer:
                return b"<title>" in answer.read()
        except (urllib.error.URLError, ConnectionError):
            time.sleep(0.1)
    return False


#: Commands that cannot be run as they stand, and what is done instead.
OTHERWISE = {
    "make demo": lambda: _dry("demo"),
    "make test": lambda: _dry("test"),
    "python3 -m venv .venv": _makes_an_environment,
    ". .venv/bin/activate": _is_a_shell_s_own,
    "pip install '/path/to/softpedal[streets]'": _names_an_extra,
    "mkdocs serve": _serve,
}
