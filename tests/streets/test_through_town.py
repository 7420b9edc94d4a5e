"""The verdicts on the invented town, where it is known by construction what is filtered."""

from __future__ import annotations

from collections import Counter

import pytest

from demo.town_files import build
from softpedal.streets.network_reader import read_network
from softpedal.streets.through_traffic import through_traffic

#: What closes a filtered street → the grade that the map alone allows.
_NOT_SURE = {
    "no-entry signs from both sides of a short gap": "one-ways",
    "a locked gate on Quince Street": "gate",
}

#: How what closes a street begins in truth → what is told.
_TOLD = {
    "planters": "planters",
    "bollards": "bollards",
    "lifting posts": "a dead end",  # at the ferry, whether the posts are up or down
    "a dead end": "a dead end",
    "the bus gate": "the bus gate",
    "the Fish Market Square": "Fish Market Square",
    "no-entry": "opposed one-ways",
    "a locked gate": "a locked gate",
}


@pytest.fixture(scope="module")
def edges(tmp_path_factory):
    """Return truth, grade and what closes it, for each edge that is not of a main road."""
    built = build(tmp_path_factory.mktemp("town"))
    network = read_network(built.out / "lindenferry.osm")
    found = through_traffic(network)
    street_of = {w: s for s in built.truth()["streets"].values() for w in s["ways"]}
    listed = []
    for edge in range(network.n_edges):
        truth = street_of.get(int(network.way_id[network.edge_way[edge]]))
        if truth and not truth["main"]:
            listed.append((truth, found.of(edge), found.closed_by.get(edge, "")))
    return listed


def test_nothing_is_wrongly_filtered(edges) -> None:
    grades = Counter(grade for truth, grade, _ in edges if not truth["filtered"])
    assert set(grades) <= {"through", "edge", "no motor traffic"}
    assert grades["through"] > 40


def test_what_is_filtered_is_found(edges) -> None:
    grades = Counter()
    for truth, grade, _ in edges:
        if truth["filtered"] and grade != "no motor traffic":
            grades[grade] += 1
            expected = _NOT_SURE.get(truth["closed_by"], "sure")
            # A close that ends beside the edge of the extract might go on.
            assert grade in (expected, "edge"), truth["name"]
    assert grades["edge"] <= 1
    assert grades["sure"] > 60


def test_what_closes_it_is_told(edges) -> None:
    """The same sort of closure is told; the map knows other closures of a street besides."""
    right, wrong = 0, []
    for truth, grade, closed_by in edges:
        if not truth["closed_by"] or grade in ("edge", "no motor traffic"):
            continue
        sort = next(s for s in _TOLD if truth["closed_by"].startswith(s))
        if _TOLD[sort] in closed_by:
            right += 1
        else:
            wrong.append((truth["name"], truth["closed_by"], closed_by))
    assert right >= 0.95 * (right + len(wrong)), wrong
