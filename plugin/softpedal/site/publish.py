"""A whole library → pages and files, whatever the site generator."""

from __future__ import annotations

import os
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import partial
from multiprocessing import get_context
from pathlib import Path
from typing import TYPE_CHECKING, Any

from softpedal.library.library_alerts import read_alerts
from softpedal.library.load import load_settings, route_folders
from softpedal.library.names import name_problems
from softpedal.library.private_zones import NO_ZONES, Zones
from softpedal.library.reports import read_reports
from softpedal.problems import Problem, Severity, sort_problems
from softpedal.settings import FILE_NAME, Settings
from softpedal.site.background_file import background_file
from softpedal.site.basemap import Background
from softpedal.site.catalogue import library_files
from softpedal.site.connections import Connections, Meetable
from softpedal.site.due_page import due_page
from softpedal.site.feed import build_day
from softpedal.site.gaps import gaps_page
from softpedal.site.head import feed_head, site_head
from softpedal.site.kept import Kept, stamp_of
from softpedal.site.language import LANGUAGES, use_or_english
from softpedal.site.library_page import library_page
from softpedal.site.lists import in_order, list_pages
from softpedal.site.measure_page import measure_page
from softpedal.site.one_route import Outcome, publish_route
from softpedal.site.onward import onward_groups, onward_section
from softpedal.site.published import Page, StaticFile
from softpedal.site.redirects import redirect_files
from softpedal.site.shared import address_problems, shared_files

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from softpedal.site.published import Link

ASSETS = Path(__file__).parent / "assets"
#: What the names of assets for authors begin with.
AUTHOR_SCRIPT = "softpedal-author"
#: From this many routes on, starting further processes pays.
MANY_ROUTES = 100


@dataclass(frozen=True, slots=True)
class Published:
    """What a library became.

    Attributes:
        pages: with a head of their own.
        files: to be published as they are.
        problems: errors and advice.
        left_out: ids of routes with errors.
        head: what belongs in the <head> of pages that are the author's own.
        made: ids of the routes that were made anew, not kept from the last time.
    """

    pages: tuple[Page, ...]
    files: tuple[StaticFile, ...]
    problems: tuple[Problem, ...]
    left_out: frozenset[str] = frozenset()
    head: str = ""
    made: tuple[str, ...] = ()


def publish(
    library: Path,
    link: Link,
    *,
    author: bool = False,
    settings_file: str = FILE_NAME,
    zones: Zones = NO_ZONES,
    today: dt.date | None = None,
    kept: Kept | None = None,
) -> Published:
    """Read, measure and render a library.

    Args:
        library: the folder that holds `routes/` and softpedal.yml.
        link: how one page is addressed from another; it is sent to other processes.
        author: for the author's eyes: drafts are there, faults stand on their route's page, and
            a click on the map shows the position. Never for a built site.
        settings_file: its name, where it is not softpedal.yml.
        zones: places that no route may enter; one that does is left out.
        today: the day of the build, on which the feed alone depends; `build_day` if left out.
        kept: what was kept when this library was published before, and will be kept of it now;
            what is published is the same without.

    Raises:
        CannotDoError: SOURCE_DATE_EPOCH in the environment is no time.
    """
    read, faults = load_settings(library / settings_file)
    settings = read or Settings()
    faults += _use_language(library, settings)
    alerts, alert_faults = read_alerts(library)
    faults += alert_faults
    reports, report_faults = read_reports(library)
    faults += report_faults
    ground = background_file(library, settings)
    settings = settings.model_copy(update={"background_attribution": ground.attribution})
    one = partial(
        publish_route,
        settings=settings,
        link=link,
        background=ground.path,
        author=author,
        zones=zones,
        alerts=alerts,
    )
    kept = kept or Kept()
    ground_stamp = ground.path and (ground.path, ground.path.stat().st_mtime_ns)
    languages = stamp_of(library / LANGUAGES)
    kept.keep_for((settings, link, languages, ground_stamp, author, zones))
    outcomes = kept.outcomes(route_folders(library), alerts, partial(_each, one=one))
    problems = [*faults, *ground.problems, *address_problems(link)]
    problems += (p for o in outcomes for p in o.problems)
    problems += name_problems([o.names for o in outcomes if o.names], [o.id for o in outcomes])
    shown = [o for o in outcomes if o.is_shown]
    pages = _with_onward(shown, settings, link, kept)
    pages += [o.page for o in outcomes if o.page and not o.is_shown]
    found = in_order(o.entry for o in shown if o.entry)
    background = Background.of(ground.path) if ground.path else None
    shared = [o.shared for o in shown if o.shared]
    day = today or build_day(settings.time_zone)
    for_library = [
        *kept.same("lines", found, lambda: library_files(found, settings, background)),
        *kept.same("shared", (shared, day), lambda: shared_files(shared, settings, link, day)),
    ]
    offered = {file.path for file in for_library}
    ridden = [o.ridden for o in shown if o.ridden]
    reported = reports.reports if reports else ()
    listed = {o.id: (o.title, o.gaps, o.line) for o in shown if o.entry and o.line}
    gaps, gaps_table = kept.same(
        "gaps", listed, lambda: gaps_page(listed, settings, link, background)
    )
    lists = [
        *kept.same(
            "lists",
            (found, offered),
            lambda: [library_page(found, settings, link, offered), *list_pages(found, link)],
        ),
        kept.same("measure", (), lambda: measure_page(settings)),
        kept.same("due", (ridden, reported), lambda: due_page(ridden, reported, settings, link)),
        gaps,
    ]
    pages += (
        replace(page, head=site_head(settings, link, page.path, page.title)) for page in lists
    )
    files = [gaps_table, *for_library, *(file for o in outcomes for file in o.files)]
    files += redirect_files([(o.title, o.names) for o in shown if o.names], link)
    files += asset_files(author=author)
    left_out = frozenset(o.id for o in outcomes if o.names is None)
    return Published(
        tuple(pages),
        tuple(files),
        tuple(sort_problems(problems)),
        left_out,
        feed_head(settings, link),
        kept.made,
    )


def asset_files(*, author: bool) -> list[StaticFile]:
    """Return our style sheet and scripts, and the vendored ones with their licences."""
    return [
        StaticFile(f"assets/softpedal/{path.relative_to(ASSETS).as_posix()}", path.read_bytes())
        for path in sorted(ASSETS.rglob("*"))
        if path.is_file() and (author or not path.name.startswith(AUTHOR_SCRIPT))
    ]


def _each(folders: Sequence[Path], *, one: partial[Outcome]) -> list[Outcome]:
    """Publish every folder by itself, in further processes where there are many."""
    workers = os.cpu_count() or 1
    if len(folders) < MANY_ROUTES or workers < 2:
        return [one(folder) for folder in folders]
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        others = pool.map(one, folders[1:], chunksize=16)
        # So that this process, too, has loaded what it takes when an author then saves a route.
        return [one(folders[0]), *others]


def _with_onward(
    shown: Sequence[Outcome], settings: Settings, link: Link, kept: Kept
) -> list[Page]:
    """Return the routes' pages with the routes that each of them meets."""
    titles = {o.id: o.title for o in shown if o.entry}
    met = kept.meetings.of(
        {o.id: Meetable(o.onward, o.ends, o.line) for o in shown if o.entry and o.line}
    )
    pages = []
    for outcome in shown:
        if (page := outcome.page) is None:
            continue
        here = met.get(outcome.id, Connections())
        called = {other: titles[other] for other in here.others}
        # Another line moves where it is met by a hair, and seldom what is told of that.
        groups = kept.same(
            ("onward", outcome.id),
            (here, called),
            partial(onward_groups, here, titles, page.path, link, settings.units),
        )
        whole = partial(_with_section, page, groups)
        pages.append(kept.same(("page", outcome.id), (page, groups), whole))
    return pages


def _with_section(page: Page, groups: Sequence[dict[str, Any]]) -> Page:
    return replace(page, late=dict(page.late) | {"onward": onward_section(groups)})


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
