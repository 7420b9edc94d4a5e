"""The library as it stood on a day, from its git history; git is only read, never written to."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from softpedal.library.folder_files import NOTES, ROUTES
from softpedal.library.library_alerts import FILE_NAME as ALERTS
from softpedal.library.library_alerts import alerts_in, passed
from softpedal.library.past_notes import PastAlert, PastNotes, past_notes
from softpedal.library.values import ROUTE_ID
from softpedal.library.yaml_source import MAX_BYTES
from softpedal.problems import CannotDoError

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable
    from pathlib import Path

    from softpedal.library.library_alerts import LibraryAlert
    from softpedal.library.route import Route

#: Seconds for one call of git.
TIMEOUT_S = 30
#: The year 2001, before which git was not: it reads smaller numbers as other dates.
_FIRST_S = 1_000_000_000
#: Nothing that a configuration names is run, nothing is fetched, no lock is taken.
_QUIETLY = (
    "--no-pager",
    "--no-optional-locks",
    "--no-replace-objects",
    "-c",
    "core.fsmonitor=false",
    "-c",
    f"core.hooksPath={os.devnull}",
)
#: Of git's variables only those are kept that say where it may look and whom it trusts.
_KEPT = re.compile(r"GIT_(CONFIG_|CEILING_DIRECTORIES$|DISCOVERY_ACROSS_FILESYSTEM$)")
_ENTRY = re.compile(rb"100(?:644|755) blob ([0-9a-f]{40,64}) +(\d+)\t(.+)", re.DOTALL)


class NoHistoryError(CannotDoError):
    """Git does not tell how the library stood: the message says why."""


@dataclass(frozen=True, slots=True)
class Past:
    """A library as it stood.

    Attributes:
        notes: what the notes of each route said, by the ids of that time.
        alerts: those of its alerts.yml; none if it could not be read.
    """

    notes: dict[str, PastNotes]
    alerts: tuple[LibraryAlert, ...]

    def known_of(self, routes: Iterable[Route]) -> dict[str, PastNotes]:
        """Return the notes with the library's alerts of that time, as routes now pass them."""
        known = dict(self.notes)
        for route in routes:
            reached = {
                PastAlert(p.item.from_, p.item.until, p.item.text)
                for p in passed(route, self.alerts)
            }
            for name in {route.id, *route.notes.was} & known.keys():
                known[name] = replace(known[name], alerts=known[name].alerts | reached)
        return known


def library_before(library: Path, moment: dt.datetime) -> Past:
    """Return what was known just before a moment.

    It is the last commit before the moment on the line of first parents, which is what was
    published where work is merged; the dates are the committers'. Notes that could not be read
    then are left out.

    Args:
        library: the folder that holds `routes/`; it may be a part of the repository.
        moment: with its time zone.

    Raises:
        NoHistoryError: there is no git, no repository, or no such commit with routes in it.
    """
    if moment.timestamp() < _FIRST_S:
        raise NoHistoryError("there was no git then")
    git = _Git(library)
    if not git.entries("HEAD"):
        raise NoHistoryError("no route of this library is in a git repository")
    commit = git.run("rev-list", "-1", "--first-parent", f"--before={_before(moment)}", "HEAD")
    if not commit:
        shallow = git.run("rev-parse", "--is-shallow-repository").strip() == b"true"
        why = "the repository is a shallow clone that" if shallow else "the git history"
        raise NoHistoryError(f"{why} begins after that day")
    entries = git.entries(commit.decode().strip())
    if not entries:
        raise NoHistoryError("the git history of routes/ begins after that day")
    contents = git.contents(list(entries.values()))
    found = {name: past_notes(contents[blob]) for name, blob in entries.items()}
    alerts, _ = alerts_in(git.file(commit.decode().strip(), ALERTS))
    return Past({name: notes for name, notes in found.items() if notes}, alerts)


class _Git:
    """Runs git in one folder."""

    def __init__(self, folder: Path) -> None:
        program = shutil.which("git")
        if program is None:
            raise NoHistoryError("git is not installed")
        self._command = [program, *_QUIETLY, "-C", str(folder.resolve())]

    def run(self, *arguments: str, stdin: bytes = b"") -> bytes:
        """Return what git says.

        Raises:
            NoHistoryError: it fails, or takes too long.
        """
        try:
            done = subprocess.run(  # noqa: S603 - fixed arguments, and no shell
                [*self._command, *arguments],
                input=stdin,
                capture_output=True,
                env=_environment(),
                timeout=TIMEOUT_S,
                check=False,
            )
        except subprocess.TimeoutExpired:
            raise NoHistoryError(f"git took longer than {TIMEOUT_S} s") from None
        except OSError as error:
            raise NoHistoryError(f"git cannot be run: {error.strerror}") from None
        if done.returncode:
            raise NoHistoryError(_reason(done.stderr))
        return done.stdout

    def entries(self, commit: str) -> dict[str, str]:
        """Return the notes of each route in a commit: id → blob. Links and odd names are not."""
        listed = self.run("ls-tree", "-r", "-l", "-z", commit, "--", f"{ROUTES}/")
        found = {}
        for line in listed.split(b"\0"):
            match = _ENTRY.fullmatch(line)
            path = match[3].decode("utf-8", "replace").split("/") if match else []
            if len(path) != 3 or path[2] != NOTES or not ROUTE_ID.fullmatch(path[1]):
                continue
            assert match is not None
            if int(match[2]) <= MAX_BYTES:
                found[path[1]] = match[1].decode()
        return found

    def file(self, commit: str, name: str) -> bytes:
        """Return a file of the folder as a commit has it, b"" if it is not there or is too long."""
        match = _ENTRY.match(self.run("ls-tree", "-l", "-z", commit, "--", name).rstrip(b"\0"))
        if match is None or int(match[2]) > MAX_BYTES:
            return b""
        blob = match[1].decode()
        return self.contents([blob])[blob]

    def contents(self, blobs: list[str]) -> dict[str, bytes]:
        """Return the contents of blobs by their names."""
        asked = list(dict.fromkeys(blobs))
        output = self.run("cat-file", "--batch", stdin="".join(f"{b}\n" for b in asked).encode())
        found, at = {}, 0
        for blob in asked:
            end = output.index(b"\n", at)
            # <name> SP <type> SP <size> LF <contents> LF: git-cat-file(1), BATCH OUTPUT
            header = output[at:end].split(b" ")
            if len(header) != 3:
                raise NoHistoryError("a part of the history is missing")
            size = int(header[2])
            found[blob] = output[end + 1 : end + 1 + size]
            at = end + 1 + size + 1
        return found


def _before(moment: dt.datetime) -> str:
    """Return the last second before a moment, as git reads it."""
    return f"{int(moment.timestamp()) - 1} +0000"


def _environment() -> dict[str, str]:
    kept = {k: v for k, v in os.environ.items() if not k.startswith("GIT_") or _KEPT.match(k)}
    return kept | {
        "LC_ALL": "C",
        "GIT_TERMINAL_PROMPT": "0",
        "GIT_OPTIONAL_LOCKS": "0",
        "GIT_NO_LAZY_FETCH": "1",
        "GIT_ALLOW_PROTOCOL": "none",
    }


def _reason(stderr: bytes) -> str:
    """Return why git failed, in words."""
    said = stderr.decode("utf-8", "replace")
    if "not a git repository" in said:
        return "this is no git repository"
    if "dubious ownership" in said:
        return "git does not trust the repository, which belongs to another user"
    if "promisor remote" in said:
        return "a part of the git history lies elsewhere, and nothing is fetched for this"
    if "Not a valid object name HEAD" in said:
        return "nothing is committed yet"
    first = (said.strip().splitlines() or ["git failed"])[0]
    return first.removeprefix("fatal: ").rstrip(".")
