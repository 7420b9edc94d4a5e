"""The files that a reader takes along: tracks, data, the map, a card and a code for paper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.authored_text import shortened
from softpedal.library.gpx_reader import Waypoint
from softpedal.library.gpx_writer import write_gpx
from softpedal.site import wording
from softpedal.site.geojson import route_geojson
from softpedal.site.language import tr
from softpedal.site.published import StaticFile
from softpedal.site.timetable import Timetable

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.notes import Direction
    from softpedal.library.route import Route
    from softpedal.library.track import Track
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings
    from softpedal.site.row import Row

#: A device shows about this much of a waypoint's name.
NAME_LENGTH = 48


def offered(route: Route) -> list[Direction]:
    """Return the directions whose line is offered: the way back only if it was ridden."""
    if route.notes.status == "withdrawn":
        return []
    return ["outbound", "return"] if route.is_ridden("return") else ["outbound"]


def gpx_name(route: Route, direction: Direction) -> str:
    """Return the name under which a direction is downloaded."""
    return f"{route.id}.gpx" if direction == "outbound" else f"{route.id}-back.gpx"


def geojson_name(route: Route) -> str:
    """Return the name under which the route's data are downloaded."""
    return f"{route.id}.geojson"


def gpx_files(route: Route, measures: Measures, settings: Settings) -> list[StaticFile]:
    """Return the tracks of a route, and its data where any line is offered.

    A track carries its line and what to do on it as waypoints; no times, extensions, heart rate,
    device or author.
    """
    notes = route.notes
    names = {
        "outbound": notes.title,
        "return": tr(
            "{title} (from {start} to {finish})",
            title=notes.title,
            start=notes.finish,
            finish=notes.start,
        ),
    }
    about = about_words(measures, settings)
    folder = f"routes/{route.id}"
    files = []
    rows = {direction: _rows(route, measures, settings, direction) for direction in offered(route)}
    for direction, found in rows.items():
        track = route.line(direction).track
        text = write_gpx(
            track.lat,
            track.lon,
            track.height,
            track.part,
            names[direction],
            waypoints(track, found),
            about,
        )
        files.append(StaticFile(f"{folder}/{gpx_name(route, direction)}", text.encode()))
    if rows:
        data = route_geojson(route, measures, rows, settings, about)
        files.append(StaticFile(f"{folder}/{geojson_name(route)}", data.encode()))
    return files


def about_words(measures: Measures, settings: Settings) -> str:
    """Return what stands in every file: when it was ridden, the caution, and whose map it is."""
    words = [wording.caution_in_short(measures.ridden_on)]
    if settings.background_attribution:
        words.append(
            tr(
                "Map and street data: {attribution}.",
                attribution=settings.background_attribution.rstrip("."),
            )
        )
    return " ".join(words)


def waypoints(track: Track, rows: Sequence[Row]) -> list[Waypoint]:
    """Return what one does on the way, in riding order, under short names.

    These are the cues of legs, crossings, dismounts, barriers and serious hazards.
    """
    return [Waypoint(*track.at(row.at_m), _short(name), 0) for row in rows if (name := _name(row))]


def _rows(route: Route, measures: Measures, settings: Settings, direction: Direction) -> list[Row]:
    measured = measures.of(direction)
    return Timetable(route, measured, measured.leading, settings.units).rows()


def _name(row: Row) -> str:
    """Return what one does there, or "" where a device need not speak."""
    if row.sort == "leg":
        return row.cue.striptags()
    if row.sort in {"crossing", "busy crossing"}:
        return f"{row.title.striptags()}: {row.kind.rpartition(', ')[2]}"
    if row.sort == "hazard" and not row.kind:  # the kind says that it is serious
        return ""
    if row.sort in {"dismount", "barrier", "hazard"}:
        return row.title.striptags()
    return ""


def _short(name: str) -> str:
    """Return a name cut at a word."""
    return shortened(" ".join(name.split()).rstrip("."), NAME_LENGTH)
