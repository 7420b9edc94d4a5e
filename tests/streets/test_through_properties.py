"""What must hold of the verdicts on any town: walls only ever close, and numbers mean nothing."""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from softpedal.streets.motor_graph import read_roads
from softpedal.streets.through_traffic import (
    GRADES,
    OBEYED,
    OPEN,
    TAGGED,
    passes,
    through_traffic,
)
from streets.random_town import random_town

SURE = GRADES.index("sure")
#: Grades of streets that one cannot drive through as tagged.
FILTERED = [GRADES.index(g) for g in ("sure", "gate", "one-ways")]

seeds = st.integers(0, 2**32)


def town_of(seed: int):
    return random_town(random.Random(seed), 5, 5)


def minor_grades(town) -> np.ndarray:
    return through_traffic(town.network()).grade[: len(town.streets)]


def renumbered(network, order):
    """Return the same network with its nodes in another order: node i becomes `order[i]`."""
    back = np.argsort(order)
    return replace(
        network,
        node_id=network.node_id[back],
        lat=network.lat[back],
        lon=network.lon[back],
        node_cut=network.node_cut[back],
        edge_from=order[network.edge_from],
        edge_to=order[network.edge_to],
        node_tags={int(order[n]): tags for n, tags in network.node_tags.items()},
    )


@settings(max_examples=150, deadline=None)
@given(seeds)
def test_a_barrier_never_opens_a_street(seed) -> None:
    town = town_of(seed)
    before = minor_grades(town)
    corners = sorted({p for a, b, *_ in town.streets for p in (a, b)} - town.barriers)
    if not corners:
        return
    town.barriers.add(random.Random(seed).choice(corners))
    after = minor_grades(town)
    assert np.isin(after[np.isin(before, FILTERED)], FILTERED).all()
    assert (after[before == SURE] == SURE).all()


@settings(max_examples=150, deadline=None)
@given(seeds)
def test_taking_a_barrier_away_never_closes_a_street(seed) -> None:
    town = town_of(seed)
    if not town.barriers:
        return
    before = minor_grades(town)
    town.barriers.discard(random.Random(seed).choice(sorted(town.barriers)))
    after = minor_grades(town)
    assert not (np.isin(after, FILTERED) & ~np.isin(before, FILTERED)).any()
    assert not ((after == SURE) & (before != SURE)).any()


@settings(max_examples=150, deadline=None)
@given(seeds)
def test_turning_every_one_way_round_changes_nothing(seed) -> None:
    town = town_of(seed)
    turned = replace(town, streets=[(a, b, -way) for a, b, way in town.streets])
    assert (minor_grades(turned) == minor_grades(town)).all()


@settings(max_examples=100, deadline=None)
@given(seeds)
def test_numbers_and_order_mean_nothing(seed) -> None:
    network = town_of(seed).network()
    before = through_traffic(network)
    generator = np.random.default_rng(seed)
    after = through_traffic(renumbered(network, generator.permutation(network.n_nodes)))
    assert (after.grade == before.grade).all()
    assert after.closed_by == before.closed_by
    turned = replace(
        network,
        edge_from=network.edge_to,
        edge_to=network.edge_from,
        way_tags=[_turned(tags) for tags in network.way_tags],
    )
    assert (through_traffic(turned).grade == before.grade).all()


@settings(max_examples=100, deadline=None)
@given(seeds)
def test_what_is_open_as_tagged_is_open_with_gates_open(seed) -> None:
    town = town_of(seed)
    network = town.network()
    for way, tags in enumerate(network.way_tags[: len(town.streets)]):
        if way % 5 == 0:
            tags["motor_vehicle"] = "destination"
        if way % 7 == 0:
            tags["motor_vehicle"] = "private"
    roads = read_roads(network)
    opened, tagged, obeyed = (passes(network, roads, s) for s in (OPEN, TAGGED, OBEYED))
    assert not (tagged.driven & ~opened.driven).any()
    assert not (tagged.either_way & ~opened.either_way).any()
    assert not (obeyed.either_way & ~tagged.either_way).any()


def _turned(tags):
    other = {"yes": "-1", "-1": "yes"}
    return {k: other.get(v, v) if k == "oneway" else v for k, v in tags.items()}
