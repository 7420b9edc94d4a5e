"""Builds a small site in a folder of its own: MkDocs, Material and the plugin, in this process."""

from __future__ import annotations

import json
import logging
import warnings
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

import yaml
from mkdocs.commands.build import build
from mkdocs.config import load_config

if TYPE_CHECKING:
    from pathlib import Path

    from mkdocs.config.defaults import MkDocsConfig

#: What a site's configuration says unless a test says otherwise.
CONFIG: dict[str, Any] = {
    "site_name": "Lindenferry",
    "site_url": "https://lindenferry.example/rides/",
    "repo_url": "https://git.example/lindenferry/routes",
    "edit_uri": "edit/main/docs/",
    "theme": {
        "name": "material",
        "font": False,
        "features": ["navigation.instant", "content.action.edit"],
        "palette": [{"scheme": "default"}],
    },
    "plugins": ["search", "softpedal"],
    "nav": [{"Home": "index.md"}, {"Routes": "routes/index.md"}],
}


@dataclass(frozen=True)
class Site:
    """A site that was built.

    Attributes:
        folder: where it lies.
        warnings: what MkDocs warned of.
        infos: what our plugin said beside.
    """

    folder: Path
    warnings: list[str]
    infos: list[str]

    def text(self, path: str) -> str:
        """Return a file of the site."""
        return (self.folder / path).read_text(encoding="utf-8")

    def files(self) -> dict[str, bytes]:
        """Return every file by its path."""
        found = sorted(path for path in self.folder.rglob("*") if path.is_file())
        return {path.relative_to(self.folder).as_posix(): path.read_bytes() for path in found}

    def search_index(self) -> list[dict[str, str]]:
        """Return what the search knows."""
        docs: list[dict[str, str]] = json.loads(self.text("search/search_index.json"))["docs"]
        return docs


def build_site(library: Path, command: Literal["build", "serve"] = "build", **changes: Any) -> Site:
    """Build the site of a library, as `mkdocs build` or as `mkdocs serve` does."""
    config = read_config(library, command, **changes)
    record = _Record()
    log = logging.getLogger("mkdocs")
    log.addHandler(record)
    level = log.level
    log.setLevel(logging.INFO)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # MkDocs' and the theme's own
            build(config)
    finally:
        log.removeHandler(record)
        log.setLevel(level)
    return Site(library / "site", record.of(logging.WARNING), record.of(logging.INFO))


def read_config(library: Path, command: Literal["build", "serve"], **changes: Any) -> MkDocsConfig:
    """Return the configuration with its plugins started."""
    docs = library / "docs"
    docs.mkdir(exist_ok=True)
    (docs / "index.md").write_text("# Home\n\n[All routes](routes/index.md)\n", encoding="utf-8")
    file = library / "mkdocs.yml"
    file.write_text(yaml.safe_dump(CONFIG | changes), encoding="utf-8")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        config = load_config(str(file), site_dir=str(library / "site"))
        config.plugins.on_startup(command=command, dirty=False)
    return config


class _Record(logging.Handler):
    def __init__(self) -> None:
        super().__init__()
        self.records: list[logging.LogRecord] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.records.append(record)

    def of(self, level: int) -> list[str]:
        return [record.getMessage() for record in self.records if record.levelno == level]
