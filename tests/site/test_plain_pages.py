"""The plain pages say what the MkDocs pages say, and any Markdown leaves their blocks alone."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import markdown
import pytest
from markdown_it import MarkdownIt

from building import crossing, leg, line_east, make_route, notes
from demo_site import ROOT, build_demo
from site_building import CONFIG, build_site
from softpedal.site.plain_pages import MARKER, README, Addresses, plain_markdown, write_pages
from softpedal.site.publish import publish
from softpedal.site.published import Page, slot
from visible_text import Outline, visible_text

if TYPE_CHECKING:
    from pathlib import Path

FRONT_MATTER = re.compile(r"\A---\n.*?\n---\n", re.DOTALL)


def _small(folder: Path) -> Path:
    text = notes(
        title="Ferry {{ Steps }} & *Green*",
        legs=[
            leg("start", "filtered street", "Netmakers' Quay", closed_by="posts", cue="Set off."),
            leg("600 m", "back street", "Sailmaker Row", speed_limit="20 mph", lanes=2),
            leg("1.2 km", "protected track", "Dock <b>Road</b> {% x %}"),
        ],
        crossings=[crossing("590 m", "toucan", "Dock Road")],
    )
    story = "## Why\n\nOnce.\n\n    a {{ code }}\n\n    block\n\nTwice.\n"
    make_route(
        folder, text, line_east(2400), id="ferry-steps-to-chapel-green", files={"story.md": story}
    )
    make_route(folder, id="a-way")
    return folder


@pytest.fixture(
    scope="module", params=[("small", "directory"), ("small", "file"), ("demo", "directory")]
)
def plain(request, tmp_path_factory) -> tuple[Path, Addresses, Path]:
    """The plain pages, how they are addressed, and the folder of the site that MkDocs builds."""
    name, style = request.param
    directory = style == "directory"
    library = ROOT if name == "demo" else _small(tmp_path_factory.mktemp("small"))
    if library == ROOT:
        site = build_demo(tmp_path_factory.mktemp("demo"), use_directory_urls=directory)
        link = Addresses(style, "https://lindenferry.example/")
    else:
        site = build_site(library, use_directory_urls=directory).folder
        link = Addresses(style, CONFIG["site_url"])
    folder = tmp_path_factory.mktemp("plain") / "pages"
    published = publish(library, link)
    assert not any(problem.is_error for problem in published.problems)
    write_pages(published, folder, link)
    return folder, link, site


def _pages(folder: Path) -> list[Path]:
    return sorted(folder.rglob("*.md"))


def _body(page: Path) -> str:
    text = page.read_text(encoding="utf-8")
    body = FRONT_MATTER.sub("", text)
    assert body != text
    return body


def test_both_say_the_same(plain) -> None:
    folder, _, site = plain
    assert len(_pages(folder)) >= 8
    for page in _pages(folder):
        mkdocs_page = site / page.relative_to(folder).with_suffix(".html")
        theirs = visible_text(mkdocs_page.read_text(encoding="utf-8"), "article")
        ours = visible_text(markdown.markdown(_body(page), extensions=["tables"]))
        assert len(ours) > 30
        assert ours == theirs, page


def test_style_sheets_find_the_same_parents_and_siblings(plain) -> None:
    folder, _, site = plain
    for page in _pages(folder):
        mkdocs_page = site / page.relative_to(folder).with_suffix(".html")
        theirs = _children(mkdocs_page.read_text(encoding="utf-8"), "article")
        html = markdown.markdown(_body(page), extensions=["tables"])
        assert _children(f"<article>{html}</article>", "article") == theirs, page


def _children(html: str, within: str) -> list[str]:
    """Return the classes of an element's children; what a theme or Markdown adds has none of ours.

    The map's two inline neighbours, which Markdown puts into a paragraph, are left out.
    """
    found = Outline(within)
    found.feed(html)
    return [c for c in found.children if c.startswith("sp-") and c != "sp-skip"]


def test_commonmark_passes_the_blocks_through_too(plain) -> None:
    folder, _, _ = plain
    commonmark = MarkdownIt("commonmark", {"html": True}).enable("table")
    for page in _pages(folder):
        body = _body(page)
        assert visible_text(commonmark.render(body)) == visible_text(
            markdown.markdown(body, extensions=["tables"])
        ), page


def test_no_link_is_broken(plain) -> None:
    folder, link, _ = plain
    addresses = {link._address(p.relative_to(folder).as_posix()) for p in _pages(folder)}
    files = {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()}
    found = 0
    for page in _pages(folder):
        here = link._address(page.relative_to(folder).as_posix())
        html = markdown.markdown(_body(page), extensions=["tables"])
        ids = set(re.findall(r'id="([^"]+)"', html))
        for address in re.findall(r'(?:href|src)="([^"]+)"', html):
            if address.startswith("#"):
                assert address[1:] in ids
            elif not re.match(r"[a-z]+:", address):
                assert _joined(here, re.split("[?#]", address)[0]) in addresses | files, address
                found += 1
    assert found > 20


def _joined(here: str, address: str) -> str:
    from urllib.parse import urljoin

    return urljoin(f"https://lindenferry.example/{here}", address).removeprefix(
        "https://lindenferry.example/"
    )


def test_the_readme_names_what_a_page_loads(plain) -> None:
    folder, _, _ = plain
    text = (folder / README).read_text(encoding="utf-8")
    for page in _pages(folder):
        assert f"    {page.relative_to(folder).as_posix()}\n" in text
    for address in re.findall(r'(?:href|src)="(?:\.\./)*([^"]+)"', text):
        assert (folder / address).is_file()
    assert "softpedal.css" in text
    assert "softpedal-map.js" in text


def test_two_runs_are_equal_byte_for_byte(tmp_path) -> None:
    library = _small(tmp_path / "library")
    link = Addresses()
    for name in ("once", "twice"):
        write_pages(publish(library, link), tmp_path / name, link)
    once, twice = (
        {
            p.relative_to(tmp_path / n): p.read_bytes()
            for p in (tmp_path / n).rglob("*")
            if p.is_file()
        }
        for n in ("once", "twice")
    )
    assert once == twice
    assert sorted(p.name for p in tmp_path.iterdir()) == ["library", "once", "twice"]


def test_a_page_that_is_gone_is_gone(tmp_path) -> None:
    library, link, to = _small(tmp_path / "library"), Addresses(), tmp_path / "pages"
    write_pages(publish(library, link), to, link)
    assert (to / "routes/a-way/index.md").is_file()
    for path in (library / "routes/a-way").iterdir():
        path.unlink()
    (library / "routes/a-way").rmdir()
    write_pages(publish(library, link), to, link)
    assert not (to / "routes/a-way").exists()
    assert "routes/a-way/index.md" not in (to / MARKER).read_text(encoding="utf-8")


def test_template_languages_find_nothing_of_theirs() -> None:
    late = {
        "a": '<p title="{{ x }}">{% y %} {# z #}</p>\n\n \n<pre>a\n\n{{ b }}</pre>',
        "b": '<script type="application/json">{"a": {"b": "{{ c }}"}}</script>',
    }
    page = Page("x/index.md", f"# X\n\n{slot('a')}\n\n{slot('b')}\n", late)
    text = plain_markdown(page, Addresses())
    assert not re.search(r"\{[{%#]", text)
    html = markdown.markdown(text)
    assert visible_text(html) == "X {% y %} {# z #} a {{ b }}"
    assert "a&#10;&#10;&#123;{ b }}" in html
    assert r'{"a": {"b": "\u007b{ c }}"}}' in html


@pytest.mark.parametrize(
    ("style", "target", "source", "expected"),
    [
        ("directory", "routes/index.md", "areas/mill/index.md", "../../routes/"),
        ("directory", "mill.md", "index.md", "mill/"),
        ("directory", "index.md", "mill.md", "../"),
        ("directory", "routes/a/map.js", "routes/a/index.md", "map.js"),
        ("directory", "index.md", "index.md", "./"),
        ("directory", "areas/süd/index.md", "areas/index.md", "s%C3%BCd/"),
        ("file", "routes/index.md", "areas/mill/index.md", "../../routes/index.html"),
        ("file", "mill.md", "index.md", "mill.html"),
        ("file", "index.md", "mill.md", "index.html"),
    ],
)
def test_addresses(style, target, source, expected) -> None:
    assert Addresses(style)(target, source) == expected


def test_whole_addresses_where_the_base_is_known() -> None:
    link = Addresses("directory", "https://lindenferry.example/rides")
    assert link.absolute("routes/index.md") == "https://lindenferry.example/rides/routes/"
    assert link.absolute("index.md") == "https://lindenferry.example/rides/"
    assert link("routes/index.md", "index.md") == "routes/"
    assert Addresses().absolute("index.md") == ""


def test_a_markdown_link_is_addressed_too() -> None:
    page = Page("a/index.md", "# A\n\n[B](../b/index.md#x) [C](https://c.example/d.md)\n")
    text = plain_markdown(page, Addresses("file"))
    assert "[B](../b/index.html#x) [C](https://c.example/d.md)" in text
