"""Timed rides and edited films of which the truth is known by construction."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from building import LAT, LON
from draft.raw_rides import EAST_M, NORTH_M, START
from softpedal.draft.ride import Ride


@dataclass(frozen=True, eq=False)
class Filmed:
    """A ride at 1 Hz, and a film of it: `shown[i]` is the ride's second at film second i."""

    ride: Ride
    along_m: np.ndarray  # (n,) true metres at each second of the ride
    waits: tuple[tuple[int, int], ...]  # from and to, seconds of the ride
    shown: np.ndarray
    cuts: tuple[int, ...]  # seconds of the film

    def truth(self, film_s: float) -> float:
        return float(self.along_m[self.shown[int(film_s)]])


def filmed(
    seed: int, cut_waits: int = 0, mid_cuts: int = 0, trimmed_s: int = 0, varying: bool = True
) -> Filmed:
    """Return a ride of some 3.5 km with three waits, and its film with so many cuts."""
    rng = np.random.default_rng(seed)
    legs = rng.uniform(120, 320, 16)
    heading = np.cumsum(rng.choice([-1, 1], 16) * np.radians(rng.uniform(60, 100, 16)))
    steps = legs[:, None] * np.column_stack([np.cos(heading), np.sin(heading)])
    corners = np.concatenate([[[0.0, 0.0]], np.cumsum(steps, axis=0)])
    bends = np.concatenate([[0.0], np.cumsum(legs)])
    places = bends[-1] * np.array([0.25, 0.5, 0.75]) + rng.uniform(-60, 60, 3)
    lasts = rng.permutation([25, 48, 90]) + rng.integers(-6, 6, 3)
    along, waits, at, left = [], [], 0.0, list(zip(places, lasts, strict=True))
    while at < bends[-1]:
        along.append(at)
        speed = 4.5 + (1.2 * np.sin(len(along) / 30 + seed) if varying else 0.0)
        if left and at + speed >= left[0][0]:
            at, seconds = left.pop(0)
            waits.append((len(along), len(along) + int(seconds)))
            along += [at] * int(seconds + 1)
        at += speed
    along_m = np.array([*along, bends[-1]])
    xy = np.column_stack([np.interp(along_m, bends, corners[:, k]) for k in (0, 1)])
    keep, stood = [0], {}
    for i in range(1, len(along_m)):
        if along_m[i] == along_m[i - 1]:
            continue
        if along_m[i - 1] == along_m[max(i - 2, 0)] and i > 2:
            begin = next(a for a, b in waits if a <= i - 1 <= b)
            keep = [k for k in keep if k < begin] + [begin]
            stood[begin] = float(i - 1 - begin)
        if (
            along_m[i] - along_m[keep[-1]] > 14
            or i == len(along_m) - 1
            or any(i == a for a, _ in waits)
            or np.abs(bends - along_m[i]).min() < 4
        ):
            keep.append(i)
    n = len(keep)
    ride = Ride(
        LAT + xy[keep, 1] / NORTH_M,
        LON + xy[keep, 0] / EAST_M,
        np.full(n, np.nan),
        np.zeros(n, dtype=np.intp),
        START + np.array(keep, dtype=float),
        stood_s=np.array([stood.get(k, 0.0) for k in keep]),
    )
    shows = np.ones(len(along_m), dtype=bool)
    shows[:trimmed_s] = False
    for a, b in rng.permutation(np.array(waits))[:cut_waits]:
        shows[a:b] = False
    for k in range(mid_cuts):
        begin = int(len(along_m) * (0.35 + 0.3 * k) + rng.integers(-30, 30))
        shows[begin : begin + int(rng.integers(20, 90))] = False
    shown = np.flatnonzero(shows)
    cuts = tuple((np.flatnonzero(np.diff(shown) > 1) + 1).tolist())
    # Places are told along the recorded points, which cut the corners a little.
    known_m, index = np.unique(along_m[keep], return_index=True)
    along_m = np.interp(along_m, known_m, ride.track.chainage_m[index])
    return Filmed(ride, along_m, tuple(waits), shown, cuts)


def one_per_take(film: Filmed, seed: int) -> list[str]:
    """Return one typed point in each take, where the ride moves, and not beside a wait."""
    rng = np.random.default_rng(seed)
    ends = [0, *film.cuts, len(film.shown)]
    said = []
    for begin, end in pairwise(ends):
        moving = [
            s
            for s in range(begin + 3, end - 3)
            if film.truth(s + 1) - film.truth(s) > 2
            and film.truth(s) - film.truth(s - 1) > 2
            and all(abs(film.truth(s) - film.along_m[wait]) > 15 for wait, _ in film.waits)
        ]
        if not moving:
            continue
        second = int(rng.choice(moving))
        said.append(f"{second // 60}:{second % 60:02}={film.truth(second) / 1000:.2f}km")
    return said
