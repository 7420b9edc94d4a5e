"""Write the pages of a library as plain Markdown into a folder."""

from __future__ import annotations

import sys
from pathlib import Path

from plain import plain_markdown

from softpedal.site.publish import publish


def address(target: str, _source: str) -> str:
    """Return the address of a page from the site's root."""
    return f"/{target.removesuffix('index.md')}"


def main(library: Path, docs: Path) -> None:
    """Write every page of a library."""
    for page in publish(library, address).pages:
        path = docs / page.path
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(plain_markdown(page), encoding="utf-8")
    (docs / "index.md").write_text("# Home\n", encoding="utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
