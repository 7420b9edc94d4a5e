"""Whether cleaning a recording harms what is drafted of it: rides matched raw, and cleaned first.

Run as `python benchmarks/cleaning.py FILE:COUNTRY …`. Rides are made on the network, with a
receiver's noise (`made_rides`), and scored as `match_quality` does.
"""

from __future__ import annotations

import argparse
import sys
import time
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests"))

# ruff: noqa: E402 - the town's extract stands with the tests
from made_rides import Riders
from match_quality import Score, add

from softpedal.draft.matching import match
from softpedal.draft.ride import cleaned
from softpedal.streets.country import country_of
from softpedal.streets.network_store import keep_network
from town_truth import EXTRACT

if TYPE_CHECKING:
    from made_rides import Truth

    from softpedal.draft.ride import Ride

CASES = (("4 m", 4.0, 0.0), ("8 m + 8 m", 8.0, 8.0))
HEAD = (
    "| town | noise | recording | on the right way | by place | pushes found | pushes false "
    "| points | length | s to clean 6 km |\n" + "| --- " * 10 + "|"
)


def at_points(truth: Truth, raw: Ride, ride: Ride) -> Truth:
    """Return the truth of a raw ride at the points of a cleaned one, by the clock."""
    i = np.searchsorted(raw.time_s, ride.time_s)
    return replace(
        truth,
        edge=truth.edge[i],
        forward=truth.forward[i],
        metres=truth.metres[i],
        pushed=truth.pushed[i],
    )


def main() -> None:
    """Print the table."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("extract", nargs="*", help="FILE:COUNTRY, a map extract and where it is")
    ask.add_argument("--rides", type=int, default=10)
    ask.add_argument("--first-seed", type=int, default=7000)
    ask.add_argument("--keep", type=Path, default=Path("test-artefacts/networks"))
    asked = ask.parse_args()
    print(HEAD)
    for name in (f"{EXTRACT}:GB", *asked.extract):
        path, _, code = name.rpartition(":")
        network = keep_network(Path(path), asked.keep / Path(path).name)
        riders = Riders(network, country_of(code))
        for case, noise, bias in CASES:
            raw_score, clean_score = Score(), Score()
            points, lengths, seconds = [0, 0], [0.0, 0.0, 0.0], 0.0
            for seed in range(asked.first_seed, asked.first_seed + asked.rides):
                raw, truth = riders.ride(seed, noise, bias)
                add(raw_score, riders, raw, truth, match(network, raw, country_of(code)))
                started = time.process_time()
                ride = cleaned(raw)
                seconds += time.process_time() - started
                there = at_points(truth, raw, ride)
                add(clean_score, riders, ride, there, match(network, ride, country_of(code)))
                points = [points[0] + len(raw.lat), points[1] + len(ride.lat)]
                now = (raw.track.length_m, ride.track.length_m, float(truth.metres[-1]))
                lengths = [a + b for a, b in zip(lengths, now, strict=True)]
            for k, (what, score) in enumerate((("raw", raw_score), ("cleaned", clean_score))):
                took = f"{seconds / lengths[2] * 6000:.2f}" if k else "–"
                print(
                    f"| {Path(path).name.partition('.')[0]} | {case} | {what} "
                    f"| {score.share:.4f} | {score.right / score.ridden:.3f} "
                    f"| {score.pushes_found} of {score.pushes} "
                    f"| {score.pushes_false} of {score.pushes_matched} | {points[k]:,} "
                    f"| {lengths[k] / lengths[2] - 1:+.1%} | {took} |",
                    flush=True,
                )


if __name__ == "__main__":
    main()
