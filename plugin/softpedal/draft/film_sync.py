"""Second of a film → place on the line, with how far it may be off, and back."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from softpedal.draft.film_clock import SLOW_M_S, ride_clock
from softpedal.draft.film_points import FilmError
from softpedal.draft.film_takes import takes_of
from softpedal.draft.observed import Remark

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.draft.film_clock import Floats, RideClock
    from softpedal.draft.film_points import SyncPoint
    from softpedal.draft.film_takes import Take
    from softpedal.draft.observed import Suggestion
    from softpedal.draft.ride import Ride

#: What a place by the clock of a ride is off by at least, metres: the receiver, and the thinning.
CLOCK_OFF_M = 5.0
#: A place is off by at least so much where the film is not tied to the line at all, metres.
BLIND_OFF_M = 50.0
#: Between two knots the film is off by no more than this: metres and seconds.
KNOT_M, KNOT_S = 3.0, 1.0

Knot = tuple[float, float]


@dataclass(frozen=True, eq=False)
class FilmSync:
    """Where on the line each second of a film lies.

    Attributes:
        clock: the line by the ride's clock; None where the ride has no times.
        takes: stretches of film on the ride's clock, empty without one.
        anchors: (second, chainage) ascending, without a clock.
        film_end_s: how long the film is; inf where not known.
        least_off_m: a place is off by at least so much, metres.
        remarks: in plain words, what was decided.
    """

    clock: RideClock | None
    takes: tuple[Take, ...]
    anchors: tuple[Knot, ...]
    length_m: float
    film_end_s: float = math.inf
    least_off_m: float = CLOCK_OFF_M
    remarks: tuple[str, ...] = ()

    def place(self, film_s: float) -> tuple[float, float] | None:
        """Return chainage and how far it may be off, both in metres.

        None before the film reaches the line, after it has left it, and in a gap between parts.
        """
        if not 0 <= film_s <= self.film_end_s:
            return None
        if self.clock is None:
            return self._by_anchors(film_s)
        index = int(np.searchsorted(self._starts, film_s, side="right")) - 1
        take = self.takes[index]
        if not self.clock.is_known(film_s + take.offset):
            return None
        at = self.clock.at(film_s + take.offset)
        low, high = self.clock.at(film_s + take.low), self.clock.at(film_s + take.high)
        return at, max(high - at, at - low, 0.0) + self.least_off_m

    def second(self, at_m: float) -> float | None:
        """Return the second at which the film comes to a chainage; None if it does not show it."""
        if not 0 <= at_m <= self.length_m:
            return None
        if self.clock is None:
            seconds, metres = (np.array(each) for each in zip(*self._ends(), strict=True))
            if not metres[0] <= at_m <= metres[-1]:
                return None
            film_s = float(np.interp(at_m, metres, seconds))
            return film_s if 0 <= film_s <= self.film_end_s else None
        first, last = self.clock.times(at_m, at_m)
        for take, end_s in self._spans():
            begin = max(first, max(take.from_s, 0.0) + take.offset)
            end = min(last, end_s + take.offset)
            if begin <= end:
                return max(begin - take.offset, 0.0)
        return None

    def knots(self) -> tuple[Knot, ...]:
        """Return (second, chainage) between which the film runs evenly, both ascending.

        At a cut two knots share the second. Places are within `KNOT_M` of those of `place`.
        """
        if self.clock is None:
            return tuple((round(s, 1), round(m, 1)) for s, m in self._ends())
        found: list[Knot] = []
        for take, end_s in self._spans():
            begin = max(take.from_s + take.offset, take.offset, self.clock.start_s)
            end = min(end_s + take.offset, self.clock.end_s)
            if begin >= end:
                continue
            inside = (self.clock.time_s > begin) & (self.clock.time_s < end)
            times = np.concatenate([[begin], self.clock.time_s[inside], [end]])
            metres = np.interp(times, self.clock.time_s, self.clock.at_m)
            keep = _kept(times, metres)
            found += [
                (round(float(t - take.offset), 1), round(float(m), 1))
                for t, m in zip(times[keep], metres[keep], strict=True)
            ]
        return tuple(knot for i, knot in enumerate(found) if i == 0 or knot != found[i - 1])

    @cached_property
    def _starts(self) -> list[float]:
        return [take.from_s for take in self.takes]

    def _spans(self) -> list[tuple[Take, float]]:
        """Return takes of different offsets and where each ends, seconds of the film."""
        runs: list[Take] = []
        for take in self.takes:
            if not runs or take.offset != runs[-1].offset:
                runs.append(take)
        ends = [take.from_s for take in runs[1:]] + [self.film_end_s]
        return [
            (take, min(end, self.film_end_s))
            for take, end in zip(runs, ends, strict=True)
            if end > 0 and take.from_s <= self.film_end_s
        ]

    def _ends(self) -> list[Knot]:
        """Return the anchors, with the ends of what the film shows by its mean speed."""
        (first_s, first_m), (last_s, last_m) = self.anchors[0], self.anchors[-1]
        speed = (last_m - first_m) / (last_s - first_s)
        before = min(first_s, first_m / speed)
        after = min(self.film_end_s - last_s, (self.length_m - last_m) / speed)
        rows = list(self.anchors)
        if before > 0:
            rows.insert(0, (first_s - before, first_m - before * speed))
        if after > 0:
            rows.append((last_s + after, last_m + after * speed))
        return rows

    def _by_anchors(self, film_s: float) -> tuple[float, float] | None:
        seconds, metres = (np.array(each) for each in zip(*self._ends(), strict=True))
        if not seconds[0] - KNOT_S <= film_s <= seconds[-1] + KNOT_S:
            return None
        at = float(np.interp(film_s, seconds, metres))
        nearest = min(abs(at - m) for _, m in self.anchors)
        return at, self.least_off_m + nearest


def sync(
    ride: Ride,
    points: Sequence[SyncPoint],
    cuts: Sequence[float] = (),
    film_end_s: float | None = None,
) -> FilmSync:
    """Return where on the line of a ride each second of its film lies.

    Args:
        ride: cleaned, and cut for privacy: its gaps and ends are places that nobody is told.
        points: known on film and line, as `parse_sync` gives them.
        cuts: seconds of the film at which something was left out.
        film_end_s: how long the film is, if known.

    Raises:
        FilmError: the ride has no times and there are fewer than two points, or the film between
            two points is longer than the ride.
    """
    end_s = math.inf if film_end_s is None else film_end_s
    clock = ride_clock(ride)
    length_m = ride.track.length_m
    if clock is not None:
        takes, said = takes_of(clock, points, sorted(cuts))
        least = CLOCK_OFF_M if points else BLIND_OFF_M
        return FilmSync(clock, takes, (), length_m, end_s, least, said)
    rows = sorted(points, key=lambda p: p.film_s)
    if len(rows) < 2 or rows[-1].at_m <= rows[0].at_m:
        raise FilmError(
            "This line has no times, so that two places of the film must be known at least.",
            "Write `--sync 0:00=start --sync 12:30=finish`, with the times of your film.",
        )
    metres = np.maximum.accumulate([p.at_m for p in rows]).tolist()
    anchors = tuple((p.film_s, m) for p, m in zip(rows, metres, strict=True))
    said = ("the line has no times: between the points the film is taken to run evenly",)
    if cuts:
        said += ("cuts are of no use on a line without times: give a point before and after each",)
    off = max(p.off_m for p in rows)
    return FilmSync(None, (), anchors, length_m, end_s, max(off, CLOCK_OFF_M), said)


def place_suggestions(film: FilmSync, found: Sequence[Suggestion]) -> tuple[Remark, ...]:
    """Return suggestions at their places; those said off the line are left out."""
    return tuple(
        Remark(round(place[0], 1), round(place[1], 1), suggestion)
        for suggestion in found
        if (place := film.place(suggestion.film_s)) is not None
    )


def _kept(times: Floats, metres: Floats) -> list[int]:
    """Return the knots of a row between which it runs evenly, within the two tolerances."""
    waits = np.flatnonzero(np.diff(metres) < SLOW_M_S * np.diff(times))
    kept = {0, len(times) - 1, *waits.tolist(), *(waits + 1).tolist()}
    open_pieces = list(pairwise(sorted(kept)))
    while open_pieces:
        first, last = open_pieces.pop()
        if last - first < 2:
            continue
        rise, run = metres[last] - metres[first], times[last] - times[first]
        here = metres[first] + (times[first + 1 : last] - times[first]) * rise / max(run, 1e-9)
        off = np.abs(metres[first + 1 : last] - here)
        late = off * run / rise if rise > 0 else np.zeros_like(off)
        miss = np.maximum(off / KNOT_M, late / KNOT_S)
        worst = int(miss.argmax())
        if miss[worst] > 1.0:
            split = first + 1 + worst
            kept.add(split)
            open_pieces += [(first, split), (split, last)]
    return sorted(kept)
