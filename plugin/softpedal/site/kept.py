"""What is kept of a library from one publishing to the next, while its author works on it.

Whatever is kept is asked for by all that it was made from, so that a library published with it is
the one that would be published without.
"""

from __future__ import annotations

import os
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import TYPE_CHECKING, Any, TypeVar, cast

import numpy as np

from softpedal.site.alert_reach import near
from softpedal.site.meetings import Meetings

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from softpedal.library.library_alerts import LibraryAlert
    from softpedal.site.one_route import Outcome

T = TypeVar("T")

#: Of everything in a folder: its path there, and what the file system tells of its content.
Stamp = tuple[tuple[str, int, int, int, int, int], ...]


@dataclass(frozen=True, slots=True)
class _Route:
    """What became of a folder, and of what: its stamp, and all alerts of the library."""

    stamp: Stamp
    alerts: tuple[LibraryAlert, ...]
    outcome: Outcome

    def holds(self, stamp: Stamp, alerts: tuple[LibraryAlert, ...]) -> bool:
        """Whether the same would become of it again."""
        box = self.outcome.box
        return self.stamp == stamp and near(box, self.alerts) == near(box, alerts)


class Kept:
    """Keeps what became of each route folder, and what was made of them all.

    Attributes:
        made: ids of the routes that `outcomes` made the last time that it was asked.
        meetings: how the routes meet.
    """

    def __init__(self) -> None:
        self.made: tuple[str, ...] = ()
        self.meetings = Meetings()
        self._for: object = None
        self._routes: dict[str, _Route] = {}
        self._parts: dict[tuple[str, ...], tuple[object, object]] = {}

    def keep_for(self, whole: object) -> None:
        """Forget everything, unless it was made for the same.

        Args:
            whole: what every route depends upon beside its own folder.
        """
        if self._for != whole:
            self._routes.clear()
            self._parts.clear()
        self._for = whole

    def outcomes(
        self,
        folders: Sequence[Path],
        alerts: tuple[LibraryAlert, ...],
        each: Callable[[Sequence[Path]], Sequence[Outcome]],
    ) -> list[Outcome]:
        """Return what became of each folder.

        Args:
            folders: of the routes.
            alerts: the library's.
            each: makes what is not kept: folders, and those that other alerts may reach.
        """
        # Before a folder is read: what is saved while it is read makes it another one.
        stamps = {folder.name: stamp_of(folder) for folder in folders}
        routes = {name: self._routes[name] for name in stamps if name in self._routes}
        changed = [
            folder
            for folder in folders
            if folder.name not in routes
            or not routes[folder.name].holds(stamps[folder.name], alerts)
        ]
        for folder, outcome in zip(changed, each(changed), strict=True):
            before = routes.get(folder.name)
            now = _with_parts_of(before.outcome, outcome) if before else outcome
            routes[folder.name] = _Route(stamps[folder.name], alerts, now)
        self._routes = routes
        self.made = tuple(folder.name for folder in changed)
        return [routes[name].outcome for name in stamps]

    def same(self, name: tuple[str, ...] | str, made_from: object, make: Callable[[], T]) -> T:
        """Return what was made of the same the last time, else what `make` makes.

        Args:
            name: of the part of the site.
            made_from: all that it depends upon, beside what was given to `keep_for`.
            make: makes it.
        """
        key = (name,) if isinstance(name, str) else name
        before = self._parts.get(key)
        if before is None or before[0] != made_from:
            before = (made_from, make())
            self._parts[key] = before
        return cast("T", before[1])


def stamp_of(folder: Path) -> Stamp:
    """Return a stamp that is another one after any change to a folder or to a file in it.

    Links are not followed. A folder that is not there has an empty stamp.
    """
    found: list[tuple[str, int, int, int, int, int]] = []

    def note(path: str, status: os.stat_result) -> None:
        times = (status.st_mtime_ns, status.st_ctime_ns)
        found.append((path, status.st_mode, status.st_ino, status.st_size, *times))

    def walk(path: str) -> None:
        with os.scandir(path) as entries:
            for entry in entries:
                note(entry.path, entry.stat(follow_symlinks=False))
                if entry.is_dir(follow_symlinks=False):
                    walk(entry.path)

    try:
        note(str(folder), os.lstat(folder))
        walk(str(folder))
    except OSError as error:
        # What cannot be read has no outcome worth keeping but the reason why.
        found.append((str(error), 0, 0, 0, 0, 0))
    return tuple(sorted(found))


def _with_parts_of(before: Outcome, now: Outcome) -> Outcome:
    """Return an outcome with the very line and gaps that it had, where they are the same still."""
    line = before.line if _is_same(before.line, now.line) else now.line
    gaps = before.gaps if _is_same(before.gaps, now.gaps) else now.gaps
    return replace(now, line=line, gaps=gaps)


def _is_same(one: Any, other: Any) -> bool:
    """Whether two things are equal, with arrays compared by what is in them."""
    if type(one) is not type(other):
        return False
    if isinstance(one, np.ndarray):
        return np.array_equal(one, other)
    if isinstance(one, tuple):
        return len(one) == len(other) and all(map(_is_same, one, other))
    if is_dataclass(one):
        names = [each.name for each in fields(one)]
        return all(_is_same(getattr(one, name), getattr(other, name)) for name in names)
    return bool(one == other)
