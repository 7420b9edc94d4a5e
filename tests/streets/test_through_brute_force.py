"""The tests for through traffic against trying every path, on more than 20,000 random streets."""

from __future__ import annotations

import random

import numpy as np
import pytest

from softpedal.streets.motor_graph import read_roads
from softpedal.streets.through_traffic import (
    GRADES,
    NOTHING_BEYOND,
    OPEN,
    TAGGED,
    passes,
    through_traffic,
)
from streets.random_town import random_town, through

STREETS = 20_000
#: A street wrongly called through is a nuisance, not a lie; more than this share is a fault.
MOST_FALSE = 0.015


@pytest.fixture(scope="module")
def tried():
    """Return, for each town, what was found and what trying every path says."""
    generator = random.Random(20_240)
    found, streets = [], 0
    while streets < STREETS:
        size = generator.choice(((4, 4), (5, 4), (5, 5)))
        town = random_town(generator, *size)
        if not town.streets:
            continue
        network = town.network()
        roads = read_roads(network)
        n, walls = len(town.streets), town.parted()
        found.append(
            {
                "opened": (
                    passes(network, roads, OPEN).either_way[:n],
                    through(town, walls, one_ways=False),
                ),
                "tagged": (
                    passes(network, roads, TAGGED).driven[:n],
                    through(town, set(), one_ways=True),
                ),
                "nothing": (
                    passes(network, roads, NOTHING_BEYOND).driven[:n],
                    through(town, set(), one_ways=True, cut_ends=False),
                ),
                "grade": through_traffic(network).grade[:n],
            }
        )
        streets += n
    return found


def both(tried, name):
    pairs = [town[name] for town in tried]
    return tuple(np.concatenate(parts).astype(bool) for parts in zip(*pairs, strict=True))


def test_blocks_are_exact_without_one_ways(tried) -> None:
    ours, truth = both(tried, "opened")
    assert len(ours) >= STREETS
    assert 0.3 < truth.mean() < 0.9
    assert (ours == truth).all()


@pytest.mark.parametrize("name", ["tagged", "nothing"])
def test_no_way_through_is_missed(tried, name) -> None:
    ours, truth = both(tried, name)
    assert 0.2 < truth.mean() < 0.8
    assert (truth & ~ours).sum() == 0
    assert (ours & ~truth).mean() < MOST_FALSE


def test_sure_is_never_wrong(tried) -> None:
    grade = np.concatenate([town["grade"] for town in tried])
    sure = grade == GRADES.index("sure")
    _, opened = both(tried, "opened")
    _, tagged = both(tried, "tagged")
    assert sure.sum() > 1000
    assert not (sure & (opened | tagged)).any()
    assert (sure == ~opened).all()
