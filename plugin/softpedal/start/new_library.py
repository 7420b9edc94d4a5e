"""A new library: every file that an author starts from, and the folder that they go into."""

from __future__ import annotations

import contextlib
import json
from functools import lru_cache
from importlib import resources
from typing import TYPE_CHECKING, Literal

from jinja2 import Environment, PackageLoader, StrictUndefined

from softpedal.authored_text import one_line
from softpedal.problems import CannotDoError

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from jinja2 import Template

#: How the map extract reaches the workflows: fetched by them, kept in Git LFS, or not at all.
Extract = Literal["download", "lfs", "none"]

EXAMPLE = "routes/an-example-to-replace"
#: Each file of a new library, and the template that it is made from. The names of templates have no
#: dot in front, so that git, editors and packaging take them for nothing but text.
FILES = {
    "README.md": "README.md",
    "mkdocs.yml": "mkdocs.yml",
    "softpedal.yml": "softpedal.yml",
    "requirements.txt": "requirements.txt",
    "docs/index.md": "index.md",
    f"{EXAMPLE}/notes.yml": "notes.yml",
    f"{EXAMPLE}/story.md": "story.md",
    f"{EXAMPLE}/track.gpx": "track.gpx",
    ".gitignore": "gitignore",
    ".editorconfig": "editorconfig",
    ".vscode/settings.json": "editor-settings.json",
    ".github/workflows/pages.yml": "github-pages.yml",
    ".gitlab-ci.yml": "gitlab-pages.yml",
}
#: What holds only where the extract is kept in Git LFS.
LFS_FILES = {".gitattributes": "gitattributes"}
#: Each schema for editors, and the file of the package that it is a copy of.
SCHEMAS = {
    ".schemas/notes.schema.json": "notes.schema.json",
    ".schemas/settings.schema.json": "settings.schema.json",
}
#: What a folder may hold that a library is started in: a repository without a file.
_ALLOWED = {".git"}
_NAMED = 5


def extras_for(extract: Extract) -> str:
    """Return what the requirement asks for beside softpedal itself: a map is read by osmium."""
    return "" if extract == "none" else "[streets]"


def library_files(title: str, extract: Extract, requirement: str) -> dict[str, str]:
    """Return the text of every file of a new library by its path in it.

    Args:
        title: of the site, any text on one line.
        extract: how the map reaches the workflows.
        requirement: what pip installs softpedal from, "" where nobody can say it yet.

    Raises:
        CannotDoError: the title is empty, or is no plain text.
    """
    names = FILES | (LFS_FILES if extract == "lfs" else {})
    values = {
        "title": _yaml_text(title),
        "extract": extract,
        "extras": extras_for(extract),
        "requirement": requirement,
        "install": _template("install.sh").render().rstrip(),
        "fetch": _template("fetch-extract.sh").render().rstrip(),
    }
    made = {path: _template(name).render(values) for path, name in names.items()}
    package = resources.files("softpedal.library")
    copied = {path: package.joinpath(name).read_text("utf-8") for path, name in SCHEMAS.items()}
    return made | copied


def start_library(folder: Path, files: Mapping[str, str]) -> None:
    """Write a new library into a folder that is absent or empty; nothing is ever overwritten.

    A folder with a git repository and no file counts as empty. What cannot be written whole is
    taken away again.

    Args:
        folder: the library's own.
        files: the text of each by its path in it.

    Raises:
        CannotDoError: the folder holds something.
        OSError: it cannot be written.
    """
    held = sorted(path.name for path in folder.iterdir()) if folder.is_dir() else []
    in_the_way = [name for name in held if name not in _ALLOWED]
    if in_the_way:
        more = ", …" if len(in_the_way) > _NAMED else ""
        raise CannotDoError(
            f"{folder} is not empty: it holds {', '.join(in_the_way[:_NAMED])}{more}.",
            "Name a folder that is new or empty; nothing was written.",
        )
    made: list[Path] = []
    try:
        for name, text in files.items():
            _write(folder / name, text, made)
    except BaseException:
        _take_away(made)
        raise


def _write(path: Path, text: str, made: list[Path]) -> None:
    """Write one file, and note it and every folder that it needed, the outer one first."""
    above = [folder for folder in path.parents if not folder.exists()]
    for folder in reversed(above):
        folder.mkdir()
        made.append(folder)
    with path.open("x", encoding="utf-8", newline="\n") as file:
        made.append(path)
        file.write(text)


def _take_away(made: list[Path]) -> None:
    for path in reversed(made):
        with contextlib.suppress(OSError):  # the fault that led here is the one to tell
            path.rmdir() if path.is_dir() else path.unlink()


def _yaml_text(title: str) -> str:
    """Return a title in double quotes, as YAML and JSON both read it."""
    plain = one_line(title)
    if not plain or not plain.isprintable() or any(sign in plain for sign in "<>"):
        raise CannotDoError(
            f"`{ascii(plain)[1:-1]}` cannot be the title.",
            "It is plain text on one line, without < and >.",
        )
    return json.dumps(plain, ensure_ascii=False)


@lru_cache(maxsize=1)
def _environment() -> Environment:
    # Other marks than usual: the workflows are full of {{ }} of their own.
    return Environment(
        loader=PackageLoader("softpedal.start"),
        autoescape=False,  # noqa: S701 - YAML and text, no HTML; what was typed is quoted for YAML
        undefined=StrictUndefined,
        variable_start_string="<<",
        variable_end_string=">>",
        block_start_string="<%",
        block_end_string="%>",
        comment_start_string="<#",
        comment_end_string="#>",
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )


def _template(name: str) -> Template:
    return _environment().get_template(name)
