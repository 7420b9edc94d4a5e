"""Names that one route uses for others: old ids, routes that follow on, routes to ride instead."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.library.faults import shown
from softpedal.problems import Problem

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.route import Route
    from softpedal.library.yaml_source import Mark


@dataclass(frozen=True, slots=True)
class Names:
    """What one route calls others, each with its line and column in notes.yml.

    Attributes:
        id: of the route.
        was: its old ids.
        others: the routes that it names.
    """

    id: str
    was: tuple[tuple[str, Mark], ...]
    others: tuple[tuple[str, Mark], ...]


def names_of(route: Route) -> Names:
    """Return the names that a route uses."""
    notes = route.notes
    others = [(name, route.place("next", i)) for i, name in enumerate(notes.next)]
    if notes.withdrawn and notes.withdrawn.instead:
        others.append((notes.withdrawn.instead, route.place("withdrawn", "instead")))
    was = [(old, route.place("was", i)) for i, old in enumerate(notes.was)]
    return Names(route.id, tuple(was), tuple(others))


def name_problems(routes: Sequence[Names], folders: Sequence[str]) -> list[Problem]:
    """Return a problem for each old id that is taken and each route named that does not exist.

    Args:
        routes: the names in those that could be read.
        folders: the ids of all folders, readable or not.
    """
    problems: list[Problem] = []
    owners = {folder: folder for folder in folders}
    for route in routes:
        for old, mark in route.was:
            if owners.setdefault(old, route.id) != route.id or old in folders:
                message = f"The old id `{shown(old)}` is taken by the route `{shown(owners[old])}`."
                hint = "An address can lead to one route only."
                problems.append(_problem("id-taken", route, mark, message, hint))
        problems += [
            _problem(
                "claim-next",
                route,
                mark,
                f"There is no route `{shown(other)}`.",
                _hint(other, folders),
            )
            for other, mark in route.others
            if other not in folders
        ]
    return problems


def _hint(name: str, folders: Sequence[str]) -> str:
    near = difflib.get_close_matches(name, folders, 1, 0.6)
    return f"Did you mean `{near[0]}`?" if near else "Write the name of a folder under routes/."


def _problem(code: str, route: Names, mark: Mark, message: str, hint: str) -> Problem:
    return Problem(code, f"routes/{route.id}/notes.yml", *mark, message, hint, route.id)
