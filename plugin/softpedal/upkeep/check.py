"""All problems in all folders of a library, in one run."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from softpedal.library.library_alerts import read_alerts, unreached
from softpedal.library.load import load_route, load_settings, route_folders
from softpedal.library.names import name_problems, names_of
from softpedal.library.plain_text import printable
from softpedal.library.private_zones import NO_ZONES, Zones
from softpedal.measure.route_measures import measure_loaded
from softpedal.problems import Problem, sort_problems
from softpedal.settings import FILE_NAME, Settings
from softpedal.upkeep.map_check import check_against_map
from softpedal.upkeep.reports.checking import report_problems

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from softpedal.draft.town import Town

SCHEMA_VERSION = 1


def check_library(
    library: Path,
    only: Sequence[str] = (),
    town: Town | None = None,
    zones: Zones = NO_ZONES,
) -> list[Problem]:
    """Return every problem of a library, in reading order.

    Args:
        library: the folder that holds `routes/` and softpedal.yml.
        only: ids of routes; problems of others are left out.
        town: a map to hold published routes against.
        zones: places that no route may enter.
    """
    settings, problems = load_settings(library / FILE_NAME)
    used = settings or Settings()
    alerts, faults = read_alerts(library)
    problems += faults
    loaded = [load_route(folder, used, zones, alerts) for folder in route_folders(library)]
    for one in loaded:
        problems += measure_loaded(one, used).problems
        if town and one.route and (not only or one.id in only):
            problems += check_against_map(one.route, town, used)
    problems += unreached(library, [one.route for one in loaded if one.route])
    named = [names_of(one.route) for one in loaded if one.route]
    problems += name_problems(named, [one.id for one in loaded])
    problems += report_problems(library, {one.id for one in loaded}, named)
    if only:
        wanted = {printable(name) for name in only}
        problems = [p for p in problems if not p.route or p.route in wanted]
    return sort_problems(dict.fromkeys(problems))


def problems_document(problems: Sequence[Problem]) -> dict[str, Any]:
    """Return problems as plain data; files are relative to the library."""
    keys = ("code", "severity", "route", "file", "line", "column", "message", "hint")
    return {
        "schema": SCHEMA_VERSION,
        "problems": [{key: getattr(problem, key) for key in keys} for problem in problems],
    }


def github_line(problem: Problem, prefix: str = "") -> str:
    """Return a workflow command that puts the problem beside its line in a pull request."""
    level = "error" if problem.is_error else "notice"
    where = f"file={_escaped(prefix + problem.file, in_property=True)}"
    if problem.line:
        where += f",line={problem.line}"
    if problem.column:
        where += f",col={problem.column}"
    text = f"{problem.message} {problem.hint}".strip()
    return f"::{level} {where},title={problem.code}::{_escaped(text)}"


def _escaped(text: str, *, in_property: bool = False) -> str:
    text = text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")
    if in_property:
        text = text.replace(":", "%3A").replace(",", "%2C")
    return text
