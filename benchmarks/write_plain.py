"""Write the pages of a library as plain Markdown into a folder."""

from __future__ import annotations

import sys
from pathlib import Path

from plain import plain_markdown
from softpedal.site.publish import publish

library, docs = Path(sys.argv[1]), Path(sys.argv[2])
published = publish(library, lambda target, _source: f"/{target.removesuffix('index.md')}")
for page in published.pages:
    path = docs / page.path
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(plain_markdown(page), encoding="utf-8")
(docs / "index.md").write_text("# Home\n", encoding="utf-8")
