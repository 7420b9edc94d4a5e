"""Both libraries of `hostile.py` as sites, and their files by format."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

import yaml
from markdown_it import MarkdownIt

from hostile import SITE_URL, hostile_library
from site_building import build_site
from softpedal.site.plain_pages import Addresses, write_pages
from softpedal.site.publish import publish

if TYPE_CHECKING:
    from pathlib import Path

KINDS = ("hostile", "tame")


@dataclass(frozen=True)
class Built:
    """A library, and its files through either door by their paths."""

    library: Path
    mkdocs: dict[str, bytes]
    plain: dict[str, bytes]


def build_both_ways(library: Path, *, tame: bool) -> Built:
    """Write a library and build its site through both doors."""
    hostile_library(library, tame=tame)
    link = Addresses("directory", SITE_URL)
    published = publish(library, link)
    assert [problem for problem in published.problems if problem.is_error] == []
    to = library / "plain"
    write_pages(published, to, link)
    plain = {p.relative_to(to).as_posix(): p.read_bytes() for p in to.rglob("*") if p.is_file()}
    return Built(library, build_site(library).files(), plain)


def texts(files: dict[str, bytes], *endings: str) -> dict[str, str]:
    """Return our own files with one of the endings; there must be some."""
    found = {
        path: content.decode()
        for path, content in sorted(files.items())
        if path.endswith(endings) and not re.match("assets/(?!softpedal)|assets/.*vendored", path)
    }
    assert found, endings
    return found


def pages(one: Built) -> dict[str, str]:
    """Return every page as HTML, from both doors, under a path that tells the door."""
    found = {f"mkdocs/{path}": text for path, text in texts(one.mkdocs, ".html").items()}
    for path, text in texts(one.plain, ".md").items():
        front, body = re.fullmatch(r"---\n(.*?)\n---\n(.*)", text, re.DOTALL).groups()
        assert set(yaml.safe_load(front)) <= {"title", "description", "hide", "search"}
        found[f"plain/{path}"] = MarkdownIt("commonmark").render(body)
    found |= {f"plain/{path}": text for path, text in texts(one.plain, ".html").items()}
    return found
