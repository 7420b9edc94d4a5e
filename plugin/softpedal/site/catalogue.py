"""All routes in one classic script: what the map of all routes draws and its filters look at."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from softpedal.measure.difficulty import rank
from softpedal.site.findable import FLAGS
from softpedal.site.language import tr, trn
from softpedal.site.map_data import script_json
from softpedal.site.overview_ground import overview_ground
from softpedal.site.overview_line import MOST_POINTS, SCALE, packed, thinned
from softpedal.site.published import StaticFile

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from softpedal.settings import Settings
    from softpedal.site.basemap import Background
    from softpedal.site.lists import Entry

DATA = "routes/library.js"
GROUND = "routes/library-ground.js"

#: Points of all lines together; large libraries of winding routes are thinned to it.
ALL_POINTS = 25_000


def library_files(
    found: Sequence[Entry], settings: Settings, background: Background | None
) -> list[StaticFile]:
    """Return the scripts of the page of all routes; none for a library without routes."""
    if not found:
        return []
    ground = overview_ground(background, (e.findable.line for e in found)) if background else ""
    files = [StaticFile(DATA, library_script(found, settings, has_ground=bool(ground)).encode())]
    return [*files, StaticFile(GROUND, ground.encode())] if ground else files


def library_script(found: Sequence[Entry], settings: Settings, *, has_ground: bool = False) -> str:
    """Return a classic script that sets `window.softpedalLibrary`.

    Names of streets, ends and landmarks stand in one table, and routes give their numbers in it;
    lines are differences of 1e-4 degrees.
    """
    areas, names = _Table(), _Table()
    most = min(MOST_POINTS, max(2, ALL_POINTS // max(1, len(found))))
    lines = [thinned(entry.findable.line, most) for entry in found]
    origin = (
        min((lat for line in lines for part in line for lat, _ in part), default=0),
        min((lon for line in lines for part in line for _, lon in part), default=0),
    )
    routes = []
    for entry, line in zip(found, lines, strict=True):
        routes.append(_facts(entry, areas, names, origin) | packed(line, origin))
    content: dict[str, Any] = {
        "scale": SCALE,
        "at": origin,
        "units": settings.units,
        "zone": settings.time_zone,
        "attribution": settings.background_attribution if has_ground else "",
        "words": _words(len(found)),
        "flags": FLAGS,
        "areas": areas.rows,
        "names": names.rows,
        "routes": routes,
    }
    return f"window.softpedalLibrary = {script_json(content)};\n"


class _Table:
    """Texts, each once and with its number."""

    def __init__(self) -> None:
        self._numbers: dict[str, int] = {}

    def number(self, text: str) -> int:
        return self._numbers.setdefault(text, len(self._numbers))

    def numbers(self, texts: Iterable[str]) -> list[int]:
        return [self.number(text) for text in texts]

    @property
    def rows(self) -> list[str]:
        return list(self._numbers)


def _facts(entry: Entry, areas: _Table, names: _Table, origin: tuple[int, int]) -> dict[str, Any]:
    """Return what is known of a route; what is nothing is left out."""
    of = entry.findable
    content: dict[str, Any] = {
        "id": entry.id,
        "grade": rank(entry.grade),
        "quiet": of.percent,
        "m": round(of.length_m),
        "area": areas.numbers(entry.areas),
        "ends": names.numbers((of.start, of.finish)),
        "by": names.numbers(of.streets),
    }
    further = {
        "yes": sum(1 << i for i, flag in enumerate(FLAGS) if flag in of.flags),
        "child": of.child,
        "cargo": of.cargo,
        "past": [
            value
            for mark in of.landmarks
            for value in (names.number(mark.what), mark.lat - origin[0], mark.lon - origin[1])
        ],
    }
    content |= {name: value for name, value in further.items() if value}
    if of.open is not None:
        content["open"] = of.open
    return content


def _words(count: int) -> dict[str, str]:
    """Return what the page's script says."""
    return {
        "count": trn("{shown} of {count} route", "{shown} of {count} routes", count, shown="{n}"),
        "set": tr("{count} set", count="{n}"),
        "drop": tr("Leave out “{filter}” (routes then: {count})", filter="{filter}", count="{n}"),
        "canvas": tr("Map. The arrow keys move it, plus and minus change its scale."),
        "move": tr("Move map"),
        "hold": tr("Hold map still"),
        "whole": tr("Whole list"),
        "in": tr("Closer"),
        "out": tr("Farther"),
        "close": tr("Close"),
    }
