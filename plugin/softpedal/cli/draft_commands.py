"""Commands on a ride: draft, bare."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from softpedal.cli.group import main
from softpedal.cli.shared import LIBRARY, RIDE, STREETS, settings_of, town_of
from softpedal.draft.again import draft_again, is_news, write_again
from softpedal.draft.changes import changes_text
from softpedal.draft.draft_record import read_record
from softpedal.draft.drafting import draft_report, draft_ride, write_draft
from softpedal.draft.ride import read_ride
from softpedal.library.gpx_reader import read_gpx
from softpedal.library.gpx_writer import write_gpx
from softpedal.library.load import ROUTES
from softpedal.library.values import ROUTE_ID

if TYPE_CHECKING:
    from softpedal.draft.town import Town
    from softpedal.settings import Settings


@main.command()
@click.argument("ride", type=RIDE, required=False)
@STREETS
@LIBRARY
@click.option("--into", type=click.Path(file_okay=False, path_type=Path), help="Default: routes/.")
@click.option("--name", default="", help="Name of the folder. Default: from where to where.")
@click.option(
    "--again",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    help="A route's folder: draft it anew and list what differs; what a person wrote stays.",
)
@click.option("--yes", is_flag=True, help="With --again: write without asking.")
def draft(  # noqa: PLR0917 - as many as the command has options
    ride: Path | None,
    streets: Path | None,
    library: Path,
    into: Path | None,
    name: str,
    again: Path | None,
    yes: bool,
) -> None:
    """Write a route folder from a RIDE and a map: the author corrects it.

    Every item is marked `source: map` and sure, check or guess, with its evidence. The ride is
    read and not changed. It does not cut off your home: do that first.
    """
    if (ride is None) == (again is None):
        raise click.UsageError("Name a RIDE to draft from, or --again and a route's folder.")
    if name and not ROUTE_ID.fullmatch(name):
        raise click.UsageError("--name is a-z, 0-9 and single hyphens, like `mill-to-quay`.")
    settings = settings_of(library)
    recording = read_ride(ride) if ride is not None else None
    town = town_of(library, settings, streets)
    if again is not None:
        _draft_again(again, town, settings, yes=yes)
    elif recording is not None:
        made = draft_ride(town, recording, settings)
        try:
            folder = write_draft(made, town, settings, into or library / ROUTES, name)
        except FileExistsError as error:
            raise click.UsageError(
                f"{error} is there already: --name gives another name, --again drafts it anew."
            ) from error
        for line in draft_report(made):
            click.echo(line)
        click.echo(f"{folder}: a draft. Correct it, then `softpedal check {folder}`.")


def _draft_again(folder: Path, town: Town, settings: Settings, *, yes: bool) -> None:
    made, merged = draft_again(folder, town, settings)
    for line in changes_text(merged.changes):
        click.echo(line)
    own_only = all(change.sort == "kept" for change in merged.changes)
    news = merged.changes and not (own_only and not is_news(made, read_record(folder)))
    question = "Keep yours, and tell it no more?" if own_only else "Write these changes?"
    if not news:
        click.echo("Nothing to write: the map says nothing new of what was drafted.")
    elif yes or click.confirm(f"{folder}: {question}"):
        write_again(folder, made, merged, town)
        click.echo(f"{folder}: written. What you wrote or confirmed is as it was.")


@main.command()
@click.argument("ride", type=RIDE)
@click.argument("track", type=click.Path(dir_okay=False, path_type=Path))
@click.option("--force", is_flag=True, help="Write over a file that is there.")
def bare(ride: Path, track: Path, force: bool) -> None:
    """Write the line of a recording without times, extensions and device data.

    RIDE is read and not changed, TRACK is written. It does not cut off your home: do that first.
    """
    if track.exists() and not force:
        raise click.UsageError(f"{track} is there already; --force writes over it.")
    gpx, problems = read_gpx(ride.read_bytes(), ride.name)
    for problem in problems:
        click.echo(str(problem), err=True)
    if gpx is None:
        sys.exit(1)
    line = (gpx.lat, gpx.lon, gpx.height, gpx.part)
    text = write_gpx(*line, gpx.name, gpx.waypoints)
    track.write_text(text, encoding="utf-8")
    left = ", ".join(sorted({what for what, _, _ in gpx.private})) or "nothing"
    click.echo(f"{track}: {len(gpx.lat):,} points; left out: {left}.")
