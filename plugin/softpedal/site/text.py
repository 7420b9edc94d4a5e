"""An author's text on a page: a small, safe subset of Markdown; HTML in it is shown, never run."""

from __future__ import annotations

import re
from functools import lru_cache

from markdown_it import MarkdownIt
from markupsafe import Markup, escape

_SAFE_LINK = re.compile(r"(https?://|mailto:)", re.IGNORECASE)
_NEEDS_MARKDOWN = re.compile(r"[*_\[\\<&`]")


def _is_safe(url: str) -> bool:
    return bool(_SAFE_LINK.match(url.strip()))


@lru_cache(maxsize=1)
def _inline() -> MarkdownIt:
    markdown = MarkdownIt("zero", {"html": False}).enable(["emphasis", "link"])
    markdown.validateLink = _is_safe  # type: ignore[method-assign]
    return markdown


@lru_cache(maxsize=1)
def _blocks() -> MarkdownIt:
    markdown = MarkdownIt("commonmark", {"html": False}).disable("image")
    markdown.validateLink = _is_safe  # type: ignore[method-assign]
    return markdown


def inline(text: str | None) -> Markup:
    """Return one line of an author's text as HTML: emphasis and web links, nothing else."""
    if not text:
        return Markup()
    if not _NEEDS_MARKDOWN.search(text):
        return escape(text)
    return Markup(_inline().renderInline(text).strip())  # noqa: S704 - html is off in the renderer


def story(text: str) -> Markup:
    """Return a story as HTML; its highest heading becomes an h3, below those of the page."""
    tokens = _blocks().parse(text)
    headings = [token for token in tokens if token.type in ("heading_open", "heading_close")]
    highest = min((int(token.tag[1]) for token in headings), default=1)
    for token in headings:
        token.tag = f"h{min(6, int(token.tag[1]) - highest + 3)}"
    html = _blocks().renderer.render(tokens, _blocks().options, {})
    return Markup(html)  # noqa: S704 - html is off in the renderer


def markdown_text(text: str) -> str:
    """Return text for a Markdown source in which every special character stands for itself."""
    return "".join(c if c.isalnum() or c in " ," else f"&#{ord(c)};" for c in text)
