"""Commands that make a route folder: draft, new."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from softpedal.cli.group import main
from softpedal.cli.shared import LIBRARY, RIDE, STREETS, settings_of, tell_cut, town_of
from softpedal.draft.again import draft_again, is_news, write_again
from softpedal.draft.changes import changes_text
from softpedal.draft.cleaning_plot import write_plot
from softpedal.draft.draft_record import read_record
from softpedal.draft.drafting import NO_NOTES, draft_report, draft_ride, write_draft
from softpedal.draft.narration import Narration, Talk, narrated
from softpedal.draft.own_notes import own_notes
from softpedal.draft.recording import Recordings, prepared
from softpedal.draft.ride import read_ride
from softpedal.library.folder_files import TRACK
from softpedal.library.load import ROUTES
from softpedal.library.private_zones import read_zones
from softpedal.library.values import ROUTE_ID

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from softpedal.draft.drafting import Draft
    from softpedal.draft.recording import Prepared
    from softpedal.draft.town import Town
    from softpedal.draft.written import Item
    from softpedal.library.private_zones import Zones
    from softpedal.settings import Settings

INTO = click.option(
    "--into", type=click.Path(file_okay=False, path_type=Path), help="Default: routes/."
)
TRACK_NUMBER = click.option(
    "--track", type=click.IntRange(min=1), help="Which track of a file that holds several."
)
_LINE = [
    TRACK_NUMBER,
    click.option("--drop", multiple=True, metavar="FROM-TO", help="Leave out, like 2.1km-2.4km."),
    click.option(
        "--replace", multiple=True, metavar="FROM-TO=GPX", help="Put another line in its place."
    ),
    click.option(
        "--plot",
        type=click.Path(dir_okay=False, path_type=Path),
        help="Write a picture of the line before and after cleaning, PNG.",
    ),
]
_FILM = [
    click.option("--captions", type=RIDE, help="WebVTT or SRT of the film: what was said."),
    click.option(
        "--sync",
        multiple=True,
        metavar="FILM=PLACE",
        help="A point known on both, like 4:10=1.24km, 4:10=50.012,-20.034 or 0:00=09:14:05.",
    ),
    click.option("--cut", multiple=True, metavar="FILM", help="Where the film leaves out a bit."),
    click.option(
        "--phrases", default="en", show_default=True, help="Phrase table: a language, or a file."
    ),
]


def _options(options: list[Any]) -> Callable[[Any], Any]:
    def add(command: Any) -> Any:
        for option in reversed(options):
            command = option(command)
        return command

    return add


@main.command()
@click.argument("rides", type=RIDE, nargs=-1, metavar="[RIDE]...")
@STREETS
@LIBRARY
@INTO
@click.option("--name", default="", help="Name of the folder. Default: from where to where.")
@_options(_LINE)
@_options(_FILM)
@click.option("--notes", type=RIDE, help="Notes of your own, by film, clock or chainage, as YAML.")
@click.option(
    "--again",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    help="A route's folder: draft it anew and list what differs; what a person wrote stays.",
)
@click.option("--yes", is_flag=True, help="With --again: write without asking.")
def draft(  # noqa: PLR0917 - as many as the command has options
    rides: tuple[Path, ...],
    streets: Path | None,
    library: Path,
    into: Path | None,
    name: str,
    track: int | None,
    drop: tuple[str, ...],
    replace: tuple[str, ...],
    plot: Path | None,
    captions: Path | None,
    sync: tuple[str, ...],
    cut: tuple[str, ...],
    phrases: str,
    notes: Path | None,
    again: Path | None,
    yes: bool,
) -> None:
    """Write a route folder from a RIDE, its film and a map: the author corrects it.

    Several RIDEs are joined in the order given. Each is read and not changed: it is cleaned, your
    private zones are cut out, and what is written carries no times. Every item says where it comes
    from (map, said), sure, check or guess, and its evidence.
    """
    if bool(rides) == (again is not None):
        raise click.UsageError("Name a RIDE to draft from, or --again and a route's folder.")
    settings = settings_of(library)
    talk = Talk(captions, sync, cut, phrases) if captions or sync or cut else None
    if again is not None:
        if notes or drop or replace or track or plot:
            raise click.UsageError("--again takes the published line as it is, and its own notes.")
        _again(again, library, streets, settings, talk, yes)
        return
    _check_name(name, "--name")
    if plot and (plot.suffix.lower() != ".png" or not plot.parent.is_dir()):
        raise click.UsageError("--plot is a file that ends in .png, in a folder that is there.")
    zones = read_zones()
    made = prepared(Recordings(rides, track, drop, replace), zones, settings)
    town = _town(library, settings, streets)
    _tell_cut(made, zones)
    told = narrated(made.ride, talk, settings)
    drafted = draft_ride(
        town, made.ride, settings, observed=told.observed, minutes=made.is_one_ride
    )
    own = own_notes(notes, lambda text: told.place(text, made.ride, settings)) if notes else {}
    folder = into or library / ROUTES
    _write(drafted, town, settings, folder, name, zones, told=told, own=own)
    if plot:
        write_plot(made.raw, made.ride, plot)
        click.echo(f"{plot}: the line before and after.")


@main.command()
@click.argument("name")
@click.argument("line", type=RIDE)
@STREETS
@LIBRARY
@INTO
@TRACK_NUMBER
def new(  # noqa: PLR0917
    name: str,
    line: Path,
    streets: Path | None,
    library: Path,
    into: Path | None,
    track: int | None,
) -> None:
    """Make the route folder NAME from a LINE that was drawn or planned: nobody has ridden it yet.

    LINE is a GPX file with a route, a track or several that follow on each other. With a map the
    notes are drafted as from a ride; without, each bend becomes a leg to fill in.
    """
    _check_name(name, "NAME")
    settings, zones = settings_of(library), read_zones()
    made = prepared(Recordings((line,), track), zones, settings)
    town = _town(library, settings, streets)
    _tell_cut(made, zones)
    ride = replace(made.ride, time_s=None, stood_s=None)
    told = narrated(ride, None, settings)
    drafted = draft_ride(town, ride, settings, observed=told.observed)
    _write(drafted, town, settings, into or library / ROUTES, name, zones, told=told)


def _write(  # noqa: PLR0917
    drafted: Draft,
    town: Town | None,
    settings: Settings,
    into: Path,
    name: str,
    zones: Zones,
    *,
    told: Narration,
    own: Mapping[str, list[Item]] = NO_NOTES,
) -> None:
    try:
        folder = write_draft(drafted, town, settings, into, name, zones, own)
    except FileExistsError as error:
        raise click.UsageError(
            f"{error} is there already: --name gives another name, --again drafts it anew."
        ) from error
    for line in draft_report(drafted):
        click.echo(line)
    _tell(told, drafted)
    click.echo(f"{folder}: a draft. Correct it, then `softpedal check {folder}`.")


def _tell(told: Narration, drafted: Draft) -> None:
    for remark in told.remarks:
        click.echo(f"Note: {remark}.")
    if doubt := told.doubt(drafted):
        click.echo(f"Beware: {doubt}.")
    found = told.proposals(drafted)
    if found:
        click.echo("Film and line may meet here too; give what is right as an option:")
    for proposal in found:
        click.echo(f"  {proposal.as_option()}   {proposal.why}: “{proposal.said}”")


def _tell_cut(made: Prepared, zones: Zones) -> None:
    """Say what was cut for privacy, on the terminal only: nothing of it is written."""
    for cut in made.cuts:
        tell_cut(cut)
    if not zones:
        click.echo(
            "No private zone is set: nothing was cut off the ends. If the line begins or ends at "
            "a home, `softpedal private add` first, and draft it anew.",
            err=True,
        )
    elif not any(made.cuts):
        click.echo("Private zones: the line enters none.")


def _town(library: Path, settings: Settings, streets: Path | None) -> Town | None:
    if streets or settings.extract:
        return town_of(library, settings, streets)
    click.echo("No map extract: streets and kinds are for you to fill in (--streets names one).")
    return None


def _check_name(name: str, what: str) -> None:
    if name and not ROUTE_ID.fullmatch(name):
        raise click.UsageError(f"{what} is a-z, 0-9 and single hyphens, like `mill-to-quay`.")


def _again(  # noqa: PLR0917
    folder: Path,
    library: Path,
    streets: Path | None,
    settings: Settings,
    talk: Talk | None,
    yes: bool,
) -> None:
    record = read_record(folder)
    if record is None or record.extract_digest:
        town: Town | None = town_of(library, settings, streets)
    else:
        town = _town(library, settings, streets)
    told = None
    if talk is not None:
        told = narrated(read_ride(folder / TRACK, published=True), talk, settings)
    made, merged = draft_again(folder, town, settings, told.observed if told else None)
    for line in changes_text(merged.changes):
        click.echo(line)
    if told is not None:
        _tell(told, made)
    own_only = all(change.sort == "kept" for change in merged.changes)
    news = merged.changes and not (own_only and not is_news(made, record))
    question = "Keep yours, and tell it no more?" if own_only else "Write these changes?"
    if not news:
        click.echo("Nothing to write: the map says nothing new of what was drafted.")
    elif yes or click.confirm(f"{folder}: {question}"):
        write_again(folder, made, merged, town)
        click.echo(f"{folder}: written. What you wrote or confirmed is as it was.")
