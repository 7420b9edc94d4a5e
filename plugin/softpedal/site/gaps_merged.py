"""Stressful places of all routes made one list: each street and each crossing once, ranked."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely

from softpedal.library.track import WGS84
from softpedal.streets.ground_shapes import Plane

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from softpedal.site.gap_places import GapPlace, Sort

#: Legs on one street are the same place if they run this near to each other, for so long or for
#: half of the shorter one.
BESIDE_M = 15.0
OVERLAP_M = 30.0
#: Crossings of one road are the same place within this.
SAME_CROSSING_M = 30.0


@dataclass(eq=False, slots=True)
class Gap:
    """One place where the quiet network breaks.

    Attributes:
        places: as the routes meet it, the worst first.
        metres: geodesic length of all its legs' lines together, 0 for a crossing.
    """

    places: list[GapPlace]
    metres: float = 0.0
    _shape: Any = field(default=None, repr=False)
    _around: Any = field(default=None, repr=False)

    @property
    def worst(self) -> GapPlace:
        """How it is met at its worst."""
        return self.places[0]

    @property
    def sort(self) -> Sort:
        """A leg or a crossing."""
        return self.worst.sort

    @property
    def routes(self) -> list[str]:
        """Ids of the routes that use it, in order."""
        return sorted({place.route for place in self.places})

    @property
    def whats(self) -> list[str]:
        """Its kinds or controls, the worst first."""
        return list(dict.fromkeys(place.what for place in self.places))

    @property
    def middle(self) -> tuple[float, float]:
        """Latitude and longitude of the middle of its worst leg, or of the crossing."""
        lat, lon = self.worst.lat, self.worst.lon
        return float(lat[len(lat) // 2]), float(lon[len(lon) // 2])


def ranked_gaps(places: Sequence[GapPlace]) -> list[Gap]:
    """Return each street and crossing once: by level, then by routes, then by metres."""
    if not places:
        return []
    plane = Plane(float(np.mean([place.lat[0] for place in places])))
    grouped: dict[tuple[str, str], list[GapPlace]] = {}
    for place in places:
        grouped.setdefault((place.sort, place.name.casefold()), []).append(place)
    found = [
        gap
        for (sort, _), group in grouped.items()
        for gap in (_legs(group, plane) if sort == "leg" else _crossings(group, plane))
    ]
    return sorted(
        found,
        key=lambda g: (-g.worst.level, -len(g.routes), -g.metres, g.sort, g.worst.name, g.routes),
    )


def _in_order(places: Iterable[GapPlace]) -> list[GapPlace]:
    return sorted(
        places, key=lambda p: (-p.level, p.route, p.direction != "outbound", p.leg, p.what)
    )


def _legs(group: Sequence[GapPlace], plane: Plane) -> list[Gap]:
    gaps: list[Gap] = []
    for place in _in_order(group):
        line = plane.metres(shapely.linestrings(np.c_[place.lon, place.lat]))
        own = Gap(
            [place], 0.0, line, shapely.buffer(shapely.simplify(line, 1), BESIDE_M, quad_segs=3)
        )
        same = [gap for gap in gaps if _overlap(gap, own)]
        gaps = [gap for gap in gaps if gap not in same]
        gaps.append(_joined([*same, own]))
    for gap in gaps:
        gap.metres = abs(float(WGS84.geometry_length(plane.degrees(gap._shape))))  # noqa: SLF001
    return gaps


def _overlap(some: Gap, other: Gap) -> bool:
    if not shapely.intersects(other._shape, some._around):  # noqa: SLF001
        return False
    beside = shapely.length(shapely.intersection(other._shape, some._around))  # noqa: SLF001
    shorter = min(shapely.length(some._shape), shapely.length(other._shape))  # noqa: SLF001
    return bool(beside >= min(OVERLAP_M, shorter / 2))


def _joined(gaps: Sequence[Gap]) -> Gap:
    """Return gaps as one; what lies beside what is there already is not counted again."""
    whole = gaps[0]
    for gap in gaps[1:]:
        more = shapely.difference(gap._shape, whole._around)  # noqa: SLF001
        shape = shapely.union(whole._shape, more)  # noqa: SLF001
        around = shapely.union(whole._around, gap._around)  # noqa: SLF001
        whole = Gap(_in_order([*whole.places, *gap.places]), 0.0, shape, around)
    return whole


def _crossings(group: Sequence[GapPlace], plane: Plane) -> list[Gap]:
    spots = plane.metres(shapely.points([p.lon[0] for p in group], [p.lat[0] for p in group]))
    near = shapely.STRtree(spots).query(spots, predicate="dwithin", distance=SAME_CROSSING_M)
    # Of the crossings that hang together the first, to which all others of them lead.
    first = list(range(len(group)))

    def first_of(spot: int) -> int:
        while first[spot] != spot:
            spot = first[spot]
        return spot

    for one, other in near.T.tolist():
        a, b = sorted((first_of(one), first_of(other)))
        first[b] = a
    members: dict[int, list[GapPlace]] = {}
    for spot, place in enumerate(group):
        members.setdefault(first_of(spot), []).append(place)
    return [Gap(_in_order(found)) for found in members.values()]
