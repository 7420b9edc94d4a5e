"""The command that tells what needs riding next."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import click

from softpedal.cli.group import main
from softpedal.cli.shared import LIBRARY, STREETS, alerts_of, now_in, settings_of, town_of
from softpedal.library.load import load_route, route_folders
from softpedal.library.reports import load_reports
from softpedal.site.background_file import CACHE
from softpedal.upkeep.due import RULE, due, due_document, due_lines
from softpedal.upkeep.due_changes import changes_under

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.library.route import Route
    from softpedal.settings import Settings


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
    says otherwise, plans that are due, what nobody has ridden or confirmed, and age. What the map
    says is kept for the page What needs riding next.
    """
    settings = settings_of(library)
    reports = load_reports(library).reports
    routes = _routes(library, settings)
    changes = None
    if streets or (settings.extract and (library / settings.extract).is_file()):
        town = town_of(library, settings, streets)
        changes = changes_under(routes, town, settings, library / CACHE)
    else:
        click.echo("The map was not looked at: there is no extract.", err=True)
    today = now_in(settings).date()
    found = due(routes, reports, today, months, changes)
    if form == "json":
        document = due_document(found, today, months)
        click.echo(json.dumps(document, ensure_ascii=False, indent=2))
        return
    for line in due_lines(found):
        click.echo(line)
    count = sum(bool(one.reasons) for one in found)
    verb = "route is" if len(found) == 1 else "routes are"
    click.echo(("\n" if found else "") + f"{count} of {len(found)} {verb} due. {RULE}")


def _routes(library: Path, settings: Settings) -> list[Route]:
    alerts = alerts_of(library)
    loaded = [load_route(folder, settings, alerts=alerts) for folder in route_folders(library)]
    for one in loaded:
        if one.route is None:
            click.echo(f"{one.id} has errors and is passed over: `softpedal check`.", err=True)
    return [one.route for one in loaded if one.route]
