"""story.md: Markdown that holds no raw HTML."""

from __future__ import annotations

from markdown_it import MarkdownIt

from softpedal.problems import Problem

_MARKDOWN = MarkdownIt("commonmark")


def story_problems(text: str, file: str) -> list[Problem]:
    """Return a problem for each block that holds raw HTML (which would be shown, not run)."""
    problems = []
    for token in _MARKDOWN.parse(text):
        raw = token.type == "html_block" or any(
            child.type == "html_inline" for child in token.children or []
        )
        if raw:
            line = token.map[0] + 1 if token.map else 0
            problems.append(
                Problem(
                    "notes-html",
                    file,
                    line,
                    0,
                    "The story holds raw HTML, which the page shows as text.",
                    "Write it in Markdown, or put code between backticks.",
                )
            )
    return problems
