"""Where exactly two lines part and meet again, and whether they do at all."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Self

import numpy as np

from softpedal.library.track import local_metres, nearest_on_steps

if TYPE_CHECKING:
    from softpedal.library.track import Floats, Track

#: Headings are those of a chord over so many samples either way.
_CHORD = 2
#: How far from a gap is looked for where the lines part, and for the other line: metres.
_LOOK_M, _AROUND_M = 60.0, 30.0
_FINE_M = 2.5
#: A gap without matches that is longer is no turn.
_LONGEST_TURN_M = 200.0
#: The place where they part is at most so much before they are as near as noise, metres.
_MOST_BEFORE_M = 20.0


@dataclass(frozen=True, eq=False, slots=True)
class Sampled:
    """A line in even samples, n of them, and as the points that it has.

    Attributes:
        at_m: metres along the line, (n,).
        xy: metres east and north, (n, 2).
        heading: unit vectors, (n, 2).
        points_m, points_xy: the line's own points in the same way.
    """

    at_m: Floats
    xy: Floats
    heading: Floats
    points_m: Floats
    points_xy: Floats

    @classmethod
    def of(cls, track: Track, about: Track, every_m: float) -> Self:
        """Return a line sampled in a plane about the middle of another."""
        lat0, lon0 = float(np.median(about.lat)), float(np.median(about.lon))
        points = np.column_stack(local_metres(track.lat, track.lon, lat0, lon0))
        along = track.chainage_m
        at = np.linspace(0.0, along[-1], max(2, round(float(along[-1]) / every_m) + 1))
        xy = np.column_stack([np.interp(at, along, axis) for axis in points.T])
        index = np.arange(len(at))
        low, high = np.maximum(index - _CHORD, 0), np.minimum(index + _CHORD, len(at) - 1)
        chord = xy[high] - xy[low]
        heading = chord / np.maximum(np.hypot(*chord.T), 1e-9)[:, None]
        return cls(at, xy, heading, along, points)

    def at(self, metres: Floats) -> Floats:
        """Return places in the plane, (n, 2)."""
        return np.column_stack(
            [np.interp(metres, self.points_m, axis) for axis in self.points_xy.T]
        )

    def nearest(self, places: Floats, from_m: float, to_m: float) -> tuple[Floats, Floats]:
        """Return how far places, (n, 2), are from a stretch of the line, and where along it.

        Returns:
            Two (n,) arrays in metres: the distance, and where along the line the nearest point is.
        """
        inside = (self.at_m > from_m) & (self.at_m < to_m)
        along = np.concatenate([[from_m], self.at_m[inside], [to_m]])
        xy = self.at(along)
        off, at = np.empty(len(places)), np.empty(len(places))
        for number, place in enumerate(places):
            metres, share = nearest_on_steps(*(xy - place).T)
            step = int(metres.argmin())
            off[number] = metres[step]
            at[number] = along[step] + share[step] * (along[step + 1] - along[step])
        return off, at


def is_beside(line: Sampled, ride: Sampled, gap: Floats, tolerance_m: float) -> bool:
    """Whether two lines go beside each other though no match was found, as in a sharp turn.

    They do if each stays near to the other and neither is ridden backwards there: a block that is
    ridden round the other way is not the same.

    Args:
        line: the published one.
        ride: the other.
        gap: from and to, metres along each, (2, 2).
        tolerance_m: how near.
    """
    if np.diff(gap).max() > _LONGEST_TURN_M:
        return False
    for one, other, (a, b), (c, d) in ((line, ride, *gap), (ride, line, *gap[::-1])):
        places = one.at(np.arange(a, b + _FINE_M, 2 * _FINE_M))
        off, at = other.nearest(places, c - _AROUND_M, d + _AROUND_M)
        if (off > tolerance_m).any() or (np.maximum.accumulate(at) - at > _LOOK_M).any():
            return False
    return True


def parted(
    line: Sampled,
    ride: Sampled,
    gap: Floats,
    within: tuple[Floats | None, Floats | None],
    near_m: tuple[float, float, float],
) -> Floats:
    """Return from where to where two lines differ, metres along each, (2, 2).

    Matches end only where the lines are as far apart as the tolerance; they part before that.

    Args:
        line: the published one.
        ride: the other.
        gap: from and to without matches, metres along each, (2, 2).
        within: metres along each, (2,), before and beyond which none of it lies; None at an end of
            the line, which stays where it is.
        near_m: how far apart the lines usually are, how far they are where they surely part, and
            the tolerance; ascending.
    """
    found = gap.copy()
    both = ((line, ride, 0), (ride, line, 1))
    for one, other, row in both:
        for side, sign in ((0, -1.0), (1, 1.0)):
            limit = within[side]
            if limit is None:
                continue
            edge, there = gap[row, side], gap[1 - row, side]
            look = min(_LOOK_M, max(0.0, sign * (limit[row] - edge)) / (2 if side else 1))
            at = edge + sign * np.arange(-_AROUND_M, look + _FINE_M, _FINE_M)
            at = np.clip(
                at, *np.sort([edge - sign * (gap[row, 1] - gap[row, 0]) / 2, edge + sign * look])
            )
            off, _ = other.nearest(
                one.at(at), there - _LOOK_M - _AROUND_M, there + _LOOK_M + _AROUND_M
            )
            found[row, side] = _parting(at, off, sign, near_m)
    return np.stack([np.sort(row) for row in found])


def _parting(at: Floats, off: Floats, sign: float, near_m: tuple[float, float, float]) -> float:
    """Return where a line leaves another, by how its distance grows from noise to the tolerance.

    Args:
        at: metres along it, from inside the gap outwards, (n,).
        off: its distance from the other, (n,).
        sign: of the way outwards.
        near_m: how far apart the lines usually are, how far they are where they surely part, and
            the tolerance; ascending.
    """
    usual, near, far = near_m
    close = np.flatnonzero(off <= near)
    if not len(close):
        return float(at[off.argmin()])
    first = int(close[0])
    apart = np.flatnonzero(off[:first] >= far)
    inner = int(apart[-1]) if len(apart) else 0
    way, grown = abs(at[inner] - at[first]), off[inner] - off[first]
    before = max(0.0, off[first] - usual) * way / grown if grown > 0 else 0.0
    before = min(before, _MOST_BEFORE_M)
    return float(at[first] + sign * min(before, abs(at[-1] - at[first])))
