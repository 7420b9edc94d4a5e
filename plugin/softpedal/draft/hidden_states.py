"""The hidden Markov model of a ride: which way each fix was on, and how likely that is.

After Newson and Krumm, "Hidden Markov map matching through noise and sparseness" (ACM SIGSPATIAL
GIS 2009), with four changes. A state is a way and the direction in which it is ridden, so that
turning back costs something. The errors of fixes near to each other are much the same: what counts
is how the distance from the way changes from fix to fix (noise as a first-order autoregressive
process), so that a way that runs as the ride does is likelier than one that is now and then
nearer. A footway is dear at riding speed and cheap at walking speed. And there is one more state,
off the map.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from softpedal.draft.candidates import Candidates, Corridor
    from softpedal.draft.fixes import Fixes

#: Scale of the difference between the way on the network and the straight line; the second grows
#: with the distance, since between far fixes a line cuts corners.
WAY_M, WAY_PART = 5.0, 0.1
#: Costs (negative logarithms of odds) of turning back, and of leaving the map or coming back to it.
TURN_COST, LEAVE_COST = 4.0, 10.0
#: Costs a metre of being on a way by code (RIDE, PUSH, SHUT, AGAINST): ridden, walked, unknown.
_FAST = np.array([0.0, 0.2, 0.24, 0.04])
_SLOW = np.array([0.03, 0.0, 0.03, 0.0])
_UNKNOWN = np.array([0.0, 0.03, 0.06, 0.02])
#: Below this speed one walks; over so many metres a second on both sides the one goes over into
#: the other.
WALK_M_S, WALK_BLUR_M_S = 2.4, 0.25
#: Cost a metre of the outline of a square or a line over it: a way that is drawn as a line is
#: likelier.
AREA_COST = 0.015
#: Cost a metre of being off the map: more than on a footway at speed, if nothing else is there.
OFF_COST = 0.4
#: Cost a metre of a distance of one standard deviation, squared for more: without it a line
#: beside a street would be as good as one on it.
LEVEL_COST = 0.001
#: Noise that each fix has for itself, and that of the map.
WHITE_M = 1.2
#: Beyond so many squared deviations the cost grows with the distance, no longer with its square.
TAIL = 6.0
#: A step back along the same way by so much is noise.
BACK_M = 12.0
#: Ways between fixes are looked for up to so many times the distance and so many metres more.
REACH_TIMES, REACH_M = 2.5, 40.0
ALONG, TURNED, BY_NODES, NO_WAY = range(4)
_STEPS_AT_ONCE = 400


@dataclass(frozen=True, eq=False)
class _Places:
    """Directed places, S for each of n fixes: see `States` and `Candidates`."""

    edge: NDArray[np.intp]
    forward: NDArray[np.bool_]
    at_m: NDArray[np.float64]
    side_m: NDArray[np.float64]
    normal: NDArray[np.float64]  # (n, S, 2)


@dataclass(frozen=True, eq=False)
class States:
    """The states of n fixes: S directed places each, and one more for off the map.

    Attributes:
        edge: index into the corridor's edges, −1 where there is none, (n, S).
        forward: whether it is ridden as drawn, (S,).
        at_m: metres from where the edge is entered, (n, S).
        cost: of each state; the last is off the map, (n, S + 1).
        move: cost of going over from one to another, (n − 1, S + 1, S + 1).
        how: ALONG the same edge, TURNED on it, BY_NODES, NO_WAY, (n − 1, S, S).
    """

    edge: NDArray[np.intp]
    forward: NDArray[np.bool_]
    at_m: NDArray[np.float64]
    cost: NDArray[np.float64]
    move: NDArray[np.float64]
    how: NDArray[np.int8]

    @property
    def off(self) -> int:
        """The number of the state off the map."""
        return len(self.forward)


def states(corridor: Corridor, fixes: Fixes, found: Candidates, sigma_m: float) -> States:
    """Return the states of a ride and their costs, for noise of this standard deviation."""
    places = _places(corridor, found)
    n, size = places.edge.shape
    squared = (places.side_m / sigma_m) ** 2
    code = corridor.code[places.edge, np.where(places.forward, 0, 1)]
    rate = rates(fixes.speed_m_s)[np.arange(n)[:, None], code] + LEVEL_COST * squared
    rate += np.where(corridor.is_area[places.edge], AREA_COST, 0.0)
    rate[places.edge < 0] = np.inf
    rate = np.column_stack([rate, np.full(n, OFF_COST)])
    cost = rate * np.maximum(fixes.covers_m, 1e-3)[:, None]
    cost[0, :-1] += 0.5 * squared[0]
    move = np.empty((n - 1, size + 1, size + 1))
    how = np.empty((n - 1, size, size), dtype=np.int8)
    for i in range(0, n - 1, _STEPS_AT_ONCE):
        steps = slice(i, min(i + _STEPS_AT_ONCE, n - 1))
        moved, how[steps] = _moves(corridor, fixes, places, steps)
        move[steps, :-1, :-1] = moved + _drift(fixes, places, sigma_m, steps)
    move[:, -1, :-1] = LEAVE_COST + 0.5 * squared[1:]
    move[:, :-1, -1] = LEAVE_COST
    move[:, -1, -1] = 0.0
    torn = np.flatnonzero(fixes.torn)
    move[torn] = 0.0
    move[torn, :, :-1] = 0.5 * squared[torn + 1][:, None, :]
    how[torn] = NO_WAY
    return States(places.edge, places.forward, places.at_m, cost, move, how)


def _places(corridor: Corridor, found: Candidates) -> _Places:
    """Return each candidate once for each direction."""

    def twice(values: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.concatenate([values, values], axis=1)

    edge = np.concatenate([found.edge, found.edge], axis=1)
    forward = np.repeat([True, False], found.edge.shape[1])
    at = twice(found.at_m)
    at = np.where(forward, at, corridor.metres[edge] - at)
    normal = np.stack([twice(found.normal_x), twice(found.normal_y)], axis=2)
    return _Places(edge, forward, at, twice(found.side_m), normal)


def rates(speed_m_s: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the costs a metre of each code at each fix, (n, 4): it goes over at walking speed."""
    over = np.nan_to_num(speed_m_s) - WALK_M_S
    fast = 1.0 / (1.0 + np.exp(-over / WALK_BLUR_M_S))[:, None]
    return np.where(np.isnan(speed_m_s)[:, None], _UNKNOWN, fast * _FAST + (1 - fast) * _SLOW)


def _drift(fixes: Fixes, places: _Places, sigma_m: float, steps: slice) -> NDArray[np.float64]:
    """Return the costs of how the distance to the side changes, for each step, (steps, S, S).

    Of noise that is alike on all axes and keeps a part r from fix to fix, the component along a
    second normal, given that along a first one at an angle t, has the mean r cos t times the first
    and the variance 1 − (r cos t)², in units of its own.
    """
    after = slice(steps.start + 1, steps.stop + 1)
    keeps = fixes.keeps[steps][:, None, None]
    kept = keeps * (places.normal[steps] @ places.normal[after].transpose(0, 2, 1))
    rest = places.side_m[after][:, None, :] - kept * places.side_m[steps][:, :, None]
    white = (WHITE_M / sigma_m) ** 2
    spread = 1 - kept**2 + white
    squared = rest**2 / (spread * sigma_m**2)
    squared = 2 * TAIL * (np.sqrt(1 + squared / TAIL) - 1)
    return np.asarray(0.5 * squared + 0.5 * np.log(spread / (1 - keeps**2 + white)))


def _moves(
    corridor: Corridor, fixes: Fixes, places: _Places, steps: slice
) -> tuple[NDArray[np.float64], NDArray[np.int8]]:
    """Return the costs of the ways from place to place, and how they go, (steps, S, S)."""
    after = slice(steps.start + 1, steps.stop + 1)
    straight = fixes.straight_m[steps][:, None, None]
    forward = places.forward
    a, b = places.edge[steps][:, :, None], places.edge[after][:, None, :]
    at_a, at_b = places.at_m[steps][:, :, None], places.at_m[after][:, None, :]
    whole = corridor.metres[a]
    out = np.where(forward[:, None], corridor.head[a], corridor.tail[a])
    into = np.where(forward[None, :], corridor.tail[b], corridor.head[b])
    there = (a >= 0) & (b >= 0)
    same = there & (a == b)
    ahead = at_b - at_a
    along = same & (forward[:, None] == forward[None, :]) & (ahead >= -BACK_M)
    ends = whole - at_a + at_b
    over = corridor.node_xy[out] - corridor.node_xy[into]
    left = REACH_TIMES * straight + REACH_M - ends
    asked = there & ~along & (np.hypot(over[..., 0], over[..., 1]) <= left)
    shape = there.shape
    metres = np.full(shape, np.inf)
    turns = np.zeros(shape)
    between, first, last = corridor.paths.between(
        *(np.broadcast_to(x, shape)[asked] for x in (out, into, left))
    )
    metres[asked] = between
    on_a, on_b = (np.broadcast_to(x, shape)[asked] for x in (a, b))
    turns[asked] = (first == on_a).astype(float) + (last == on_b)
    route = ends + metres
    how = np.full(shape, BY_NODES, dtype=np.int8)
    back = np.abs(at_b - (whole - at_a))
    other = same & (forward[:, None] != forward[None, :])
    turned = other & (back <= route)
    turns[other] = 1.0
    how[along], how[turned] = ALONG, TURNED
    route = np.where(along, ahead, np.where(turned, back, route))
    cost = np.abs(route - straight) / (WAY_M + WAY_PART * straight) + TURN_COST * turns
    cost[~there] = np.inf
    how[~np.isfinite(cost)] = NO_WAY
    return cost, how


def likeliest(hidden: States) -> NDArray[np.intp]:
    """Return the likeliest row of states (Viterbi), (n,)."""
    n = len(hidden.cost)
    came = np.zeros(hidden.cost.shape, dtype=np.intp)
    total = hidden.cost[0]
    columns = np.arange(total.shape[0])
    for i in range(1, n):
        reach = total[:, None] + hidden.move[i - 1]
        came[i] = reach.argmin(axis=0)
        total = reach[came[i], columns] + hidden.cost[i]
    row = np.empty(n, dtype=np.intp)
    row[-1] = total.argmin()
    for i in range(n - 1, 0, -1):
        row[i - 1] = came[i, row[i]]
    return row
