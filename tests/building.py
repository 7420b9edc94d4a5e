"""Builders of a small world from a literal: points, a GPX text, notes, a route folder, measures.

Everything is invented and lies in the open Atlantic near 50° N 20° W.
"""

from __future__ import annotations

import itertools
import math
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any
from xml.sax.saxutils import escape, quoteattr

import numpy as np
import yaml

from softpedal.library.load import load_route
from softpedal.library.track import WGS84, Track
from softpedal.measure.document import measures_document
from softpedal.measure.route_measures import measure
from softpedal.settings import Settings

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures

    #: Each point is (latitude, longitude) or (latitude, longitude, height).
    Points = Sequence[tuple[float, ...]]
    Height = float | Callable[[float], float] | None

LAT, LON = 50.0, -20.0
GPX_HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n<gpx xmlns="http://www.topografix.com/GPX/1/1"'
DEFAULT_SETTINGS = Settings()


def line_east(
    metres: float, step: float = 10.0, lat: float = LAT, lon: float = LON, height: Height = None
) -> list[tuple[float, ...]]:
    """Return points along a parallel, evenly spaced, whose chainage ends at exactly `metres`.

    The chainage is the sum of the geodesics from point to point, as the track has it. `height` is
    one height for all, or a function from chainage to height.
    """
    count = max(1, round(metres / step))
    exact = metres / count
    to_lon, _, _ = WGS84.fwd(lon, lat, 90.0, exact)
    turn = to_lon - lon
    turn *= exact / WGS84.inv(lon, lat, lon + turn, lat)[2]
    points = [(lat, lon + index * turn) for index in range(count + 1)]
    return _with_height(points, exact, height)


def line_north(
    metres: float, step: float = 10.0, lat: float = LAT, lon: float = LON, height: Height = None
) -> list[tuple[float, ...]]:
    """Return points along a meridian, evenly spaced, whose chainage ends at exactly `metres`."""
    count = max(1, round(metres / step))
    exact = metres / count
    along = np.arange(count + 1) * exact
    zeros = np.zeros_like(along)
    _, lats, _ = WGS84.fwd(zeros + lon, zeros + lat, zeros, along)
    return _with_height([(float(north), lon) for north in lats], exact, height)


def gpx_text(
    points: Points, parts: Sequence[int] = (), waypoints: Mapping[str, tuple[float, float]] = {}
) -> str:
    """Return a GPX 1.1 text; `parts` are the indices of points at which a new <trkseg> begins.

    No distance is counted from the last point of a part to the first of the next.
    """
    named = "".join(
        f'<wpt lat="{lat:.15f}" lon="{lon:.15f}"><name>{escape(name)}</name></wpt>\n'
        for name, (lat, lon) in waypoints.items()
    )
    cuts = [0, *parts, len(points)]
    segments = "".join(
        f"<trkseg>\n{''.join(map(_point, points[start:end]))}</trkseg>\n"
        for start, end in itertools.pairwise(cuts)
    )
    creator = quoteattr("a test")
    head = f'{GPX_HEAD} version="1.1" creator={creator}>\n'
    return f"{head}{named}<trk>\n{segments}</trk>\n</gpx>\n"


def leg(start: str, kind: Any = None, street: str = "Reed Lane", **more: Any) -> dict[str, Any]:
    """Return a leg for the notes; `kind` may be None where `hours` are given."""
    plain = {} if kind is None else {"kind": kind}
    return {"from": start, "street": street, **plain, **more}


def crossing(
    at: str, control: str = "none", road: str = "Dock Road", **more: Any
) -> dict[str, Any]:
    """Return a crossing for the notes."""
    return {"at": at, "road": road, "control": control, **more}


def notes(**changes: Any) -> dict[str, Any]:
    """Return valid minimal notes with some keys set otherwise; a value of None drops the key.

    As they are: published, ridden once both ways, one leg of back street without a speed.
    """
    whole = {
        "title": "Ferry Steps to Chapel Green",
        "area": ["Lindenferry"],
        "start": "Ferry Steps",
        "finish": "Chapel Green",
        "summary": "A way along the water.",
        "status": "published",
        "ridden": [{"on": "2026-05-16", "direction": "both"}],
        "legs": [leg("start", "back street")],
        **changes,
    }
    return {key: value for key, value in whole.items() if value is not None}


def make_route(
    tmp_path: Path,
    notes: Mapping[str, Any] | str | None = None,  # the builder's name is the file's name
    points: Points | None = None,
    *,
    gpx: str | bytes | None = None,
    id: str = "ferry-steps-to-chapel-green",  # noqa: A002 - the format's own word
    return_gpx: str | bytes | None = None,
    files: Mapping[str, str | bytes] = {},
) -> Path:
    """Write a route folder under tmp_path/routes and return it.

    Args:
        tmp_path: the library's folder.
        notes: the notes as a mapping, or notes.yml as text; those of `notes()` if left out.
        points: of the track; 2 km due east if neither these nor `gpx` are given.
        gpx: track.gpx as text or bytes, instead of points.
        id: the folder's name.
        return_gpx: return.gpx, if there is one.
        files: other files by their path in the folder.
    """
    folder = tmp_path / "routes" / id
    folder.mkdir(parents=True, exist_ok=True)
    text = notes if isinstance(notes, str) else notes_text(notes or _minimal())
    track = gpx if gpx is not None else gpx_text(points or line_east(2000))
    contents = {"notes.yml": text, "track.gpx": track, **files}
    if return_gpx is not None:
        contents["return.gpx"] = return_gpx
    for name, content in contents.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content.encode() if isinstance(content, str) else content)
    return folder


def notes_text(data: Mapping[str, Any]) -> str:
    """Return notes as YAML, keys in the order given, nothing aliased."""
    return str(yaml.dump(dict(data), Dumper=_Plain, sort_keys=False, allow_unicode=True))


def load(folder: Path, settings: Settings = DEFAULT_SETTINGS) -> Route:
    """Return the route in a folder, which must load without an error."""
    loaded = load_route(folder, settings)
    assert loaded.route is not None, [str(problem) for problem in loaded.problems]
    return loaded.route


def route_of(
    notes: Mapping[str, Any] | None = None, points: Points | None = None, **more: Any
) -> Route:
    """Return the route that `make_route` would write, without leaving a folder behind."""
    with tempfile.TemporaryDirectory() as library:
        return load(make_route(Path(library), notes, points, **more))


def measures_of(
    notes: Mapping[str, Any] | None = None,
    points: Points | None = None,
    settings: Settings = DEFAULT_SETTINGS,
    **more: Any,
) -> Measures:
    """Return the measures of the route that `make_route` would write."""
    return measure(route_of(notes, points, **more), settings)


def measured(folder: Path, settings: Settings = DEFAULT_SETTINGS) -> Measures:
    """Return the measures of the route in a folder."""
    return measure(load(folder, settings), settings)


def document(folder: Path, settings: Settings = DEFAULT_SETTINGS) -> dict[str, Any]:
    """Return the JSON document of the one route in a folder, as plain data."""
    route = load(folder, settings)
    return measures_document([(route, measure(route, settings))])


class _Plain(yaml.SafeDumper):
    """Writes a value that is used twice out twice: the notes refuse aliases."""

    def ignore_aliases(self, data: Any) -> bool:  # noqa: ARG002 - the base class's signature
        return True


_minimal = notes


def track_of(points: Points, parts: Sequence[int] = ()) -> Track:
    """Return points as a track; `parts` are the indices at which a new part begins."""
    lat, lon, *height = np.array(points, dtype=float).T
    part = np.zeros(len(points), dtype=np.int64)
    for start in parts:
        part[start:] += 1
    return Track(lat, lon, height[0] if height else np.full(len(points), np.nan), part)


def _with_height(
    points: list[tuple[float, float]], step: float, height: Height
) -> list[tuple[float, ...]]:
    if height is None:
        return list(points)
    rise = height if callable(height) else lambda _: height
    return [(*point, float(rise(index * step))) for index, point in enumerate(points)]


def _point(point: Sequence[float]) -> str:
    lat, lon, *height = (float(value) for value in point)
    place = f'<trkpt lat="{lat:.15f}" lon="{lon:.15f}"'
    if not height or math.isnan(height[0]):
        return f"{place}/>\n"
    return f"{place}><ele>{height[0]:.12f}</ele></trkpt>\n"
