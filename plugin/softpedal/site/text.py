"""An author's text on a page: a small, safe subset of Markdown; HTML in it is shown, never run."""

from __future__ import annotations

import json
import re
from functools import lru_cache

from markdown_it import MarkdownIt
from markupsafe import Markup, escape

from softpedal.authored_text import one_line

_SAFE_LINK = re.compile(r"(https?://|mailto:)", re.IGNORECASE)
_MARKDOWN_SIGN = re.compile(r"[\\`*_\[\]<>&|~{}$]")
_MARKDOWN_START = re.compile(r"^(\d*)([.)](?=\s|$)|[-+](?=[\s\-]|$)|[#=])")
_ENTITY = re.compile(r"&(?=#?\w+;)")
_REFERENCE = re.compile(r"&(?=#?\w+;)")
_TYPOGRAPHIC = str.maketrans({"<": "‹", ">": "›", '"': "”", "'": "’"})
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


def markdown_line(text: str) -> str:
    """Return text as one line of Markdown to be read as it is, in which it stays text.

    Only what CommonMark 0.31.2 would take for more than itself gets a backslash (section 2.4), and
    braces, which template languages look for: anywhere, or where a line or list item begins.
    """
    line = _MARKDOWN_SIGN.sub(r"\\\g<0>", " ".join(text.split()))
    return _MARKDOWN_START.sub(r"\1\\\2", line)


def markdown_link(words: str, address: str) -> str:
    """Return a link in Markdown; the address is one that was checked to be of the web."""
    whole = _ENTITY.sub(r"\\&", address.replace("\\", "%5C"))
    return f"[{markdown_line(words)}](<{whole}>)"


def in_markdown(html: str) -> str:
    """Return a piece of HTML for a Markdown source: a blank line would end it there.

    Nor has it what template languages look for in Markdown.
    """
    return " ".join(html.split()).replace("{", "&#123;")


def front_text(text: str) -> str:
    """Return text in quotes for a page's front matter, on one line.

    MkDocs and its themes put a page's title and description into HTML as they stand, other
    generators escape them first. So there is nothing in them that HTML takes for its own.
    """
    plain = _REFERENCE.sub("＆", one_line(text).translate(_TYPOGRAPHIC))
    return json.dumps(plain, ensure_ascii=False)


def markdown_text(text: str) -> str:
    """Return text for a Markdown source in which every special character stands for itself."""
    return "".join(c if c.isalnum() or c in " ," else f"&#{ord(c)};" for c in text)
