"""Raw rides of which the truth is known: a line with corners, a receiver's noise, stops, spikes.

Noise on each axis is a first-order autoregressive process, and white noise besides: what is said
of receivers (common practice), not measured. Everything lies near 50° N 20° W.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
import shapely

from building import LAT, LON
from softpedal.draft.ride import Ride
from softpedal.library.track import local_metres

if TYPE_CHECKING:
    from numpy.typing import NDArray

START = 1_780_000_000.0
#: Metres in a degree of latitude and longitude at LAT, LON.
EAST_M, NORTH_M = (float(v[0]) for v in local_metres(*np.array([[LAT + 1], [LON + 1]]), LAT, LON))


@dataclass(frozen=True)
class Stop:
    """A true stop: metres along the true line, seconds, and how it is recorded."""

    at_m: float
    seconds: float
    how: str = "recorded"  # recorded | paused (no fix meanwhile) | new part (paused, new <trkseg>)


@dataclass(frozen=True)
class Plan:
    """What is ridden and how it is recorded."""

    corners: NDArray[np.float64]  # (k, 2) metres
    stops: tuple[Stop, ...] = ()
    pushes: tuple[tuple[float, float, float], ...] = ()  # from and to in metres, m/s
    speed_m_s: float = 5.0
    noise_m: float = 4.0
    white_m: float = 1.0
    spikes: tuple[int, ...] = ()  # lengths of the runs
    every_s: float = 1.0


@dataclass(frozen=True)
class Raw:
    """A raw ride and its truth; n points."""

    ride: Ride
    plan: Plan
    along_m: NDArray[np.float64]  # (n,) true metres along the line
    spiky: NDArray[np.bool_]  # (n,)
    stood: NDArray[np.bool_]  # (n,) whether it stands
    line: shapely.LineString = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "line", shapely.LineString(self.plan.corners))

    def place(self, stop: Stop) -> NDArray[np.float64]:
        """Return where a stop truly is, metres."""
        return np.array(self.line.interpolate(stop.at_m).coords[0])


def metres(ride: Ride) -> NDArray[np.float64]:
    """Return the points of a ride in metres about LAT, LON, (n, 2)."""
    return np.column_stack([(ride.lon - LON) * EAST_M, (ride.lat - LAT) * NORTH_M])


def ride_of(
    xy: NDArray[np.float64],
    time_s: NDArray[np.float64] | None,
    part: NDArray[np.intp] | None = None,
) -> Ride:
    """Return a ride through places in metres about LAT, LON."""
    n = len(xy)
    return Ride(
        LAT + xy[:, 1] / NORTH_M,
        LON + xy[:, 0] / EAST_M,
        np.full(n, np.nan),
        np.zeros(n, dtype=np.intp) if part is None else part,
        time_s,
    )


def a_line(rng: np.random.Generator, legs: int = 24) -> NDArray[np.float64]:
    """Return the corners of a way through streets, (legs + 1, 2)."""
    heading, at, corners = rng.uniform(0, 2 * np.pi), np.zeros(2), [np.zeros(2)]
    for _ in range(legs):
        at = at + rng.uniform(60, 250) * np.array([np.cos(heading), np.sin(heading)])
        corners.append(at)
        heading += rng.choice([-1, 1]) * np.radians(rng.uniform(20, 110))
    return np.array(corners)


def a_plan(seed: int) -> Plan:
    """Return a plan with stops of each sort, pushes and spikes at random."""
    rng = np.random.default_rng(seed)
    corners = a_line(rng)
    length = shapely.LineString(corners).length
    places = np.arange(120.0, length - 120, 110.0)
    places = places[: len(places) - len(places) % 3]
    kinds = rng.permutation(np.array(["stop"] * 8 + ["push"] * 4 + ["ride"] * 99)[: len(places)])
    stops, pushes = [], []
    hows = ["recorded", "recorded", "paused", "new part"]
    for kind, at in zip(kinds, places.tolist(), strict=True):
        where = at + rng.uniform(-10, 10)
        if kind == "stop":
            stops.append(Stop(where, float(rng.integers(15, 120)), hows[len(stops) % 4]))
        elif kind == "push":
            pushes.append((where, where + float(rng.uniform(20, 70)), float(rng.uniform(1.0, 1.2))))
    speed = float(rng.uniform(4, 6))
    return Plan(corners, tuple(stops), tuple(pushes), speed, spikes=(1, 1, 1, 2, 3))


def recorded(plan: Plan, seed: int) -> Raw:
    """Return a plan as a receiver records it."""
    rng = np.random.default_rng(seed + 1_000_000)
    line = shapely.LineString(plan.corners)
    bends = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(plan.corners, axis=0).T))])
    dt, at, waits = 0.25, 0.0, sorted(plan.stops, key=lambda s: s.at_m)
    where: list[float] = []
    what: list[int] = []  # 0 rides, 1 stands, 2 is not recorded, 3 the same in a new part after it
    while at < line.length:
        where.append(at)
        what.append(0)
        speed = next((v for a, b, v in plan.pushes if a <= at < b), 0.0)
        if not speed:
            near = np.abs(bends[1:-1] - at).min(initial=np.inf) < 6
            soon = bool(waits) and waits[0].at_m - at < 8
            speed = min(plan.speed_m_s, 3.0 if near or soon else np.inf)
        if waits and waits[0].at_m <= at + speed * dt:
            stop = waits.pop(0)
            at = stop.at_m
            code = {"recorded": 1, "paused": 2, "new part": 3}[stop.how]
            where += [at] * int(stop.seconds / dt)
            what += [code] * int(stop.seconds / dt)
        at += speed * dt
    every = round(plan.every_s / dt)
    along, code = np.array(where)[::every], np.array(what)[::every]
    n = len(along)
    xy = shapely.get_coordinates(shapely.line_interpolate_point(line, along))
    keeps = np.exp(-plan.every_s / 25.0)
    drawn = rng.normal(0, 1, (n, 2))
    noise = np.empty((n, 2))
    noise[0] = drawn[0]
    for i in range(1, n):
        noise[i] = keeps * noise[i - 1] + np.sqrt(1 - keeps**2) * drawn[i]
    xy = xy + plan.noise_m * noise + plan.white_m * rng.normal(0, 1, (n, 2))
    time_s = START + np.arange(n) * plan.every_s
    starts = np.concatenate([[False], (code[1:] == 3) & (code[:-1] != 3)])
    part = np.cumsum(starts)
    keep = code < 2
    raw_xy, part, time_s, along = xy[keep], part[keep].astype(np.intp), time_s[keep], along[keep]
    spiky = np.zeros(len(raw_xy), dtype=bool)
    edge = np.flatnonzero(np.diff(part) != 0)
    for length in plan.spikes:
        while True:
            i = int(rng.integers(20, len(raw_xy) - 20))
            if not spiky[i - 8 : i + 11].any() and not (np.abs(edge - i) < 8).any():
                break
        angle = rng.uniform(0, 2 * np.pi)
        far = rng.uniform(60, 250) * np.array([np.cos(angle), np.sin(angle)])
        raw_xy[i : i + length] += far
        spiky[i : i + length] = True
    return Raw(ride_of(raw_xy, time_s, part), plan, along, spiky, code[keep] == 1)
