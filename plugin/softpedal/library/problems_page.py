"""The page of the guide that tells every problem by its code, and what to do about it."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import yaml

from softpedal.problems import CODES

_FILE = Path(__file__).parent / "format" / "problems.yml"
_HEAD = """\
---
title: Problems by code
description: What each code of softpedal check means, what is mostly wrong, and what to do.
---

# Problems by code

`softpedal check` and the build say what is wrong, with file, line and column, and what to write.
Each message has a code, like `notes-value`. An **error** keeps the route off the site until you
have mended it; **advice** does not.
"""


class Remedy(NamedTuple):
    """What to do about a problem.

    Attributes:
        group: the heading under which it is told.
        usual: what is mostly wrong.
        do: what to do about it.
        bad: lines of notes.yml that lead to the problem; may be empty.
        good: what to write instead of them; may be empty.
    """

    group: str
    usual: str
    do: str
    bad: str = ""
    good: str = ""


def remedies() -> dict[str, Remedy]:
    """Return what to do about each code, in the order of the page."""
    groups = yaml.safe_load(_FILE.read_text(encoding="utf-8"))
    return {
        code: Remedy(group, **texts)
        for group, codes in groups.items()
        for code, texts in codes.items()
    }


def problems_page() -> str:
    """Return the page as Markdown, each code under a heading of its own.

    Raises:
        ValueError: a code has no remedy, or a remedy no code.
    """
    told = remedies()
    if unlike := told.keys() ^ CODES.keys():
        raise ValueError(f"told and known codes differ: {', '.join(sorted(unlike))}")
    parts, group = [_HEAD], ""
    for code, remedy in told.items():
        if remedy.group != group:
            group = remedy.group
            parts.append(f"## {group}\n")
        parts.append(
            f"### {code}\n\n*{CODES[code]}*\n\n**What is mostly wrong:** {remedy.usual}\n\n"
            f"**What to do:** {remedy.do}\n"
        )
        for word, lines in (("Not like this", remedy.bad), ("Like this", remedy.good)):
            if lines:
                parts.append(f"{word}:\n\n```yaml\n{lines.strip()}\n```\n")
    return "\n".join(parts)
