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
    from softpedal.problems import Severity


@dataclass(frozen=True, slots=True)
class Names:
    """What one route calls others, each with its line and column in notes.yml.

    Attributes:
        id: of the route.
        status: draft, published or withdrawn.
        was: its old ids.
        others: the routes that it names.
        areas: where it is.
    """

    id: str
    status: str
    was: tuple[tuple[str, Mark], ...]
    others: tuple[tuple[str, Mark], ...]
    areas: tuple[tuple[str, Mark], ...] = ()


def names_of(route: Route) -> Names:
    """Return the names that a route uses."""
    notes = route.notes
    others = [(name, route.place("next", i)) for i, name in enumerate(notes.next)]
    if notes.withdrawn and notes.withdrawn.instead:
        others.append((notes.withdrawn.instead, route.place("withdrawn", "instead")))
    was = [(old, route.place("was", i)) for i, old in enumerate(notes.was)]
    areas = [(area, route.place("area", i)) for i, area in enumerate(notes.area)]
    return Names(route.id, notes.status, tuple(was), tuple(others), tuple(areas))


def name_problems(routes: Sequence[Names], folders: Sequence[str]) -> list[Problem]:
    """Return a problem for each old id that is taken and each route named that does not exist.

    Args:
        routes: the names in those that could be read.
        folders: the ids of all folders, readable or not.
    """
    problems: list[Problem] = []
    owners = {folder: folder for folder in folders}
    drafts = {route.id for route in routes if route.status == "draft"}
    areas: dict[str, str] = {}
    for route in routes:
        for old, mark in route.was:
            if owners.setdefault(old, route.id) != route.id or old in owners.values():
                message = f"The old id `{shown(old)}` is taken by the route `{shown(owners[old])}`."
                hint = "An address can lead to one route only."
                problems.append(_problem("id-taken", route, mark, message, hint))
        for other, mark in route.others:
            if other not in owners or owners[other] != other:
                message, hint = f"There is no route `{shown(other)}`.", _hint(other, folders)
            elif other in drafts and route.status != "draft":
                message = f"The route `{shown(other)}` is not published, so no link leads there."
                hint = "Publish it, or name another."
            else:
                continue
            severity: Severity = "error"
            if other in owners and route.status != "withdrawn":
                severity = "advice"
            problems.append(_problem("claim-next", route, mark, message, hint, severity))
        for area, mark in route.areas:
            known = areas.setdefault(area_key(area), area)
            if known != area:
                message = f"The area `{shown(area)}` is the same as `{shown(known)}` elsewhere."
                hint = "Write it the same way in every route: it is one page."
                problems.append(_problem("area-twice", route, mark, message, hint, "advice"))
    return problems


def area_key(area: str) -> str:
    """Return what an area's address is made of: two areas with one key are one."""
    words = "".join(c if c.isalnum() else " " for c in area.lower()).split()
    return "-".join(words) or "area"


def _hint(name: str, folders: Sequence[str]) -> str:
    near = difflib.get_close_matches(name, folders, 1, 0.6)
    return f"Did you mean `{near[0]}`?" if near else "Write the name of a folder under routes/."


def _problem(  # noqa: PLR0917 - in the order of a problem
    code: str, route: Names, mark: Mark, message: str, hint: str, severity: Severity = "error"
) -> Problem:
    file = f"routes/{route.id}/notes.yml"
    return Problem(code, file, *mark, message, hint, route.id, severity)
