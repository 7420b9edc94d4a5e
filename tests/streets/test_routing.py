from __future__ import annotations

import heapq

import numpy as np
import pytest

from softpedal.streets.costs import Costs, push_factor, ride_costs
from softpedal.streets.country import country_of
from softpedal.streets.network import TurnRule
from softpedal.streets.routing import Stop, shortest, shortest_between
from softpedal.streets.ways import cut_edge, line_of, stops_near, way_between
from streets.drawn_network import degrees, drawn, node_at

ROAD = {"highway": "residential"}
ANYWHERE = country_of(None)


def grid(side=4, step=100.0, turns=(), nodes=None):
    """Streets one edge long each, so that turns can be banned between any two."""
    ways = []
    for i in range(side):
        for j in range(side):
            if i + 1 < side:
                ways.append((((i * step, j * step), ((i + 1) * step, j * step)), ROAD))
            if j + 1 < side:
                ways.append((((i * step, j * step), (i * step, (j + 1) * step)), ROAD))
    return drawn(ways, turns, nodes)


def cost_of(costs, steps):
    return sum((costs.forward if forward else costs.backward)[e] for e, forward in steps)


def joined(network, steps, a, b):
    node = a
    for edge, forward in steps:
        start, end = network.edge_from[edge], network.edge_to[edge]
        start, end = (start, end) if forward else (end, start)
        assert start == node
        node = end
    assert node == b


def plain_search(network, costs, a, b):
    """Dijkstra over whole turns, as plainly as it can be written; the cost or None."""
    ahead, against = costs.forward, costs.backward
    ends = {}
    for e in range(network.n_edges):
        ends[e, True] = network.edge_from[e], network.edge_to[e], ahead[e]
        ends[e, False] = network.edge_to[e], network.edge_from[e], against[e]

    def allowed(step, to):
        node = ends[step][1]
        if ends[to][0] != node or step[0] == to[0] or node in costs.closed:
            return False
        way_in, way_out = network.edge_way[step[0]], network.edge_way[to[0]]
        only = [r for r in network.turns if (r.via, r.from_way, r.sort) == (node, way_in, "only")]
        if only and way_out not in {r.to_way for r in only}:
            return False
        return not any(
            (r.via, r.from_way, r.to_way, r.sort) == (node, way_in, way_out, "no")
            for r in network.turns
        )

    heap = [(end[2], step) for step, end in ends.items() if end[0] == a]
    heapq.heapify(heap)
    done = set()
    while heap:
        cost, step = heapq.heappop(heap)
        if step in done or not np.isfinite(cost):
            continue
        done.add(step)
        if ends[step][1] == b:
            return cost
        for to in ends:
            if allowed(step, to):
                heapq.heappush(heap, (cost + ends[to][2], to))
    return None


@pytest.mark.parametrize("seed", range(30))
def test_as_cheap_as_a_plain_search_over_all_turns(seed):
    rng = np.random.default_rng(seed)
    network = grid(4)
    turns = []
    for _ in range(8):
        node = int(rng.integers(network.n_nodes))
        edges = network.edges_at[node]
        a, b = rng.choice(edges, 2, replace=False)
        sort = "only" if rng.random() < 0.3 else "no"
        ways = int(network.edge_way[a]), node, int(network.edge_way[b])
        turns.append(TurnRule(*ways, sort, True, True, 1))
    object.__setattr__(network, "turns", tuple(turns))
    one_way = rng.random(network.n_edges) < 0.25
    costs = Costs(
        network.edge_m * rng.uniform(1, 3, network.n_edges),
        np.where(one_way, np.inf, network.edge_m * rng.uniform(1, 3, network.n_edges)),
        np.zeros(network.n_edges, dtype=bool),
        np.zeros(network.n_edges, dtype=bool),
        frozenset(rng.choice(network.n_nodes, 1).tolist()),
    )
    compared = 0
    for _ in range(20):
        a, b = (int(n) for n in rng.choice(network.n_nodes, 2, replace=False))
        if a in costs.closed:
            continue
        found, truth = shortest(network, a, b, costs), plain_search(network, costs, a, b)
        assert (found is None) == (truth is None)
        if found is not None:
            joined(network, found, a, b)
            assert cost_of(costs, found) == pytest.approx(truth)
            compared += 1
    assert compared > 5


def test_a_banned_turn_is_ridden_round_and_not_evaded_by_turning_about():
    # From the west to the south over a crossroads; the left turn is banned.
    ways = [
        (((0, 0), (100, 0)), ROAD),
        (((100, 0), (200, 0)), ROAD),
        (((100, 0), (100, -100)), ROAD),
        (((200, 0), (200, -100), (100, -100)), ROAD),
    ]
    free, banned = drawn(ways), drawn(ways, [(0, (100, 0), 2, "no")])
    ends = node_at(free, 0, 0), node_at(free, 100, -100)
    costs = ride_costs(free, ANYWHERE)
    assert [e for e, _ in shortest(free, *ends, costs)] == [0, 2]
    assert [e for e, _ in shortest(banned, *ends, costs)] == [0, 1, 3, 4]


def test_a_ban_holds_for_riding_and_not_for_pushing():
    ways = [
        (((0, 0), (100, 0)), ROAD),
        (((100, 0), (100, -100)), {"highway": "footway"}),
    ]
    network = drawn(ways, [(0, (100, 0), 1, "no")])
    costs = ride_costs(network, ANYWHERE, push_factor=3.5)
    assert shortest(network, 0, node_at(network, 100, -100), costs) == [(0, True), (1, True)]


def test_one_way_streets_are_pushed_against_at_the_price_of_walking():
    network = drawn([(((0, 0), (100, 0)), {**ROAD, "oneway": "yes"})])
    factor = push_factor(15.0, 1.2)
    costs = ride_costs(network, ANYWHERE, factor)
    assert factor == pytest.approx(3.472, abs=0.001)  # 15 km/h are 4.17 m/s
    assert costs.forward[0] == pytest.approx(100, abs=0.1)
    assert costs.backward[0] == pytest.approx(347, abs=1)
    assert not np.isfinite(ride_costs(network, ANYWHERE).backward[0])


def test_private_ways_are_never_taken_even_pushing():
    network = drawn(
        [
            (((0, 0), (200, 0)), {**ROAD, "access": "private"}),
            (((0, 0), (0, 300), (200, 300), (200, 0)), ROAD),
        ]
    )
    steps = shortest(network, 0, 1, ride_costs(network, ANYWHERE, 3.5))
    assert [network.edge_way[e] for e, _ in steps] == [1, 1, 1]


@pytest.mark.parametrize(
    ("tags", "rides", "pushes"),
    [
        ({"barrier": "bollard"}, True, True),
        ({"barrier": "gate"}, True, True),
        ({"barrier": "gate", "access": "private"}, False, False),
        ({"barrier": "gate", "access": "private", "bicycle": "yes"}, True, True),
        ({"barrier": "gate", "locked": "yes"}, False, False),
        ({"barrier": "stile"}, False, True),
        ({"barrier": "gate", "bicycle": "no"}, False, True),
        ({"highway": "crossing", "bicycle": "no"}, True, True),  # the road goes on
    ],
)
def test_what_a_barrier_lets_pass(tags, rides, pushes):
    network = drawn([(((0, 0), (100, 0), (200, 0)), ROAD)], nodes={(100, 0): tags})
    assert (shortest(network, 0, 2, ride_costs(network, ANYWHERE)) is not None) is rides
    assert (shortest(network, 0, 2, ride_costs(network, ANYWHERE, 3.5)) is not None) is pushes


def test_partial_edges_count_at_both_ends():
    network = drawn([(((0, 0), (100, 0), (200, 0)), ROAD)])
    costs = ride_costs(network, ANYWHERE)
    found = shortest_between(network, Stop(0, 30.0), Stop(1, 20.0), costs)
    assert found.steps == [(0, True), (1, True)]
    assert found.cost == pytest.approx(70 + 20, abs=0.1)
    back = shortest_between(network, Stop(1, 20.0), Stop(0, 30.0), costs)
    assert back.steps == [(1, False), (0, False)]
    assert back.cost == pytest.approx(found.cost)


def test_backward_along_one_edge_of_a_one_way_street_is_ridden_round_the_block():
    ring = [(0, 0), (100, 0), (100, 100), (0, 100), (0, 0)]
    network = drawn([(ring, {**ROAD, "oneway": "yes"})])
    costs = ride_costs(network, ANYWHERE)
    ahead = shortest_between(network, Stop(0, 20.0), Stop(0, 70.0), costs)
    behind = shortest_between(network, Stop(0, 70.0), Stop(0, 20.0), costs)
    assert (ahead.steps, ahead.cost) == ([(0, True)], pytest.approx(50, abs=0.1))
    assert [e for e, _ in behind.steps] == [0, 1, 2, 3, 0]
    assert behind.cost == pytest.approx(350, abs=0.5)


def test_a_street_that_leads_nowhere_is_passed_over():
    network = drawn(
        [
            (((0, 0), (300, 0)), ROAD),
            (((0, 20), (10, 20)), ROAD),  # a yard of its own, nearer to the start
        ]
    )
    costs = ride_costs(network, ANYWHERE)
    assert stops_near(network, costs.usable, degrees(5, 18))[0].edge == 1
    way = way_between(network, costs, degrees(5, 18), degrees(205, 5))
    assert [p.edge for p in way.parts] == [0]
    assert way.length_m == pytest.approx(200, abs=0.5)


def test_no_street_within_reach_is_no_way():
    network = drawn([(((0, 0), (300, 0)), ROAD)])
    costs = ride_costs(network, ANYWHERE)
    assert way_between(network, costs, degrees(0, 101), degrees(300, 0)) is None
    assert way_between(network, costs, degrees(0, 99), degrees(300, 0)) is not None


def test_the_line_of_a_way_follows_its_parts():
    network = drawn([(((0, 0), (100, 0)), ROAD), (((200, 0), (100, 0)), ROAD)])
    costs = ride_costs(network, ANYWHERE)
    way = way_between(network, costs, degrees(25, 0), degrees(150, 0))
    lat, lon, starts = line_of(network, way.parts)
    wanted = np.array([degrees(x, 0) for x in (25, 100, 150)])
    assert np.column_stack([lat, lon]) == pytest.approx(wanted, abs=1e-7)
    assert starts.tolist() == [0, 1, 2]
    assert [(p.edge, p.forward) for p in way.parts] == [(0, True), (1, False)]
    assert way.parts[1].from_m > way.parts[1].to_m
    lat, lon = cut_edge(network, way.parts[1])
    assert lon[0] < lon[1]
