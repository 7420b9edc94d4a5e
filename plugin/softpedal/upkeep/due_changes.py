"""What the map says otherwise under the routes of a library, looked up only where it may differ."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from softpedal.draft.draft_record import RECORD
from softpedal.library.kept_map_changes import (
    Changes,
    KeptChanges,
    folder_digest,
    keep_changes,
    read_kept_changes,
)
from softpedal.problems import CannotDoError
from softpedal.streets.extract import digest
from softpedal.upkeep.map_changes import changes_since_draft

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from softpedal.draft.town import Town
    from softpedal.library.route import Route
    from softpedal.settings import Settings


@dataclass(frozen=True, slots=True)
class Compared:
    """What came of holding routes against a map.

    Attributes:
        changes: a sentence for each change, by the id of the route; of every route compared.
        failed: why a route could not be compared, by its id.
        undrafted: how many routes have no draft to be compared with.
    """

    changes: dict[str, list[str]] = field(default_factory=dict)
    failed: dict[str, str] = field(default_factory=dict)
    undrafted: int = 0


def changes_under(
    routes: Sequence[Route],
    extract: Path,
    open_town: Callable[[], Town],
    settings: Settings,
    cache: Path,
) -> Compared:
    """Compare the published routes with a map.

    Args:
        routes: of the library.
        extract: the file of the map.
        open_town: reads it; called only if a route must be looked at.
        settings: of the library.
        cache: the folder in which what was found is kept; it holds for this very map, these
            settings, and folders that have not changed since.

    Raises:
        OSError: the extract cannot be read, or the cache not be written to.
    """
    published = [route for route in routes if route.notes.status == "published"]
    drafted = [route for route in published if (route.folder / RECORD).is_file()]
    result = Compared(undrafted=len(published) - len(drafted))
    if not drafted:
        return result
    name = f"{digest(extract)} {settings.country} {settings.cruising_speed} {settings.time_zone}"
    kept = read_kept_changes(cache)
    if kept.extract != name:
        kept = KeptChanges(extract=name, routes={})
    found: dict[str, Changes] = {}
    town = None
    for route in drafted:
        texts = kept.of(route.folder)
        if texts is None:
            town = town or open_town()
            try:
                texts = changes_since_draft(route, town, settings)
            except CannotDoError as error:
                result.failed[route.id] = f"{error} {error.hint}".strip()
                continue
        result.changes[route.id] = texts
        found[route.id] = Changes(folder=folder_digest(route.folder), texts=texts)
    keep_changes(cache, KeptChanges(extract=name, routes=found))
    return result
