"""The command that tells what needs riding next."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import click

from softpedal.cli.group import main
from softpedal.cli.shared import (
    LIBRARY,
    STREETS,
    alerts_of,
    now_in,
    routes_of,
    settings_of,
    town_of,
)
from softpedal.library.plain_text import counted
from softpedal.library.reports import load_reports
from softpedal.site.background_file import CACHE
from softpedal.streets.extract import ExtractError
from softpedal.upkeep.due import RULE, due, due_document, due_lines
from softpedal.upkeep.due_changes import changes_under

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from softpedal.draft.town import Town
    from softpedal.library.reports import Report
    from softpedal.library.route import Route
    from softpedal.settings import Settings
    from softpedal.upkeep.due_changes import Compared


@main.command("due")
@LIBRARY
@STREETS
@click.option(
    "--months",
    default=12,
    show_default=True,
    type=click.IntRange(1, 600),
    help="A ride so long ago is old.",
)
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text")
def due_command(library: Path, streets: Path | None, months: int, form: str) -> None:
    """List the routes by how much they need a new ride, with what speaks for it.

    Reasons are open reports, alerts that have begun or ended since the last ride, what the map now
    says otherwise, plans whose year has come, what nobody has ridden or confirmed, and age. What
    the map says is kept, so that asking again is fast. The exit code is 0 whatever is due.
    """
    settings = settings_of(library)
    reports = load_reports(library).reports
    what = "{route} has errors and is passed over: `softpedal check`."
    routes = routes_of(library, settings, what, alerts_of(library))
    compared = _compared(library, routes, settings, streets)
    today = now_in(settings).date()
    found = due(routes, reports, today, months, compared.changes if compared else None)
    if form == "json":
        looked = sorted(compared.changes) if compared else None
        document = due_document(found, today, months, looked)
        click.echo(json.dumps(document, ensure_ascii=False, indent=2))
    else:
        for line in due_lines(found):
            click.echo(line)
        count = sum(bool(one.reasons) for one in found)
        verb = "route is" if len(found) == 1 else "routes are"
        click.echo(("\n" if found else "") + f"{count} of {len(found)} {verb} due. {RULE}")
    _tell_unplaced(reports, routes)


def _compared(
    library: Path, routes: Sequence[Route], settings: Settings, streets: Path | None
) -> Compared | None:
    """Hold the routes against the map, and say where that could not be done; None without one."""
    named = streets or (library / settings.extract if settings.extract else None)
    if named is None:
        click.echo("The map was not looked at: no extract is named.", err=True)
        return None
    if streets is None and not named.is_file():
        click.echo(f"The map was not looked at: there is no {settings.extract}.", err=True)
        return None
    if not named.is_file():
        raise ExtractError(f"There is no file {named}.", "Name an OpenStreetMap extract.")

    def open_town() -> Town:
        return town_of(library, settings, streets)

    compared = changes_under(routes, named, open_town, settings, library / CACHE)
    for route, why in compared.failed.items():
        click.echo(f"{route} could not be compared with the map: {why}", err=True)
    if compared.undrafted:
        click.echo(
            f"Not compared with the map: {counted(compared.undrafted, 'route')} that no "
            "`softpedal draft` has made.",
            err=True,
        )
    return compared


def _tell_unplaced(reports: Sequence[Report], routes: Sequence[Route]) -> None:
    known = {name for route in routes for name in (route.id, *route.notes.was)}
    lost = sum(r.state == "open" and r.route not in known for r in reports)
    if lost:
        click.echo(
            f"{counted(lost, 'open report')} on no route that could be read: "
            "`softpedal reports list`.",
            err=True,
        )
