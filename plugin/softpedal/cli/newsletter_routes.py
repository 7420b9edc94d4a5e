"""Which routes a newsletter tells of: from git history, from the notes' own dates, or by name."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

import click

from softpedal.cli.shared import alerts_of
from softpedal.library.load import ROUTES, load_route, route_folders
from softpedal.library.plain_text import printable
from softpedal.library.private_zones import read_zones
from softpedal.measure.route_measures import measure_loaded
from softpedal.problems import CannotDoError
from softpedal.site.issue_news import Window, gone_since, happened_by_dates, happened_since
from softpedal.site.issue_parts import Piece
from softpedal.upkeep.history import NoHistoryError, library_before

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.library.load import Loaded
    from softpedal.problems import Problem
    from softpedal.settings import Settings
    from softpedal.upkeep.history import Past


@dataclass(frozen=True, slots=True)
class InIssue:
    """What an issue is made from.

    Attributes:
        pieces: the routes, by title.
        gone: titles of routes that were taken out of the library.
        problems: the errors for which routes are left out.
    """

    pieces: tuple[Piece, ...]
    gone: tuple[str, ...]
    problems: tuple[Problem, ...]


def routes_since(library: Path, settings: Settings, since: dt.date, now: dt.datetime) -> InIssue:
    """Return the routes to which something happened from a day on; say which history told it.

    Only the routes of the issue are measured, so that only their notes are held against what they
    claim; a folder that cannot be read is reported in any case.
    """
    zones, alerts = read_zones(), alerts_of(library)
    loaded = [load_route(folder, settings, zones, alerts) for folder in route_folders(library)]
    then = _then(library, since, now)
    known = then.known_of(one.route for one in loaded if one.route) if then else {}
    window = Window(since.isoformat(), now.date().isoformat())
    pieces, problems = [], [p for one in loaded if not one.route for p in one.problems]
    for one in loaded:
        if one.route is None:
            continue
        notes = one.route.notes
        if then is None:
            happened = happened_by_dates(notes, window)
            if notes.withdrawn and not notes.withdrawn.on:
                click.echo(
                    f"{one.id} is withdrawn, but its notes do not say since when: not told of. "
                    "Write `on:` under `withdrawn`.",
                    err=True,
                )
        else:
            happened = happened_since(one.id, notes, known, window)
        if happened:
            piece, faults = _measured(one, settings)
            problems += faults
            pieces += [Piece(p.route, p.measures, happened) for p in piece]
    notes_now = {one.id: one.route.notes if one.route else None for one in loaded}
    gone = gone_since(notes_now, then.notes) if then else []
    return InIssue(_by_title(pieces), tuple(gone), _errors(problems))


def routes_named(library: Path, settings: Settings, routes: str) -> InIssue:
    """Return the routes that are named by their ids, with commas between them, in that order."""
    names = list(dict.fromkeys(name for part in routes.split(",") if (name := part.strip())))
    folders = {folder.name: folder for folder in route_folders(library)}
    if unknown := [name for name in names if name not in folders]:
        raise click.UsageError(
            f"There is no route `{printable(unknown[0])}` in {library / ROUTES}."
        )
    zones, alerts = read_zones(), alerts_of(library)
    pieces: list[Piece] = []
    problems: list[Problem] = []
    for name in names:
        one = load_route(folders[name], settings, zones, alerts)
        if one.route and one.route.notes.status == "draft":
            raise CannotDoError(
                f"{name} is a draft, and drafts are not told of.", "Publish it first."
            )
        found, faults = _measured(one, settings)
        pieces += found
        problems += faults
    return InIssue(tuple(pieces), (), _errors(problems))


def _then(library: Path, since: dt.date, now: dt.datetime) -> Past | None:
    """Return the library as it stood when a day began, or None where git does not tell."""
    midnight = dt.datetime.combine(since, dt.time(), now.tzinfo)
    try:
        then = library_before(library, midnight)
    except NoHistoryError as no:
        click.echo(f"By the dates in the notes: {no}.", err=True)
        return None
    click.echo("By the git history.", err=True)
    return then


def _measured(loaded: Loaded, settings: Settings) -> tuple[list[Piece], tuple[Problem, ...]]:
    measured = measure_loaded(loaded, settings)
    if measured.route is None or measured.measures is None:
        return [], measured.problems
    return [Piece(measured.route, measured.measures)], ()


def _by_title(pieces: list[Piece]) -> tuple[Piece, ...]:
    return tuple(sorted(pieces, key=lambda p: (p.route.notes.title.casefold(), p.route.id)))


def _errors(problems: list[Problem]) -> tuple[Problem, ...]:
    return tuple(problem for problem in problems if problem.is_error)
