"""story.md: Markdown that holds no raw HTML."""

from __future__ import annotations

from typing import TYPE_CHECKING

from markdown_it import MarkdownIt

from softpedal.problems import Problem

if TYPE_CHECKING:
    from markdown_it.token import Token

_MARKDOWN = MarkdownIt("commonmark")


def story_problems(text: str, file: str) -> list[Problem]:
    """Return a problem for each block that holds raw HTML (which would be shown, not run)."""
    lines = text.splitlines()
    return [
        Problem(
            "notes-html",
            file,
            *_place(lines, token, raw),
            "The story holds raw HTML, which the page shows as text.",
            "Write it in Markdown, or put code between backticks.",
        )
        for token in _MARKDOWN.parse(text)
        if (raw := _raw(token))
    ]


def _raw(token: Token) -> str:
    """Return the first line of the first raw HTML of a block, "" if it has none."""
    html = [token] if token.type == "html_block" else token.children or []
    contents = (each.content for each in html if each.type in ("html_block", "html_inline"))
    return next(contents, "").strip().partition("\n")[0]


def _place(lines: list[str], token: Token, raw: str) -> tuple[int, int]:
    first, end = token.map or (0, 0)
    for index in range(first, min(end, len(lines))):
        column = lines[index].find(raw)
        if column >= 0:
            return index + 1, column + 1
    return first + 1, 0
