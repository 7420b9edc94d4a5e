"""The command line: a thin door to the rooms behind it."""

from __future__ import annotations

import errno
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import click
from rich.console import Console

from softpedal.draft.again import draft_again, is_news, write_again
from softpedal.draft.changes import changes_text
from softpedal.draft.draft_record import read_record
from softpedal.draft.drafting import draft_report, draft_ride, write_draft
from softpedal.draft.ride import read_ride
from softpedal.draft.scouting import scouted_ways, sheet_of_line, sheet_of_route
from softpedal.draft.town import open_town
from softpedal.library.gpx_reader import read_gpx
from softpedal.library.gpx_writer import write_gpx
from softpedal.library.load import NOTES, ROUTES, load_route, load_settings, route_folders
from softpedal.library.notes import Notes
from softpedal.library.values import ROUTE_ID
from softpedal.measure.document import measures_csv, measures_document, measures_schema
from softpedal.measure.route_measures import Measured, measure_loaded
from softpedal.measure.table import measures_table
from softpedal.problems import CannotDoError
from softpedal.settings import FILE_NAME, Settings
from softpedal.site.background_file import CACHE
from softpedal.site.plain_pages import Addresses, write_pages
from softpedal.site.policy import policy as site_policy
from softpedal.site.publish import publish
from softpedal.streets.extract import ExtractError
from softpedal.streets.survey import survey, verdicts_geojson
from softpedal.upkeep.check import check_library, github_line, problems_document

if TYPE_CHECKING:
    from softpedal.draft.scouting import Scouted, Sheet
    from softpedal.draft.town import Town
    from softpedal.problems import Problem

#: Characters in a line of a table that goes to a file or another program: no row is broken.
FILE_WIDTH = 1000
#: The dialect of JSON Schema that pydantic writes.
JSON_SCHEMA = "https://json-schema.org/draft/2020-12/schema"

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


class _Commands(click.Group):
    """Commands whose faults end in a message and an exit code, never in a traceback."""

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except CannotDoError as error:
            click.echo(f"{error} {error.hint}".strip(), err=True)
        except FileExistsError as error:
            where = error.filename or str(error)
            raise click.UsageError(f"{where} is there already: choose another.") from error
        except OSError as error:
            if error.errno == errno.EPIPE:
                raise
            what = error.filename or "A file"
            click.echo(f"{what} cannot be read or written: {error.strerror}.", err=True)
        sys.exit(1)


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="softpedal")
def main() -> None:
    """Measure, check and publish quiet cycling routes kept as folders of GPX and YAML."""


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
    town = _town(library, _settings(library), streets) if streets else None
    problems = check_library(library, only, town)
    errors = sum(p.is_error for p in problems)
    if form == "json":
        click.echo(json.dumps(problems_document(problems), ensure_ascii=False, indent=2))
    elif form == "github":
        for problem in problems:
            click.echo(github_line(problem, _prefix(library)))
    else:
        for problem in problems:
            click.echo(str(problem))
        routes = _count(len(only) or len(route_folders(library)), "route")
        advice = _count(len(problems) - errors, "piece")
        click.echo(f"{routes} checked: {_count(errors, 'error')}, {advice} of advice.")
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
    published = publish(library, link)
    try:
        count = write_pages(published, to, link)
    except FileExistsError as error:
        raise click.UsageError(str(error)) from error
    errors = [problem for problem in published.problems if problem.is_error]
    for problem in errors:
        click.echo(str(problem), err=True)
    click.echo(f"{_count(count, 'page')} written to {to}.")
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


@main.command()
@click.argument("extract", type=click.Path(path_type=Path))
@LIBRARY
@click.option("--to", type=click.Path(dir_okay=False, path_type=Path), help="GeoJSON of verdicts.")
def streets(extract: Path, library: Path, to: Path | None) -> None:
    """Print what a map EXTRACT says of a town's streets: which are filtered, and how sure."""
    town = _town(library, _settings(library), extract)
    for line in survey(town.network, town.verdicts, town.country).lines():
        click.echo(line)
    if to:
        document = verdicts_geojson(town.network, town.verdicts)
        to.write_text(json.dumps(document, ensure_ascii=False), encoding="utf-8")
        click.echo(f"{_count(len(document['features']), 'street')} written to {to}.")


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
    settings = _settings(library)
    recording = read_ride(ride) if ride is not None else None
    town = _town(library, settings, streets)
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
    settings = _settings(library)
    _print_papers(scouted_ways(_town(library, settings, streets), settings, from_, to, ways), write)


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
    settings = _settings(library)
    if route.is_dir():
        sheet = sheet_of_route(route, settings)
    else:
        sheet = sheet_of_line(route, _town(library, settings, streets), settings)
    _print_papers(sheet, write)


def _print_papers(papers: Scouted | Sheet, write: Path | None) -> None:
    for line in papers.lines():
        click.echo(line)
    if write:
        click.echo(f"{_count(len(papers.write(write)), 'file')} written to {write}.")


@main.command()
@click.argument("what", type=click.Choice(["notes", "settings", "measures"]))
def schema(what: str) -> None:
    """Print a JSON Schema: of notes.yml, of softpedal.yml or of `measure --format json`."""
    schemas: dict[str, dict[str, Any]] = {
        "notes": Notes.model_json_schema(by_alias=True),
        "settings": Settings.model_json_schema(),
        "measures": measures_schema(),
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


def _settings(library: Path) -> Settings:
    settings, faults = load_settings(library / FILE_NAME)
    for problem in faults:
        click.echo(str(problem), err=True)
    if settings is None:
        raise CannotDoError(f"{FILE_NAME} cannot be used as it is.", "Mend it, or take it away.")
    return settings


def _town(library: Path, settings: Settings, streets: Path | None) -> Town:
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


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


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


if __name__ == "__main__":
    main()
