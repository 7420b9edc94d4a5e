"""Where a file lacks the nodes of a way, the extract ends, even if nothing of that way is left."""

from __future__ import annotations

import numpy as np
import pytest

from softpedal.streets.network_reader import read_network
from softpedal.streets.through_traffic import through_traffic
from streets.small_extract import degrees as place
from streets.small_extract import extract

STREET = {"highway": "residential", "name": "Barrel Street"}
MAIN = {"highway": "tertiary", "name": "Mill Road"}
#: A street out of Mill Road to a dead end, far from the edge of all data.
LINES = [
    ([(0, -3000), (0, 0), (0, 3000)], MAIN),
    ([(0, 0), (100, 0), (200, 0)], STREET),
    ([(-3000, -3000), (3000, -3000)], MAIN),
    ([(3000, -3000), (3000, 3000)], MAIN),
    ([(3000, 3000), (-3000, 3000)], MAIN),
]


def node_of(network, x, y) -> int:
    lon, lat = place(x, y)
    return int(np.argmin(np.hypot(network.lon - lon, network.lat - lat)))


@pytest.mark.parametrize("line", [[None, (100, 0)], [(100, 0), None], [None, (100, 0), None]])
def test_a_way_of_which_one_node_is_left_cuts_the_street_that_it_meets(line, tmp_path) -> None:
    whole = read_network(extract(tmp_path / "a.osm", LINES))
    assert not whole.node_cut[node_of(whole, 100, 0)]
    network = read_network(extract(tmp_path / "b.osm", [*LINES, (line, STREET)]))
    cut = node_of(network, 100, 0)
    assert network.node_cut[cut]
    found = through_traffic(network)
    grades = {found.of(e) for e in network.edges_at[cut]}
    assert grades == {"edge", "sure"}


def test_a_way_with_a_gap_is_cut_on_both_sides_of_it(tmp_path) -> None:
    line = [(0, 0), (0, 100), None, (0, 200), (0, 300)]
    network = read_network(extract(tmp_path / "a.osm", [(line, STREET), *LINES[2:]]))
    ends = [(0, 100), (0, 200)]
    assert network.node_cut[[node_of(network, *end) for end in ends]].all()
    assert not network.node_cut[[node_of(network, *end) for end in [(0, 0), (0, 300)]]].any()
    barrel = [e for e in range(network.n_edges) if network.name(e) == "Barrel Street"]
    assert len(barrel) == 2
