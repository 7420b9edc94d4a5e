"""The measures of a draft, by the same way as those of any route folder."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

from softpedal.draft.notes_document import draft_line
from softpedal.draft.notes_text import notes_text
from softpedal.draft.ride import RideError
from softpedal.library.folder_files import NOTES, ROUTES, TRACK
from softpedal.library.gpx_writer import write_gpx
from softpedal.library.load import load_route
from softpedal.measure.route_measures import measure_loaded

if TYPE_CHECKING:
    from softpedal.draft.chain import Chain
    from softpedal.draft.town import Town
    from softpedal.library.route import Route
    from softpedal.library.track import Track
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings


def measured(document: dict[str, Any], track: Track, settings: Settings) -> tuple[Route, Measures]:
    """Return a drafted document as a route with its measures.

    Raises:
        RideError: the draft is no valid route folder, which is a fault of the program.
    """
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / ROUTES / "draft"
        folder.mkdir(parents=True)
        (folder / NOTES).write_text(notes_text(document, {}), encoding="utf-8")
        gpx = write_gpx(track.lat, track.lon, track.height, track.part, "draft")
        (folder / TRACK).write_text(gpx, encoding="utf-8")
        loaded = measure_loaded(load_route(folder, settings), settings)
    if loaded.route is None or loaded.measures is None:
        errors = "; ".join(str(problem) for problem in loaded.problems if problem.is_error)
        raise RideError(
            f"The draft of this line is no valid route: {errors}",
            "That is a fault of softpedal: please report it with the line.",
        )
    return loaded.route, loaded.measures


def measures_along(town: Town, chain: Chain, track: Track, settings: Settings) -> Measures:
    """Return the measures of a line that the map alone speaks of.

    Raises:
        RideError: see `measured`.
    """
    names = dict.fromkeys(("title", "start", "finish", "summary"), "by the map")
    document = {**names, "area": ["by the map"], "status": "draft"}
    line = draft_line(town, chain)
    closed = {"closed": list(line.closed)} if line.closed else {}
    return measured(document | closed | line.items, track, settings)[1]
