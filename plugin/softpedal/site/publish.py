"""A whole library → pages and files, whatever the site generator."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from softpedal.library.load import load_route, load_settings, route_folders
from softpedal.library.names import name_problems
from softpedal.measure.route_measures import measure_loaded
from softpedal.problems import Problem, sort_problems
from softpedal.settings import FILE_NAME, Settings
from softpedal.site.basemap import Background
from softpedal.site.connections import ride_on
from softpedal.site.downloads import gpx_files
from softpedal.site.lists import entries, list_pages
from softpedal.site.measure_page import measure_page
from softpedal.site.photos import photo_files
from softpedal.site.published import Page, StaticFile
from softpedal.site.redirects import redirect_files
from softpedal.site.route_page import RoutePage, fault_page

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measured, Measures
    from softpedal.site.published import Link

ASSETS = Path(__file__).parent / "assets"
AUTHOR_SCRIPT = "softpedal-author.js"


@dataclass(frozen=True, slots=True)
class Published:
    """What a library became."""

    pages: tuple[Page, ...]
    files: tuple[StaticFile, ...]
    problems: tuple[Problem, ...]


def publish(library: Path, link: Link, *, author: bool = False) -> Published:
    """Read, measure and render a library.

    Args:
        library: the folder that holds `routes/` and softpedal.yml.
        link: how one page is addressed from another.
        author: for the author's eyes: drafts are there, faults stand on their route's page, and
            a click on the map shows the position. Never for a built site.
    """
    settings, faults = load_settings(library / FILE_NAME)
    settings = settings or Settings()
    background, ground_faults = _background(library, settings)
    problems = [*faults, *ground_faults]
    measured = [measure_loaded(load_route(f, settings), settings) for f in route_folders(library)]
    good = [(m.route, m.measures) for m in measured if m.route and m.measures]
    problems += [p for m in measured for p in m.problems]
    problems += name_problems([route for route, _ in good], [m.id for m in measured])
    shown = [(r, m) for r, m in good if author or r.notes.status != "draft"]
    pages, files = _routes(shown, settings, link, background, problems, author=author)
    pages += list_pages(entries(shown, settings), settings, link)
    pages.append(measure_page(settings))
    files += redirect_files([route for route, _ in shown], link)
    files += asset_files(author=author)
    if author:
        pages += _fault_pages(measured)
    return Published(tuple(pages), tuple(files), tuple(sort_problems(problems)))


def asset_files(*, author: bool) -> list[StaticFile]:
    """Return our style sheet and scripts, and the vendored ones with their licences."""
    return [
        StaticFile(f"assets/softpedal/{path.relative_to(ASSETS).as_posix()}", path.read_bytes())
        for path in sorted(ASSETS.rglob("*"))
        if path.is_file() and (author or path.name != AUTHOR_SCRIPT)
    ]


def _routes(
    shown: Sequence[tuple[Route, Measures]],
    settings: Settings,
    link: Link,
    background: Background | None,
    problems: list[Problem],
    *,
    author: bool,
) -> tuple[list[Page], list[StaticFile]]:
    routes = {route.id: route for route, _ in shown}
    onward = ride_on([r for r in routes.values() if r.notes.status != "withdrawn"])
    pages: list[Page] = []
    files: list[StaticFile] = []
    for route, measures in shown:
        track = route.along.track
        page = RoutePage(
            route,
            measures,
            settings,
            link,
            ride_on=[routes[other] for other in onward.get(route.id, [])],
            background=background.corridor(track.lat, track.lon) if background else "",
            author=author,
        )
        pages.append(page.page())
        photos, faults = photo_files(route)
        problems += faults
        files += [*page.files(), *gpx_files(route), *photos]
    return pages, files


def _background(library: Path, settings: Settings) -> tuple[Background | None, list[Problem]]:
    if settings.background is None:
        return None, []
    path = library / settings.background
    try:
        return Background.read(path), []
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else str(error)
        message = f"The background {settings.background} cannot be read: {reason}."
        hint = "Maps are drawn on a plain ground until it is there."
        return None, [Problem("settings-value", FILE_NAME, 0, 0, message, hint, severity="advice")]


def _fault_pages(measured: Sequence[Measured]) -> list[Page]:
    return [fault_page(m.id, m.problems) for m in measured if m.route is None]
