"""What a quiet way is worth: metres that a rider would go round to keep off each kind of street.

The factors are this project's own judgement, from no publication: they only rank the ways that an
author is shown before riding them, and enter no measure.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from softpedal.measure.crossings import BUSY_CLASSES
from softpedal.measure.legs import QUIET
from softpedal.streets.access import one_way, road_class
from softpedal.streets.costs import gets_off, push_factor, ride_costs

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from softpedal.draft.town import Town
    from softpedal.library.notes import Kind
    from softpedal.settings import Settings
    from softpedal.streets.costs import Costs
    from softpedal.streets.kinds import Reading
    from softpedal.streets.network import Network

#: Metres of quiet street that one rides rather than a metre of each kind. Quiet kinds are 1; a back
#: street has some traffic; on a shared pavement one rides slowly; a painted lane keeps nobody away;
#: buses are few but large; on a mixed street one is among traffic; a busy road is what scouting is
#: to avoid. The price of going on foot is that of the time it takes, by the settings' speeds.
FACTORS: Mapping[Kind, float] = {
    "protected track": 1.0,
    "traffic-free path": 1.0,
    "filtered street": 1.0,
    "back street": 1.3,
    "shared pavement": 1.5,
    "painted lane": 2.0,
    "bus lane": 2.2,
    "mixed street": 3.0,
    "busy road": 6.0,
}
#: What may be there or not costs as much as a back street: only what is sure counts as quiet.
UNSURE_FACTOR = FACTORS["back street"]
#: What crossing a busy road is worth going round for, in metres.
CROSSING_M = 60.0
#: A cycle is carried on steps, which not everybody can.
STEPS_FACTOR = 15.0
#: What getting off at a barrier is worth going round for, in metres.
BARRIER_M = 40.0


def quiet_costs(town: Town, settings: Settings, wanted: NDArray[np.bool_]) -> Costs:
    """Return the cost of each edge in metres of quiet street.

    Args:
        town: its streets, and what they are like.
        settings: the speeds of riding and of walking.
        wanted: which edges come into question, (E,); the others cannot be used.
    """
    network = town.network
    walking = push_factor(settings.cruising_speed, settings.walking_speed)
    base = ride_costs(network, town.country, walking)
    prices: Mapping[Kind, float] = {**FACTORS, "on foot": walking}
    steps = np.array([tags.get("highway") == "steps" for tags in network.way_tags], dtype=bool)
    carried = np.where(steps[network.edge_way], STEPS_FACTOR, 0.0)
    fees = _crossing_fees(network) + _barrier_fees(network)
    costs = {}
    for forward, metres in ((True, base.forward), (False, base.backward)):
        own = np.full(network.n_edges, np.inf)
        for edge in np.flatnonzero(wanted & np.isfinite(metres)).tolist():
            read = town.reader.read(edge, forward)
            factor = max(_factor(read, prices), carried[edge])
            own[edge] = max(metres[edge], factor * network.edge_m[edge]) + fees[edge]
        costs[forward] = own
    return replace(base, forward=costs[True], backward=costs[False])


def _factor(read: Reading, prices: Mapping[Kind, float]) -> float:
    """Return the price of a metre: that of the worst hours, since a rider may come at any."""
    factor = max(prices[kind] for kind in (read.kind, *(kind for _, kind in read.hours)))
    is_unsure = read.confidence != "sure" or bool(read.shut)
    return max(factor, UNSURE_FACTOR) if read.kind in QUIET and is_unsure else factor


def _barrier_fees(network: Network) -> NDArray[np.float64]:
    """Return what each edge costs for barriers at its ends: half of a barrier's price, (E,)."""
    at_node = np.zeros(network.n_nodes)
    barriers = ((node, tags) for node, tags in network.node_tags.items() if "barrier" in tags)
    at_node[[node for node, tags in barriers if gets_off(tags)]] = BARRIER_M / 2
    return at_node[network.edge_from] + at_node[network.edge_to]


def _crossing_fees(network: Network) -> NDArray[np.float64]:
    """Return what each edge costs for the busy roads that it leads up to, in metres, (E,).

    Half of a crossing's price lies on each edge that meets a busy road, and none on the road
    itself: who crosses pays both halves, who joins pays one. Each carriageway of a divided road is
    half of it.
    """
    busy = np.array([road_class(tags) in BUSY_CLASSES for tags in network.way_tags], dtype=bool)
    single = np.array([one_way(tags) != 0 for tags in network.way_tags], dtype=bool)
    is_busy = busy[network.edge_way]
    arms = np.zeros(network.n_nodes, dtype=np.intp)
    two_way = np.zeros(network.n_nodes, dtype=bool)
    for ends in (network.edge_from, network.edge_to):
        np.add.at(arms, ends[is_busy], 1)
        two_way[ends[is_busy & ~single[network.edge_way]]] = True
    at_node = np.where(arms >= 2, np.where(two_way, CROSSING_M / 2, CROSSING_M / 4), 0.0)
    fees = at_node[network.edge_from] + at_node[network.edge_to]
    return np.where(is_busy, 0.0, fees)
