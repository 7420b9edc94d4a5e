"""What the guide and README hold that can be tried: commands, in blocks and sentences, and YAML."""

from __future__ import annotations

import re
import shlex
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
GUIDE = ROOT / "site_demo"
PAGES = [ROOT / "README.md", *sorted(GUIDE.glob("*.md"))]
_FENCE = re.compile(r"^( *)```(\w*)\n(.*?)^\1```$", re.MULTILINE | re.DOTALL)
_SPAN = re.compile(r"(?<!`)`((?:softpedal|mkdocs|git|make|pip) [^`]+)`(?!`)")


class Block(NamedTuple):
    """A fenced block of a page.

    Attributes:
        page: its name.
        line: at which the block begins.
        language: as the fence says.
        text: without the fences.
    """

    page: str
    line: int
    language: str
    text: str

    @property
    def place(self) -> str:
        """Page and line."""
        return f"{self.page}:{self.line}"

    @property
    def commands(self) -> list[str]:
        """Its lines as commands, without comments."""
        lines = [shlex.join(shlex.split(line, comments=True)) for line in self.text.splitlines()]
        return [line for line in lines if line]


def blocks() -> list[Block]:
    """Return every fenced block of every page."""
    found = []
    for page in PAGES:
        text = page.read_text(encoding="utf-8")
        for match in _FENCE.finditer(text):
            line = text[: match.start()].count("\n") + 1
            found.append(Block(page.name, line, match[2], match[3]))
    return found


def spans() -> list[tuple[str, str]]:
    """Return each command that stands in a sentence or table: the page, and the words."""
    found = []
    for page in PAGES:
        text = _FENCE.sub("", page.read_text(encoding="utf-8"))
        found += [(page.name, " ".join(match[1].split())) for match in _SPAN.finditer(text)]
    return found
