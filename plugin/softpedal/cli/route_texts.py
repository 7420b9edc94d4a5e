"""What the commands on one route's texts share: the route that is named, measured, and its site."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from softpedal.cli.shared import alerts_of
from softpedal.cli.site_address import site_addresses
from softpedal.library.load import NOTES, ROUTES, load_route
from softpedal.measure.route_measures import measure_loaded
from softpedal.problems import CannotDoError
from softpedal.site.background_file import map_attribution
from softpedal.site.language import use_or_english
from softpedal.site.plain_pages import Addresses

if TYPE_CHECKING:
    from softpedal.cli.site_address import Style
    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings


def words_settings(library: Path, settings: Settings) -> Settings:
    """Return the settings with whose map it is, and use their language from now on."""
    if wrong := use_or_english(settings.language, library.resolve()):
        click.echo(wrong, err=True)
    return settings.model_copy(update={"background_attribution": map_attribution(settings)})


def measured_route(name: str, library: Path, settings: Settings) -> tuple[Route, Measures]:
    """Return the route of an id, or in a folder, and its measures.

    Raises:
        CannotDoError: it has errors, which are printed.
        click.UsageError: there is none.
    """
    folder = library / ROUTES / name
    if folder.name != name and (Path(name) / NOTES).is_file():
        folder, name = Path(name).resolve(), Path(name).resolve().name
    if folder.name != name or not folder.is_dir():
        raise click.UsageError(f"There is no route `{name}` in {library / ROUTES}.")
    measured = measure_loaded(load_route(folder, settings, alerts=alerts_of(library)), settings)
    if measured.route is None or measured.measures is None:
        for problem in measured.problems:
            if problem.is_error:
                click.echo(str(problem), err=True)
        raise CannotDoError(f"{name} has errors.", "Mend them first: `softpedal check`.")
    return measured.route, measured.measures


def page_addresses(route: Route, library: Path, base: str, style: Style | None) -> Addresses:
    """Return how the route's page is addressed; without a base, which is said, it is not."""
    found = site_addresses(library, base, style)
    if route.notes.status != "published":
        found = Addresses(found.style)
    if not found.base:
        why = f"The route's status is {route.notes.status}"
        if route.notes.status == "published":
            why = "Give --base, or `site_url` in mkdocs.yml"
        click.echo(f"No link to the route's page. {why}.", err=True)
    return found
