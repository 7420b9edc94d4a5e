"""What an HTML page is built of: elements, attributes, addresses and scripts, without its words."""

from __future__ import annotations

from html.parser import HTMLParser
from urllib.parse import urlsplit

#: Attributes that hold an address.
ADDRESSES = {"href", "src", "action", "formaction", "xlink:href", "data", "poster", "srcset"}
SCHEMES = {"", "http", "https", "mailto"}


class Outline(HTMLParser):
    """Reads a page.

    Attributes:
        elements: each with the names of its attributes, in the order of the page; but not <em>.
        drawn: the same of what stands within drawings.
        scripts: the words of each script that is on the page, with its type.
        addresses: each address, with the element that holds it.
        heading: the words of the first heading.
        title: those of the page's title.
    """

    def __init__(self, html: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, ...]] = []
        self.drawn: set[tuple[str, ...]] = set()
        self.scripts: list[tuple[str, str]] = []
        self.addresses: list[tuple[str, str]] = []
        self.heading = self.title = ""
        self._drawing = 0
        self._open = ""
        self._type = ""
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        seen = (tag, *sorted({name for name, _ in attrs}))
        self._drawing += tag == "svg"
        if self._drawing:
            self.drawn.add(seen)
        elif tag != "em":  # an author's own emphasis
            self.elements.append(seen)
        self.addresses += [(tag, value or "") for name, value in attrs if name in ADDRESSES]
        if tag in {"script", "h1", "title"}:
            self._open = tag
            self._type = dict(attrs).get("type") or ""

    def handle_endtag(self, tag: str) -> None:
        self._drawing -= tag == "svg"
        if tag == self._open:
            self._open = ""

    def handle_data(self, data: str) -> None:
        if self._open == "script":
            self.scripts.append((self._type, data))
        elif self._open == "h1":
            self.heading += data
        elif self._open == "title" and not self._drawing:
            self.title += data

    def faults(self) -> list[str]:
        """Return what an attack would have left: handlers, and addresses of another kind."""
        seen = [*self.elements, *self.drawn]
        found = [f"{tag} {name}" for tag, *names in seen for name in names if name[:2] == "on"]
        return found + [
            f"{tag} {address}" for tag, address in self.addresses if not _is_harmless(address)
        ]


def _is_harmless(address: str) -> bool:
    plain = "".join(address.split()).lower()
    scheme = urlsplit(plain).scheme
    return scheme in SCHEMES or plain.startswith(("data:image/svg+xml", "data:image/png"))
