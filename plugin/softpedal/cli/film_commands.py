"""The command on a route's film: chapters."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from softpedal.cli.group import main
from softpedal.cli.shared import LIBRARY, settings_of
from softpedal.library.load import NOTES, ROUTES, load_route
from softpedal.measure.route_measures import measure_loaded
from softpedal.problems import CannotDoError
from softpedal.site.chapters import Chapters, chapters_of
from softpedal.site.film_description import LENGTH, film_description
from softpedal.site.language import tr, use_or_english
from softpedal.site.plain_pages import Addresses

if TYPE_CHECKING:
    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings


@main.command()
@click.argument("route")
@LIBRARY
@click.option(
    "--part",
    type=click.Choice(["all", "chapters", "description"]),
    default="all",
    show_default=True,
    help="Print the whole text or one part of it.",
)
@click.option("--base", default="", help="Address of the published site, for the page's link.")
@click.option(
    "--addresses",
    type=click.Choice(["directory", "file"]),
    default="directory",
    show_default=True,
    help="How the site addresses its pages, as for `softpedal pages`.",
)
@click.option("--plain", is_flag=True, help="Put no heading above the chapters.")
def chapters(
    route: str,
    library: Path,
    part: Literal["all", "chapters", "description"],
    base: str,
    addresses: Literal["directory", "file"],
    *,
    plain: bool,
) -> None:
    """Print what goes under the film of ROUTE: description and chapters, ready to paste.

    Chapters come from `film: "4:10"` beside legs and points of the notes. As video sites ask
    (common practice), the first is at 0:00, they are at least 10 s apart, and there are at least
    three; of several within 10 s a busy crossing or a dismount stays before a leg, a leg before
    anything else. A landmark on film at the end of the line is the finish. The text keeps within
    5,000 characters. What is left out is said on standard error.
    """
    settings = settings_of(library)
    found, measures = _measured(route, library, settings)
    if wrong := use_or_english(settings.language, library.resolve()):
        click.echo(wrong, err=True)
    listed = _chapters(found, measures, settings, part)
    for remark in listed.remarks:
        click.echo(remark, err=True)
    if part == "chapters" and not listed.chapters:
        raise CannotDoError(f"{found.id}: too few chapters for a list.")
    lines = "\n".join(map(str, listed.chapters)) if part != "description" else ""
    if lines and part == "all":
        lines = f"\n\n{lines}" if plain else f"\n\n{tr('Chapters')}\n{lines}"
    text = ""
    if part != "chapters":
        link = Addresses(addresses, base if found.notes.status == "published" else "")
        if not link.base:
            why = "Give --base" if not base else f"The route's status is {found.notes.status}"
            click.echo(f"No link to the route's page. {why}.", err=True)
        way = listed.directions[0] if listed.directions else "outbound"
        text = film_description(
            found, measures, settings, link, direction=way, room=LENGTH - len(lines)
        )
    if len(text + lines) > LENGTH:
        click.echo(f"More than the {LENGTH:,} characters that video sites take.", err=True)
    click.echo(text + lines)


def _measured(name: str, library: Path, settings: Settings) -> tuple[Route, Measures]:
    folder = library / ROUTES / name
    if folder.name != name and (Path(name) / NOTES).is_file():
        folder, name = Path(name).resolve(), Path(name).resolve().name
    if folder.name != name or not folder.is_dir():
        raise click.UsageError(f"There is no route `{name}` in {library / ROUTES}.")
    measured = measure_loaded(load_route(folder, settings), settings)
    if measured.route is None or measured.measures is None:
        for problem in measured.problems:
            if problem.is_error:
                click.echo(str(problem), err=True)
        raise CannotDoError(f"{name} has errors.", "Mend them first: `softpedal check`.")
    return measured.route, measured.measures


def _chapters(route: Route, measures: Measures, settings: Settings, part: str) -> Chapters:
    """Return the chapters; a description alone needs none."""
    try:
        return chapters_of(route, measures, settings.units)
    except CannotDoError:
        if part != "description":
            raise
        return Chapters((), (), ())
