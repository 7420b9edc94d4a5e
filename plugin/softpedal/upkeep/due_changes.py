"""What the map says otherwise under the routes of a library, looked up only where it may differ."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.library.kept_map_changes import (
    Changes,
    KeptChanges,
    folder_digest,
    keep_changes,
    read_kept_changes,
)
from softpedal.upkeep.map_changes import map_changes

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from softpedal.draft.town import Town
    from softpedal.library.route import Route
    from softpedal.settings import Settings


def changes_under(
    routes: Sequence[Route], town: Town, settings: Settings, cache: Path
) -> dict[str, list[str]]:
    """Return a sentence for each change in the map, by the id of the published route above it.

    Args:
        routes: of the library.
        town: the map as it is now.
        settings: of the library.
        cache: the folder in which what was found is kept; what is kept of this very map holds for
            folders that have not changed since.
    """
    kept = read_kept_changes(cache)
    same_map = kept.extract == town.network.digest
    found: dict[str, Changes] = {}
    for route in routes:
        if route.notes.status != "published":
            continue
        texts = kept.of(route.folder) if same_map else None
        if texts is None:
            texts = [problem.message for problem in map_changes(route, town, settings)]
        found[route.id] = Changes(folder=folder_digest(route.folder), texts=texts)
    keep_changes(cache, KeptChanges(extract=town.network.digest, routes=found))
    return {name: changes.texts for name, changes in found.items()}
