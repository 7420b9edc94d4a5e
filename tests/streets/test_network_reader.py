"""An extract becomes a network: cut where ways meet, with its turns, places and cut ends."""

from pathlib import Path

import numpy as np
import pytest

from softpedal.streets import network_store
from softpedal.streets.extract import ExtractError
from softpedal.streets.ground_store import StoreError
from softpedal.streets.network_reader import read_network
from softpedal.streets.network_store import keep_network, load_network, save_network


def osm(tmp_path: Path, ways: str, relations: str = "", box: str = "") -> Path:
    """Write an extract: five nodes, ways, relations."""
    nodes = "".join(
        f'<node id="{n}" lat="{lat}" lon="{lon}" version="1" '
        f'timestamp="2026-01-02T00:00:00Z">{tags}</node>'
        for n, lat, lon, tags in (
            (1, 50.0, -20.0, ""),
            (5, 50.0, -20.0005, '<tag k="barrier" v="bollard"/>'),
            (2, 50.0, -20.001, ""),
            (3, 50.0, -20.002, '<tag k="name" v="Weir"/><tag k="railway" v="halt"/>'),
            (4, 50.001, -20.001, ""),
        )
    )
    path = tmp_path / "town.osm"
    head = '<?xml version="1.0"?><osm version="0.6" generator="hand">'
    path.write_text(f"{head}{box}{nodes}{ways}{relations}</osm>")
    return path


def way(number: int, nodes: str, **tags: str) -> str:
    """Return a way as XML."""
    refs = "".join(f'<nd ref="{ref}"/>' for ref in nodes.split())
    words = "".join(f'<tag k="{k}" v="{v}"/>' for k, v in tags.items())
    stamp = 'version="1" timestamp="2026-01-03T00:00:00Z"'
    return f'<way id="{number}" {stamp}>{refs}{words}</way>'


MILL = way(10, "1 5 2 3", highway="residential", name="Mill Lane")
QUAY = way(11, "2 4", highway="residential", name="Quay")


def test_ways_are_cut_where_they_meet_and_at_tagged_nodes(tmp_path):
    network = read_network(osm(tmp_path, MILL + QUAY))
    pairs = [
        (int(network.node_id[a]), int(network.node_id[b]))
        for a, b in zip(network.edge_from, network.edge_to, strict=True)
    ]
    assert pairs == [(1, 5), (5, 2), (2, 3), (2, 4)]
    assert [network.name(edge) for edge in range(4)] == ["Mill Lane"] * 3 + ["Quay"]
    barriers = {int(network.node_id[n]): t for n, t in network.node_tags.items()}
    assert barriers[5] == {"barrier": "bollard"}
    assert network.date == "2026-01-03"
    assert [place.name for place in network.places] == ["Weir"]
    # 0.001° of longitude at 50° N is 71.70 m on WGS84 (111 319.49 m times cos, and flattening).
    assert network.edge_m[2] == pytest.approx(71.7, abs=0.05)
    assert network.edge_m[0] == pytest.approx(network.edge_m[2] / 2, abs=0.01)


def test_what_is_no_way_is_left_out(tmp_path):
    ways = MILL + way(12, "2 4", highway="proposed") + way(13, "2 4", waterway="canal")
    assert read_network(osm(tmp_path, ways)).n_edges == 2  # node 2 meets nothing then


def test_turn_restrictions_are_read_with_those_they_do_not_bind(tmp_path):
    relation = (
        '<relation id="9" version="1"><member type="way" ref="10" role="from"/>'
        '<member type="node" ref="2" role="via"/><member type="way" ref="11" role="to"/>'
        '<tag k="type" v="restriction"/><tag k="restriction" v="no_right_turn"/>{}</relation>'
    )
    free = '<tag k="except" v="psv;bicycle"/>'
    (bound,) = read_network(osm(tmp_path, MILL + QUAY, relation.format(""))).turns
    (exempt,) = read_network(osm(tmp_path, MILL + QUAY, relation.format(free))).turns
    assert (bound.sort, bound.for_motors, bound.for_cycles, bound.relation) == ("no", True, True, 9)
    assert (exempt.for_motors, exempt.for_cycles) == (True, False)


def test_a_way_with_a_node_that_the_file_lacks_is_cut_there(tmp_path):
    network = read_network(osm(tmp_path, way(10, "99 1 5 2", highway="residential") + QUAY))
    assert network.n_edges == 3
    first = int(np.flatnonzero(network.node_id == 1)[0])
    assert network.node_cut[first]


def test_a_square_can_be_crossed_from_each_door_to_each_other(tmp_path):
    square = way(20, "1 3 4 1", highway="pedestrian", area="yes")
    ways = square + way(21, "1 2", highway="footway") + way(22, "4 2", highway="footway")
    network = read_network(osm(tmp_path, ways))
    across = [
        {int(network.node_id[network.edge_from[e]]), int(network.node_id[network.edge_to[e]])}
        for e in np.flatnonzero(network.edge_across)
    ]
    assert {1, 4} in across


def test_an_extract_without_a_street_is_refused(tmp_path):
    with pytest.raises(ExtractError, match="no street") as caught:
        read_network(osm(tmp_path, way(10, "1 2", building="yes")))
    assert "all its ways" in caught.value.hint


def test_what_is_kept_is_what_was_read(tmp_path):
    path = osm(tmp_path, MILL + QUAY)
    first = keep_network(path, tmp_path / "cache")
    kept = keep_network(path, tmp_path / "cache")
    assert len(list((tmp_path / "cache").glob("network-*.npz"))) == 1
    for name in network_store._ARRAYS:
        assert np.array_equal(getattr(first, name), getattr(kept, name)), name
    assert (kept.way_tags, kept.node_tags) == (first.way_tags, first.node_tags)
    assert (kept.turns, kept.places, kept.date) == (first.turns, first.places, first.date)


def test_another_extract_takes_the_place_of_the_one_before(tmp_path):
    keep_network(osm(tmp_path, MILL + QUAY), tmp_path / "cache")
    keep_network(osm(tmp_path, MILL), tmp_path / "cache")
    assert len(list((tmp_path / "cache").glob("network-*.npz"))) == 1


def test_what_is_damaged_is_read_anew(tmp_path):
    path = osm(tmp_path, MILL + QUAY)
    keep_network(path, tmp_path / "cache")
    (kept,) = (tmp_path / "cache").glob("network-*.npz")
    kept.write_bytes(kept.read_bytes()[:100])
    with pytest.raises(StoreError):
        load_network(kept)
    assert keep_network(path, tmp_path / "cache").n_edges == 4
    assert load_network(kept).n_edges == 4


def test_a_network_is_written_whole(tmp_path):
    network = read_network(osm(tmp_path, MILL + QUAY))
    save_network(network, tmp_path / "kept.npz")
    assert sorted(p.name for p in tmp_path.glob("kept*")) == ["kept.json", "kept.npz"]
