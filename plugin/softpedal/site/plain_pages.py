"""The pages as plain Markdown and files, for any site generator: insurance against one's end."""

from __future__ import annotations

import posixpath
import re
import shutil
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Literal
from urllib.parse import quote

from softpedal.site.loaded import ASSETS, SCRIPTS, STYLE_SHEETS
from softpedal.site.published import slot
from softpedal.site.sitemap import SITEMAP, sitemap_xml

if TYPE_CHECKING:
    from collections.abc import Iterable

    from softpedal.site.publish import Published
    from softpedal.site.published import Page

#: Lists what we wrote, so that nothing else is ever replaced or removed.
MARKER = ".softpedal-pages"
README = "README.txt"
#: Ending of what belongs into the <head> of the page beside it.
HEAD = ".head.html"

_KEPT = re.compile(r"(<(pre|script|textarea)\b.*?</\2>)", re.DOTALL)
_BLANK_LINES = re.compile(r"\n\s*\n")
#: What opens a tag of a template language: many generators look for them in Markdown.
_TEMPLATE_TAG = re.compile(r"\{(?=[{%#])")
#: Between two elements on one line: a block must start a line of its own.
_SAME_LINE = re.compile(r"(</(?:div|form|figure|ul|dl|p|table|aside|section|script)>)(?=<[a-z])")
_MARKDOWN_LINK = re.compile(r"\]\(((?![a-z]+:)[^)#\s]+\.md)(#[^)\s]*)?\)")


@dataclass(frozen=True)
class Addresses:
    """How a generator will address the pages; a `Link` that can be sent to other processes.

    Attributes:
        style: `directory`: mill/index.md becomes mill/ and mill.md too; `file`: mill/index.html
            and mill.html.
        base: the address under which the folder will be published, where it is known.
    """

    style: Literal["directory", "file"] = "directory"
    base: str = ""

    def __call__(self, target: str, source: str) -> str:
        """Return the address of `target` on the page `source`, both source paths."""
        to = self._address(target)
        here = posixpath.dirname(self._address(source))
        way = posixpath.relpath(to or ".", here or ".")
        return f"{way}/" if not to or to.endswith("/") else way

    def absolute(self, target: str) -> str:
        """Return the whole address of `target`, "" without a base."""
        return f"{self.base.rstrip('/')}/{self._address(target)}" if self.base else ""

    def _address(self, path: str) -> str:
        stem = path.removesuffix(".md")
        if stem != path:
            folder = stem.removesuffix("index") if posixpath.basename(stem) == "index" else ""
            if self.style == "file":
                path = f"{stem}.html"
            else:
                path = folder if folder or stem == "index" else f"{stem}/"
        return quote(path)


def plain_markdown(page: Page, link: Addresses) -> str:
    """Return a page with its late content in place, as blocks of HTML that Markdown leaves alone.

    A block begins with the tag of a block at the start of a line and holds no blank line: every
    Markdown passes it through. There is no element around it, so that style sheets find the same
    parents and siblings as in MkDocs' pages.
    """
    text = _MARKDOWN_LINK.sub(lambda found: _linked(found, page.path, link), page.markdown)
    for name, html in page.late.items():
        text = text.replace(slot(name), _unbroken(html))
    return text


def write_pages(published: Published, to: Path, link: Addresses) -> int:
    """Write the pages and files into a folder, whole or not at all; return how many pages.

    A folder that this function wrote before is replaced.

    Raises:
        FileExistsError: the folder holds something that this function did not write.
    """
    to = to.resolve()
    _refuse_what_is_not_ours(to)
    files = {page.path: plain_markdown(page, link).encode() for page in published.pages}
    files |= {
        _head_path(page): _unbroken(page.head).encode() for page in published.pages if page.head
    }
    files |= {file.path: file.content for file in published.files}
    if sitemap := sitemap_xml(published.pages, link):
        files[SITEMAP] = sitemap
    files[README] = _readme(files, link).encode()
    files[MARKER] = "".join(f"{path}\n" for path in sorted(files)).encode()
    to.parent.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory(prefix=f".{to.name}-", dir=to.parent) as beside:
        new, old = Path(beside, "new"), Path(beside, "old")
        for path, content in files.items():
            target = new / path
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(content)
        if to.exists():
            to.rename(old)
        try:
            new.rename(to)
        except OSError:
            if old.exists():
                shutil.move(old, to)
            raise
    return len(published.pages)


def _head_path(page: Page) -> str:
    """Return where the elements of a page's <head> lie, which Markdown cannot carry."""
    return f"{page.path.removesuffix('.md')}{HEAD}"


def _refuse_what_is_not_ours(to: Path) -> None:
    if not to.exists():
        return
    if not to.is_dir():
        raise FileExistsError(f"{to} is a file, not a folder.")
    marker = to / MARKER
    ours = set(marker.read_text(encoding="utf-8").splitlines()) if marker.is_file() else set()
    there = (p for p in sorted(to.rglob("*")) if p.is_symlink() or not p.is_dir())
    foreign = [name for p in there if (name := p.relative_to(to).as_posix()) not in {*ours, MARKER}]
    if foreign:
        more = f" and {len(foreign) - 1} more" if len(foreign) > 1 else ""
        raise FileExistsError(
            f"{to} holds what `softpedal pages` did not write: {foreign[0]}{more}. "
            "Name a folder of its own, or move them out of it."
        )


def _linked(found: re.Match[str], source: str, link: Addresses) -> str:
    target = posixpath.normpath(posixpath.join(posixpath.dirname(source), found[1]))
    return f"]({link(target, source)}{found[2] or ''})"


def _unbroken(html: str) -> str:
    """Return HTML without a blank line, and without what a template language would take for its."""
    parts = _KEPT.split(html.strip())
    out = []
    for plain, whole, tag in zip(parts[::3], [*parts[1::3], ""], [*parts[2::3], ""], strict=True):
        out.append(_TEMPLATE_TAG.sub("&#123;", _apart(plain)))
        if tag == "script":  # data: a brace doubled in JSON stands within a text
            out.append(_TEMPLATE_TAG.sub(r"\\u007b", _BLANK_LINES.sub("\n", whole)))
        else:
            out.append(_TEMPLATE_TAG.sub("&#123;", whole.replace("\n", "&#10;")))
    return "".join(out)


def _apart(html: str) -> str:
    return _SAME_LINE.sub(r"\1\n", _BLANK_LINES.sub("\n", html))


def _readme(paths: Iterable[str], link: Addresses) -> str:
    pages = sorted(path for path in paths if path.endswith(".md"))
    by_tags: dict[str, list[str]] = {}
    for page in pages:
        by_tags.setdefault(_tags(page, link), []).append(page)
    lists = "\n".join(
        f"{tags}\n\non:\n\n" + "".join(f"    {page}\n" for page in found)
        for tags, found in sorted(by_tags.items())
    )
    addresses = {
        "directory": "mill/index.md is at mill/",
        "file": "mill/index.md is at mill/index.html",
    }[link.style]
    heads = HEADS_TEXT if any(path.endswith(HEAD) for path in paths) else " "
    return README_TEXT.format(addresses=addresses, lists=lists, heads=heads)


def _tags(page: str, link: Addresses) -> str:
    def address(name: str) -> str:
        return link(f"{ASSETS}/{name}", page)

    styles = [f'    <link rel="stylesheet" href="{address(n)}">' for n in STYLE_SHEETS]
    scripts = [f'    <script src="{address(n)}" defer></script>' for n in SCRIPTS]
    return "\n".join([*styles, *scripts])


HEADS_TEXT = """

What stands in mill/index.head.html belongs into the <head> of mill/index.md, and so on: it names
the feed and the other forms of the page, and says what a shared link shows. sitemap.xml lists the
pages.

"""
README_TEXT = """\
Written by `softpedal pages`. Change nothing here: the next run writes it all anew.

Each .md file is a page, in Markdown with tables and with blocks of HTML, which the site generator
must let through. All other files are published as they are, at the same places. Links between
them hold where {addresses}.

Say lang, charset and viewport in the pages' frame. For dark pages put
data-md-color-scheme="slate" on <body>.{heads}In <head>, load:

{lists}"""
