"""Moves a rider along a true line: slower at corners and where one pushes, standing at stops."""

from __future__ import annotations

import math
from bisect import bisect_left
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import narrated_plan as plan
from grid import points
from ride_line import true_distances

if TYPE_CHECKING:
    import random

    from grid import Point
    from ride_line import Stretch

#: Steps a second; metres a second at a sharp corner; metres a second squared.
_STEPS, _CORNER_SPEED, _BRAKES, _GAINS = 10, 2.6, 0.8, 0.6
_SHARP = math.radians(40)


@dataclass(frozen=True, slots=True)
class Motion:
    """Where the rider is when.

    Attributes:
        line: the true line, grid points.
        along: metres along it, ten a second from the recording's start on.
        keys: street, from and to, metres along the line.
    """

    line: list[Point]
    along: list[float]
    keys: list[tuple[str, float, float]]

    @property
    def seconds(self) -> float:
        """How long the ride lasts."""
        return (len(self.along) - 1) / _STEPS

    def time_at(self, metres: float) -> float:
        """Return the first second at which the rider is there."""
        return min(bisect_left(self.along, metres - 0.01), len(self.along) - 1) / _STEPS

    def along_at(self, second: float) -> float:
        """Return the metres along the line at a second, the ends standing still."""
        return self.along[min(max(round(second * _STEPS), 0), len(self.along) - 1)]


def move(pieces: list[Stretch], chance: random.Random) -> Motion:
    """Return the ride over the pieces; the same one each time."""
    line, keys, travelled = [pieces[0].line[0]], [], 0.0
    for piece in pieces:
        start = travelled
        travelled += sum(math.dist(a, b) for a, b in pairwise(piece.line))
        keys.append((piece.street, start, travelled))
        line += piece.line[1:]
    stops = {true_distances(line, points(s.at)[0])[0]: s.seconds for s in plan.STOPS}
    limits = sorted([(at, 0.0) for at in stops] + _corners(line) + [(travelled, 0.0)])
    along, here, speed, mood, key = [0.0], 0.0, 0.0, 0.0, 0
    while here < travelled:
        while here >= keys[key][2]:
            key += 1
        mood = 0.995 * mood + chance.gauss(0.0, 0.005)
        wanted = plan.SPEEDS.get(keys[key][0], plan.USUAL_SPEED) * (1 + mood)
        ahead = [(at - here, v) for at, v in limits if here < at < here + 40]
        safe = min([math.sqrt(v * v + 2 * _BRAKES * gap) for gap, v in ahead], default=wanted)
        speed = max(min(speed + _GAINS / _STEPS, wanted, safe), 0.3)
        step = speed / _STEPS
        stop = next((at for at in stops if here < at <= here + step), None)
        here = min(here + step if stop is None else stop, travelled)
        along.append(here)
        if stop is not None:
            along += [here] * (stops[stop] * _STEPS)
            speed = 0.0
    return Motion(line, along, keys)


def _corners(line: list[Point]) -> list[tuple[float, float]]:
    found, travelled = [], 0.0
    for (a, b), (_, c) in pairwise(pairwise(line)):
        travelled += math.dist(a, b)
        turn = math.atan2(c[1] - b[1], c[0] - b[0]) - math.atan2(b[1] - a[1], b[0] - a[0])
        if abs(math.remainder(turn, math.tau)) > _SHARP:
            found.append((travelled, _CORNER_SPEED))
    return found
