"""From a route folder on disk to a Route, or to Problems; one bad folder never stops the others."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from softpedal.library.folder import FolderReader
from softpedal.library.folder_files import (
    NOTES,
    PHOTOS,
    RETURN,
    ROUTES,
    STORY,
    TRACK,
    FolderFiles,
)
from softpedal.library.library_alerts import with_library_alerts
from softpedal.library.library_file import read_beside
from softpedal.library.notes_reader import validate
from softpedal.library.plain_text import printable
from softpedal.library.private_places import private_problems
from softpedal.library.private_zones import NO_ZONES, Zones
from softpedal.library.yaml_source import read_yaml
from softpedal.problems import Problem, sort_problems
from softpedal.settings import Settings

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from softpedal.library.library_alerts import LibraryAlert
    from softpedal.library.route import Route

__all__ = [
    "NOTES",
    "PHOTOS",
    "RETURN",
    "ROUTES",
    "STORY",
    "TRACK",
    "Loaded",
    "load_route",
    "load_settings",
    "route_folders",
]


@dataclass(frozen=True, slots=True)
class Loaded:
    """What became of one route folder: a route, or the reasons why not; advice in either case."""

    id: str
    folder: Path
    route: Route | None
    problems: tuple[Problem, ...]


def route_folders(library: Path) -> list[Path]:
    """Return the route folders of a library, by name; hidden ones are passed over."""
    routes = library / ROUTES
    if not routes.is_dir():
        return []
    return sorted(p for p in routes.iterdir() if p.is_dir() and not p.name.startswith((".", "_")))


def load_settings(path: Path) -> tuple[Settings | None, list[Problem]]:
    """Read softpedal.yml; a file that is not there means the defaults."""
    content, problems = read_beside(path, "settings", "Without the file, the defaults hold.")
    if content is None:
        return None, problems
    source, problems = read_yaml(content, path.name)
    if source is None:
        return None, problems
    if source.data is None:
        return Settings(), []
    return validate(Settings, source, path.name, "settings-value")


def load_route(
    folder: Path,
    settings: Settings | None = None,
    zones: Zones = NO_ZONES,
    alerts: Sequence[LibraryAlert] = (),
) -> Loaded:
    """Read one route folder.

    Args:
        folder: the folder; its name is the route's id.
        settings: those of its library.
        zones: places that nothing in the folder may enter.
        alerts: the library's; those that reach the route stand behind its own.

    Returns:
        The route, or None if any problem is an error; files in problems are relative to the
        library (the folder above `routes/`).
    """
    files = FolderFiles(folder)
    reader = FolderReader(files, settings or Settings())
    try:
        route = reader.read()
    except OSError as error:
        files.report(
            "file-unreadable",
            "",
            f"The folder cannot be read: {error.strerror}.",
            "Give yourself the right to read it and all files in it.",
        )
        route = None
    if route is not None:
        route = with_library_alerts(route, alerts)
    files.problems += private_problems(folder, zones)
    problems = sort_problems(replace(p, route=printable(files.id)) for p in files.problems)
    failed = any(p.is_error for p in problems)
    return Loaded(folder.name, folder, None if failed else route, tuple(problems))
