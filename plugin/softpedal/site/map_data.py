"""What the map of a route's page draws, as a classic script that also works from a file."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, Literal

import numpy as np

from softpedal.site._map_line import encode_line, second_passes
from softpedal.site.follow_words import FOLLOW_WORDS, figures_for_scripts
from softpedal.site.language import tr
from softpedal.site.looks import (
    CASING,
    MAP_BAND_PX,
    MAP_CASING_PX,
    look_of,
    looks_for_map,
)
from softpedal.site.map_views import MapView, packed_views

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from softpedal.library.track import Track
    from softpedal.measure.units import Units

MarkerSort = Literal[
    "start", "finish", "crossing", "busy crossing", "dismount", "hazard", "landmark", "barrier"
]

#: What the map's script says; each text may be translated.
MAP_WORDS: Mapping[str, str] = {
    "canvas": "Map. The arrow keys move it, plus and minus change its scale.",
    "move": "Move map",
    "hold": "Hold map still",
    "whole": "Whole route",
    "in": "Closer",
    "out": "Farther",
    "back": "The way back, where it differs",
    "close": "Close",
}


@dataclass(frozen=True, eq=False)
class MapLine:
    """A line on the ground.

    Attributes:
        lat, lon: WGS84 degrees, (N,).
        chainage: metres, (N,), not falling.
        part_starts: index of the first point of each part; nothing is drawn between parts.
    """

    lat: NDArray[np.float64]
    lon: NDArray[np.float64]
    chainage: NDArray[np.float64]
    part_starts: tuple[int, ...] = (0,)

    @classmethod
    def of(cls, track: Track) -> MapLine:
        """Return the line of a track."""
        return _line_of(track)

    @cached_property
    def again(self) -> list[list[int]]:
        """The stretches that run along an earlier pass, from and to in decimetres."""
        return second_passes(self)


@lru_cache(maxsize=8)  # map, pictures and print sheet draw the same few lines
def _line_of(track: Track) -> MapLine:
    starts: list[int] = (np.flatnonzero(np.diff(track.part)) + 1).tolist()
    return MapLine(track.lat, track.lon, track.chainage_m, (0, *starts))


@dataclass(frozen=True, slots=True)
class MapLeg:
    """A leg by chainage in metres; `name` is its street, `level` its stress in words.

    `cue` is what to do where it begins.
    """

    from_m: float
    to_m: float
    kind: str
    name: str
    level: str = ""
    cue: str = ""


@dataclass(frozen=True, slots=True)
class MapMarker:
    """Something at one place of the line.

    Attributes:
        at_m: chainage in metres.
        sort: which sign stands there.
        label: what is spoken and what the pop-up says.
        control: of a crossing, in the words of the notes.
        word: a short word beside the sign where the map is close; may be empty.
        note: what is said of it to a rider who comes towards it; may be empty.
    """

    at_m: float
    sort: MarkerSort
    label: str
    control: str = ""
    word: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class MapVariant:
    """Another line for one stretch, or the direct road, and what is written beside it."""

    line: MapLine
    label: str
    is_direct: bool = False


@dataclass(frozen=True, slots=True)
class MapTiles:
    """A raster tile service that is drawn instead of a background; the page then calls it."""

    url: str
    max_zoom: int


@dataclass(frozen=True, slots=True)
class MapData:
    """All that one map shows.

    Attributes:
        id: under which the map's element asks for it.
        line: the way out.
        legs: in riding order.
        markers: in any order.
        back: the way back where it is another line.
        variants: other lines for one stretch each.
        tiles: the service whose pictures lie under the route, None for none.
        views: what it shows in each direction and state; none if it only shows the above.
        attribution: who made the background, as plain text.
        units: of the scale.
        words: the texts of `MAP_WORDS` and `FOLLOW_WORDS`.
    """

    id: str
    line: MapLine
    legs: tuple[MapLeg, ...]
    markers: tuple[MapMarker, ...] = ()
    back: MapLine | None = None
    views: tuple[MapView, ...] = ()
    attribution: str = ""
    units: Units = "metric"
    variants: tuple[MapVariant, ...] = ()
    tiles: MapTiles | None = None
    words: Mapping[str, str] = field(default_factory=lambda: {**MAP_WORDS, **FOLLOW_WORDS})


def map_script(data: MapData) -> str:
    """Return a classic script that adds the map's data to `window.softpedalMaps`.

    Coordinates are integers of 1e-6 degrees and chainage of decimetres, each as the difference
    from the one before; the line is thinned to within 2 m.

    Raises:
        ValueError: if the line is empty, its arrays differ in length, or a kind is unknown.
    """
    legs = [_leg(leg) for leg in data.legs]
    markers = [_marker(each) for each in sorted(data.markers, key=lambda each: each.at_m)]
    content: dict[str, object] = {
        "line": encode_line(data.line),
        "again": data.line.again,
        "legs": legs,
        "markers": markers,
        "bounds": _bounds(
            [data.line, *([data.back] if data.back else []), *(v.line for v in data.variants)]
        ),
        "looks": looks_for_map(),
        "casing": {"colour": CASING, "width": MAP_CASING_PX, "band": MAP_BAND_PX},
        "attribution": data.attribution,
        "units": data.units,
        "figures": figures_for_scripts(data.units),
        "words": {name: tr(text) for name, text in data.words.items()},
    }
    if data.back is not None:
        content["back"] = encode_line(data.back)
    if data.variants:
        content["variants"] = [
            {"line": encode_line(v.line), "label": v.label}
            | ({"direct": True} if v.is_direct else {})
            for v in data.variants
        ]
    if data.tiles is not None:
        content["tiles"] = {"url": data.tiles.url, "maxZoom": data.tiles.max_zoom}
    if data.views:
        content |= packed_views(data.views, legs, markers, _leg, _marker)
    if any(view.is_back for view in data.views):
        content["backAgain"] = (data.back or _turned(data.line)).again
    return (
        "window.softpedalMaps = window.softpedalMaps || {};\n"
        f"softpedalMaps[{script_json(data.id)}] = {script_json(content)};\n"
    )


def script_json(value: object) -> str:
    """Return JSON that is safe inside any script: no end tag, no line separators."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    for risky in ("<", ">", "&", "\u2028", "\u2029"):
        text = text.replace(risky, f"\\u{ord(risky):04x}")
    return text


def _leg(leg: MapLeg) -> dict[str, object]:
    return {
        "from": _decimetres(leg.from_m),
        "to": _decimetres(leg.to_m),
        "kind": tr(leg.kind),
        "look": look_of(leg.kind).slug,
        "name": leg.name,
        "level": leg.level,
        "cue": leg.cue,
    }


def _marker(marker: MapMarker) -> dict[str, object]:
    return {
        "at": _decimetres(marker.at_m),
        "sort": marker.sort,
        "label": marker.label,
        "control": marker.control,
        "word": marker.word,
        "note": marker.note,
    }


def _turned(line: MapLine) -> MapLine:
    """Return a line as it is met from its other end."""
    last = len(line.lat)
    starts = sorted(last - start for start in line.part_starts if start > 0)
    return MapLine(
        line.lat[::-1],
        line.lon[::-1],
        line.chainage[-1] - line.chainage[::-1],
        (0, *starts),
    )


def _decimetres(metres: float) -> int:
    return round(metres * 10)


def _bounds(lines: list[MapLine]) -> list[list[float]]:
    south = min(float(line.lat.min()) for line in lines)
    north = max(float(line.lat.max()) for line in lines)
    west = min(float(line.lon.min()) for line in lines)
    east = max(float(line.lon.max()) for line in lines)
    return [[round(south, 6), round(west, 6)], [round(north, 6), round(east, 6)]]
