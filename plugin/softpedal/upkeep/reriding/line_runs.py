"""Matches between two lines → runs that follow on, and the heaviest row of runs in order."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.track import Floats

#: A match follows on another within so many metres of the published line, while the ride goes on
#: by no more or less than `_UNEVEN_M` beside that.
_NEXT_M, _UNEVEN_M = 50.0, 40.0
#: Noise may put a match so much behind the one before.
_BACK_M = 10.0
#: Shorter runs are chance: two ways that touch in passing.
_LEAST_M = 30.0
#: No more runs than these, the longest, are put in order: the time goes with their square.
_MOST = 300


@dataclass(frozen=True, eq=False, slots=True)
class Run:
    """Matches that follow on; k of them.

    Attributes:
        p: metres along the published line, ascending, (k,).
        q: metres along the ride, not descending, (k,).
        off: metres between the two, (k,).
    """

    p: Floats
    q: Floats
    off: Floats

    @property
    def length_m(self) -> float:
        """Metres of the published line."""
        return float(self.p[-1] - self.p[0])

    def after(self, p: float, q: float) -> Run | None:
        """Return what of it is beyond a place on both lines, None where too little is."""
        first = max(np.searchsorted(self.p, p, "right"), np.searchsorted(self.q, q, "right"))
        left = Run(self.p[first:], self.q[first:], self.off[first:])
        return left if len(left.p) > 1 else None


def runs_of(p: Floats, q: Floats, off: Floats, sample_m: float) -> list[Run]:
    """Return the runs that matches make, the longest first.

    Args:
        p: metres along the published line, not descending, (n,).
        q: metres along the ride, (n,).
        off: metres between the two, (n,).
        sample_m: metres between samples.
    """
    rows: list[list[int]] = []
    ps, qs = p.tolist(), q.tolist()
    # Runs that may go on, by how much further along the ride they are than along the line: a match
    # follows on only where that differs by little, so that few need looking at.
    ahead: dict[int, list[int]] = {}
    for index, (here, there) in enumerate(zip(ps, qs, strict=True)):
        bin_ = int((there - here) // _UNEVEN_M)
        best, least, where = -1, _UNEVEN_M, bin_
        for near in (bin_ - 1, bin_, bin_ + 1):
            for number in ahead.get(near, ()):
                last = rows[number][-1]
                uneven = abs((there - qs[last]) - (here - ps[last]))
                follows = ps[last] < here and there >= qs[last] - _BACK_M
                if follows and uneven < least and here - ps[last] <= _NEXT_M:
                    best, least, where = number, uneven, near
        if best < 0:
            best = len(rows)
            rows.append([index])
            ahead.setdefault(bin_, []).append(best)
        else:
            rows[best].append(index)
            if where != bin_:
                ahead[where].remove(best)
                ahead.setdefault(bin_, []).append(best)
        ahead[bin_] = [n for n in ahead[bin_] if here - ps[rows[n][-1]] <= _NEXT_M]
    runs = [
        Run(p[row], np.maximum.accumulate(q[row]), off[row])
        for row in rows
        if ps[row[-1]] - ps[row[0]] >= _LEAST_M - sample_m / 2
    ]
    return sorted(runs, key=lambda run: -run.length_m)[:_MOST]


def heaviest_row(runs: Sequence[Run]) -> list[Run]:
    """Return the row of runs, each beyond the one before along both lines, that is longest.

    Where two overlap, the later one loses what is behind the end of the earlier.
    """
    order = sorted(runs, key=lambda run: (float(run.p[-1]), float(run.q[-1])))
    total: list[float] = []
    came: list[tuple[int, Run]] = []
    for number, run in enumerate(order):
        best, before, kept = run.length_m, -1, run
        for other in range(number):
            if total[other] + run.length_m <= best:
                continue
            end = order[other]
            left = run.after(float(end.p[-1]), float(end.q[-1]))
            if left is not None and total[other] + left.length_m > best:
                best, before, kept = total[other] + left.length_m, other, left
        total.append(best)
        came.append((before, kept))
    at = int(np.argmax(total)) if total else -1
    row = []
    while at >= 0:
        row.append(came[at][1])
        at = came[at][0]
    return row[::-1]
