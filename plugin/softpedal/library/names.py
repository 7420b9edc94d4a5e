"""Names that one route uses for others: old ids, routes that follow on, routes to ride instead."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.problems import Problem

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.route import Route


def name_problems(routes: Sequence[Route], folders: Sequence[str]) -> list[Problem]:
    """Return a problem for each old id that is taken and each route named that does not exist.

    Args:
        routes: those that could be read.
        folders: the ids of all folders, readable or not.
    """
    problems: list[Problem] = []
    owners = {folder: folder for folder in folders}
    for route in routes:
        for old in route.notes.was:
            if owners.setdefault(old, route.id) != route.id or old in folders:
                problems.append(
                    _problem(
                        "id-taken",
                        route,
                        f"The old id `{old}` is taken by the route `{owners[old]}`.",
                        "An address can lead to one route only.",
                    )
                )
        named = list(route.notes.next)
        if route.notes.withdrawn and route.notes.withdrawn.instead:
            named.append(route.notes.withdrawn.instead)
        problems += [
            _problem(
                "claim-next",
                route,
                f"There is no route `{other}`.",
                "Write the name of a folder under routes/.",
            )
            for other in named
            if other not in folders
        ]
    return problems


def _problem(code: str, route: Route, message: str, hint: str) -> Problem:
    return Problem(code, f"routes/{route.id}/notes.yml", 1, 1, message, hint, route.id)
