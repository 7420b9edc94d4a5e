"""How long holding a ride against a published line takes, and how right it is.

Run as `python benchmarks/reride.py`. The time is held against a plain discrete Fréchet table
(Eiter and Mannila 1994, from memory) in the same run, at as many points: what a comparison that
minds the order would cost without the runs. Detours of known length, with noise that goes on from
point to point (common practice), say how right the metres are; copies with noise say how often a
difference is told that is none.
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))


from building import track_of
from softpedal.upkeep.reriding.line_cover import cover
from upkeep.noisy_lines import degrees, noisy, points

if TYPE_CHECKING:
    from collections.abc import Callable

    from softpedal.library.track import Floats

POINTS = 2000
NOISES_M = (1.0, 2.0, 3.0, 4.0)


def frechet_m(one: Floats, other: Floats) -> float:
    """Return the discrete Fréchet distance of two lines, (n, 2) and (m, 2), metres.

    The table is filled by its diagonals, which numpy can do at once.
    """
    n, m = len(one), len(other)
    before, last = np.full(n + 1, np.inf), np.full(n + 1, np.inf)
    for diagonal in range(n + m - 1):
        i = np.arange(max(0, diagonal - m + 1), min(n, diagonal + 1))
        apart = np.hypot(*(one[i] - other[diagonal - i]).T)
        # Index i + 1 holds row i, so that row -1 is there and infinite.
        least = np.minimum(np.minimum(last[i], last[i + 1]), before[i])
        here = np.full(n + 1, np.inf)
        here[i + 1] = np.maximum(apart, least) if diagonal else apart
        before, last = last, here
    return float(last[n])


def wandering(seed: int, count: int) -> Floats:
    """Return a line through a made-up town with corners every 100 to 300 m, (count, 2) metres."""
    rng = np.random.default_rng(seed)
    turns = rng.choice([-90.0, -45.0, 0.0, 45.0, 90.0], size=count // 10)
    way = np.radians(np.cumsum(turns))
    steps = rng.uniform(100.0, 300.0, len(way))[:, None] * np.column_stack(
        [np.cos(way), np.sin(way)]
    )
    return points(np.cumsum(steps, axis=0).tolist())[:count]


def best_s(work: Callable[[], object], times: int = 7) -> float:
    """Return the least time that work takes."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        found.append(time.perf_counter() - start)
    return min(found)


def timed() -> None:
    """Print what the comparison costs, and the table."""
    line = wandering(1, POINTS)
    ride = noisy(line, 2)

    def compare() -> object:
        return cover(track_of(degrees(line)), track_of(degrees(ride)))

    def tracks() -> object:
        return track_of(degrees(line)).chainage_m, track_of(degrees(ride)).chainage_m

    ours, making = best_s(compare), best_s(tracks)
    table = best_s(lambda: frechet_m(line, ride), 3)
    print(f"| {POINTS} points each | ms | ratio |\n| --- | --- | --- |")
    print(f"| the comparison | {1000 * (ours - making):.0f} | 1 |")
    print(f"| a plain Fréchet table | {1000 * table:.0f} | {table / (ours - making):.0f} |")


def detour(rng: np.random.Generator) -> tuple[list[tuple[float, float]], float, float]:
    """Return corners with a detour from 600 m on, and the metres left out and put in."""
    along, aside = rng.uniform(100.0, 500.0), rng.uniform(40.0, 300.0) * rng.choice([-1, 1])
    box = [(600.0, 0.0), (600.0, aside), (600.0 + along, aside), (600.0 + along, 0.0)]
    return [(0.0, 0.0), *box, (1500.0, 0.0), (1500.0, 900.0)], along, along + 2 * abs(aside)


def scored(rides: int) -> None:
    """Print how right the metres are, by noise."""
    straight = [(0.0, 0.0), (1500.0, 0.0), (1500.0, 900.0)]
    published = track_of(degrees(points(straight)))
    print(
        "\n| noise | found | left out, mean error | 95 % within | put in, mean error "
        "| differences told that are none, of as many copies |\n" + "| --- " * 6 + "|"
    )
    for noise in NOISES_M:
        found, left, put, none = 0, [], [], 0
        for seed in range(rides):
            corners, there, new = detour(np.random.default_rng(seed))
            ride = track_of(degrees(noisy(points(corners), seed, noise)))
            stretches = cover(published, ride).stretches
            found += len(stretches) == 1
            left.append(sum(s.there_m for s in stretches) - there)
            put.append(sum(s.new_m for s in stretches) - new)
            copy = track_of(degrees(noisy(points(straight), seed, noise)))
            none += bool(cover(published, copy).stretches)
        within = float(np.quantile(np.abs(left), 0.95))
        print(
            f"| {noise:.0f} m | {found / rides:.3f} | {np.mean(left):+.1f} m | {within:.0f} m "
            f"| {np.mean(put):+.1f} m | {none} |"
        )


def main() -> None:
    """Print both tables."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--rides", type=int, default=200)
    asked = ask.parse_args()
    timed()
    scored(asked.rides)


if __name__ == "__main__":
    main()
