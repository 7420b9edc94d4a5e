"""A part of a town never calls a street surely filtered that the whole town knows to be open."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from real_extracts import helsinki
from softpedal.streets.network_reader import read_network
from softpedal.streets.through_traffic import through_traffic
from streets.windows import cut_window, read_extract

#: Windows by share of the extract's width and height: nine that overlap, about 600 m wide.
_SHARE = 0.5
_STARTS = (0.0, 0.25, 0.5)


def grades(network) -> dict[tuple[int, ...], str]:
    """Return the grade of each edge by its way and ends: the same street has the same key."""
    found = through_traffic(network)
    ends = np.sort(network.node_id[np.stack([network.edge_from, network.edge_to])], axis=0)
    ways = network.way_id[network.edge_way]
    return {
        (int(way), int(a), int(b)): found.of(edge)
        for edge, (way, a, b) in enumerate(zip(ways, *ends, strict=True))
        if not network.edge_across[edge]
    }


@pytest.fixture(scope="module")
def extract():
    return helsinki()


@pytest.fixture(scope="module")
def whole(extract):
    network = read_network(extract)
    assert network.node_cut.sum() > 100
    return network, grades(network)


@pytest.mark.parametrize("whole_ways", [False, True])
def test_a_window_is_never_surer_than_the_whole(extract, whole, whole_ways, tmp_path) -> None:
    network, known = whole
    extract = read_extract(extract)
    west, south = network.lon.min(), network.lat.min()
    wide, high = np.ptp(network.lon), np.ptp(network.lat)
    compared = sure = 0
    for x, y in product(_STARTS, _STARTS):
        at = west + x * wide, south + y * high
        box = (*at, at[0] + _SHARE * wide, at[1] + _SHARE * high)
        path = cut_window(extract, box, tmp_path / "window.osm.pbf", whole_ways=whole_ways)
        for key, grade in grades(read_network(path)).items():
            if key not in known:
                continue  # cut short: the whole has it longer
            compared += 1
            if grade == "sure":
                sure += 1
                assert known[key] == "sure", key
    assert compared > 3000
    assert sure > 100


def test_ends_of_the_extract_settle_nothing(whole) -> None:
    """Were nothing beyond the cut ends, many streets would wrongly pass for filtered."""
    _, known = whole
    of_grade = list(known.values())
    assert of_grade.count("edge") > 50
    assert of_grade.count("through") > 200
