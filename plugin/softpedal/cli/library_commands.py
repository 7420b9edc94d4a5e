"""Commands on a library: measure, check, pages, policy, schema."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import click
from rich.console import Console

from softpedal.cli.group import main
from softpedal.cli.shared import LIBRARY, settings_of, town_of
from softpedal.library.load import NOTES, ROUTES, load_route, load_settings, route_folders
from softpedal.library.notes import Notes
from softpedal.library.plain_text import counted
from softpedal.library.private_zones import read_zones
from softpedal.measure.document import measures_csv, measures_document, measures_schema
from softpedal.measure.route_measures import Measured, measure_loaded
from softpedal.measure.table import measures_table
from softpedal.settings import FILE_NAME, Settings
from softpedal.site.catalogue_json import catalogue_schema
from softpedal.site.plain_pages import Addresses, write_pages
from softpedal.site.policy import policy as site_policy
from softpedal.site.publish import publish
from softpedal.upkeep.check import check_library, github_line, problems_document

if TYPE_CHECKING:
    from softpedal.problems import Problem

#: Characters in a line of a table that goes to a file or another program: no row is broken.
FILE_WIDTH = 1000
#: The dialect of JSON Schema that pydantic writes.
JSON_SCHEMA = "https://json-schema.org/draft/2020-12/schema"


@main.command()
@click.argument("routes", nargs=-1, metavar="[ROUTE]...")
@LIBRARY
@click.option("--format", "form", type=click.Choice(["table", "json", "csv"]), default="table")
def measure(routes: tuple[str, ...], library: Path, form: str) -> None:
    """Measure routes: all, or those named by id or by their folder's path.

    A route with an error is left out and reported on standard error; the exit code is then 1.
    """
    measured: list[Measured] = []
    problems: list[Problem] = []
    for folder in _folders(routes, library):
        settings, faults = load_settings(folder.parent.parent / FILE_NAME)
        problems += [p for p in faults if p not in problems]
        measured.append(measure_loaded(load_route(folder, settings), settings or Settings()))
        problems += [p for p in measured[-1].problems if p.is_error]
    for problem in problems:
        click.echo(str(problem), err=True)
    good = [(m.route, m.measures) for m in measured if m.route and m.measures]
    if form == "json":
        document = measures_document(good)
        click.echo(json.dumps(document, ensure_ascii=False, allow_nan=False, indent=2))
    elif form == "csv":
        click.echo(measures_csv(good), nl=False)
    else:
        _print_table(good)
    sys.exit(1 if problems else 0)


@main.command()
@click.argument(
    "path", type=click.Path(exists=True, file_okay=False, path_type=Path), default=Path()
)
@click.option("--format", "form", type=click.Choice(["text", "json", "github"]), default="text")
@click.option(
    "--streets",
    type=click.Path(path_type=Path),
    help="A map extract: advise where notes and map disagree, and what has changed in it.",
)
def check(path: Path, form: str, streets: Path | None) -> None:
    """Report every problem in a library, or in one route's folder: errors and advice.

    Exit code 0: no errors; 1: errors; 2: misuse.
    """
    library, only = _library_of(path)
    town = town_of(library, settings_of(library), streets) if streets else None
    problems = check_library(library, only, town, read_zones())
    errors = sum(p.is_error for p in problems)
    if form == "json":
        click.echo(json.dumps(problems_document(problems), ensure_ascii=False, indent=2))
    elif form == "github":
        for problem in problems:
            click.echo(github_line(problem, _prefix(library)))
    else:
        for problem in problems:
            click.echo(str(problem))
        routes = counted(len(only) or len(route_folders(library)), "route")
        advice = counted(len(problems) - errors, "piece")
        click.echo(f"{routes} checked: {counted(errors, 'error')}, {advice} of advice.")
    sys.exit(1 if errors else 0)


@main.command()
@LIBRARY
@click.option(
    "--to",
    type=click.Path(path_type=Path),
    required=True,
    help="Folder to write, new or written by this command before; it is replaced.",
)
@click.option(
    "--addresses",
    type=click.Choice(["directory", "file"]),
    default="directory",
    show_default=True,
    help="Where the generator puts mill/index.md: at mill/, or at mill/index.html.",
)
@click.option("--base", default="", help="Address of the published folder, for cards and codes.")
def pages(library: Path, to: Path, addresses: Literal["directory", "file"], base: str) -> None:
    """Write the pages as plain Markdown and files, for any other site generator.

    A route with an error is left out and reported on standard error; the exit code is then 1.
    """
    if not (library / ROUTES).is_dir():
        raise click.UsageError(f"There is no folder {ROUTES}/ in {library}.")
    link = Addresses(addresses, base)
    published = publish(library, link, zones=read_zones())
    try:
        count = write_pages(published, to, link)
    except FileExistsError as error:
        raise click.UsageError(str(error)) from error
    errors = [problem for problem in published.problems if problem.is_error]
    for problem in published.problems:
        if problem.is_error or problem.code == "site-address":
            click.echo(str(problem), err=True)
    click.echo(f"{counted(count, 'page')} written to {to}.")
    sys.exit(1 if errors else 0)


@main.command()
@click.argument("site", type=click.Path(exists=True, file_okay=False, path_type=Path))
def policy(site: Path) -> None:
    """Print the Content-Security-Policy under which a built site works."""
    try:
        click.echo(site_policy(site))
    except ValueError as error:
        raise click.UsageError(str(error)) from error


@main.command()
@click.argument("what", type=click.Choice(["notes", "settings", "measures", "catalogue"]))
def schema(what: str) -> None:
    """Print a JSON Schema: of notes.yml, softpedal.yml, measures or the published catalogue."""
    schemas: dict[str, dict[str, Any]] = {
        "notes": Notes.model_json_schema(by_alias=True),
        "settings": Settings.model_json_schema(),
        "measures": measures_schema(),
        "catalogue": catalogue_schema(),
    }
    document = {"$schema": JSON_SCHEMA, **schemas[what]}
    click.echo(json.dumps(document, ensure_ascii=False, indent=2))


def _folders(routes: tuple[str, ...], library: Path) -> list[Path]:
    """Return the folders that ids and paths name."""
    if not routes:
        folders = route_folders(library)
        if not folders:
            raise click.UsageError(f"There are no route folders under {library / ROUTES}.")
        return folders
    found = []
    for name in routes:
        by_id = library / ROUTES / name
        folder = by_id if by_id.name == name and by_id.is_dir() else Path(name).resolve()
        if not folder.is_dir():
            raise click.UsageError(f"There is no route `{name}`: neither an id nor a folder.")
        if folder.parent.name != ROUTES and not (folder / NOTES).is_file():
            raise click.UsageError(f"`{name}` is not a route's folder: it holds no {NOTES}.")
        found.append(folder)
    return found


def _prefix(library: Path) -> str:
    """Return what leads from the current folder, for which workflows run, to the library."""
    whole = library.resolve()
    inside = whole.is_relative_to(Path.cwd())
    path = whole.relative_to(Path.cwd()) if inside else whole
    return "" if path == Path() else f"{path.as_posix()}/"


def _library_of(path: Path) -> tuple[Path, list[str]]:
    """Return the library's folder, and the one route that is meant, if any."""
    if (path / ROUTES).is_dir() or (path / FILE_NAME).is_file():
        return path, []
    resolved = path.resolve()
    if resolved.name == ROUTES:
        return path.parent if path.name == ROUTES else resolved.parent, []
    if resolved.parent.name == ROUTES:
        return resolved.parent.parent, [resolved.name]
    raise click.UsageError(f"There is neither {ROUTES}/ nor {FILE_NAME} in {path}.")


def _print_table(good: list[Any]) -> None:
    width = None if sys.stdout.isatty() else FILE_WIDTH
    Console(width=width).print(measures_table(good))
