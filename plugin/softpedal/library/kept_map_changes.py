"""What the map under each route was last found to say otherwise, kept in the library's cache.

Looking takes seconds a route and needs the extract; what was found holds as long as the route's
folder and the extract stay as they were.
"""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

from pydantic import BaseModel, ConfigDict, ValidationError

from softpedal.library.folder_files import NOTES, RETURN, TRACK
from softpedal.library.whole_file import write_whole

if TYPE_CHECKING:
    from pathlib import Path

FILE = "map-changes.json"
#: Of a folder, what the comparison goes by; the last is the record of its draft.
_FILES = (NOTES, TRACK, RETURN, ".draft.json")
_FORM = 1


class Changes(BaseModel):
    """What was found under one route: the digest of its folder, and a sentence for each change."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)

    folder: str
    texts: list[str]


class KeptChanges(BaseModel):
    """What was found at one time."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)

    form: int = _FORM
    extract: str
    """digest of the extract that was looked at, and the settings that it was read with"""
    routes: dict[str, Changes]

    def of(self, folder: Path) -> list[str] | None:
        """Return what was found under a route, None where nobody has looked since it changed."""
        found = self.routes.get(folder.name)
        return found.texts if found and found.folder == folder_digest(folder) else None


NOTHING_KEPT = KeptChanges(extract="", routes={})


def folder_digest(folder: Path) -> str:
    """Return a digest of the files that the comparison with a map goes by."""
    digest = hashlib.sha256()
    for name in _FILES:
        path = folder / name
        content = path.read_bytes() if path.is_file() else b""
        digest.update(f"{name} {len(content)}\n".encode() + content)
    return digest.hexdigest()[:16]


def read_kept_changes(cache: Path) -> KeptChanges:
    """Return what is kept in a library's cache folder; nothing where it is of another form."""
    try:
        kept = KeptChanges.model_validate_json((cache / FILE).read_bytes())
    except (OSError, ValidationError):
        return NOTHING_KEPT
    return kept if kept.form == _FORM else NOTHING_KEPT


def keep_changes(cache: Path, changes: KeptChanges) -> None:
    """Keep what was found."""
    cache.mkdir(parents=True, exist_ok=True)
    write_whole(cache / FILE, changes.model_dump_json(indent=1).encode())
