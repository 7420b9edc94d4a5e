"""Where the lines of a library meet, found anew only for lines that have changed."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely

from softpedal.site.connections import Connections, Meeting, projected, ride_on

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    from softpedal.site.connections import Meetable, Sampled

#: A stretch that another route also takes lies this near to it, and is at least so long.
BESIDE_M = 20.0
SHARED_M = 100.0

#: Lines are looked at in pieces of so many steps.
_PIECE = 8
#: Crossings this near to each other are one, and none is told this near to a shared stretch.
_SAME_PLACE_M = 60.0


def connections(routes: Mapping[str, Meetable]) -> dict[str, Connections]:
    """Return for each route what it meets, in riding order."""
    return Meetings().of(routes)


@dataclass(slots=True)
class _Met:
    """Where one route meets another, in riding order."""

    crosses: list[Meeting] = field(default_factory=list)
    shares: list[Meeting] = field(default_factory=list)


class Meetings:
    """Finds what routes meet, and keeps what it has found of each pair of lines.

    Distances are taken in an azimuthal equidistant projection about the middle of the library in
    whole degrees: so a line that grows does not move all others by a hair. A hundred kilometres
    from it they are too long by less than 0.01 %.
    """

    def __init__(self) -> None:
        self._middle: tuple[float, float] | None = None
        self._lines: dict[str, _Line] = {}
        self._met: dict[str, dict[str, _Met]] = {}
        self._found: dict[str, Connections] = {}

    def of(self, routes: Mapping[str, Meetable]) -> dict[str, Connections]:
        """Return for each route what it meets, in riding order.

        Whoever meets the same as the last time gets the very same object. A line counts as the
        same only while it is the very same object, too.
        """
        onward = ride_on({one: (r.onward, r.ends) for one, r in routes.items()})
        touched = self._update(routes)
        found = {}
        for one in routes:
            before = self._found.get(one)
            if before is None or one in touched:
                each = self._met[one].values()
                crosses = sorted((m for met in each for m in met.crosses), key=_in_order)
                shares = sorted((m for met in each for m in met.shares), key=_in_order)
                now = Connections(onward[one], crosses, shares)
            else:
                now = Connections(onward[one], before.crosses, before.shares)
            found[one] = before if before == now else now
        self._found = found
        return dict(found)

    def _update(self, routes: Mapping[str, Meetable]) -> set[str]:
        """Find what is new, drop what is no longer there; return whose meetings that touches."""
        middle = _middle([route.line for route in routes.values()])
        if middle != self._middle:
            self._lines.clear()
        self._middle = middle
        kept = {
            one: self._lines[one]
            for one, route in routes.items()
            if one in self._lines and self._lines[one].of is route.line
        }
        new = {one: route.line for one, route in routes.items() if one not in kept}
        touched = self._drop(set(self._met) - set(kept)) | set(new)
        self._met |= {one: {} for one in new}
        lines = kept | _lines_of(new, middle)
        self._lines = {one: lines[one] for one in routes}
        if new:
            touched |= self._meet(set(new))
        return touched

    def _drop(self, gone: set[str]) -> set[str]:
        touched = set()
        for one in gone:
            del self._met[one]
        for one, met in self._met.items():
            for other in gone & met.keys():
                del met[other]
                touched.add(one)
        return touched

    def _meet(self, new: set[str]) -> set[str]:
        """Find where new lines meet any line, and any line a new one; return whose that were."""
        ids = list(self._lines)
        numbered = list(enumerate(self._lines.values()))
        every = _Lines(numbered)
        fresh = _Lines([pair for pair in numbered if ids[pair[0]] in new])
        old = _Lines([pair for pair in numbered if ids[pair[0]] not in new])
        touched: dict[str, dict[str, _Met]] = defaultdict(lambda: defaultdict(_Met))
        for a, b, from_m, to_m in [*fresh.shared(every), *old.shared(fresh)]:
            touched[ids[a]][ids[b]].shares.append(Meeting(ids[b], from_m, to_m))
        for a, b, at_m in fresh.crossings(every):
            met = touched[ids[a]][ids[b]]
            if not any(
                m.at_m - _SAME_PLACE_M <= at_m <= m.to_m + _SAME_PLACE_M for m in met.shares
            ):
                _add_crossing(met.crosses, ids[b], at_m)
        for one, found in touched.items():
            self._met[one] |= found
        return set(touched)


@dataclass(frozen=True, eq=False)
class _Line:
    """A line in metres: its points, and short pieces with the point at which each begins."""

    of: Sampled
    points: NDArray[np.object_]
    first: NDArray[np.intp]
    pieces: NDArray[np.object_]


class _Lines:
    """Lines in metres, with the number of whose each is, and one spatial index over them."""

    def __init__(self, lines: Sequence[tuple[int, _Line]]) -> None:
        counts = [len(line.points) for _, line in lines]
        starts = np.r_[0, np.cumsum(counts, dtype=np.intp)]
        self.owner = np.repeat(np.array([n for n, _ in lines], dtype=np.intp), counts)
        self.at = _joined([line.of.at_m for _, line in lines])
        self.points = _joined([line.points for _, line in lines], object)
        self.pieces = _joined([line.pieces for _, line in lines], object)
        firsts = [line.first + start for (_, line), start in zip(lines, starts, strict=False)]
        self.first = _joined(firsts, np.intp)

    @cached_property
    def index(self) -> shapely.STRtree:
        """Over the pieces."""
        return shapely.STRtree(self.pieces)

    def shared(self, others: _Lines) -> list[tuple[int, int, float, float]]:
        """Return the stretches near one of the others: whose, of which, from and to."""
        near = np.flatnonzero(_is_in(self.points, shapely.total_bounds(others.pieces), BESIDE_M))
        here, there = others.index.query(self.points[near], predicate="dwithin", distance=BESIDE_M)
        here = near[here]
        other = others.owner[others.first[there]]
        apart = self.owner[here] != other
        # One number for each point near each other route, in order along the route.
        keys = np.unique(other[apart] * len(self.points) + here[apart])
        breaks = np.flatnonzero(
            (np.diff(keys) != 1) | (np.diff(self.owner[keys % max(1, len(self.points))]) != 0)
        )
        edges = np.r_[0, breaks + 1, len(keys)]
        found = []
        for a, b in pairwise(edges.tolist()):
            if b - a < 2:
                continue
            start, end = keys[a] % len(self.points), keys[b - 1] % len(self.points)
            if self.at[end] - self.at[start] >= SHARED_M:
                whose, which = int(self.owner[start]), int(keys[a] // len(self.points))
                found.append((whose, which, float(self.at[start]), float(self.at[end])))
        return found

    def crossings(self, others: _Lines) -> list[tuple[int, int, float]]:
        """Return the places where a line meets one of the others: whose, which, where along it.

        A line of the others that is not one of these is asked where it meets them, too.
        """
        here, there = others.index.query(self.pieces, predicate="intersects")
        ours, theirs = self.owner[self.first[here]], others.owner[others.first[there]]
        apart = ours != theirs
        back = ~np.isin(theirs, self.owner)
        own, other = self.pieces[here], others.pieces[there]
        # Each pair is cut in the order in which all of it would be cut at once.
        one = np.r_[own[apart], other[back]]
        meet = shapely.intersection(one, np.r_[other[apart], own[back]])
        starts = np.r_[self.at[self.first[here]][apart], others.at[others.first[there]][back]]
        whose, which = np.r_[ours[apart], theirs[back]], np.r_[theirs[apart], ours[back]]
        places, pair = shapely.get_parts(meet, return_index=True)
        is_point = shapely.get_type_id(places) == 0
        places, pair = places[is_point], pair[is_point]
        at = starts[pair] + shapely.line_locate_point(one[pair], places)
        order = np.lexsort((at, which[pair], whose[pair]))
        pair = pair[order]
        return list(
            zip(whose[pair].tolist(), which[pair].tolist(), at[order].tolist(), strict=True)
        )


def _middle(lines: Iterable[Sampled]) -> tuple[float, float]:
    """Return about the middle of lines, latitude and longitude in whole degrees."""
    ends = [(line.lat.mean(), line.lon.mean()) for line in lines]
    lat, lon = np.mean(ends, axis=0) if ends else (0.0, 0.0)
    return float(np.rint(lat)), float(np.rint(lon))


def _lines_of(lines: Mapping[str, Sampled], middle: tuple[float, float]) -> dict[str, _Line]:
    """Project lines about a middle, and cut them into short pieces."""
    if not lines:
        return {}
    lon, lat = (
        np.concatenate([getattr(line, c) for line in lines.values()]) for c in ("lon", "lat")
    )
    points = projected(lon, lat, middle).geometry.to_numpy()
    ends = np.cumsum([len(line.at_m) for line in lines.values()])
    found = {}
    for (one, line), own in zip(lines.items(), np.split(points, ends[:-1]), strict=True):
        found[one] = _Line(line, own, *_pieces(own, line.part))
    return found


def _pieces(
    points: NDArray[np.object_], part: NDArray[np.int32]
) -> tuple[NDArray[np.intp], NDArray[np.object_]]:
    """Cut a line into short pieces that touch, none over a gap; the index of each one's start."""
    runs = np.flatnonzero(np.r_[True, np.diff(part) != 0, True])
    spans = [
        (start, min(start + _PIECE, end - 1))
        for first, end in pairwise(runs.tolist())
        for start in range(first, end - 1, _PIECE)
    ]
    if not spans:
        return np.array([], dtype=np.intp), np.array([], dtype=object)
    coordinates = shapely.get_coordinates(points)
    indices = np.concatenate([np.arange(a, b + 1) for a, b in spans])
    of = np.repeat(np.arange(len(spans)), [b - a + 1 for a, b in spans])
    pieces: Any = shapely.linestrings(coordinates[indices], indices=of)
    return np.array([a for a, _ in spans], dtype=np.intp), pieces


def _joined(arrays: Sequence[NDArray[Any]], dtype: Any = float) -> NDArray[Any]:
    return np.concatenate([np.array([], dtype=dtype), *arrays])


def _is_in(points: NDArray[np.object_], bounds: Any, margin: float) -> NDArray[np.bool_]:
    """Whether points are in bounds (west, south, east, north), or within a margin of them."""
    west, south, east, north = bounds
    x, y = shapely.get_coordinates(points).T
    inside: NDArray[np.bool_] = (
        (x >= west - margin) & (x <= east + margin) & (y >= south - margin) & (y <= north + margin)
    )
    return inside


def _in_order(meeting: Meeting) -> tuple[float, str]:
    return meeting.at_m, meeting.other


def _add_crossing(crosses: list[Meeting], other: str, at_m: float) -> None:
    if crosses and at_m - crosses[-1].at_m <= _SAME_PLACE_M:
        return
    crosses.append(Meeting(other, at_m, at_m))
