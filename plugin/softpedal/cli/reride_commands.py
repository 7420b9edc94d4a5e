"""The command that holds a new ride against a route's published line."""

from __future__ import annotations

import datetime as dt
import json
import shlex
from pathlib import Path
from typing import TYPE_CHECKING

import click

from softpedal.cli.draft_commands import TRACK_NUMBER
from softpedal.cli.group import main
from softpedal.cli.route_texts import measured_route
from softpedal.cli.shared import LIBRARY, RIDE, alerts_of, now_in, settings_of, tell_cut
from softpedal.draft.recording import Recordings, prepared
from softpedal.library.private_zones import read_zones
from softpedal.library.reports import load_reports
from softpedal.problems import CannotDoError
from softpedal.upkeep.reriding.adoption import adoption, refuse_faulty, write
from softpedal.upkeep.reriding.reride import compared
from softpedal.upkeep.reriding.reride_text import adoption_lines, reride_document, reride_lines

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.library_alerts import LibraryAlert
    from softpedal.library.private_zones import Zones
    from softpedal.settings import Settings
    from softpedal.upkeep.reriding.adoption import Adoption
    from softpedal.upkeep.reriding.reride import Reride


@main.command("reride")
@click.argument("route")
@click.argument("ride", type=RIDE)
@LIBRARY
@TRACK_NUMBER
@click.option("--on", "day", default="", metavar="DATE", help="Day of the ride, like 2026-05-16.")
@click.option("--against", type=RIDE, help="An older recording to compare the times with.")
@click.option(
    "--keep-line", is_flag=True, help="Note the ride, but leave the published line as it is."
)
@click.option("--yes", is_flag=True, help="Write the changes. Without it, nothing is written.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text")
def reride_command(  # noqa: PLR0917 - click passes its options by name
    route: str,
    ride: Path,
    library: Path,
    track: int | None,
    day: str,
    against: Path | None,
    keep_line: bool,
    yes: bool,
    form: str,
) -> None:
    """Hold a new RIDE against the published line of ROUTE, and adopt what it does otherwise.

    Says where the two differ, where time was lost or gained, and which notes have lost their
    place. What adopting would change is shown as a diff; with --yes it is written: the line, every
    position in the notes, and the day under `ridden`. RIDE is cleaned and your private zones are
    cut out of it first, as `softpedal draft` does.
    """
    settings, zones = settings_of(library), read_zones()
    _check_day(day, now_in(settings).date())
    published, _ = measured_route(route, library, settings)
    made = prepared(Recordings((ride,), track), zones, settings)
    older = None
    if against:
        older = against.name, prepared(Recordings((against,)), zones, settings).ride
    found = compared(
        published, made.ride, settings, on=day, older=older, reports=load_reports(library).reports
    )
    plan, why_not = _planned(found, settings, zones, alerts_of(library), keep_line=keep_line)
    if form == "json":
        reason = f"{why_not} {why_not.hint}".strip() if why_not else ""
        document = reride_document(found, None if why_not else plan, reason)
        click.echo(json.dumps(document, ensure_ascii=False, indent=2))
    else:
        for cut in made.cuts:
            tell_cut(cut)
        for line in reride_lines(found):
            click.echo(line)
        if plan is not None:
            _tell_plan(plan, found)
            _tell_unguarded(plan, found, zones)
    if why_not is not None:
        raise why_not
    if plan is not None:
        again = _again(route, ride, library, day, keep_line=keep_line)
        _finish(plan, again, yes=yes, to_err=form == "json")


def _planned(
    found: Reride,
    settings: Settings,
    zones: Zones,
    alerts: Sequence[LibraryAlert],
    *,
    keep_line: bool,
) -> tuple[Adoption | None, CannotDoError | None]:
    """Return what would be written, and why it cannot be, if it cannot."""
    plan = None
    try:
        plan = adoption(found, settings, zones, keep_line=keep_line)
        refuse_faulty(plan, settings, zones, alerts)
    except CannotDoError as error:
        return plan, error
    return plan, None


def _tell_plan(plan: Adoption, found: Reride) -> None:
    click.echo(f"\n{_ridden(plan, found)}")
    for line in adoption_lines(plan, found) if plan.files else ():
        click.echo(line)


def _tell_unguarded(plan: Adoption, found: Reride, zones: Zones) -> None:
    ends = (0.0, found.line.length_m)
    if not zones and any(s.from_m in ends or s.to_m in ends for s in plan.stretches):
        click.echo(
            "No private zone is set, and an end of the line is new: if it is near a home, "
            "`softpedal private add` first, then compare again.",
            err=True,
        )


def _finish(plan: Adoption, again: str, *, yes: bool, to_err: bool) -> None:
    if not plan.files:
        click.echo("Nothing to write.", err=to_err)
    elif yes:
        write(plan)
        click.echo(f"{plan.folder}: written ({', '.join(sorted(plan.files))}).", err=to_err)
    else:
        what = "adopt the new line" if plan.stretches else "write this"
        click.echo(f"\nNothing is written. To {what}:\n  {again}", err=to_err)


def _ridden(plan: Adoption, found: Reride) -> str:
    ride = found.ridden
    last = ride.last or "never"
    if plan.ridden:
        return f"`ridden` moves on: {ride.on} is added; the last ride this way was {last}."
    if not ride.on:
        return "`ridden` stays: the recording has no clock. Name the day with --on."
    if not ride.is_whole:
        why = "the recording has gaps" if found.unknown else "the ride covers a part only"
        return f"`ridden` stays: {why}."
    if ride.on <= ride.last:
        same = "that day is noted" if ride.on == ride.last else "the notes have a later ride"
        return f"`ridden` stays: this ride is of {ride.on}, and {same} ({last})."
    return "`ridden` stays: too much of the published line was not ridden."


def _again(route: str, ride: Path, library: Path, day: str, *, keep_line: bool) -> str:
    words = ["softpedal", "reride", route, str(ride)]
    words += ["--library", str(library)] if library != Path() else []
    words += ["--on", day] if day else []
    words += ["--keep-line"] if keep_line else []
    return shlex.join([*words, "--yes"])


def _check_day(day: str, today: dt.date) -> None:
    if not day:
        return
    try:
        asked = dt.date.fromisoformat(day)
    except ValueError:
        raise click.UsageError(f"--on {day} is no date: write it like 2026-05-16.") from None
    if asked > today:
        raise click.UsageError(f"--on {day} is later than today, {today}.")
