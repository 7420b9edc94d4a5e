"""A line for the map: thinned to within 2 m at equal chainage, and packed into integers."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from softpedal.site.map_data import MapLine

TOLERANCE_M = 2.0
DEGREES_TO_INT = 1e6
METRES_TO_INT = 10

#: One degree of latitude, near enough for drawing.
_METRES_PER_DEGREE = 111_200.0

#: A second pass lies this near an earlier one, alongside it, and at least this far on.
_PASS_WIDTH_M = 8.0
_PASS_APART_M = 40.0
_PASS_STEP_M = 10.0
_PASS_MIN_M = 40.0
_PARALLEL_COSINE = 0.9


def encode_line(line: MapLine) -> dict[str, list[int]]:
    """Return `lat`, `lon`, `at` as differences and `parts`, the index at which each part starts.

    Raises:
        ValueError: if the line is empty or its arrays differ in length.
    """
    if not len(line.lat) == len(line.lon) == len(line.chainage):
        raise ValueError(
            "latitude, longitude and chainage of a line differ in length: "
            f"{len(line.lat)}, {len(line.lon)}, {len(line.chainage)}"
        )
    if len(line.lat) < 2:
        raise ValueError(f"a line for the map has two points or more, not {len(line.lat)}")
    kept = kept_points(line)
    starts = np.cumsum([0, *map(len, kept[:-1])]).tolist()
    index = np.concatenate(kept)
    return {
        "lat": _differences(line.lat[index] * DEGREES_TO_INT),
        "lon": _differences(line.lon[index] * DEGREES_TO_INT),
        "at": _differences(line.chainage[index] * METRES_TO_INT),
        "parts": starts,
    }


def kept_points(line: MapLine) -> list[NDArray[np.intp]]:
    """Return for each part the indices of the points that stay: the others lie within 2 m.

    They lie so at equal chainage, not only beside the line.
    """
    x, y = _metres(line)
    return [
        first + _thinned(x[first:last], y[first:last], line.chainage[first:last])
        for first, last in _parts(line)
    ]


def second_passes(line: MapLine) -> list[list[int]]:
    """Return the stretches, from and to in decimetres, that run along an earlier pass.

    The map draws them beside the line, so that both passes are seen.
    """
    length = float(line.chainage[-1])
    count = int(length // _PASS_STEP_M) + 1
    if count < 3:
        return []
    at = np.linspace(0.0, length, count)
    x, y = _metres(line)
    points = np.c_[np.interp(at, line.chainage, x), np.interp(at, line.chainage, y)]
    ahead = np.gradient(points, axis=0)
    ahead /= np.maximum(np.hypot(ahead[:, 0], ahead[:, 1]), 1e-9)[:, None]
    places = shapely.points(points)
    tree = shapely.STRtree(places)
    late, early = tree.query(places, predicate="dwithin", distance=_PASS_WIDTH_M)
    apart = at[late] - at[early] > _PASS_APART_M
    late, early = late[apart], early[apart]
    along = np.abs((ahead[late] * ahead[early]).sum(axis=1)) > _PARALLEL_COSINE
    return _runs(at[np.unique(late[along])])


def _metres(line: MapLine) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    scale = np.cos(np.radians(line.lat.mean()))
    x = (line.lon - line.lon[0]) * _METRES_PER_DEGREE * scale
    return x, (line.lat - line.lat[0]) * _METRES_PER_DEGREE


def _parts(line: MapLine) -> list[tuple[int, int]]:
    ends = [*line.part_starts[1:], len(line.lat)]
    return [(a, b) for a, b in zip(line.part_starts, ends, strict=True) if b > a]


def _thinned(
    x: NDArray[np.float64], y: NDArray[np.float64], at: NDArray[np.float64]
) -> NDArray[np.intp]:
    """Return the indices to keep: every dropped point stays within the tolerance.

    The common way of thinning bounds the distance from the line only. A rider who turns back
    within a chord would lose metres of chainage, so the points that would move farther along
    it are put back.
    """
    if len(x) <= 2:
        return np.arange(len(x))
    numbered = shapely.linestrings(np.c_[x, y, np.arange(len(x))])
    thin = shapely.simplify(numbered, TOLERANCE_M * 0.9, preserve_topology=False)
    kept: NDArray[np.intp] = shapely.get_coordinates(thin, include_z=True)[:, 2].astype(np.intp)
    while True:
        moved = np.hypot(np.interp(at, at[kept], x[kept]) - x, np.interp(at, at[kept], y[kept]) - y)
        moved[kept] = 0
        if moved.max() <= TOLERANCE_M:
            return kept
        chord = np.searchsorted(kept, np.arange(len(x)), side="right")
        worst = np.lexsort((moved, chord))
        worst = worst[np.r_[np.diff(chord[worst]) > 0, True]]
        kept = np.union1d(kept, worst[moved[worst] > TOLERANCE_M])


def _differences(values: NDArray[np.float64]) -> list[int]:
    whole: list[int] = np.diff(np.rint(values).astype(np.int64), prepend=0).tolist()
    return whole


def _runs(at: NDArray[np.float64]) -> list[list[int]]:
    """Return the runs of sampled chainage that are long enough, small gaps closed."""
    if not len(at):
        return []
    breaks = np.flatnonzero(np.diff(at) > 3.5 * _PASS_STEP_M) + 1
    runs = [(run[0], run[-1]) for run in np.split(at, breaks)]
    return [
        [round(float(a) * METRES_TO_INT), round(float(b) * METRES_TO_INT)]
        for a, b in runs
        if b - a >= _PASS_MIN_M
    ]
