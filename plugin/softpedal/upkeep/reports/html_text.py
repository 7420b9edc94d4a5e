"""The words of an HTML mail as plain text; what it quotes begins with `> ` as in other mails."""

from __future__ import annotations

from html.parser import HTMLParser

_UNSEEN = {"script", "style", "head", "title", "template"}
_BLOCKS = {
    *("p", "div", "br", "li", "tr", "table", "ul", "ol", "blockquote", "hr", "pre"),
    *("h1", "h2", "h3", "h4", "h5", "h6", "article", "section"),
}


def html_text(html: str) -> str:
    """Return the text of HTML, a line for each block; nothing of it is run or fetched."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    lines = [" ".join(line.split()) for line in "".join(reader.parts).split("\n")]
    return "\n".join(lines).strip()


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.parts: list[str] = []
        self._unseen = self._quoted = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:  # noqa: ARG002
        self._unseen += tag in _UNSEEN
        self._quoted += tag == "blockquote"
        self._break(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag in _UNSEEN:
            self._unseen = max(0, self._unseen - 1)
        if tag == "blockquote":
            self._quoted = max(0, self._quoted - 1)
        self._break(tag)

    def handle_data(self, data: str) -> None:
        if not self._unseen:
            self.parts.append(" ".join(data.split("\n")))

    def _break(self, tag: str) -> None:
        if tag in _BLOCKS and not self._unseen:
            self.parts.append("\n" + "> " * min(self._quoted, 3))
