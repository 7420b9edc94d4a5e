"""The words of an HTML page that a reader sees, without what a theme adds to them."""

from __future__ import annotations

from html.parser import HTMLParser

VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "wbr"}
UNSEEN = {"script", "style", "template"}
#: Material's permalinks and the buttons above an article.
ADDED = {"headerlink", "md-content__button"}


def visible_text(html: str, within: str = "") -> str:
    """Return the words with one space between them.

    Args:
        html: a page, or a part of one.
        within: the element whose words are wanted; "" for all.
    """
    reader = _Words(within)
    reader.feed(html)
    reader.close()
    return " ".join(" ".join(reader.words).split())


class _Words(HTMLParser):
    def __init__(self, within: str) -> None:
        super().__init__()
        self.words: list[str] = []
        self._within = within
        self._open: list[tuple[str, bool]] = []  # each element, and whether its words count

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        inside = self._open[-1][1] if self._open else not self._within
        inside = inside or tag == self._within
        classes = set((given.get("class") or "").split())
        if tag not in VOID:
            self._open.append((tag, inside and tag not in UNSEEN and not classes & ADDED))
        if inside:
            self.words += [given[name] or "" for name in ("alt", "aria-label") if name in given]

    def handle_endtag(self, tag: str) -> None:
        while self._open and self._open.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        if self._open[-1][1] if self._open else not self._within:
            self.words.append(data)


class Outline(HTMLParser):
    """Collects the classes of the children of the first element with a tag."""

    def __init__(self, within: str) -> None:
        super().__init__()
        self.children: list[str] = []
        self._within = within
        self._depth = -1  # below the element; -1 outside of it

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if self._depth == 0:
            self.children.append(dict(attrs).get("class") or "")
        if self._depth >= 0 and tag not in VOID:
            self._depth += 1
        elif tag == self._within and self._depth < 0 and not self.children:
            self._depth = 0

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag and self._depth == 0:
            self.children.append(dict(attrs).get("class") or "")

    def handle_endtag(self, tag: str) -> None:
        if self._depth >= 0 and tag not in VOID:
            self._depth -= 1
