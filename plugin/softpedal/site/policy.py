"""The Content-Security-Policy under which a built site works: its own files, nothing else."""

from __future__ import annotations

import base64
import hashlib
import re
from html.parser import HTMLParser
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

#: The host of the tiles in a map's data.
_TILES = re.compile(r'"tiles":\{"url":"(https?://[^/"]+)/')
#: What a browser runs; a script of any other type is data, which no policy stops.
_RUN = {"", "text/javascript", "application/javascript", "module", "importmap", "speculationrules"}


def policy(folder: Path) -> str:
    """Return the header's value for a site in a folder.

    Everything comes from the site itself. Scripts that stand in a page (the theme has some, ours
    has none) are named by their SHA-256 hash, and so are style elements. `data:` pictures are the
    theme's icons, which stand in its style sheet.

    Raises:
        ValueError: there is no page in the folder, or one carries what no hash allows: a style
            attribute, or script in an attribute.
    """
    pages = sorted(folder.rglob("*.html"))
    if not pages:
        raise ValueError(f"There is no page in {folder}: build the site first.")
    scripts: set[str] = set()
    styles: set[str] = set()
    for path in pages:
        page = _Inline()
        page.feed(path.read_text(encoding="utf-8"))
        if page.refused:
            name = path.relative_to(folder).as_posix()
            raise ValueError(f"{name} carries {page.refused}, which a strict policy stops.")
        scripts |= page.scripts
        styles |= page.styles
    parts = {
        "default-src": ["'self'"],
        "script-src": ["'self'", *sorted(scripts)],
        "style-src": ["'self'", *sorted(styles)],
        "img-src": ["'self'", "data:", *_tile_hosts(folder)],
        "object-src": ["'none'"],
        "base-uri": ["'self'"],
    }
    return "; ".join(f"{name} {' '.join(values)}" for name, values in parts.items())


def _tile_hosts(folder: Path) -> list[str]:
    """Return the services from which maps draw tiles, if the library's settings name any."""
    hosts = set()
    for data in folder.glob("routes/*/map.js"):
        found = _TILES.search(data.read_text(encoding="utf-8"))
        if found:
            hosts.add(found[1].replace("{s}", "*"))
    return sorted(hosts)


class _Inline(HTMLParser):
    """Collects the hashes of what stands in a page, byte for byte as it stands there."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=False)
        self.scripts: set[str] = set()
        self.styles: set[str] = set()
        self.refused = ""
        self._into: set[str] | None = None
        self._text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        bad = [name for name in given if name == "style" or name.startswith("on")]
        if bad:
            self.refused = f"`{bad[0]}=` on <{tag}>"
        if tag == "script" and "src" not in given and given.get("type", "").lower() in _RUN:
            self._into = self.scripts
        elif tag == "style":
            self._into = self.styles
        self._text = ""

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        self._into = None

    def handle_data(self, data: str) -> None:
        if self._into is not None:
            self._text += data

    def handle_endtag(self, tag: str) -> None:
        if self._into is not None and tag in {"script", "style"}:
            text = self._text.replace("\r\n", "\n")
            digest = hashlib.sha256(text.encode()).digest()
            self._into.add(f"'sha256-{base64.b64encode(digest).decode()}'")
            self._into = None
