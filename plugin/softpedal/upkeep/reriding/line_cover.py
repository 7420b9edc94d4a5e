"""Where two lines go the same way and where they part: a published line and a new ride of it.

Both are sampled by distance along. A sample of the one matches places of the other that are near
and ridden in the same heading; matches that follow on make runs, and the heaviest row of runs that
goes on along both lines is what the two share. So order and heading count: a street that is ridden
twice, or out and back, is compared pass by pass.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import shapely

from softpedal.library.track import MAX_GAP_M
from softpedal.upkeep.reriding.line_parting import Sampled, is_beside, parted
from softpedal.upkeep.reriding.line_runs import Run, heaviest_row, runs_of

if TYPE_CHECKING:
    from softpedal.library.track import Floats, Track

#: Metres along a line between two samples.
SAMPLE_M = 10.0
#: What is nearer than the lower of these is taken for noise; what is farther than the upper never
#: is, since a parallel street may be 30 m away.
LOWEST_M, HIGHEST_M = 15.0, 20.0
#: Matches farther apart in heading are none: another pass, or a street that is crossed.
HEADING_DEGREES = 60.0
#: The lines differ only where at least one of them goes its own way for so long, metres.
SHORTEST_M = 60.0
#: A ride that passes an end of the line so near goes there by another way, and not elsewhere.
END_NEAR_M = 50.0

#: Normal noise lies within so many standard deviations; one of them is 1.4826 medians.
_DEVIATIONS, _PER_MEDIAN = 3.0, 1.4826
_COS = float(np.cos(np.radians(HEADING_DEGREES)))


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch on which the ride goes another way; metres along each of the two lines.

    Attributes:
        from_m, to_m: of the published line that was not ridden; equal where the ride only adds.
        ride_from_m, ride_to_m: of the ride that takes its place; equal where it only leaves out.
        is_recorded: whether the ride was recorded without a gap there, so that its way is known.
    """

    from_m: float
    to_m: float
    ride_from_m: float
    ride_to_m: float
    is_recorded: bool = True

    @property
    def there_m(self) -> float:
        """Metres of the published line."""
        return self.to_m - self.from_m

    @property
    def new_m(self) -> float:
        """Metres of the ride."""
        return self.ride_to_m - self.ride_from_m


@dataclass(frozen=True, eq=False, slots=True)
class Cover:
    """How a ride covers a published line.

    Attributes:
        tolerance_m: how far apart the two may be and still go the same way.
        apart_m: the median distance between them where they do.
        from_m, to_m: of the published line, what the ride covers, the stretches included.
        ride_from_m, ride_to_m: the same along the ride; what is outside was ridden elsewhere.
        stretches: where they part, in order.
        knots: (k, 2) metres along the published line and along the ride of places that are the
            same, both ascending; empty where the two share nothing.
    """

    tolerance_m: float
    apart_m: float
    from_m: float
    to_m: float
    ride_from_m: float
    ride_to_m: float
    stretches: tuple[Stretch, ...]
    knots: Floats

    @property
    def same_m(self) -> float:
        """Metres of the published line that were ridden."""
        return self.to_m - self.from_m - sum(stretch.there_m for stretch in self.stretches)

    def along_ride(self, metres: Floats) -> Floats:
        """Return where places of the published line are along the ride, metres, (n,).

        On a stretch that differs the share of it counts. Places that the ride does not cover are
        taken to its ends.
        """
        return np.interp(metres, self.knots[:, 0], self.knots[:, 1])


def cover(published: Track, ridden: Track) -> Cover:
    """Return how a ride covers a published line, both in the order in which they are ridden."""
    line, ride = Sampled.of(published, published, SAMPLE_M), Sampled.of(ridden, published, SAMPLE_M)
    found = _matches(line, ride)
    row = _row(line, *found, HIGHEST_M)
    if not row:
        return Cover(HIGHEST_M, 0.0, 0.0, 0.0, 0.0, 0.0, (), np.empty((0, 2)))
    apart = float(np.median(np.concatenate([run.off for run in row])))
    tolerance = float(np.clip(_DEVIATIONS * _PER_MEDIAN * apart, LOWEST_M, HIGHEST_M))
    row = _row(line, *found, tolerance) or row
    return _covered(line, ride, row, tolerance, apart, _jumps(ridden))


def _matches(line: Sampled, ride: Sampled) -> tuple[Floats, Floats, Floats, Floats]:
    """Return near places in the same heading: sample, step, metres along the ride, distance."""
    steps = np.stack([ride.xy[:-1], ride.xy[1:]], axis=1)
    tree = shapely.STRtree(shapely.linestrings(steps))
    sample, step = tree.query(shapely.points(line.xy), predicate="dwithin", distance=HIGHEST_M)
    start, way = ride.xy[step], ride.xy[step + 1] - ride.xy[step]
    to = line.xy[sample] - start
    squared = np.maximum((way**2).sum(1), 1e-9)
    share = np.clip((to * way).sum(1) / squared, 0.0, 1.0)
    off = np.hypot(*(to - share[:, None] * way).T)
    heading = ride.heading[step] * (1 - share)[:, None] + ride.heading[step + 1] * share[:, None]
    length = np.maximum(np.hypot(*heading.T), 1e-9)
    # A step over a gap in the recording is no way that was ridden.
    known = squared <= (SAMPLE_M + MAX_GAP_M) ** 2
    alike = known & ((line.heading[sample] * heading).sum(1) >= _COS * length)
    at = ride.at_m[step] + share * np.diff(ride.at_m)[step]
    order = np.lexsort((step, sample))
    order = order[alike[order]]
    return sample[order], step[order], at[order], off[order]


def _row(  # noqa: PLR0917 - the columns of the matches
    line: Sampled, sample: Floats, step: Floats, at: Floats, off: Floats, within_m: float
) -> list[Run]:
    near = off <= within_m
    sample, step, at, off = sample[near], step[near], at[near], off[near]
    if not len(sample):
        return []
    new = (np.diff(sample) != 0) | (np.diff(step) > 2)
    group = np.concatenate([[0], np.cumsum(new)])
    nearest = np.lexsort((off, group))
    first = nearest[np.concatenate([[True], np.diff(group[nearest]) != 0])]
    return heaviest_row(runs_of(line.at_m[sample[first]], at[first], off[first], SAMPLE_M))


def _jumps(ridden: Track) -> Floats:
    """Return the metres along a ride at which its recording has a gap."""
    torn = (np.diff(ridden.part) != 0) & (ridden.steps_m > MAX_GAP_M)
    jumps: Floats = ridden.chainage_m[1:][torn]
    return jumps


def _covered(  # noqa: PLR0917 - the parts of one result
    line: Sampled, ride: Sampled, row: list[Run], tolerance: float, apart: float, jumps: Floats
) -> Cover:
    first, last = _head(line, ride, row[0]), _tail(line, ride, row[-1])
    ends = [first, *((run.p[[0, -1]], run.q[[0, -1]]) for run in row), last]
    stretches: list[Stretch] = []
    floor = np.array([first[0][0], first[1][0]])
    for before, after in pairwise(ends):
        gap = np.array([[before[0][1], after[0][0]], [before[1][1], after[1][0]]])
        if np.diff(gap).max() < SHORTEST_M or is_beside(line, ride, gap, tolerance):
            continue
        ceiling = np.array([after[0][1], after[1][1]])
        known = not bool(((jumps >= gap[1, 0]) & (jumps <= gap[1, 1])).any())
        if known:
            within = (None if before is first else floor, None if after is last else ceiling)
            near = (apart, min(max(6.0, 3.0 * apart), 0.7 * tolerance), tolerance)
            gap = parted(line, ride, gap, within, near)
        floor = gap[:, 1]
        (a, b), (c, d) = gap.tolist()
        stretches.append(Stretch(a, b, c, d, is_recorded=known))
    knots = _knots(row, stretches, first, last)
    from_m, to_m = float(first[0][0]), float(last[0][1])
    ride_from_m, ride_to_m = float(first[1][0]), float(last[1][1])
    return Cover(tolerance, apart, from_m, to_m, ride_from_m, ride_to_m, tuple(stretches), knots)


def _head(line: Sampled, ride: Sampled, run: Run) -> tuple[Floats, Floats]:
    """Return an empty run where the ride comes to the line, or to its start by another way."""
    p, q = float(run.p[0]), float(run.q[0])
    if p < SHORTEST_M:
        return np.zeros(2), np.full(2, max(0.0, q - p))
    before = ride.at_m <= q
    off = np.hypot(*(ride.xy[before] - line.xy[0]).T)
    if off.min() <= END_NEAR_M:
        return np.zeros(2), np.full(2, ride.at_m[before][off.argmin()])
    return np.full(2, p), np.full(2, q)


def _tail(line: Sampled, ride: Sampled, run: Run) -> tuple[Floats, Floats]:
    p, q = float(run.p[-1]), float(run.q[-1])
    length = float(line.at_m[-1])
    if length - p < SHORTEST_M:
        return np.full(2, length), np.full(2, min(float(ride.at_m[-1]), q + length - p))
    after = ride.at_m >= q
    off = np.hypot(*(ride.xy[after] - line.xy[-1]).T)
    if off.min() <= END_NEAR_M:
        return np.full(2, length), np.full(2, ride.at_m[after][off.argmin()])
    return np.full(2, p), np.full(2, q)


def _knots(
    row: list[Run],
    stretches: list[Stretch],
    first: tuple[Floats, Floats],
    last: tuple[Floats, Floats],
) -> Floats:
    knots = np.concatenate([np.column_stack([run.p, run.q]) for run in row])
    for one in stretches:
        outside = (knots[:, 0] < one.from_m) & (knots[:, 1] < one.ride_from_m)
        outside |= (knots[:, 0] > one.to_m) & (knots[:, 1] > one.ride_to_m)
        ends = [[one.from_m, one.ride_from_m], [one.to_m, one.ride_to_m]]
        knots = np.concatenate([knots[outside], ends])
    ends = [[first[0][0], first[1][0]], [last[0][1], last[1][1]]]
    knots = np.concatenate([knots, ends])
    knots = knots[np.lexsort((knots[:, 1], knots[:, 0]))]
    return np.column_stack([knots[:, 0], np.maximum.accumulate(knots[:, 1])])
