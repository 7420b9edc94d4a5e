"""Papers for a ride that is yet to be made: ways scouted on the map, and what to look at."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.draft.drafting import draft_ride
from softpedal.draft.measured import measured, measures_along
from softpedal.draft.named_places import find_place
from softpedal.draft.new_folder import write_new_folder
from softpedal.draft.papers import source_of
from softpedal.draft.ride import RideError, read_ride
from softpedal.draft.ridesheet import ride_sheet, sheet_gpx, sheet_lines, sheet_page
from softpedal.draft.scout import scout
from softpedal.draft.scout_page import scout_files
from softpedal.library.load import load_route
from softpedal.library.plain_text import counted
from softpedal.measure.quietness import whole_percent
from softpedal.measure.units import distance

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.draft.ridesheet import RideSheet
    from softpedal.draft.scouted import Candidate
    from softpedal.draft.town import Town
    from softpedal.settings import Settings

SHEET_PAGE = "ridesheet.html"
SHEET_TRACKS = ("ridesheet.gpx", "ridesheet-return.gpx")


@dataclass(frozen=True, slots=True)
class Scouted:
    """Ways between two places by cost, the direct road among them."""

    candidates: tuple[Candidate, ...]
    town: Town
    settings: Settings
    names: tuple[str, str]

    def lines(self) -> list[str]:
        """Return what the map says of each way, for the terminal."""
        found = [
            f"{len(self.candidates)} ways from {self.names[0]} to {self.names[1]}.",
            "Nobody has ridden them: the map may be wrong; signs and what you see come first.",
        ]
        for way in self.candidates:
            found += ["", f"{way.number}  {way.name}", f"   {self._figures(way)}"]
        return found

    def _figures(self, way: Candidate) -> str:
        words = [distance(way.track.length_m, self.settings.units)]
        leading = way.measures.outbound.leading.figures if way.measures else None
        if leading is None:
            return ", ".join([*words, "shut at most times of the day"])
        busy, off = leading.busy, leading.dismounts
        return ", ".join(
            [
                *words,
                f"{whole_percent(leading.quietness)} % quiet",
                counted(busy, "busy crossing"),
                counted(off, "dismount"),
                f"hardest bit at level {leading.level}",
            ]
        )

    def write(self, folder: Path) -> list[Path]:
        """Write a GPX file of each way and a page with a map into a new folder."""
        source = source_of(self.settings)
        made = scout_files(self.candidates, self.town.network, self.settings, self.names, source)
        return write_new_folder(folder, made)


def scouted_ways(town: Town, settings: Settings, from_: str, to: str, ways: int) -> Scouted:
    """Return up to `ways` quiet ways between two places, with their full measures.

    Raises:
        PlaceError: a place is not known, or several are.
        ScoutError: no way leads from one to the other.
        RideError: see `measured`.
    """
    ends = find_place(town.network, from_), find_place(town.network, to)
    found = scout(
        town,
        settings,
        *ends,
        k=ways,
        notes_of=lambda chain, track: measures_along(town, chain, track, settings),
    )
    return Scouted(tuple(found), town, settings, (from_, to))


@dataclass(frozen=True, slots=True)
class Sheet:
    """A ride sheet, and the settings by which it is written."""

    sheet: RideSheet
    settings: Settings

    def lines(self) -> list[str]:
        """Return it as lines of text."""
        return sheet_lines(self.sheet, self.settings.units)

    def write(self, folder: Path) -> list[Path]:
        """Write it as a page to print and as waypoints into a new folder."""
        page = sheet_page(self.sheet, self.settings.units, source_of(self.settings))
        tracks = dict(zip(SHEET_TRACKS, sheet_gpx(self.sheet), strict=False))
        return write_new_folder(folder, {SHEET_PAGE: page} | tracks)


def sheet_of_route(folder: Path, settings: Settings) -> Sheet:
    """Return what to look at when riding a route.

    Raises:
        RideError: the folder holds no valid route.
    """
    loaded = load_route(folder, settings)
    if loaded.route is None:
        errors = "\n".join(str(problem) for problem in loaded.problems if problem.is_error)
        raise RideError(f"{folder.name} is not a valid route.\n{errors}")
    return Sheet(ride_sheet(loaded.route), settings)


def sheet_of_line(gpx: Path, town: Town, settings: Settings) -> Sheet:
    """Return what to look at when riding a line that has no notes, such as a scouted way.

    Raises:
        RideError: the file cannot be read, or most of it is off the map.
        MatchError: it is not on the map.
    """
    draft = draft_ride(town, read_ride(gpx, published=True), settings)
    route, _ = measured(draft.document, draft.track, settings)
    return Sheet(ride_sheet(route), settings)
