"""A route's line for the map of all routes: few points, and small integers."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from softpedal.library.track import Track

#: Coordinates are integers of 1e-4 degrees, about 11 m: enough for a town on one map.
SCALE = 10_000
MOST_POINTS = 160

#: Parts of a line, each a series of (latitude, longitude) in integers.
Parts = tuple[tuple[tuple[int, int], ...], ...]

#: In integers of latitude; each further step of thinning is this much coarser.
_TOLERANCE = 0.8
_COARSER = 1.4


def overview_line(track: Track, most: int = MOST_POINTS) -> Parts:
    """Return the parts of a track with at most so many points, two or more in each part.

    Raises:
        ValueError: if `most` is below 2.
    """
    cuts = np.flatnonzero(np.diff(track.part)) + 1
    points = np.c_[track.lat, track.lon] * SCALE
    return _thinned(np.split(points, cuts), most)


def thinned(parts: Parts, most: int) -> Parts:
    """Return the same line with at most so many points."""
    if sum(map(len, parts)) <= most:
        return parts
    return _thinned([np.array(part, dtype=float) for part in parts], most)


def packed(parts: Parts, origin: tuple[int, int]) -> dict[str, list[int]]:
    """Return `d`, the differences of latitude and longitude in turn, the first from the origin.

    A line of several parts has `n` as well, the number of points of each.
    """
    points = np.array([origin, *(p for part in parts for p in part)], dtype=np.int64)
    content: dict[str, list[int]] = {"d": np.diff(points, axis=0).ravel().tolist()}
    if len(parts) > 1:
        content["n"] = [len(part) for part in parts]
    return content


def _thinned(parts: list[NDArray[np.float64]], most: int) -> Parts:
    if most < 2:
        raise ValueError(f"a line has two points or more, not {most}")
    if len(parts) > most // 2:  # so many gaps: the parts with most points stay, in their order
        largest = sorted(range(len(parts)), key=lambda i: -len(parts[i]))[: most // 2]
        parts = [parts[i] for i in sorted(largest)]
    wide = float(np.cos(np.radians(parts[0][0, 0] / SCALE)))
    tolerance = _TOLERANCE
    finer: Parts = ()
    while True:
        found = tuple(_whole(_simplified(part, wide, tolerance)) for part in parts)
        if sum(map(len, found)) <= most:
            # bends that are all alike go all at once; then some of the finer points do better
            is_bare = finer and sum(map(len, found)) < most / 2
            return _evenly(finer, most) if is_bare else found
        finer = found
        tolerance *= _COARSER


def _evenly(parts: Parts, most: int) -> Parts:
    """Return two points of each part and an even choice of the others, `most` in all."""
    ends = 2 * len(parts)
    share = (most - ends) / (sum(map(len, parts)) - ends)
    found = []
    for part in parts:
        chosen = np.linspace(0, len(part) - 1, 2 + int((len(part) - 2) * share))
        found.append(tuple(part[i] for i in chosen.round().astype(int)))
    return tuple(found)


def _simplified(points: NDArray[np.float64], wide: float, tolerance: float) -> NDArray[np.float64]:
    if len(points) < 3:
        return points
    line = shapely.linestrings(points * (1, wide))
    thin = shapely.simplify(line, tolerance, preserve_topology=False)
    kept: NDArray[np.float64] = shapely.get_coordinates(thin) / (1, wide)
    return kept


def _whole(points: Iterable[NDArray[np.float64]]) -> tuple[tuple[int, int], ...]:
    """Return points as integers, each once; a line that is all in one place keeps two."""
    found: list[tuple[int, int]] = []
    for lat, lon in points:
        point = (round(float(lat)), round(float(lon)))
        if not found or found[-1] != point:
            found.append(point)
    return (*found, found[0]) if len(found) == 1 else tuple(found)
