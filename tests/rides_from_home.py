"""Rides from one home through an irregular street grid, and those who look for the home.

All is invented and lies in the open Atlantic. Metres here are east and north of `LAT`, `LON`.
"""

from __future__ import annotations

import heapq
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from softpedal.draft.privacy import without_private
from softpedal.draft.ride import Ride
from softpedal.library.private_zones import Zone
from softpedal.library.track import WGS84, local_metres

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from softpedal.library.private_zones import Zones

    Floats = NDArray[np.float64]

LAT, LON = 50.0, -20.0
RADIUS_M = 250.0
BLOCK_M = (110.0, 75.0)
REACH_M = 1900.0
STEP_M = 5.0
#: Of a receiver: metres on each axis, and over how many points it drifts.
NOISE_M, DRIFT = 4.0, 0.95
#: In how many ways one home's rides weigh one street against another.
TASTES = 12
#: An attacker takes the direction of the first metres that are published.
HEADING_M = 40.0


@dataclass(frozen=True, eq=False)
class Streets:
    """A street network: nodes in metres, (n, 2), and for each its neighbours."""

    nodes: Floats
    beside: list[list[int]]


def grid(rng: np.random.Generator) -> Streets:
    """Return a street grid, turned, its corners moved, and some of its streets missing."""
    across = [round(2 * REACH_M / block) for block in BLOCK_M]
    columns, rows = np.meshgrid(*(np.arange(n + 1) for n in across), indexing="ij")
    nodes = np.stack([columns.ravel() * BLOCK_M[0], rows.ravel() * BLOCK_M[1]], axis=1) - REACH_M
    nodes += rng.normal(0, 10, nodes.shape) + rng.uniform(-40, 40, 2)
    turn = rng.uniform(0, 2 * math.pi)
    nodes = nodes @ np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])
    beside: list[list[int]] = [[] for _ in nodes]
    tall = across[1] + 1
    for node in range(len(nodes)):
        onward = [node + 1] if (node + 1) % tall else []
        onward += [node + tall] if node + tall < len(nodes) else []
        for other in onward:
            if rng.random() > 0.15:
                beside[node].append(other)
                beside[other].append(node)
    return Streets(nodes, beside)


def rides_from(
    rng: np.random.Generator, streets: Streets, count: int
) -> tuple[Floats, list[Floats]]:
    """Return a home in the middle of a block, (2,), and rides from it in metres, (n, 2) each.

    They go along streets to all sides; a third comes home again another way.

    Raises:
        ValueError: too few ways lead far enough from there.
    """
    near = np.argsort(np.hypot(*streets.nodes.T))
    corners = [int(node) for node in near if len(streets.beside[node]) >= 3]
    if not corners:
        raise ValueError("no corner of streets is there")
    first = corners[0]
    second = int(rng.choice(streets.beside[first]))
    share = rng.uniform(0.25, 0.75)
    home = streets.nodes[first] * (1 - share) + streets.nodes[second] * share
    off = np.hypot(*(streets.nodes - home).T)
    bearing = np.arctan2(*(streets.nodes - home).T)
    tastes = [_ways(rng, streets, (first, second), home) for _ in range(TASTES)]
    rides: list[Floats] = []
    for _ in range(20 * count):
        if len(rides) == count:
            return home, rides
        way = tastes[rng.integers(TASTES)]
        aim = rng.uniform(-math.pi, math.pi)
        aside = np.abs(np.angle(np.exp(1j * (bearing - aim))))
        ends = np.flatnonzero((off > 1300) & (off < 1700) & (aside < 0.15))
        ends = [int(end) for end in ends if end in way]
        if not ends:
            continue
        out = _path(way, int(rng.choice(ends)))
        line = np.vstack([home, streets.nodes[out]])
        if rng.random() < 1 / 3:
            other = tastes[rng.integers(TASTES)]
            if out[-1] in other:
                line = np.vstack([line, streets.nodes[_path(other, out[-1])[::-1][1:]], home])
        rides.append(_recorded(rng, line))
    raise ValueError("too few ways lead far from there")


def straight_rides(rng: np.random.Generator, count: int) -> tuple[Floats, list[Floats]]:
    """Return a home and rides that leave it straight to all sides, as in open country."""
    home = rng.uniform(-40, 40, 2)
    turns = rng.uniform(0, 2 * math.pi, count)
    ends = home + 1500 * np.stack([np.cos(turns), np.sin(turns)], axis=1)
    return home, [_recorded(rng, np.stack([home, end])) for end in ends]


def zone_at(home: Floats, radius_m: float = RADIUS_M) -> Zone:
    """Return a zone at a home given in metres."""
    lat, lon = _degrees(home[None])
    return Zone("home", float(lat[0]), float(lon[0]), radius_m)


def published(line: Floats, zones: Zones) -> list[Floats]:
    """Return what a published track shows from where it begins, going outwards: metres, (n, 2).

    A ride that comes home again shows two such ends.
    """
    lat, lon = _degrees(line)
    ride = Ride(lat, lon, np.full(len(lat), np.nan), np.zeros(len(lat), np.intp), None)
    cut, _ = without_private(ride, zones)
    east, north = local_metres(cut.lat, cut.lon, LAT, LON)
    xy = np.stack([east, north], axis=1)
    ends = [xy[cut.part == 0]]
    if np.hypot(*(line[0] - line[-1])) < 50:
        ends.append(xy[cut.part == cut.part[-1]][::-1])
    return ends


def mean_start(ends: list[Floats]) -> Floats:
    """Guess: the middle of all starts."""
    return np.mean([end[0] for end in ends], axis=0)


def fitted_circle(ends: list[Floats]) -> Floats:
    """Guess: the centre of the circle through the starts, by algebraic least squares."""
    starts = np.array([end[0] for end in ends])
    around = starts.mean(axis=0)
    x, y = (starts - around).T
    system = np.stack([x, y, np.ones_like(x)], axis=1)
    a, b, _ = np.linalg.lstsq(system, x * x + y * y, rcond=None)[0]
    return around + np.array([a, b]) / 2


def headings_met(ends: list[Floats], rounds: int = 1) -> Floats:
    """Guess: where the first directions, drawn back, come nearest to meeting.

    With more rounds, lines far from the last guess count less and less.
    """
    starts = np.array([end[0] for end in ends])
    ahead = np.array([end[_after(end)] for end in ends]) - starts
    ahead /= np.hypot(*ahead.T)[:, None]
    normal = np.stack([-ahead[:, 1], ahead[:, 0]], axis=1)
    distance = (normal * starts).sum(axis=1)
    weight = np.ones(len(ends))
    guess = starts.mean(axis=0)
    for _ in range(rounds):
        guess = np.linalg.lstsq(normal * weight[:, None], distance * weight, rcond=None)[0]
        weight = 1 / np.sqrt(np.maximum(np.abs(normal @ guess - distance), 5.0))
    return guess


def robust_headings(ends: list[Floats]) -> Floats:
    """Guess: the same, with little said by lines that pass far off."""
    return headings_met(ends, 30)


def knows_the_method(ends: list[Floats]) -> Floats:
    """Guess of one who knows how zones work: twice as far from the circle's centre as the mean.

    For straight rides to all sides the mean of the starts lies half-way between the two.
    """
    return 2 * mean_start(ends) - fitted_circle(ends)


ATTACKERS: dict[str, Callable[[list[Floats]], Floats]] = {
    "mean of starts": mean_start,
    "circle through starts": fitted_circle,
    "headings drawn back": headings_met,
    "the same, robust": robust_headings,
}


def miss(guess: Floats, home: Floats, radius_m: float = RADIUS_M) -> float:
    """Return how far a guess is from a home, in radii."""
    return float(np.hypot(*(guess - home)) / radius_m)


def _after(end: Floats) -> int:
    far = np.hypot(*(end - end[0]).T) >= HEADING_M
    return int(far.argmax()) if far.any() else len(end) - 1


def _ways(
    rng: np.random.Generator, streets: Streets, block: tuple[int, int], home: Floats
) -> dict[int, int]:
    """Return for each node the one before it on a way from home; tastes differ a little."""
    best: dict[int, float] = {}
    before: dict[int, int] = {}
    queue = [(float(np.hypot(*(streets.nodes[node] - home))), node, -1) for node in block]
    heapq.heapify(queue)
    nodes = streets.nodes.tolist()
    taste = rng.uniform(0.8, 1.2, 997).tolist()
    while queue:
        cost, node, last = heapq.heappop(queue)
        if node in best:
            continue
        best[node], before[node] = cost, last
        for other in streets.beside[node]:
            if other not in best and {node, other} != set(block):
                metres = math.dist(nodes[node], nodes[other])
                metres *= taste[(min(node, other) * 31 + max(node, other)) % 997]
                heapq.heappush(queue, (cost + metres, other, node))
    return before


def _path(before: dict[int, int], end: int) -> list[int]:
    path = []
    while end != -1:
        path.append(end)
        end = before[end]
    return path[::-1]


def _recorded(rng: np.random.Generator, corners: Floats) -> Floats:
    """Return a line as a receiver has it: at equal steps, off by a slow drift."""
    along = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))])
    at = np.arange(0, along[-1], STEP_M)
    line = np.stack([np.interp(at, along, axis) for axis in corners.T], axis=1)
    noise = rng.normal(0, NOISE_M * math.sqrt(1 - DRIFT**2), line.shape)
    noise[0] = rng.normal(0, NOISE_M, 2)
    for i in range(1, len(noise)):
        noise[i] += DRIFT * noise[i - 1]
    return np.asarray(line + noise)


def _degrees(metres: Floats) -> tuple[Floats, Floats]:
    east, north = metres.T
    bearing = np.degrees(np.arctan2(east, north))
    lon, lat, _ = WGS84.fwd(
        np.full(len(east), LON), np.full(len(east), LAT), bearing, np.hypot(east, north)
    )
    return np.asarray(lat), np.asarray(lon)
