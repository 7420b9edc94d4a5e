"""Kinds on the centre of Helsinki, where tracks and pavements are mapped apart."""

from __future__ import annotations

import pytest

from real_extracts import helsinki
from softpedal.streets.country import country_of
from softpedal.streets.kinds import Reader
from softpedal.streets.network_reader import read_network
from softpedal.streets.through_traffic import through_traffic
from streets.test_kinds_town import holds_everywhere


@pytest.fixture(scope="module")
def network():
    return read_network(helsinki())


@pytest.fixture(scope="module")
def verdicts(network):
    return through_traffic(network)


def test_what_holds_on_every_map(network, verdicts):
    holds_everywhere(network, verdicts, country_of("FI"))


def test_cycleways_with_a_kerb_beside_the_great_streets_are_tracks(network, verdicts):
    reader = Reader(network, verdicts, country_of("FI"))
    metres = {"protected track": 0.0, "other": 0.0}
    for edge in range(network.n_edges):
        tags = network.tags(edge)
        if tags.get("highway") == "cycleway" and tags.get("segregated") == "yes":
            kind = reader.read(edge, True).kind
            if kind != "on foot":
                key = "protected track" if kind == "protected track" else "other"
                metres[key] += network.edge_m[edge]
    assert sum(metres.values()) > 4000
    assert metres["protected track"] > 0.7 * sum(metres.values())


def test_pavements_mapped_apart_are_walked_unless_a_tag_lets_cycles_in(network, verdicts):
    reader = Reader(network, verdicts, country_of("FI"))
    seen = 0
    for edge in range(network.n_edges):
        tags = network.tags(edge)
        if tags.get("footway") == "sidewalk" and tags.get("highway") == "footway":
            may = tags.get("bicycle") in ("yes", "designated")
            kind = reader.read(edge, True).kind
            assert (kind in ("shared pavement", "protected track")) == may
            seen += 1
    assert seen > 500
