"""The same pages as plain Markdown, for a bare MkDocs and Material build to compare with."""

from __future__ import annotations

from html.parser import HTMLParser
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from softpedal.site.published import Page


def plain_markdown(page: Page) -> str:
    """Return the words and tables of a page, late ones too, as Markdown without drawings."""
    writer = _Writer()
    writer.feed(page.with_late(page.markdown.partition("\n# ")[2]))
    return f"# {''.join(writer.out)}\n"


class _Writer(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.out: list[str] = []
        self.cells: list[str] | None = None
        self.hidden = 0
        self.rows = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "svg":
            self.hidden += 1
        elif tag == "table":
            self.rows = 0
        elif tag == "tr":
            self.cells = []
        elif tag in ("td", "th") and self.cells is not None:
            self.cells.append("")
        elif tag == "a" and not self.hidden:
            self._put(f"[link]({dict(attrs).get('href', '')}) " if self.cells is None else "")
        elif tag == "li":
            self._put("\n- ")
        elif tag in ("p", "dl", "div", "caption"):
            self._put("\n\n" if self.cells is None else "")

    def handle_endtag(self, tag: str) -> None:
        if tag == "svg":
            self.hidden -= 1
        elif tag == "tr" and self.cells is not None:
            cells, self.cells = self.cells, None
            self._put(f"{chr(10) if not self.rows else ''}| {' | '.join(cells)} |\n")
            if not self.rows:
                self._put(f"|{' --- |' * len(cells)}\n")
            self.rows += 1

    def handle_data(self, data: str) -> None:
        if not self.hidden:
            text = data if self.cells is None else " ".join(data.split()).replace("|", "/") + " "
            self._put(text)

    def _put(self, text: str) -> None:
        if self.cells:
            self.cells[-1] += text
        elif self.cells is None:
            self.out.append(text)
