"""A whole library → pages and files, whatever the site generator."""

from __future__ import annotations

import os
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import partial
from multiprocessing import get_context
from pathlib import Path
from typing import TYPE_CHECKING

from softpedal.library.load import load_settings, route_folders
from softpedal.library.names import name_problems
from softpedal.problems import Problem, Severity, sort_problems
from softpedal.settings import FILE_NAME, Settings
from softpedal.site.basemap import Background
from softpedal.site.connections import ride_on
from softpedal.site.language import use_or_english
from softpedal.site.lists import list_pages
from softpedal.site.measure_page import measure_page
from softpedal.site.one_route import Outcome, publish_route
from softpedal.site.published import Page, StaticFile
from softpedal.site.redirects import redirect_files
from softpedal.site.route_page import ride_on_list

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.site.published import Link

ASSETS = Path(__file__).parent / "assets"
AUTHOR_SCRIPT = "softpedal-author.js"
#: From this many routes on, starting further processes pays.
MANY_ROUTES = 100


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
        link: how one page is addressed from another; it is sent to other processes.
        author: for the author's eyes: drafts are there, faults stand on their route's page, and
            a click on the map shows the position. Never for a built site.
    """
    read, faults = load_settings(library / FILE_NAME)
    settings = read or Settings()
    faults += _use_language(library, settings)
    background, ground_faults = _background(library, settings)
    one = partial(publish_route, settings=settings, link=link, background=background, author=author)
    outcomes = _each(route_folders(library), one)
    problems = [*faults, *ground_faults, *(p for o in outcomes for p in o.problems)]
    problems += name_problems([o.names for o in outcomes if o.names], [o.id for o in outcomes])
    shown = [o for o in outcomes if o.is_shown]
    pages = _with_onward(shown, link)
    pages += [o.page for o in outcomes if o.page and not o.is_shown]
    pages += list_pages([o.entry for o in shown if o.entry], settings, link)
    pages.append(measure_page(settings))
    files = [file for o in outcomes for file in o.files]
    files += redirect_files([(o.title, o.names) for o in shown if o.names], link)
    files += asset_files(author=author)
    return Published(tuple(pages), tuple(files), tuple(sort_problems(problems)))


def asset_files(*, author: bool) -> list[StaticFile]:
    """Return our style sheet and scripts, and the vendored ones with their licences."""
    return [
        StaticFile(f"assets/softpedal/{path.relative_to(ASSETS).as_posix()}", path.read_bytes())
        for path in sorted(ASSETS.rglob("*"))
        if path.is_file() and (author or path.name != AUTHOR_SCRIPT)
    ]


def _each(folders: Sequence[Path], one: partial[Outcome]) -> list[Outcome]:
    """Publish every folder by itself, in further processes where there are many."""
    workers = os.cpu_count() or 1
    if len(folders) < MANY_ROUTES or workers < 2:
        return [one(folder) for folder in folders]
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        return list(pool.map(one, folders, chunksize=16))


def _with_onward(shown: Sequence[Outcome], link: Link) -> list[Page]:
    """Return the routes' pages with the routes that one can ride on to."""
    titles = {o.id: o.title for o in shown if o.entry}
    onward = ride_on({o.id: (o.onward, o.ends) for o in shown if o.entry})
    pages = []
    for outcome in shown:
        if outcome.page is None:
            continue
        others = {other: titles[other] for other in onward.get(outcome.id, [])}
        late = dict(outcome.page.late) | {"onward": ride_on_list(others, outcome.page.path, link)}
        pages.append(replace(outcome.page, late=late))
    return pages


def _use_language(library: Path, settings: Settings) -> list[Problem]:
    """Use the library's language, or say what is wrong with it and go on in English."""
    wrong = use_or_english(settings.language, library.resolve())
    hint = "Until it is there the pages are in English."
    severity: Severity = "advice"
    return (
        [Problem("settings-value", FILE_NAME, 0, 0, wrong, hint, severity=severity)]
        if wrong
        else []
    )


def _background(library: Path, settings: Settings) -> tuple[Path | None, list[Problem]]:
    """Return the background's path, or what is wrong with it."""
    if settings.background is None:
        return None, []
    path = (library / settings.background).resolve()
    try:
        Background.of(path)
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else str(error)
        message = f"The background {settings.background} cannot be read: {reason}."
        hint = "Maps are drawn on a plain ground until it is there."
        return None, [Problem("settings-value", FILE_NAME, 0, 0, message, hint, severity="advice")]
    return path, []
