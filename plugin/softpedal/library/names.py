"""Names that one route uses for others: old ids, routes that follow on, routes to ride instead."""

from __future__ import annotations

import difflib
from typing import TYPE_CHECKING

from softpedal.library.faults import shown
from softpedal.problems import Problem

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.route import Route
    from softpedal.library.yaml_source import Path


def name_problems(routes: Sequence[Route], folders: Sequence[str]) -> list[Problem]:
    """Return a problem for each old id that is taken and each route named that does not exist.

    Args:
        routes: those that could be read.
        folders: the ids of all folders, readable or not.
    """
    problems: list[Problem] = []
    owners = {folder: folder for folder in folders}
    for route in routes:
        for index, old in enumerate(route.notes.was):
            if owners.setdefault(old, route.id) != route.id or old in folders:
                problems.append(
                    _problem(
                        "id-taken",
                        route,
                        ("was", index),
                        f"The old id `{shown(old)}` is taken by the route `{shown(owners[old])}`.",
                        "An address can lead to one route only.",
                    )
                )
        named: dict[Path, str] = {("next", i): name for i, name in enumerate(route.notes.next)}
        if route.notes.withdrawn and route.notes.withdrawn.instead:
            named["withdrawn", "instead"] = route.notes.withdrawn.instead
        for path, other in named.items():
            if other not in folders:
                what = f"There is no route `{shown(other)}`."
                problems.append(_problem("claim-next", route, path, what, _hint(other, folders)))
    return problems


def _hint(name: str, folders: Sequence[str]) -> str:
    near = difflib.get_close_matches(name, folders, 1, 0.6)
    return f"Did you mean `{near[0]}`?" if near else "Write the name of a folder under routes/."


def _problem(code: str, route: Route, path: Path, message: str, hint: str) -> Problem:
    file, place = f"routes/{route.id}/notes.yml", route.place(*path)
    return Problem(code, file, *place, message, hint, route.id)
