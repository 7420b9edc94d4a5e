"""What a site is made of: pages in Markdown whose tables come late, and files."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

#: In the front matter, bare or in quotes.
_TITLE = re.compile(r"\A---\n(?:.*\n)*?title: (.+)\n")


class Link(Protocol):
    """Given by the door: the address of one page or file as seen from another."""

    def __call__(self, target: str, source: str) -> str:
        """Return the relative address of `target` on the page `source`, both source paths."""


def absolute_address(link: Link, target: str) -> str:
    """Return the whole address of a page or file, "" where the door does not know the site's.

    A door that knows it gives its link a method `absolute(target) -> str`.
    """
    absolute = getattr(link, "absolute", None)
    return str(absolute(target)) if absolute else ""


@dataclass(frozen=True, slots=True)
class Page:
    """One page.

    Attributes:
        path: its source path, ending in .md.
        markdown: the words to be read by a search, the headings, and a slot for each table.
        late: HTML for each slot, put in after the search has read the page.
        edit: the file that an author changes to change the page, if any.
        head: HTML for the page's <head>, of elements that programs read; may be empty.
        changed: the day on which what it tells was last seen, ISO, "" where that is not known.
    """

    path: str
    markdown: str
    late: Mapping[str, str] = field(default_factory=dict)
    edit: Path | None = None
    head: str = ""
    changed: str = ""

    @property
    def title(self) -> str:
        """What the page is called: the text of `title` above its Markdown, "" without one."""
        found = _TITLE.search(self.markdown)
        if not found:
            return ""
        return str(json.loads(found[1])) if found[1].startswith('"') else found[1]

    def with_late(self, html: str) -> str:
        """Return the rendered page with its slots filled."""
        for name, content in self.late.items():
            html = html.replace(slot(name), content)
        return html


@dataclass(frozen=True, slots=True)
class StaticFile:
    """A file that is published as it is."""

    path: str
    content: bytes


def slot(name: str) -> str:
    """Return the empty element that late content takes the place of."""
    return f'<div class="sp-slot" data-sp-slot="{name}"></div>'
