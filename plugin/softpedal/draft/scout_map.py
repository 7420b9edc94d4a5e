"""The map of a scouting page: streets in grey, and ways in patterns that survive a photocopier."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely

from softpedal.streets.access import is_main, motor_access

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from softpedal.draft.scouted import Candidate
    from softpedal.library.track import Track
    from softpedal.streets.network import Network

#: Width of the drawing in its own units; one unit is about one CSS pixel on a wide page.
WIDTH = 1000.0
_MARGIN = 0.06
#: A map is not flatter or taller than this, as height over width.
_SHAPES = (0.5, 1.3)
#: Dashes and width of the lines by their order, dots last; the direct road has the first.
PATTERNS: tuple[tuple[str, float], ...] = (
    ("", 3.0),
    ("", 9.0),
    ("22 9", 9.0),
    ("0 13", 9.0),
    ("26 9 3 9", 7.0),
    ("9 9", 7.0),
)


@dataclass(frozen=True, slots=True)
class DrawnWay:
    """A way on the map: its line, pattern, and where its number stands; drawing units."""

    number: int
    path: str
    dash: str
    width: float
    label: tuple[float, float]


@dataclass(frozen=True, slots=True)
class DrawnMap:
    """All that the map shows, in drawing units.

    Attributes:
        height: of the drawing; it is `WIDTH` wide.
        main, minor, paths: the streets behind, by class, as path data.
        ways: in the order of the candidates.
        start, finish: where the ways begin and end.
        bar: length of the scale's bar.
        bar_m: what it stands for, in metres.
    """

    height: float
    main: str
    minor: str
    paths: str
    ways: tuple[DrawnWay, ...]
    start: tuple[float, float]
    finish: tuple[float, float]
    bar: float
    bar_m: float


class _Sheet:
    """From metres of the network's plane to drawing units, north up."""

    def __init__(self, west: float, south: float, east: float, north: float) -> None:
        self.scale = WIDTH / (east - west)
        self.west, self.north = west, north
        self.height = round((north - south) * self.scale, 1)
        self.frame = shapely.box(west, south, east, north)

    @classmethod
    def around(cls, lines: NDArray[np.object_]) -> _Sheet:
        """Return the sheet that holds all lines, with a margin."""
        west, south, east, north = (float(v) for v in shapely.total_bounds(lines))
        wide, high = (max(v, 200.0) * (1 + 2 * _MARGIN) for v in (east - west, north - south))
        low, most = _SHAPES
        wide, high = max(wide, high / most), max(high, wide * low)
        x, y = (west + east) / 2, (south + north) / 2
        return cls(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)

    def point(self, xy: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return places in drawing units, (..., 2)."""
        return np.round((xy - [self.west, self.north]) * [self.scale, -self.scale], 1) + 0.0

    def path(self, lines: NDArray[np.object_]) -> str:
        """Return lines, thinned to what can be seen, as path data."""
        parts = shapely.get_parts(shapely.intersection(lines, self.frame))
        parts = shapely.simplify(parts[shapely.length(parts) > 0], 1.0 / self.scale)
        text = []
        for part in parts:
            points = self.point(shapely.get_coordinates(part)).tolist()
            text.append("M" + "L".join(f"{x:g} {y:g}" for x, y in points))
        return "".join(text)


def draw(network: Network, candidates: Sequence[Candidate]) -> DrawnMap:
    """Return the map of the ways and of the streets around them."""
    lines = np.array([_line(network, c.track) for c in candidates], dtype=object)
    sheet = _Sheet.around(lines)
    main, minor, paths = _streets(network, sheet)
    patterns = iter(PATTERNS[1:] * len(candidates))
    ways = []
    for i, candidate in enumerate(candidates):
        dash, width = PATTERNS[0] if candidate.is_direct else next(patterns)
        label = sheet.point(_apart(lines, i)).tolist()
        ways.append(
            DrawnWay(candidate.number, sheet.path(lines[i : i + 1]), dash, width, tuple(label))
        )
    ends = sheet.point(shapely.get_coordinates(lines[0])[[0, -1]]).tolist()
    bar_m = _round_length(WIDTH / sheet.scale / 5)
    return DrawnMap(
        sheet.height,
        main,
        minor,
        paths,
        tuple(ways),
        tuple(ends[0]),
        tuple(ends[1]),
        round(bar_m * sheet.scale, 1),
        bar_m,
    )


def _line(network: Network, track: Track) -> shapely.LineString:
    degrees = shapely.linestrings(np.column_stack([track.lon, track.lat]))
    return network.plane.metres(degrees)


def _streets(network: Network, sheet: _Sheet) -> tuple[str, str, str]:
    main = np.array([is_main(tags) for tags in network.way_tags], dtype=bool)
    driven = np.array([_is_driven(tags) for tags in network.way_tags], dtype=bool)
    near = shapely.intersects(network.lines, sheet.frame) & ~network.edge_across
    of_main, of_driven = main[network.edge_way], driven[network.edge_way]
    classes = (of_main, of_driven & ~of_main, ~of_driven & ~of_main)
    a, b, c = (sheet.path(network.lines[near & of]) for of in classes)
    return a, b, c


def _is_driven(tags: dict[str, str]) -> bool:
    access = motor_access(tags)
    return access.forward or access.backward


def _apart(lines: NDArray[np.object_], i: int) -> NDArray[np.float64]:
    """Return the place on a line that is the farthest from all others, for its number."""
    shares = np.linspace(0.05, 0.95, 61)
    places = shapely.line_interpolate_point(lines[i], shares, normalized=True)
    others = np.delete(lines, i)
    chosen = len(shares) // 2
    if len(others):
        far = np.min([shapely.distance(places, other) for other in others], axis=0)
        chosen = int(far.argmax())
    at: NDArray[np.float64] = shapely.get_coordinates(places[chosen])[0]
    return at


def _round_length(metres: float) -> float:
    """Return 1, 2 or 5 times a power of ten metres, the largest that is not longer."""
    power = 10.0 ** np.floor(np.log10(metres))
    return float(max(step * power for step in (1, 2, 5) if step * power <= metres))
