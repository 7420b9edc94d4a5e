"""Commands on what readers report: reports import, list, done, reopen, note."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING, get_args

import click

from softpedal.cli.group import main
from softpedal.cli.shared import LIBRARY, now_in, routes_of, settings_of
from softpedal.cli.site_address import BASE, site_addresses
from softpedal.library.load import ROUTES, load_route, route_folders
from softpedal.library.plain_text import counted
from softpedal.library.reports import FILE_NAME, Report, State, load_reports, set_state
from softpedal.problems import CannotDoError
from softpedal.site.language import use_or_english
from softpedal.site.report_link import invitation
from softpedal.upkeep.reports.importing import import_messages
from softpedal.upkeep.reports.listing import document, in_order, listed, one_line, summed
from softpedal.upkeep.reports.pasting import As, pasted
from softpedal.upkeep.reports.read import FORMS, MAX_BYTES, read_messages

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence
    from pathlib import Path

    from softpedal.library.route import Route

KEYS = click.argument("keys", nargs=-1, required=True, metavar="KEY...")
NO_ROUTE = "not placed"
_UNPLACEABLE = "{route} has errors: no report can be placed on it."


@main.group()
def reports() -> None:
    """What readers report: import it, list it, close it, make notes of it.

    Reports are kept in reports.yml beside routes/, without names or addresses.
    """


@reports.command("import")
@click.argument("file", type=click.Path(exists=True, dir_okay=False, allow_dash=True))
@LIBRARY
@BASE
@click.option(
    "--format",
    "form",
    type=click.Choice(["auto", *FORMS]),
    default="auto",
    show_default=True,
    help="mbox: mails; jsonl: an object a line, as issue trackers export; text: pasted, several "
    "set apart by a line of ---.",
)
@click.option(
    "--on",
    type=click.DateTime(["%Y-%m-%d"]),
    help="Day of messages that do not say when they were sent. Default: today.",
)
def import_reports(file: str, library: Path, base: str, form: str, on: dt.datetime | None) -> None:
    """Add the reports in FILE, or on standard input (-), to reports.yml.

    Names, addresses and telephone numbers are taken out as far as their form tells: read what was
    added before you commit it. Importing a file again adds nothing. The exit code is 1 where a
    line of JSON could not be used; mails that could not are told, and passed over.
    """
    settings = settings_of(library)
    with click.open_file(file, "rb") as opened:
        read = read_messages(opened.read(MAX_BYTES + 1), form)
    use_or_english("en", library.resolve())
    said = [invitation()]
    use_or_english(settings.language, library.resolve())
    said.append(invitation())
    routes = routes_of(library, settings, _UNPLACEABLE)
    own_site = site_addresses(library, base, None).base
    day = on.date() if on else now_in(settings).date()
    done = import_messages(library, read, routes, day.isoformat(), own_site=own_site, said=said)
    for skipped in done.skipped:
        click.echo(f"Skipped: {skipped}.", err=True)
    _tell("Added", done.added)
    _tell("There already", done.known)
    if done.added:
        click.echo(f"{FILE_NAME}: read what was added before you commit it.")
    sys.exit(1 if read.form == "jsonl" and read.skipped else 0)


@reports.command("list")
@LIBRARY
@click.option("--all", "every", is_flag=True, help="Also those that are done.")
@click.option("--done", "is_done", is_flag=True, help="Those that are done.")
@click.option("--route", help="Those on one route.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text")
def list_reports(
    library: Path, route: str | None, form: str, *, every: bool, is_done: bool
) -> None:
    """List reports by route and chainage: those that are open."""
    if every and is_done:
        raise click.UsageError("Give --all or --done.")
    known = [folder.name for folder in route_folders(library)]
    found = list(load_reports(library).reports)
    if route is not None and route not in known and all(r.route != route for r in found):
        raise click.UsageError(f"There is no route `{route}`, nor a report on one of that name.")
    on_route = [r for r in found if route in (None, r.route)]
    wanted = "done" if is_done else "open"
    shown = [r for r in on_route if every or r.state == wanted]
    if form == "json":
        click.echo(json.dumps(document(shown), ensure_ascii=False, indent=2))
        return
    for line in listed(shown, known):
        click.echo(line)
    click.echo(("\n" if shown else "") + summed(on_route))


@reports.command()
@KEYS
@LIBRARY
def done(keys: tuple[str, ...], library: Path) -> None:
    """Close reports: those with the KEYs that `list` prints."""
    _set(keys, library, "done")


@reports.command()
@KEYS
@LIBRARY
def reopen(keys: tuple[str, ...], library: Path) -> None:
    """Open reports again."""
    _set(keys, library, "open")


@reports.command()
@click.argument("key")
@LIBRARY
@click.option(
    "--as",
    "sort",
    type=click.Choice(get_args(As)),
    default="alert",
    show_default=True,
    help="What the report becomes.",
)
def note(key: str, library: Path, sort: As) -> None:
    """Print a report as YAML to paste into its route's notes; where it goes is said beside."""
    report = _found((key,), library)[0]
    if not report.route:
        raise CannotDoError(
            f"Nobody has said which route {key} is about.",
            f"Write `route:` beside it in {FILE_NAME}.",
        )
    route = _route(report, library)
    made = pasted(report, route, sort)
    click.echo(f"# {made.where}")
    for line in made.lines:
        click.echo(line)
    for remark in made.remarks:
        click.echo(remark, err=True)


def _tell(what: str, found: Sequence[Report]) -> None:
    click.echo(f"{what}: {counted(len(found), 'report')}.")
    for report in in_order(found):
        click.echo(f"  {report.key}  {report.route or NO_ROUTE}, {one_line(report)}")


def _set(keys: tuple[str, ...], library: Path, state: State) -> None:
    _found(keys, library)
    count = set_state(library, keys, state)
    click.echo(f"{counted(count, 'report')} now {state}, {len(set(keys)) - count} before.")


def _found(keys: tuple[str, ...], library: Path) -> list[Report]:
    """Return the reports with keys; one that there is not is a misuse."""
    known = {report.key: report for report in load_reports(library).reports}
    for key in keys:
        if key not in known:
            raise click.UsageError(f"There is no report `{key}`: `softpedal reports list --all`.")
    return [known[key] for key in keys]


def _route(report: Report, library: Path) -> Route:
    settings = settings_of(library)
    folder = library / ROUTES / report.route
    if folder.is_dir():
        routes = [load_route(folder, settings).route]
    else:
        routes = [
            r for r in routes_of(library, settings, _UNPLACEABLE) if report.route in r.notes.was
        ]
    if not routes or routes[0] is None:
        raise CannotDoError(
            f"The route `{report.route}` is not there, or has errors.",
            f"Write the route's id beside {report.key} in {FILE_NAME}, or run `softpedal check`.",
        )
    return routes[0]
