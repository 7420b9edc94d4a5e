"""Kinds on the invented town, whose truth is known by construction, and what holds on every map."""

from __future__ import annotations

import json
import time
from collections import Counter
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest

from softpedal.library.notes import KINDS
from softpedal.library.values import check_hours
from softpedal.streets.access import is_main
from softpedal.streets.country import Country, country_of
from softpedal.streets.kinds import Reader
from softpedal.streets.network_reader import read_network
from softpedal.streets.through_traffic import through_traffic

BUILT = Path(__file__).resolve().parents[2] / "site_demo" / "town" / "built"
#: What the drafting has to reach, by length, both directions together.
LEAST_RIGHT = 0.97
#: A ride of 6 km passes so many edges; both ways, with room for a slow and shared machine.
EDGES, MOST_MS = 200, 40.0


@pytest.fixture(scope="module")
def network():
    return read_network(BUILT / "lindenferry.osm")


@pytest.fixture(scope="module")
def truth():
    return json.loads((BUILT / "truth.json").read_text("utf-8"))


@dataclass
class TrueGrades:
    """Verdicts as the town's plan knows them."""

    network: object
    filtered: dict[int, bool]
    closed_by: dict[int, str]
    evidence: dict[int, str]

    def of(self, edge: int) -> str:
        tags = self.network.tags(edge)
        if is_main(tags):
            return "main"
        way = int(self.network.way_id[self.network.edge_way[edge]])
        return "sure" if self.filtered.get(way) else "through"


def by_way(truth) -> dict[int, dict]:
    return {edge["way"]: edge for edge in truth["edges"]}


def share_right(network, truth, reader) -> float:
    known = by_way(truth)
    right = whole = 0.0
    for edge in range(network.n_edges):
        true = known.get(int(network.way_id[network.edge_way[edge]]))
        for forward, kind in ((True, "kind"), (False, "against")):
            if true and true[kind]:
                whole += network.edge_m[edge]
                right += network.edge_m[edge] * (reader.read(edge, forward).kind == true[kind])
    assert whole > 100_000
    return right / whole


def test_with_the_verdicts_of_the_map(network, truth):
    reader = Reader(network, through_traffic(network), country_of("GB"))
    assert share_right(network, truth, reader) >= LEAST_RIGHT


def test_with_true_verdicts_nearly_all_is_right(network, truth):
    filtered = {edge["way"]: edge["filtered"] for edge in truth["edges"]}
    verdicts = TrueGrades(network, filtered, {}, {})
    assert share_right(network, truth, Reader(network, verdicts, country_of("GB"))) >= 0.99


def test_no_street_is_called_quiet_that_is_not(network, truth):
    reader = Reader(network, through_traffic(network), country_of("GB"))
    quiet = {"filtered street", "protected track", "traffic-free path"}
    known = by_way(truth)
    for edge in range(network.n_edges):
        true = known.get(int(network.way_id[network.edge_way[edge]]))
        for forward, kind in ((True, "kind"), (False, "against")):
            if true and true[kind] and reader.read(edge, forward).kind in quiet:
                assert true[kind] in quiet, true["street"]


def test_hours_of_the_streets_that_have_them(network, truth):
    reader = Reader(network, through_traffic(network), country_of("GB"))
    known = by_way(truth)
    found = Counter()
    for edge in range(network.n_edges):
        street = known.get(int(network.way_id[network.edge_way[edge]]), {}).get("street")
        hours = truth["streets"].get(street, {}).get("hours")
        reading = reader.read(edge, True)
        if hours:
            found[street] += 1
            assert dict(reading.hours) | {"otherwise": reading.kind} == hours
        else:
            assert reading.hours == ()
    assert set(found) == {"netmakers-quay", "school-lane-north"}


def holds_everywhere(network, verdicts, country) -> None:
    reader = Reader(network, verdicts, country)
    for edge in range(network.n_edges):
        for forward in (True, False):
            reading = reader.read(edge, forward)
            assert reading.kind in KINDS
            assert bool(reading.why_push) == (reading.kind == "on foot")
            assert 0 < len(reading.evidence) < 400
            if reading.kind == "filtered street":
                grade = verdicts.of(edge)
                assert bool(reading.closed_by) != (grade == "one-ways")
                proved = grade in ("sure", "no motor traffic") or is_main(network.tags(edge))
                assert proved or (grade, reading.confidence) == ("one-ways", "check")
            for hours, kind in reading.hours:
                assert check_hours(hours) == hours
                assert kind in KINDS


def test_what_holds_on_every_map(network):
    holds_everywhere(network, through_traffic(network), country_of("GB"))


@dataclass
class Backwards:
    """The verdicts of a network whose edges stand in the opposite order."""

    verdicts: object
    last: int

    @property
    def closed_by(self):
        return {self.last - edge: text for edge, text in self.verdicts.closed_by.items()}

    @property
    def evidence(self):
        return {self.last - edge: text for edge, text in self.verdicts.evidence.items()}

    def of(self, edge: int) -> str:
        return self.verdicts.of(self.last - edge)


def swapped(tags: dict[str, str], *words: tuple[str, str]) -> dict[str, str]:
    pairs = dict(words) | {b: a for a, b in words}
    return {":".join(pairs.get(p, p) for p in key.split(":")): v for key, v in tags.items()}


def drawn_backwards(network):
    """Return the same town with every way drawn from its other end."""
    ways = []
    for old in network.way_tags:
        tags = swapped(old, ("left", "right"), ("forward", "backward"))
        if tags.get("oneway") in ("yes", "-1"):
            tags["oneway"] = "-1" if tags["oneway"] == "yes" else "yes"
        if tags.get("junction") == "roundabout" and "oneway" not in tags:
            tags["oneway"] = "-1"
        ways.append(tags)
    return replace(
        network,
        edge_from=network.edge_to[::-1].copy(),
        edge_to=network.edge_from[::-1].copy(),
        edge_way=network.edge_way[::-1].copy(),
        edge_m=network.edge_m[::-1].copy(),
        edge_across=network.edge_across[::-1].copy(),
        point_lat=network.point_lat[::-1].copy(),
        point_lon=network.point_lon[::-1].copy(),
        point_start=len(network.point_lat) - network.point_start[::-1],
        way_tags=ways,
    )


def test_it_makes_no_difference_from_which_end_a_way_is_drawn(network):
    verdicts = through_traffic(network)
    last = network.n_edges - 1
    reader = Reader(network, verdicts, country_of("GB"))
    other = Reader(drawn_backwards(network), Backwards(verdicts, last), country_of("GB"))
    differing = [
        (network.name(edge), forward)
        for edge in range(network.n_edges)
        for forward in (True, False)
        if reader.read(edge, forward).kind != other.read(last - edge, not forward).kind
    ]
    assert differing == []


def test_in_a_mirror_one_drives_on_the_other_side_and_all_else_is_the_same(network):
    verdicts = through_traffic(network)
    ways = [swapped(tags, ("left", "right")) for tags in network.way_tags]
    mirrored = replace(network, way_tags=ways)
    left, right = Country("GB", drives_left=True), Country("GB", drives_left=False)
    reader, other = Reader(network, verdicts, left), Reader(mirrored, verdicts, right)
    wrong_side = Reader(network, verdicts, right)
    same = {
        (edge, forward): reader.read(edge, forward).kind == other.read(edge, forward).kind
        for edge in range(network.n_edges)
        for forward in (True, False)
    }
    assert all(same.values())
    assert any(reader.read(*key).kind != wrong_side.read(*key).kind for key in same)


def test_reading_a_ride_takes_no_time_to_speak_of(network):
    verdicts = through_traffic(network)
    assert len(network.lines) == network.n_edges  # the matching needs them before
    edges = np.random.default_rng(4).permutation(network.n_edges)[:EDGES].tolist()
    best = float("inf")
    for _ in range(3):
        reader = Reader(network, verdicts, country_of("GB"))
        start = time.process_time()
        for edge in edges:
            reader.read(edge, True)
            reader.read(edge, False)
        best = min(best, (time.process_time() - start) * 1e3)
    assert best <= MOST_MS
