"""How well rides are matched: a table over made-up rides on real networks, the truth known.

"On the right way": of the edges truly ridden, by length, those that are matched in the same order
and direction (longest common subsequence). A pavement beside the right street counts as wrong; all
lines over one square count as one way. "Added" is what is matched beyond them, by length. So does
Newson and Krumm's "route mismatch" compare routes. "By place" is stricter: at each metre truly
ridden, the same OpenStreetMap way at the same moment; the noise along the ride alone costs some
there, at each change of way. A push is a stretch of 15 m or more on ways that are not ridden; it
is found if half of its metres are matched to ways that are not ridden either; a matched push is
false if less than half of it was truly pushed.
"""

from __future__ import annotations

import argparse
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from made_rides import Riders

from softpedal.draft.matching import match
from softpedal.streets.country import country_of
from softpedal.streets.network_store import keep_network

if TYPE_CHECKING:
    from collections.abc import Iterable

    from made_rides import Truth
    from numpy.typing import NDArray

    from softpedal.draft.chain import Chain
    from softpedal.draft.ride import Ride
    from softpedal.streets.network import Network

PUSH_M = 15.0
GRADES = ("sure", "check", "guess")
#: Name of the case, noise on each axis, bias, whether there are times.
CASES = (
    ("4 m", 4.0, 0.0, True),
    ("8 m + 8 m", 8.0, 8.0, True),
    ("4 m, no times", 4.0, 0.0, False),
)


@dataclass(slots=True)
class Score:
    """Sums over rides, in metres unless said otherwise."""

    ridden: float = 0.0
    route: float = 0.0
    common: float = 0.0
    added: float = 0.0
    right: float = 0.0
    broken: float = 0.0
    per_ride: list[float] = field(default_factory=list)
    graded: dict[str, float] = field(default_factory=lambda: dict.fromkeys(GRADES, 0.0))
    graded_right: dict[str, float] = field(default_factory=lambda: dict.fromkeys(GRADES, 0.0))
    pushes: int = 0
    pushes_found: int = 0
    pushes_matched: int = 0
    pushes_false: int = 0
    seconds: float = 0.0

    @property
    def share(self) -> float:
        """Share of the metres that is on the right way."""
        return self.common / self.route


def add(score: Score, riders: Riders, ride: Ride, truth: Truth, chain: Chain) -> None:
    """Add one matched ride to the sums."""
    net = riders.network
    at = ride.track.chainage_m
    middle = (at[:-1] + at[1:]) / 2
    metres = np.diff(truth.metres)
    starts = np.array([p.from_m for p in chain.pieces])
    ends = np.array([p.to_m for p in chain.pieces])
    i = np.clip(np.searchsorted(starts, middle, side="right") - 1, 0, len(starts) - 1)
    on = (middle >= starts[i]) & (middle <= ends[i])
    edges = np.array([p.edge for p in chain.pieces])[i]
    forward = np.array([p.forward for p in chain.pieces])[i]
    right = on & (net.edge_way[edges] == net.edge_way[truth.edge[:-1]])
    score.ridden += float(metres.sum())
    score.right += float(metres[right].sum())
    score.broken += float(metres[~on].sum())
    common = _common(net, truth.steps, chain)
    route = float(net.edge_m[[edge for edge, _ in truth.steps]].sum())
    score.route += route
    score.common += common
    score.added += sum(abs(p.edge_to_m - p.edge_from_m) for p in chain.pieces) - common
    score.per_ride.append(common / route)
    grades = np.array([p.confidence for p in chain.pieces])[i]
    for grade in GRADES:
        score.graded[grade] += float(metres[on & (grades == grade)].sum())
        score.graded_right[grade] += float(metres[right & (grades == grade)].sum())
    true_push = truth.pushed[:-1]
    push = on & (riders.code[edges, np.where(forward, 0, 1)] == 1)
    for a, b in _runs(true_push):
        if metres[a:b].sum() >= PUSH_M:
            score.pushes += 1
            score.pushes_found += bool(metres[a:b][push[a:b]].sum() >= metres[a:b].sum() / 2)
    for a, b in _runs(push):
        if metres[a:b].sum() >= PUSH_M:
            score.pushes_matched += 1
            truly = metres[a:b][true_push[a:b]].sum()
            score.pushes_false += bool(truly < metres[a:b].sum() / 2)


def _common(net: Network, steps: list[tuple[int, bool]], chain: Chain) -> float:
    """Return the metres of the longest common subsequence of the edges ridden and matched."""
    is_area = np.array([tags.get("area") == "yes" for tags in net.way_tags])

    def token(edge: NDArray[np.intp], forward: NDArray[np.bool_]) -> NDArray[np.intp]:
        way = net.edge_way[edge]
        return np.where(is_area[way], -1 - way, edge * 2 + forward)

    ridden = np.array(steps)
    true = token(ridden[:, 0], ridden[:, 1])
    true_m = net.edge_m[ridden[:, 0]]
    found = token(
        np.array([p.edge for p in chain.pieces]), np.array([p.forward for p in chain.pieces])
    )
    best = np.zeros(len(true) + 1)
    for p, one in zip(chain.pieces, found.tolist(), strict=True):
        metres = np.minimum(abs(p.edge_to_m - p.edge_from_m), true_m)
        taken = best[:-1] + np.where(true == one, metres, 0.0)
        best[1:] = np.maximum.accumulate(np.maximum(best[1:], taken))
    return float(best[-1])


def _runs(flags: NDArray[np.bool_]) -> Iterable[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.concatenate([[False], flags, [False]]).astype(int)))
    return zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True)


def score(
    riders: Riders, country: str, seeds: range, noise: float, bias: float, *, timed: bool
) -> Score:
    """Return the score of rides with these seeds, each there and back."""
    found = Score()
    for seed in seeds:
        for backward in (False, True):
            ride, truth = riders.ride(seed, noise, bias, backward=backward, timed=timed)
            started = time.process_time()
            chain = match(riders.network, ride, country_of(country))
            found.seconds += time.process_time() - started
            add(found, riders, ride, truth, chain)
    return found


def row(town: str, case: str, s: Score) -> str:
    """Return a row of the table."""

    def part(a: float, b: float) -> str:
        return f"{a / b:.3f}" if b else "–"

    grades = " | ".join(
        f"{part(s.graded_right[g], s.graded[g])} ({s.graded[g] / s.ridden:.0%})" for g in GRADES
    )
    pushes = f"{s.pushes_found} of {s.pushes} | {s.pushes_false} of {s.pushes_matched}"
    speed = s.seconds / s.ridden * 6000
    return (
        f"| {town} | {case} | {s.share:.4f} | {min(s.per_ride):.3f} "
        f"| {s.added / s.route:.2%} | {s.right / s.ridden:.3f} | {s.broken / s.ridden:.2%} "
        f"| {grades} | {pushes} | {speed:.2f} |"
    )


HEAD = (
    "| town | noise | on the right way | worst ride | added | by place | off the map "
    "| sure: right (share) | check | guess | pushes found | pushes false | s for 6 km |\n"
    + "| --- " * 13
    + "|"
)


def main() -> None:
    """Print the table."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("extract", nargs="+", help="FILE:COUNTRY, a map extract and where it is")
    ask.add_argument("--rides", type=int, default=15)
    ask.add_argument("--first-seed", type=int, default=1000)
    ask.add_argument("--keep", type=Path, default=Path("test-artefacts/networks"))
    asked = ask.parse_args()
    print(HEAD)
    for name in asked.extract:
        path, _, code = name.rpartition(":")
        network = keep_network(Path(path), asked.keep / Path(path).name)
        riders = Riders(network, country_of(code))
        seeds = range(asked.first_seed, asked.first_seed + asked.rides)
        for case, noise, bias, timed in CASES:
            found = score(riders, code, seeds, noise, bias, timed=timed)
            print(row(Path(path).name.partition(".")[0], case, found), flush=True)


if __name__ == "__main__":
    main()
