"""One route folder → its page, its files and its place in the lists: a unit of work by itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.library.load import load_route
from softpedal.library.names import Names, names_of
from softpedal.library.private_zones import NO_ZONES, Zones
from softpedal.measure.route_measures import measure_loaded
from softpedal.site.alert_reach import Box
from softpedal.site.background_file import CACHE
from softpedal.site.basemap import Background
from softpedal.site.connections import Sampled
from softpedal.site.cue_sheet import cue_files
from softpedal.site.downloads import gpx_files
from softpedal.site.due_page import Ridden, ridden_of
from softpedal.site.embed import embed_files
from softpedal.site.gap_places import RouteGaps, route_gaps
from softpedal.site.language import use_or_english
from softpedal.site.lists import Entry, entry_of
from softpedal.site.oembed import oembed_files
from softpedal.site.photos import photo_files
from softpedal.site.pictures import picture_files
from softpedal.site.route_page import RoutePage, fault_page
from softpedal.site.share import share_files
from softpedal.site.shared import Shared, shared_of

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.library.library_alerts import LibraryAlert
    from softpedal.problems import Problem
    from softpedal.settings import Settings
    from softpedal.site.published import Link, Page, StaticFile

#: Latitude and longitude of the two ends.
Ends = tuple[tuple[float, float], tuple[float, float]]


NO_GAPS = RouteGaps()


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one route folder; it can be sent from one process to another.

    Attributes:
        id: the folder's name.
        problems: errors and advice.
        names: what it calls other routes, None for a route with errors.
        title: of the route.
        onward: the routes that its notes name as carrying on.
        ends: of the outbound line.
        page: the route's page, or the page of its faults, or None.
        files: what the page loads and offers.
        entry: its place in the lists; None if it is in none.
        line: the way out at equal steps; None without a page.
        gaps: where it leaves the quiet.
        is_shown: whether it has a page of its own.
        shared: what it gives to feed, catalogue and the lines of all routes.
        ridden: what speaks for riding it again; None if it is not published.
        box: where alerts of the library reach it; None if that is not known.
    """

    id: str
    problems: tuple[Problem, ...] = ()
    names: Names | None = None
    title: str = ""
    onward: tuple[str, ...] = ()
    ends: Ends = ((0.0, 0.0), (0.0, 0.0))
    page: Page | None = None
    files: tuple[StaticFile, ...] = ()
    entry: Entry | None = None
    line: Sampled | None = None
    gaps: RouteGaps = NO_GAPS
    is_shown: bool = False
    shared: Shared | None = None
    ridden: Ridden | None = None
    box: Box | None = None


def publish_route(
    folder: Path,
    *,
    settings: Settings,
    link: Link,
    background: Path | None,
    author: bool,
    zones: Zones = NO_ZONES,
    alerts: tuple[LibraryAlert, ...] = (),
) -> Outcome:
    """Read, measure and render one folder."""
    use_or_english(settings.language, folder.parent.parent)
    loaded = load_route(folder, settings, zones, alerts)
    measured = measure_loaded(loaded, settings)
    route, measures = measured.route, measured.measures
    if route is None or measures is None:
        faults = fault_page(measured.id, measured.problems) if author else None
        return Outcome(measured.id, measured.problems, page=faults)
    if route.notes.status == "draft" and not author:
        return Outcome(route.id, measured.problems, names_of(route))
    track = route.along.track
    ground = ""
    if background is not None and settings.tiles is None:
        ground = Background.of(background).corridor(track.lat, track.lon)
    page = RoutePage(route, measures, settings, link, background=ground, author=author)
    photos = photo_files(route)
    drawn_on = Background.of(background) if background else None
    kept = folder.parent.parent / CACHE / "cards"
    pictures = picture_files(route, measures, settings, link, background=drawn_on, cache=kept)
    embed = embed_files(route, measures, settings, link, background=bool(ground))
    embed += oembed_files(route, settings, link)
    embed += share_files(route, measures, settings, link)
    cues = cue_files(route, measures, settings, link)
    offered = route.notes.status != "withdrawn"
    return Outcome(
        route.id,
        measured.problems,
        names_of(route),
        route.notes.title,
        tuple(route.notes.next),
        (track.at(0.0), track.at(track.length_m)),
        page.page(),
        (*page.files(), *gpx_files(route, measures, settings), *cues, *pictures, *photos, *embed),
        entry_of(route, measures, settings) if offered else None,
        Sampled.of(track),
        route_gaps(route, measures, settings.units),
        is_shown=True,
        shared=shared_of(route, measures, settings, link),
        ridden=ridden_of(route),
        box=Box.of(route),
    )
