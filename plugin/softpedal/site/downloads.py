"""The files that a reader takes along."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.library.gpx_writer import write_gpx
from softpedal.site.published import StaticFile

if TYPE_CHECKING:
    from softpedal.library.notes import Direction
    from softpedal.library.route import Route


def offered(route: Route) -> list[Direction]:
    """Return the directions whose line is offered: the way back only if it was ridden."""
    if route.notes.status == "withdrawn":
        return []
    return ["outbound", "return"] if route.is_ridden("return") else ["outbound"]


def gpx_name(route: Route, direction: Direction) -> str:
    """Return the name under which a direction is downloaded."""
    return f"{route.id}.gpx" if direction == "outbound" else f"{route.id}-back.gpx"


def gpx_files(route: Route) -> list[StaticFile]:
    """Return the GPX files of a route: no times, extensions, heart rate, device or author."""
    notes = route.notes
    names = {
        "outbound": notes.title,
        "return": f"{notes.title} (from {notes.finish} to {notes.start})",
    }
    files = []
    for direction in offered(route):
        track = route.line(direction).track
        text = write_gpx(track.lat, track.lon, track.height, track.part, names[direction])
        path = f"routes/{route.id}/{gpx_name(route, direction)}"
        files.append(StaticFile(path, text.encode()))
    return files
