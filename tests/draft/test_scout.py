from __future__ import annotations

from itertools import combinations, pairwise

import numpy as np
import pytest

from draft.scouted_town import ENDS, SETTINGS, street, town, town_of
from softpedal.draft.quiet_costs import quiet_costs
from softpedal.draft.scout import MOST_DETOUR, MOST_SHARED, MOST_STRETCH, ScoutError, scout
from softpedal.draft.scouted import candidate_gpx
from softpedal.library.gpx_reader import read_gpx
from softpedal.library.track import Track
from softpedal.streets.routing import shortest
from streets.drawn_network import degrees, drawn, node_at


def names(found):
    return [candidate.name for candidate in found]


def test_quiet_ways_first_by_what_they_are_worth_and_the_direct_road_last():
    """Sailmaker Row 1044 m; Mill Lane 1118 m at 1.3 = 1453; Towpath 1281 m."""
    found = scout(town_of(town()), SETTINGS, *ENDS)
    assert names(found) == [
        "by Sailmaker Row",
        "by Towpath",
        "by Mill Lane",
        "the direct road, by Dock Road",
    ]
    assert [c.number for c in found] == [1, 2, 3, 4]
    assert [c.is_direct for c in found] == [False, False, False, True]
    # The main road begins and ends where the others meet it: none of them crosses it.
    assert [c.cost for c in found] == pytest.approx([1044, 1281, 1453, 6000], abs=3)
    assert [c.quiet_share for c in found] == pytest.approx([1, 1, 0, 0])
    assert found[0].detour == pytest.approx(1.044, abs=0.001)


def test_no_way_is_longer_than_allowed():
    """Far Lane is 2059 m long, more than 1.8 times 1000 m."""
    found = scout(town_of(town()), SETTINGS, *ENDS, k=9)
    assert "by Far Lane" not in names(found)
    assert max(c.detour for c in found) <= MOST_DETOUR


def test_only_what_is_sure_counts_as_quiet():
    """Unsure, the Row costs 1.3 a metre and the path 1.3, like the lane: by length then."""
    found = scout(town_of(town(), sure=False), SETTINGS, *ENDS)
    assert names(found)[:3] == ["by Sailmaker Row", "by Mill Lane", "by Towpath"]
    assert [c.quiet_share for c in found] == [0, 0, 0, 0]


@pytest.mark.parametrize(
    ("tags", "cost"),
    [
        ({"by day": "on foot"}, 1044 * 15 / 3.6 / 1.2),
        ({"by day": "back street"}, 1044 * 1.3),
        ({"shut": "at night"}, 1044 * 1.3),
    ],
)
def test_the_worst_hours_are_paid_for(tags, cost):
    found = scout(town_of(town(row=tags)), SETTINGS, *ENDS)
    row = next(c for c in found if c.name == "by Sailmaker Row")
    assert row.cost == pytest.approx(cost, rel=0.001)
    assert row.quiet_share == (0.0 if "by day" in tags else 1.0)


@pytest.mark.parametrize("tags", [{"access": "private"}, {"bicycle": "no", "foot": "no"}])
def test_no_way_where_one_may_not_go(tags):
    found = scout(town_of(town(row=tags)), SETTINGS, *ENDS)
    assert "by Sailmaker Row" not in names(found)
    assert "by Towpath" in names(found)


def test_a_one_way_street_is_pushed_against_or_left_alone():
    """Pushed for 1044 m the Row costs 3625, more than the other two."""
    network = town(row={"oneway": "-1", "against": "filtered street", "kind": "on foot"})
    assert names(scout(town_of(network), SETTINGS, *ENDS))[:2] == ["by Towpath", "by Mill Lane"]
    back = scout(town_of(network), SETTINGS, *reversed(ENDS))
    assert names(back)[0] == "by Sailmaker Row"


def grid(seed, side=9):
    rng = np.random.default_rng(seed)
    kinds = ["busy road", "mixed street", "back street", "filtered street", "painted lane"]
    ways = []
    for i in range(side):
        across = [(100 * j, 100 * i) for j in range(side)]
        down = [(100 * i, 100 * j) for j in range(side)]
        ways += [
            (across, street(f"Row {i}", str(rng.choice(kinds)))),
            (down, street(f"Lane {i}", str(rng.choice(kinds)))),
        ]
    return drawn(ways)


def edges_of(candidate):
    return {p.edge: p.length_m for p in candidate.chain.pieces}


@pytest.mark.parametrize("seed", range(6))
def test_ways_differ(seed):
    found = scout(town_of(grid(seed)), SETTINGS, degrees(0, 0), degrees(800, 500), k=4)
    quiet = [c for c in found if not c.is_direct]
    assert len(quiet) >= 2
    for a, b in combinations(quiet, 2):
        common = sum(edges_of(a)[edge] for edge in edges_of(a).keys() & edges_of(b).keys())
        assert common <= MOST_SHARED * min(a.track.length_m, b.track.length_m) + 0.1
    assert len({c.name for c in found}) == len(found)
    assert [c.cost for c in quiet] == sorted(c.cost for c in quiet)


def dearest_stretch(candidate, costs, network):
    """The most that a stretch costs against the cheapest way between its ends."""
    pieces = candidate.chain.pieces
    price = [
        (costs.forward if p.forward else costs.backward)[p.edge]
        * p.length_m
        / network.edge_m[p.edge]
        for p in pieces
    ]
    nodes = [(network.edge_from if p.forward else network.edge_to)[p.edge] for p in pieces]
    worst = 1.0
    for i, j in combinations(range(len(nodes)), 2):
        least = shortest(network, int(nodes[i]), int(nodes[j]), costs)
        cost = sum((costs.forward if f else costs.backward)[e] for e, f in least)
        worst = max(worst, sum(price[i:j]) / cost)
    return worst


@pytest.mark.parametrize("seed", [0, 8, 9])
def test_no_stretch_of_a_way_is_a_needless_detour(seed):
    """Against every pair of nodes; without the rule these have stretches of 1.43 to 1.6 times."""
    network = grid(seed)
    found = scout(town_of(network), SETTINGS, degrees(0, 0), degrees(800, 500), k=3)
    whole = np.ones(network.n_edges, dtype=bool)
    costs = quiet_costs(town_of(network), SETTINGS, whole)
    for candidate in found[:-1]:
        assert dearest_stretch(candidate, costs, network) <= MOST_STRETCH + 1e-9


@pytest.mark.parametrize("seed", range(6))
def test_the_chain_lies_on_its_track(seed):
    network = grid(seed)
    for c in scout(town_of(network), SETTINGS, degrees(30, -20), degrees(650, 510)):
        pieces = c.chain.pieces
        assert (pieces[0].from_m, pieces[-1].to_m) == (0.0, c.track.length_m)
        assert c.chain.length_m == c.track.length_m
        assert c.chain.breaks == ()
        for a, b in pairwise(pieces):
            assert a.to_m == b.from_m
            out = network.edge_to[a.edge] if a.forward else network.edge_from[a.edge]
            into = network.edge_from[b.edge] if b.forward else network.edge_to[b.edge]
            assert out == into
        for piece in pieces:
            assert abs(piece.edge_to_m - piece.edge_from_m) == pytest.approx(
                piece.length_m, abs=0.01
            )
            assert (piece.edge_to_m >= piece.edge_from_m) is piece.forward
        stretches = c.stretches
        assert [s.from_m for s in stretches[1:]] == [s.to_m for s in stretches[:-1]]


def test_the_same_again():
    first, again = (
        scout(town_of(grid(1)), SETTINGS, degrees(0, 0), degrees(800, 500)) for _ in range(2)
    )
    assert [candidate_gpx(c, "") for c in first] == [candidate_gpx(c, "") for c in again]


def test_crossing_a_busy_road_costs_and_a_divided_one_costs_once():
    """A detour of 50 m is ridden for a crossing less, one of 70 m is not; 60 m are the price."""

    def way_taken(bow, roads):
        ways = [
            (((0, 0), (0, 100), (0, 200), (0, 400)), street("Straight Lane", "back street")),
            (((0, 0), (bow, 200), (0, 400)), street("Bow Lane", "back street")),
        ]
        ways += [
            (((-99, y), (0, y), (99, y)), street("Dock Road", "busy road", "primary", oneway=one))
            for y, one in roads
        ]
        return names(scout(town_of(drawn(ways)), SETTINGS, degrees(0, 0), degrees(0, 400), k=1))[0]

    # The bow is 2·√(200² + x²) long; 60 m of crossing are worth 46 m of back street at 1.3.
    for roads in ([(100, "no")], [(100, "yes"), (200, "-1")]):
        assert way_taken(90, roads) == "by Bow Lane"  # 39 m more
        assert way_taken(115, roads) == "the direct road, by Straight Lane"  # 61 m more


@pytest.mark.parametrize(
    ("tags", "first", "cost"),
    [
        ({"barrier": "bollard"}, "by Sailmaker Row", 1044),
        ({"barrier": "stile"}, "by Sailmaker Row", 1044 + 40),
        ({"barrier": "gate", "access": "private"}, "by Towpath", 1281),
    ],
)
def test_getting_off_at_a_barrier_costs_and_a_shut_gate_is_no_way(tags, first, cost):
    network = town()
    network.node_tags[node_at(network, 500, 150)] = tags
    found = scout(town_of(network), SETTINGS, *ENDS)
    assert (names(found)[0], found[0].cost) == (first, pytest.approx(cost, abs=3))


def test_steps_are_dearer_than_pushing():
    """60 m of steps, not 660 m of way round: pushed they would be 208 m of quiet street."""
    ways = [
        (((0, 0), (300, 0)), street("Quay Street", "filtered street")),
        (((300, 0), (360, 0)), street("Ferry Steps", "on foot", "steps")),
        (((300, 0), (300, 300), (360, 300), (360, 0)), street("Long Way", "filtered street")),
        (((360, 0), (1400, 0)), street("Mill Street", "filtered street")),
    ]
    found = scout(town_of(drawn(ways)), SETTINGS, degrees(0, 0), degrees(1400, 0))
    assert all(s.street != "Ferry Steps" for s in found[0].stretches)


def test_measures_come_from_notes_drafted_along_the_chain():
    asked = []

    def notes_of(chain, track):
        asked.append((chain, track))
        return len(asked)

    found = scout(town_of(town()), SETTINGS, *ENDS, notes_of=notes_of)
    assert [c.measures for c in found] == [1, 2, 3, 4]
    assert [(c.chain, c.track) for c in found] == asked


@pytest.mark.parametrize(
    ("ends", "says"),
    [
        ((degrees(0, 3000), ENDS[1]), "of the start"),
        ((ENDS[0], degrees(0, 3000)), "of the finish"),
        ((ENDS[0], ENDS[0]), "one place"),
    ],
)
def test_where_there_is_no_way(ends, says):
    with pytest.raises(ScoutError, match=says):
        scout(town_of(town()), SETTINGS, *ends)


def test_two_islands():
    network = drawn(
        [
            (((0, 0), (100, 0)), street("A", "back street")),
            (((900, 0), (990, 0)), street("B", "back street")),
        ]
    )
    with pytest.raises(ScoutError, match="No way"):
        scout(town_of(network), SETTINGS, degrees(0, 0), degrees(990, 0))


def test_a_way_that_is_pushed_in_part_is_found_where_there_is_no_direct_road():
    network = drawn([(((0, 0), (500, 0)), street("Quay", "on foot", "footway"))])
    (only,) = scout(town_of(network), SETTINGS, degrees(0, 0), degrees(500, 0))
    assert (only.name, only.is_direct, only.detour) == ("by Quay", False, None)


def test_gpx_of_a_candidate_carries_its_line_and_a_hostile_name_as_text():
    network = town(row={"name": 'Row --> <script>&"'})
    first = scout(town_of(network), SETTINGS, *ENDS)[0]
    text = candidate_gpx(first, "Map data --> by a town.")
    gpx, problems = read_gpx(text.encode(), "way-1.gpx")
    assert problems == []
    assert gpx.private == ()
    assert gpx.name == '1: by Row --> <script>&"'
    line = Track(gpx.lat, gpx.lon, gpx.height, gpx.part)
    assert line.length_m == pytest.approx(first.track.length_m, abs=0.1)
    assert line.steps_m.max() <= 10.01
    assert "not ridden" in text
