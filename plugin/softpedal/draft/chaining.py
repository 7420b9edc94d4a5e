"""The likeliest states of a ride → the pieces of the network that it went over, and the breaks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from softpedal.draft.chain import Piece
from softpedal.draft.confidence import grade
from softpedal.draft.hidden_states import ALONG, BY_NODES, NO_WAY

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from softpedal.draft.candidates import Corridor
    from softpedal.draft.fixes import Fixes
    from softpedal.draft.hidden_states import States

Break = tuple[float, float]
#: Near the ends of a piece the next street is as near: so many metres say nothing of its grade.
_END_M = 8.0
_TINY_M = 0.01


@dataclass(slots=True)
class _Going:
    """An edge that is being ridden: places from where it is entered in its direction, chainages."""

    edge: int
    forward: bool
    start: float
    end: float
    from_m: float
    to_m: float


def chained(
    corridor: Corridor,
    fixes: Fixes,
    hidden: States,
    row: NDArray[np.intp],
    chance: NDArray[np.float64],
    *,
    spur_m: float,
) -> tuple[list[Piece], list[Break]]:
    """Return the pieces and the breaks of a ride.

    Args:
        corridor: the edges beside the ride.
        fixes: its fixes.
        hidden: their states.
        row: state of each fix, (n,).
        chance: how likely each fix is on the way of its state, (n,).
        spur_m: going out and back by less than this is noise.
    """
    runs, breaks = _runs(corridor, fixes, hidden, row)
    pieces: list[Piece] = []
    for run in runs:
        kept = _without_spurs(run, corridor.metres, spur_m)
        pieces += [_piece(corridor, going, fixes.at_m, chance) for going in kept]
    return pieces, breaks


def _runs(
    corridor: Corridor, fixes: Fixes, hidden: States, row: NDArray[np.intp]
) -> tuple[list[list[_Going]], list[Break]]:
    at_m = fixes.at_m.tolist()
    on = row != hidden.off
    runs: list[list[_Going]] = []
    breaks: list[Break] = []
    last = -1
    for i in np.flatnonzero(on).tolist():
        s = int(row[i])
        edge, forward = int(hidden.edge[i, s]), bool(hidden.forward[s])
        place = float(hidden.at_m[i, s])
        before = int(row[i - 1]) if i else -1
        if last == i - 1 and i and hidden.how[i - 1, before, s] != NO_WAY:
            how = int(hidden.how[i - 1, before, s])
            _go_on(corridor, runs[-1], (edge, forward, place), (at_m[last], at_m[i]), how)
        else:
            if i:
                breaks.append((at_m[max(last, 0)], at_m[i]))
            runs.append([_Going(edge, forward, place, place, at_m[i], at_m[i])])
        last = i
    if 0 <= last < len(at_m) - 1:
        breaks.append((at_m[last], at_m[-1]))
    return runs, breaks


def _go_on(
    corridor: Corridor,
    run: list[_Going],
    to: tuple[int, bool, float],
    between: tuple[float, float],
    how: int,
) -> None:
    """Go from where the run is to the next place, by way of the nodes between them."""
    now, (edge, forward, place) = run[-1], to
    start, end = between
    whole = float(corridor.metres[edge])
    if how == ALONG:
        now.end, now.to_m = max(now.end, place), end
        return
    if how != BY_NODES:
        turn = max(now.end, whole - place)
        share = (turn - now.end) / max(turn - now.end + place - (whole - turn), _TINY_M)
        now.end, now.to_m = turn, start + share * (end - start)
        run.append(_Going(edge, forward, whole - turn, max(place, whole - turn), now.to_m, end))
        return
    rest = float(corridor.metres[now.edge])
    out = corridor.head[now.edge] if now.forward else corridor.tail[now.edge]
    into = corridor.tail[edge] if forward else corridor.head[edge]
    steps = list(corridor.paths.way(int(out), int(into)))
    metres = [rest - now.end, *(float(corridor.metres[e]) for e, _ in steps), place]
    ends = np.cumsum(metres)
    scale = (end - start) / ends[-1] if ends[-1] > 0 else 0.0
    nodes = (start + ends * scale).tolist()
    now.end, now.to_m = rest, nodes[0]
    for k, (e, f) in enumerate(steps):
        run.append(_Going(e, f, 0.0, float(corridor.metres[e]), nodes[k], nodes[k + 1]))
    run.append(_Going(edge, forward, 0.0, place, nodes[-2], end))


def _without_spurs(run: list[_Going], metres: NDArray[np.float64], spur_m: float) -> list[_Going]:
    """Take out what goes out and back on one edge by no more than noise, and what has no length."""
    kept: list[_Going] = []
    for going in run:
        kept.append(going)
        while len(kept) > 1 and _folded(kept, float(metres[kept[-1].edge]), spur_m):
            pass
    if len(kept) > 1 and kept[-1].end - kept[-1].start < _TINY_M:
        last = kept.pop()
        kept[-1].to_m = last.to_m
    return kept


def _folded(kept: list[_Going], whole: float, spur_m: float) -> bool:
    """Fold the last two into one where they are one; say whether more may follow."""
    a, b = kept[-2:]
    if a.edge == b.edge and a.forward == b.forward and abs(a.end - b.start) < _TINY_M:
        kept[-2:] = [_Going(a.edge, a.forward, a.start, b.end, a.from_m, b.to_m)]
        return True
    if a.edge == b.edge and a.forward != b.forward and abs(a.end - (whole - b.start)) < _TINY_M:
        goes_back = b.end - b.start
        out = a.end - a.start
        if min(out, goes_back) < spur_m and (len(kept) > 2 or goes_back > out):
            finish = whole - b.end
            if abs(finish - a.start) < _TINY_M and len(kept) > 2:
                kept[-3].to_m = b.to_m
                del kept[-2:]
            elif finish > a.start:
                kept[-2:] = [_Going(a.edge, a.forward, a.start, finish, a.from_m, b.to_m)]
            else:
                start = whole - a.start
                kept[-2:] = [_Going(a.edge, b.forward, start, b.end, a.from_m, b.to_m)]
            return True
        return False
    if a.end - a.start < _TINY_M and len(kept) == 2:
        b.from_m = a.from_m
        del kept[0]
        return False
    if len(kept) > 2 and a.end - a.start < _TINY_M:
        kept[-3].to_m = b.from_m
        del kept[-2]
        return True
    return False


def _piece(
    corridor: Corridor, going: _Going, at_m: NDArray[np.float64], chance: NDArray[np.float64]
) -> Piece:
    trim = min(_END_M, (going.to_m - going.from_m) / 3)
    low, high = np.searchsorted(at_m, [going.from_m + trim, going.to_m - trim])
    if high > low:
        likely = float(np.median(chance[low:high]))
    else:
        middle = (going.from_m + going.to_m) / 2
        likely = float(np.interp(middle, at_m, chance))
    whole = float(corridor.metres[going.edge])
    ends = (going.start, going.end) if going.forward else (whole - going.start, whole - going.end)
    return Piece(
        int(corridor.edges[going.edge]),
        going.forward,
        going.from_m,
        going.to_m,
        ends[0],
        ends[1],
        grade(likely),
    )
