"""What several commands take and do: options, the settings, the map."""

from __future__ import annotations

import datetime as dt
import zoneinfo
from pathlib import Path
from typing import TYPE_CHECKING

import click

from softpedal.draft.town import open_town
from softpedal.library.library_alerts import read_alerts
from softpedal.library.load import load_route, load_settings, route_folders
from softpedal.problems import CannotDoError
from softpedal.settings import FILE_NAME, Settings
from softpedal.site.background_file import CACHE
from softpedal.streets.extract import ExtractError

if TYPE_CHECKING:
    from softpedal.draft.privacy import Cut
    from softpedal.draft.town import Town
    from softpedal.library.library_alerts import LibraryAlert
    from softpedal.library.route import Route


LIBRARY = click.option(
    "--library",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=Path(),
    help="Folder that holds routes/ and softpedal.yml. Default: the current folder.",
)
RIDE = click.Path(exists=True, dir_okay=False, path_type=Path)
STREETS = click.option(
    "--streets",
    type=click.Path(path_type=Path),
    help="An OpenStreetMap extract of the town. Default: `extract` in softpedal.yml.",
)


def settings_of(library: Path) -> Settings:
    """Return the settings of a library; what is wrong with them is printed.

    Raises:
        CannotDoError: they cannot be used.
    """
    settings, faults = load_settings(library / FILE_NAME)
    for problem in faults:
        click.echo(str(problem), err=True)
    if settings is None:
        raise CannotDoError(f"{FILE_NAME} cannot be used as it is.", "Mend it, or take it away.")
    return settings


def alerts_of(library: Path) -> tuple[LibraryAlert, ...]:
    """Return the alerts of a library.

    Raises:
        CannotDoError: alerts.yml has faults; the message names the first.
    """
    alerts, faults = read_alerts(library)
    if faults:
        raise CannotDoError(str(faults[0]), "Mend it first: `softpedal check` lists all faults.")
    return alerts


def routes_of(
    library: Path, settings: Settings, what: str, alerts: tuple[LibraryAlert, ...] = ()
) -> list[Route]:
    """Return the routes that can be read; what is wrong with others `softpedal check` tells.

    Args:
        library: its folder.
        settings: of the library.
        what: said of each other, with {route} for its id.
        alerts: the library's, where they matter.
    """
    loaded = [load_route(folder, settings, alerts=alerts) for folder in route_folders(library)]
    for one in loaded:
        if one.route is None:
            click.echo(what.format(route=one.id), err=True)
    return [one.route for one in loaded if one.route]


def now_in(settings: Settings) -> dt.datetime:
    """Return the time in the library's zone, to the second."""
    return dt.datetime.now(zoneinfo.ZoneInfo(settings.time_zone)).replace(microsecond=0)


def town_of(library: Path, settings: Settings, streets: Path | None) -> Town:
    """Return what an extract says, read once and kept in the library's cache."""
    extract = streets or (library / settings.extract if settings.extract else None)
    if extract is None:
        raise click.UsageError("Name a map extract with --streets, or `extract` in the settings.")
    if settings.country is None:
        click.echo("No `country` in softpedal.yml: taken to drive on the right.", err=True)
    try:
        return open_town(extract, library / CACHE, settings.country)
    except ExtractError as error:
        raise ExtractError(f"{extract.name}: {error}.", error.hint) from error


def tell_cut(cut: Cut) -> None:
    """Print what private zones took out of a line: for the terminal alone."""
    for words in cut.words():
        click.echo(f"{words[0].upper()}{words[1:]}.")
