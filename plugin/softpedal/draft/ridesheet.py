"""A sheet for the ride: what to look at, as text, as a page to print, and as waypoints."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.draft.papers import CAUTION, fill
from softpedal.draft.questions import LookAt, questions
from softpedal.library.gpx_reader import Waypoint
from softpedal.library.gpx_writer import write_gpx
from softpedal.measure.units import chainage

if TYPE_CHECKING:
    from softpedal.library.route import Route
    from softpedal.library.track import Track
    from softpedal.measure.units import Units

QUESTIONS_ONLY = (
    "This is a list of questions and no statement about the way: ride by the law and by what you "
    "see, and stop before you read or write."
)
_WHEN = {"outbound": "on the way out", "return": "on the way back", "both": ""}


@dataclass(frozen=True, eq=False, slots=True)
class LineSheet:
    """What to look at along one line; `heading` says which, "" for the only one."""

    heading: str
    track: Track
    looks: tuple[LookAt, ...]


@dataclass(frozen=True, eq=False, slots=True)
class RideSheet:
    """What to look at on the rides of a route.

    Attributes:
        title: of the route.
        general: questions about the route as a whole.
        lines: the way out, and the way back where it has a line of its own.
    """

    title: str
    general: tuple[str, ...]
    lines: tuple[LineSheet, ...]


def ride_sheet(route: Route) -> RideSheet:
    """Return what the notes of a route, or of a draft, leave open; chainages are of `along`."""
    general = []
    if route.notes.closed and not route.notes.ridden:
        hours = ", ".join(route.notes.closed)
        general.append(f"Is the way shut at these hours, and what do the signs say: {hours}?")
    out = LineSheet(
        "The way out" if route.back else "", route.along.track, tuple(questions(route.along))
    )
    if route.back is None:
        return RideSheet(route.notes.title, tuple(general), (out,))
    back = LineSheet("The way back", route.back.track, tuple(questions(route.back)))
    return RideSheet(route.notes.title, tuple(general), (out, back))


def sheet_lines(sheet: RideSheet, units: Units) -> list[str]:
    """Return the sheet as lines of text."""
    lines = [f"To look at on the ride: {_flat(sheet.title)}", ""]
    lines += [f"[ ] {_flat(question)}" for question in sheet.general]
    for part in sheet.lines:
        if part.heading:
            lines += [part.heading]
        for look in part.looks:
            lines.append(f"{_where(look, units)}  {_flat(_what(look))}")
            lines += [f"    [ ] {_flat(question)}" for question in look.ask]
            if look.evidence:
                lines.append(f"    It goes by: {_flat(look.evidence)}")
    if not any(part.looks for part in sheet.lines) and not sheet.general:
        lines.append("The notes leave nothing open.")
    return [*lines, "", QUESTIONS_ONLY]


def sheet_page(sheet: RideSheet, units: Units, source: str = "") -> str:
    """Return the sheet as a page to print on A4; `source` says who made the map."""
    return fill(
        "ridesheet.html",
        title=sheet.title,
        general=sheet.general,
        lines=[
            (
                part.heading,
                [
                    (_where(k, units), f"{k.lat:.5f}, {k.lon:.5f}", _what(k), k.ask, k.evidence)
                    for k in part.looks
                ],
            )
            for part in sheet.lines
        ],
        caution=(QUESTIONS_ONLY, *CAUTION),
        source=source,
        map_date="",
    )


def sheet_gpx(sheet: RideSheet) -> list[str]:
    """Return a GPX file for each line: the track, and a waypoint at each thing to look at."""
    files = []
    for part in sheet.lines:
        track = part.track
        marks = [
            Waypoint(look.lat, look.lon, f"{number}. {_what(look)}: {' '.join(look.ask)}", 0)
            for number, look in enumerate(part.looks, 1)
        ]
        name = ", ".join(filter(None, (sheet.title, part.heading.lower())))
        arrays = track.lat, track.lon, track.height, track.part
        files.append(write_gpx(*arrays, name, marks, QUESTIONS_ONLY))
    return files


def _where(look: LookAt, units: Units) -> str:
    start, end = chainage(look.at_m, units), chainage(look.to_m, units)
    return start if start == end else f"{start} – {end}"


def _what(look: LookAt) -> str:
    when = _WHEN[look.when]
    return f"{look.what} ({when})" if when else look.what


def _flat(text: str) -> str:
    """Return text on one line, so that nothing in it looks like a line of the sheet."""
    return " ".join(text.split())
