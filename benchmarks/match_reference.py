"""The same made-up rides matched by softpedal and by an independent general library.

Run as `python benchmarks/match_reference.py FILE:COUNTRY …` in an environment that also has
`pyvalhalla` (PyPI, MIT), whose map matching is a hidden Markov model of its own. Helsinki centre
comes out of a registry package. Both are scored alike: of the ways truly ridden, by length, those
that are matched in the same order (longest common subsequence of OpenStreetMap ways).
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests"))

# ruff: noqa: E402 - the extracts stand with the tests
import valhalla
from made_rides import Riders
from match_quality import CASES

from real_extracts import helsinki
from softpedal.draft.matching import match
from softpedal.streets.country import country_of
from softpedal.streets.network_reader import read_network

if TYPE_CHECKING:
    from made_rides import Truth

    from softpedal.draft.ride import Ride
    from softpedal.streets.network import Network

#: Metres in which the other library looks for a street, and the noise that it is told of.
SEARCH_M = 60
HEAD = "| town | noise | matched by | on the right way | s for 6 km |\n" + "| --- " * 5 + "|"

Ways = list[tuple[int, float]]


@dataclass(slots=True)
class Sums:
    """Metres and seconds over rides."""

    ridden: float = 0.0
    common: float = 0.0
    seconds: float = 0.0
    failed: list[str] = field(default_factory=list)


def joined(ways: Ways) -> Ways:
    """Return ways with those that follow on themselves as one."""
    found: Ways = []
    for way, metres in ways:
        if found and found[-1][0] == way:
            found[-1] = way, found[-1][1] + metres
        else:
            found.append((way, metres))
    return found


def common_m(true: Ways, matched: Ways) -> float:
    """Return the metres of the longest common subsequence of two lists of ways."""
    best = [0.0] * (len(true) + 1)
    for way, metres in matched:
        row = best[:]
        for i, (other, length) in enumerate(true, 1):
            taken = best[i - 1] + min(metres, length) if way == other else 0.0
            row[i] = max(best[i], row[i - 1], taken)
        best = row
    return best[-1]


def true_ways(network: Network, truth: Truth) -> Ways:
    """Return the ways truly ridden, with their metres."""
    ids, lengths = network.way_id, network.edge_m
    return joined([(int(ids[network.edge_way[e]]), float(lengths[e])) for e, _ in truth.steps])


def ours(network: Network, country: str, ride: Ride) -> Ways:
    """Return the ways matched by softpedal."""
    pieces = match(network, ride, country_of(country)).pieces
    return joined(
        [
            (int(network.way_id[network.edge_way[p.edge]]), abs(p.edge_to_m - p.edge_from_m))
            for p in pieces
        ]
    )


def theirs(actor: valhalla.Actor, ride: Ride, sigma: float, costing: str) -> Ways:
    """Return the ways matched by the other library."""
    shape = [
        {"lat": a, "lon": b} for a, b in zip(ride.lat.tolist(), ride.lon.tolist(), strict=True)
    ]
    if ride.time_s is not None:
        for point, seconds in zip(shape, ride.time_s.tolist(), strict=True):
            point["time"] = seconds
    answer = actor.trace_attributes(
        {
            "shape": shape,
            "costing": costing,
            "shape_match": "map_snap",
            "trace_options": {"gps_accuracy": sigma, "search_radius": SEARCH_M},
            "filters": {"attributes": ["edge.way_id", "edge.length"], "action": "include"},
        }
    )
    return joined([(e["way_id"], 1000 * e["length"]) for e in answer["edges"]])


def tiles(extract: Path, folder: Path) -> valhalla.Actor:
    """Build the other library's own form of an extract."""
    (folder / "tiles").mkdir(parents=True)
    config = valhalla.get_config(tile_extract="", tile_dir=str(folder / "tiles"))
    config["service_limits"]["trace"].update(max_shape=100_000, max_distance=200_000.0)
    config["service_limits"]["trace"].update(max_search_radius=100.0)
    (folder / "config.json").write_text(json.dumps(config))
    program = Path(valhalla.__file__).parent / "bin" / "valhalla_build_tiles"
    command = [program, "-c", str(folder / "config.json"), str(extract)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode:
        raise SystemExit(
            f"{extract.name} could not be built:\n{(done.stderr or done.stdout)[-800:]}"
        )
    return valhalla.Actor(config)


def main() -> None:
    """Print the table."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("extract", nargs="*", help="FILE:COUNTRY, another extract and where it is")
    ask.add_argument("--rides", type=int, default=6)
    ask.add_argument("--first-seed", type=int, default=5000)
    asked = ask.parse_args()
    print(HEAD)
    with tempfile.TemporaryDirectory() as place:
        for name in (f"{helsinki()}:FI", *asked.extract):
            path, _, code = name.rpartition(":")
            network = read_network(Path(path))
            town = Path(path).name.partition(".")[0]
            actor = tiles(Path(path), Path(place) / town)
            riders = Riders(network, country_of(code))
            for case, noise, bias, timed in CASES:
                by = {"softpedal": Sums(), "by bicycle": Sums(), "on foot": Sums()}
                for seed in range(asked.first_seed, asked.first_seed + asked.rides):
                    ride, truth = riders.ride(seed, noise, bias, timed=timed)
                    true = true_ways(network, truth)
                    for who, sums in by.items():
                        started = time.process_time()
                        try:
                            if who == "softpedal":
                                found = ours(network, code, ride)
                            else:
                                costing = "bicycle" if who == "by bicycle" else "pedestrian"
                                found = theirs(actor, ride, max(noise, 5.0), costing)
                        except RuntimeError as error:
                            sums.failed.append(str(error))
                            found = []
                        sums.seconds += time.process_time() - started
                        sums.ridden += sum(metres for _, metres in true)
                        sums.common += common_m(true, found)
                for who, s in by.items():
                    label = who if who == "softpedal" else f"pyvalhalla, {who}"
                    failed = f" ({len(s.failed)} failed)" if s.failed else ""
                    print(
                        f"| {town} | {case} | {label}{failed} | {s.common / s.ridden:.4f} "
                        f"| {s.seconds / s.ridden * 6000:.2f} |",
                        flush=True,
                    )


if __name__ == "__main__":
    main()
