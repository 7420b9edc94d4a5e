"""Turns a ride over the plan into a recorded line: true points, noise, heights and a GPX file."""

from __future__ import annotations

import math
import random
import zlib
from bisect import bisect_right
from dataclasses import dataclass
from html import escape
from itertools import pairwise
from typing import TYPE_CHECKING

from grid import points, to_degrees, to_grid
from junctions import spot
from shapely import LineString
from shapely.geometry import Point as ShapelyPoint

if TYPE_CHECKING:
    from grid import Point
    from junctions import Network
    from ride_plan import Ride

_STEP_M = 10.0
#: Spread of the receiver's error, and the way over which it forgets itself, metres.
_SPREAD_M, _MEMORY_M = 2.2, 60.0
#: How near the line comes to a place that it passes, and how far apart two passes are, metres.
_PASS_M, _SAME_PASS_M = 15.0, 60.0
_HEIGHT_SPREAD_M, _HEIGHT_MEMORY_M = 1.2, 150.0


@dataclass(frozen=True, slots=True)
class Stretch:
    """A piece of the true line on one street, and whether it follows the drawn direction."""

    street: str
    line: list[Point]
    forward: bool


@dataclass(frozen=True, slots=True)
class Recording:
    """A recorded line.

    Attributes:
        true_line: where the rider went, grid points.
        lat_lon: the published points, degrees.
        heights: metres, or empty where not recorded.
        true_m: distance along the true line at each published point.
        chainage_m: cumulative distance along the published line.
    """

    true_line: list[Point]
    lat_lon: list[Point]
    heights: list[float]
    true_m: list[float]
    chainage_m: list[float]

    def published(self, true_m: float) -> float:
        """Return the chainage along the published line at a distance along the true one."""
        index = min(max(bisect_right(self.true_m, true_m) - 1, 0), len(self.true_m) - 2)
        a, b = self.true_m[index : index + 2]
        c, d = self.chainage_m[index : index + 2]
        return c + (d - c) * min(max((true_m - a) / (b - a), 0.0), 1.0)


def stretches(network: Network, ride: Ride) -> list[Stretch]:
    """Return the pieces of streets that a ride consists of.

    Raises:
        ValueError: two streets that follow each other do not meet.
    """
    keys = ride.streets.split()
    here = _on(network, keys[0], points(ride.start)[0])
    found = []
    for index, key in enumerate(keys):
        line = _with(network.streets[key].line, here)
        if index + 1 < len(keys):
            there = _meeting(network, key, keys[index + 1], here)
        else:
            there = _on(network, key, points(ride.finish)[0])
            line = _with(line, there)
        a, b = line.index(here), line.index(there)
        piece = line[a : b + 1] if a <= b else line[b : a + 1][::-1]
        found.append(Stretch(key, piece, a <= b))
        here = there
    return [s for s in found if len(s.line) > 1]


def record(network: Network, ride: Ride) -> Recording:
    """Return the line that a receiver would have recorded on a ride; the same one each time."""
    chance = random.Random(zlib.crc32(f"{ride.route}/{ride.file}".encode()))
    line = [p for s in stretches(network, ride) for p in s.line]
    line = [line[0], *(b for a, b in pairwise(line) if a != b)]
    true = LineString(line)
    count = round(true.length / _STEP_M)
    true_m = [true.length * i / count for i in range(count + 1)]
    east = _drift(chance, count + 1, _SPREAD_M, _MEMORY_M)
    north = _drift(chance, count + 1, _SPREAD_M, _MEMORY_M)
    lift = _drift(chance, count + 1, _HEIGHT_SPREAD_M, _HEIGHT_MEMORY_M)
    spots = [true.interpolate(m) for m in true_m]
    lat_lon = [to_degrees((p.x + e, p.y + n)) for p, e, n in zip(spots, east, north, strict=True)]
    heights = [round(ground_height((p.x, p.y)) + u, 1) for p, u in zip(spots, lift, strict=True)]
    chainage = [0.0]
    for a, b in pairwise(lat_lon):
        chainage.append(chainage[-1] + _metres(a, b))
    return Recording(line, lat_lon, heights if ride.heights else [], true_m, chainage)


def true_distances(line: list[Point], point: Point) -> list[float]:
    """Return the distances along a line at which it passes within 15 m of a point, one a pass."""
    passes: list[tuple[float, float]] = []
    travelled = 0.0
    target = ShapelyPoint(point)
    for a, b in pairwise(line):
        step = LineString([a, b])
        found = (travelled + step.project(target), step.distance(target))
        travelled += step.length
        if found[1] > _PASS_M:
            continue
        if passes and found[0] - passes[-1][0] < _SAME_PASS_M:
            passes[-1] = min(passes[-1], found, key=lambda pass_: pass_[1])
        else:
            passes.append(found)
    return [at for at, _ in passes]


def ground_height(point: Point) -> float:
    """Return the ground's height in metres: a gentle rise to the north, a hill in the south."""
    x, y = point
    rise = 0.012 * max(0.0, y + 380)
    knoll = 5 * math.exp(-(((x - 570) / 200) ** 2) - ((y - 780) / 200) ** 2)
    hill = 75 * math.exp(-(((x + 250) / 600) ** 2) - ((y + 1950) / 480) ** 2)
    return 4 + rise + knoll + hill


def gpx_text(recording: Recording, ride: Ride, name: str) -> str:
    """Return a GPX 1.1 file: named places and one line, without times or extensions."""
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        '<gpx version="1.1" creator="softpedal" xmlns="http://www.topografix.com/GPX/1/1">',
        f"  <metadata><name>{escape(name)}</name></metadata>",
    ]
    for label, where in ride.waypoints:
        lat, lon = to_degrees(points(where)[0])
        lines.append(f'  <wpt lat="{lat:.6f}" lon="{lon:.6f}"><name>{escape(label)}</name></wpt>')
    lines += ["  <trk>", "    <trkseg>"]
    for index, (lat, lon) in enumerate(recording.lat_lon):
        head = f'      <trkpt lat="{lat:.6f}" lon="{lon:.6f}"'
        height = recording.heights[index] if recording.heights else None
        lines.append(f"{head}/>" if height is None else f"{head}><ele>{height}</ele></trkpt>")
    lines += ["    </trkseg>", "  </trk>", "</gpx>"]
    return "".join(f"{line}\n" for line in lines)


def _drift(chance: random.Random, count: int, spread: float, memory: float) -> list[float]:
    """Return an error that wanders: first-order autoregressive, of a given spread."""
    keep = math.exp(-_STEP_M / memory)
    fresh = spread * math.sqrt(1 - keep * keep)
    values = [chance.gauss(0.0, spread)]
    while len(values) < count:
        values.append(keep * values[-1] + chance.gauss(0.0, fresh))
    return values


def _metres(a: Point, b: Point) -> float:
    """Return the distance of two near points given in degrees.

    The grid is stretched by the latitude, so the step east is scaled to that of its own latitude.
    """
    ax, ay = to_grid(*a)
    bx, by = to_grid(*b)
    scale = math.cos(math.radians((a[0] + b[0]) / 2)) / math.cos(math.radians(50.010))
    return math.hypot((bx - ax) * scale, by - ay)


def _on(network: Network, key: str, point: Point) -> Point:
    street = network.streets[key]
    line = LineString(street.line)
    foot = line.interpolate(line.project(ShapelyPoint(point)))
    nearest = min(street.line, key=lambda p: math.dist(p, (foot.x, foot.y)))
    return nearest if math.dist(nearest, (foot.x, foot.y)) < 1 else spot((foot.x, foot.y))


def _with(line: list[Point], point: Point) -> list[Point]:
    """Return the line with a point on it as one of its vertices."""
    if point in line:
        return list(line)
    along = LineString(line).project(ShapelyPoint(point))
    travelled = 0.0
    for index, (a, b) in enumerate(pairwise(line), start=1):
        travelled += math.dist(a, b)
        if travelled >= along:
            return [*line[:index], point, *line[index:]]
    raise ValueError(f"{point} is not on the line")


def _meeting(network: Network, key: str, following: str, here: Point) -> Point:
    line = network.streets[key].line
    shared = [p for p in line if p in network.streets[following].line and p != here]
    if not shared:
        raise ValueError(f"{key} and {following} do not meet")
    return min(shared, key=lambda p: math.dist(p, here))
