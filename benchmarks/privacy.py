"""How near an attacker comes to a home whose tracks were cut by private zones: prints the tables.

Run as `python benchmarks/privacy.py [FILE …]`: homes stand in invented street grids, in
open country, and in the streets of real extracts named on the command line.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from dataclasses import dataclass, replace
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests"))

# ruff: noqa: E402 - the rides and the attackers stand with the tests
from rides_from_home import (
    ATTACKERS,
    RADIUS_M,
    Streets,
    grid,
    knows_the_method,
    miss,
    published,
    rides_from,
    straight_rides,
    zone_at,
)
from softpedal.draft import privacy
from softpedal.draft.ride import RideError
from softpedal.library.private_zones import Circle, Zones
from softpedal.streets.network_store import keep_network

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Home = tuple[Floats, list[Floats]]

HOMES, SECRETS, COUNTS = 60, 3, (10, 25, 50, 100)
#: How far from a home the real streets are taken, in metres; rides end within it.
AROUND_M = 1900.0
ALL = {**ATTACKERS, "knows the method": knows_the_method}
HEAD = f"| {{}} | {' | '.join(f'{count} rides' for count in COUNTS)} | within 0.25, of 50 |"


@dataclass(frozen=True)
class Centred(Zones):
    """A circle with the home in its middle, to compare."""

    def circles(self) -> tuple[Circle, ...]:
        """Return the circles."""
        return tuple(Circle(z.lat, z.lon, z.radius_m) for z in self.zones)


def fixed(home: Floats, number: int, secret: int) -> Callable[[int], Zones]:
    """Return the zones that softpedal cuts: the same for every ride."""
    drawn = np.random.default_rng([7, number, secret]).bytes(32)
    zones = Zones((), drawn).with_zone(zone_at(home))
    return lambda _: zones


def centred(home: Floats, _number: int, _secret: int) -> Callable[[int], Zones]:
    """Return a circle round the home itself."""
    zones = Centred((zone_at(home),), b"")
    return lambda _: zones


def anew(home: Floats, number: int, secret: int) -> Callable[[int], Zones]:
    """Return an offset that is drawn anew for each ride."""
    zones = Zones((zone_at(home),))
    return lambda ride: replace(
        zones, secret=np.random.default_rng([8, number, secret, ride]).bytes(32)
    )


def table(
    title: str,
    homes: Sequence[Home],
    zones_of: Callable[[Floats, int, int], Callable[[int], Zones]],
) -> None:
    """Print the median miss of each attacker in radii of the zone, by number of rides."""
    misses: dict[tuple[str, int], list[float]] = {}
    for number, (home, rides) in enumerate(homes):
        for secret in range(SECRETS):
            zones = zones_of(home, number, secret)
            ends = [_published(ride, zones(index)) for index, ride in enumerate(rides)]
            for count in COUNTS:
                seen = list(chain.from_iterable(ends[:count]))
                for name, attack in ALL.items():
                    off = miss(attack(seen), home) if seen else np.inf
                    misses.setdefault((name, count), []).append(off)
    print("\n" + HEAD.format(title))
    print("| --- " * (len(COUNTS) + 2) + "|")
    for name in ALL:
        medians = " | ".join(f"{np.median(misses[name, count]):.2f}" for count in COUNTS)
        near = np.mean(np.array(misses[name, 50]) < 0.25)
        print(f"| {name} | {medians} | {near:.0%} |")


def _published(ride: Floats, zones: Zones) -> list[Floats]:
    try:
        return published(ride, zones)
    except RideError:  # so short a ride is not published at all
        return []


def in_grids() -> list[Home]:
    """Return homes in invented street grids, with their rides."""
    found = []
    for number in range(HOMES):
        rng = np.random.default_rng([5, number])
        found.append(rides_from(rng, grid(rng), max(COUNTS)))
    return found


def in_extract(path: Path) -> list[Home]:
    """Return homes in the middle of blocks of a real town, with rides along its streets.

    Streets are taken to be straight from junction to junction.
    """
    with tempfile.TemporaryDirectory() as cache:
        network = keep_network(path, Path(cache))
    xy = network.node_xy
    roads = [
        edge
        for edge in range(network.n_edges)
        if network.tags(edge).get("highway") in {"residential", "tertiary", "unclassified"}
    ]
    used = {edge: (int(network.edge_from[edge]), int(network.edge_to[edge])) for edge in roads}
    rng = np.random.default_rng(6)
    found: list[Home] = []
    tries = 0
    while len(found) < HOMES // 2 and tries < 400:
        tries += 1
        middle = xy[rng.choice([ends[0] for ends in used.values()])]
        near = np.flatnonzero(np.hypot(*(xy - middle).T) < AROUND_M)
        index = {int(node): i for i, node in enumerate(near)}
        beside: list[list[int]] = [[] for _ in near]
        for a, b in used.values():
            if a in index and b in index and a != b:
                beside[index[a]].append(index[b])
                beside[index[b]].append(index[a])
        if sum(map(len, beside)) < 600:
            continue  # open country, or the edge of the extract
        streets = Streets(xy[near] - middle, beside)
        try:
            found.append(rides_from(rng, streets, max(COUNTS)))
        except ValueError:  # no way leads far enough from there
            continue
    return found


def main() -> None:
    """Print one table after another."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("extracts", nargs="*", help="map extracts", metavar="FILE")
    arguments = parser.parse_args()
    print(f"Zones of {RADIUS_M:.0f} m; misses in radii.")
    homes = in_grids()
    table("invented grids", homes, fixed)
    turn, privacy.TURN_DEGREES = privacy.TURN_DEGREES, 360.0
    table("without the cut to the next turn", homes, fixed)
    privacy.TURN_DEGREES = turn
    table("circle round the home", homes, centred)
    table("offset anew for each ride", homes, anew)
    straight = [straight_rides(np.random.default_rng([4, n]), max(COUNTS)) for n in range(HOMES)]
    table("straight ways to all sides", straight, fixed)
    for extract in arguments.extracts:
        homes = in_extract(Path(extract))
        table(f"{Path(extract).name}, {len(homes)} homes", homes, fixed)


if __name__ == "__main__":
    main()
