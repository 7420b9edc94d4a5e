"""Where the softpedal that runs was installed from, as a line for requirements.txt."""

from __future__ import annotations

import json
import re
import subprocess
from importlib import metadata
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit, urlunsplit
from urllib.request import url2pathname

from softpedal.problems import CannotDoError

if TYPE_CHECKING:
    from pathlib import Path

PACKAGE = "softpedal"
_FORMS = (
    "`softpedal==1.2.0`, or `softpedal[streets] @ git+https://` and the address of a repository"
)


def checked_requirement(text: str) -> str:
    """Return a requirement that an author typed, on one line.

    Raises:
        CannotDoError: it does not name softpedal, or is more than one line.
    """
    line = text.strip()
    if not line.isprintable() or not re.match(rf"{PACKAGE}(\s*[\[=<>~!@]|$)", line):
        raise CannotDoError(
            f"`{ascii(line)[1:-1][:80]}` is no requirement for {PACKAGE}.",
            f"Write it like {_FORMS}.",
        )
    return line


def installed_requirement(extras: str = "") -> str:
    """Return what pip would install this very softpedal from, "" if only this computer can.

    Args:
        extras: what to ask for beside it, like `[streets]`.

    The place is what pip wrote down, by PEP 610. A folder that is a clone is named by the
    repository that it was cloned from, if its commit is known to be there.
    """
    try:
        installed = metadata.distribution(PACKAGE)
    except metadata.PackageNotFoundError:
        return ""
    written = installed.read_text("direct_url.json")
    if written is None:
        # Only an installer leaves its name; without one this is a folder that Python found.
        is_installed = installed.read_text("INSTALLER") is not None
        return f"{PACKAGE}{extras}=={installed.version}" if is_installed else ""
    place = place_of(json.loads(written))
    return f"{PACKAGE}{extras} @ {place}" if place else ""


def place_of(direct_url: dict[str, Any]) -> str:
    """Return the place in a direct_url.json as pip takes it, "" if only this computer has it."""
    parts = urlsplit(direct_url["url"])
    if "vcs_info" in direct_url and parts.scheme != "file":
        info = direct_url["vcs_info"]
        inside = direct_url.get("subdirectory")
        fragment = f"#subdirectory={inside}" if inside else ""
        return f"{info['vcs']}+{_public(direct_url['url'])}@{info['commit_id']}{fragment}"
    if parts.scheme != "file":
        return _public(direct_url["url"])
    return _cloned_from(url2pathname(parts.path)) if "dir_info" in direct_url else ""


def _public(url: str) -> str:
    """Return an address without name and password, which are nobody else's."""
    parts = urlsplit(url)
    if parts.scheme not in {"http", "https"}:
        return url
    return urlunsplit(parts._replace(netloc=parts.netloc.rpartition("@")[2]))


def _cloned_from(folder: str | Path) -> str:
    origin = _git(folder, "remote", "get-url", "origin")
    commit = _git(folder, "rev-parse", "HEAD")
    if not origin.startswith("https://") or not commit:
        return ""
    if not _git(folder, "branch", "--remotes", "--contains", commit):
        return ""
    return f"git+{_public(origin)}@{commit}"


def _git(folder: str | Path, *arguments: str) -> str:
    """Return what git prints of a folder, "" where it has nothing to say, or is not there."""
    try:
        done = subprocess.run(  # noqa: S603 - no shell; the folder is the one pip installed from
            ["git", "-C", str(folder), *arguments],  # noqa: S607 - the author's own git
            capture_output=True,
            text=True,
            check=False,
        )
    except OSError:
        return ""
    return done.stdout.strip() if done.returncode == 0 else ""
