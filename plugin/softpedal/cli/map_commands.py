"""Commands on a map: streets, scout, ridesheet."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from softpedal.cli.group import main
from softpedal.cli.shared import LIBRARY, STREETS, settings_of, town_of
from softpedal.draft.scouting import scouted_ways, sheet_of_line, sheet_of_route
from softpedal.library.plain_text import counted
from softpedal.streets.survey import survey, verdicts_geojson

if TYPE_CHECKING:
    from softpedal.draft.scouting import Scouted, Sheet


@main.command()
@click.argument("extract", type=click.Path(path_type=Path))
@LIBRARY
@click.option("--to", type=click.Path(dir_okay=False, path_type=Path), help="GeoJSON of verdicts.")
def streets(extract: Path, library: Path, to: Path | None) -> None:
    """Print what a map EXTRACT says of a town's streets: which are filtered, and how sure."""
    town = town_of(library, settings_of(library), extract)
    for line in survey(town.network, town.verdicts, town.country).lines():
        click.echo(line)
    if to:
        document = verdicts_geojson(town.network, town.verdicts)
        to.write_text(json.dumps(document, ensure_ascii=False), encoding="utf-8")
        click.echo(f"{counted(len(document['features']), 'street')} written to {to}.")


@main.command()
@click.argument("from_", metavar="FROM")
@click.argument("to")
@STREETS
@LIBRARY
@click.option("--ways", default=3, type=click.IntRange(1, 8), show_default=True)
@click.option(
    "--write",
    type=click.Path(file_okay=False, path_type=Path),
    help="New folder for a GPX file of each way and a page with a map.",
)
def scout(  # noqa: PLR0917 - as many as the command has options
    from_: str, to: str, streets: Path | None, library: Path, ways: int, write: Path | None
) -> None:
    """Propose ways FROM somewhere TO somewhere that nobody has ridden yet.

    FROM and TO are coordinates like `50.01,-20.03`, or names in the extract.
    """
    settings = settings_of(library)
    _print_papers(
        scouted_ways(town_of(library, settings, streets), settings, from_, to, ways), write
    )


@main.command()
@click.argument("route", type=click.Path(exists=True, path_type=Path))
@LIBRARY
@STREETS
@click.option(
    "--write",
    type=click.Path(file_okay=False, path_type=Path),
    help="New folder for the sheet as a page to print and as waypoints.",
)
def ridesheet(route: Path, library: Path, streets: Path | None, write: Path | None) -> None:
    """Print what to look at when riding a ROUTE: its folder, or the GPX file of a scouted way."""
    settings = settings_of(library)
    if route.is_dir():
        sheet = sheet_of_route(route, settings)
    else:
        sheet = sheet_of_line(route, town_of(library, settings, streets), settings)
    _print_papers(sheet, write)


def _print_papers(papers: Scouted | Sheet, write: Path | None) -> None:
    for line in papers.lines():
        click.echo(line)
    if write:
        click.echo(f"{counted(len(papers.write(write)), 'file')} written to {write}.")
