"""Ways proposed from the map before anything is ridden: quiet ones, and the direct road.

The ways differ by the penalty method (common practice in route planning): the cheapest way is
found, its edges are made dearer, and the next cheapest is another one. Nothing here knows what a
street is like to ride; it says where to go and look.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import shapely

from softpedal.draft.chain import Chain, Piece
from softpedal.draft.direct import direct_road, flat_track
from softpedal.draft.quiet_costs import quiet_costs
from softpedal.draft.scouted import Candidate, named, stretches_of
from softpedal.problems import CannotDoError
from softpedal.streets.costs import push_factor, ride_costs
from softpedal.streets.ways import NEAR_M, line_of, stops_near, way_between

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from softpedal.draft.town import Town
    from softpedal.library.track import Track
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings
    from softpedal.streets.costs import Costs
    from softpedal.streets.network import Network
    from softpedal.streets.ways import Place, Way

#: Two ways that have more of their length in common are one.
MOST_SHARED = 0.7
#: No quiet way is longer than this many times the direct road.
MOST_DETOUR = 1.8
#: Ways come first of which no stretch costs more than this many times another way between its ends:
#: what is made dearer to find other ways is else left and come back to for nothing. After the
#: bounded stretch of Abraham, Delling, Goldberg & Werneck (2013), Alternative routes in road
#: networks; from memory, and the figure is ours.
MOST_STRETCH = 1.4
#: How much dearer an edge gets each time that a way takes it.
_PENALTY = 1.5
#: Searches for each way that is wanted, at most.
_TRIES = 5


class ScoutError(CannotDoError):
    """Two places between which no way is found."""


def scout(
    town: Town,
    settings: Settings,
    from_: Place,
    to: Place,
    *,
    k: int = 3,
    notes_of: Callable[[Chain, Track], Measures] | None = None,
) -> list[Candidate]:
    """Return up to `k` quiet ways between two places, and the direct road for comparison.

    Args:
        town: its streets, and what they are like.
        settings: the speeds of riding and walking.
        from_: latitude and longitude of the start.
        to: of the finish.
        k: how many quiet ways at most.
        notes_of: drafts notes along a chain and measures them.

    Raises:
        ScoutError: no street is near one of the places, or no way leads from one to the other.
    """
    network = town.network
    direct = direct_road(network, town.country, *from_, *to, settings.cruising_speed)
    plain = _plain_way(town, settings, from_, to)
    shortest_m = direct.km * 1000 if direct else plain.length_m
    wanted = _within_reach(network, from_, to, MOST_DETOUR * shortest_m)
    costs = quiet_costs(town, settings, wanted)
    differ = _quiet_ways(network, costs, (from_, to), k, MOST_DETOUR * shortest_m)
    ways = sorted(differ, key=lambda way: _cost(network, costs, way))
    if direct is not None:
        ways = [w for w in ways if _shared(w, direct.way) < 1 - 1e-6]
        # In its place: where it is the quietest way there is, no other one stands before it.
        ways = sorted([*ways, direct.way], key=lambda way: _cost(network, costs, way))
    elif not ways:
        ways = [plain]
    found = []
    for number, way in enumerate(ways, 1):
        track, chain = _chain(network, way)
        found.append(
            Candidate(
                number,
                "",
                direct is not None and way is direct.way,
                track,
                chain,
                stretches_of(town, chain),
                _cost(network, costs, way),
                track.length_m / shortest_m if direct else None,
                notes_of(chain, track) if notes_of else None,
            )
        )
    return named(found)


def _plain_way(town: Town, settings: Settings, from_: Place, to: Place) -> Way:
    """Return the quickest way, pushing included; it also tells whether there is any."""
    factor = push_factor(settings.cruising_speed, settings.walking_speed)
    costs = ride_costs(town.network, town.country, factor)
    way = way_between(town.network, costs, from_, to)
    if way is not None and way.parts:
        return way
    for place, what in ((from_, "start"), (to, "finish")):
        if not stops_near(town.network, costs.usable, place):
            raise ScoutError(
                f"There is no street within 100 m of the {what} ({place[0]:.5f}, {place[1]:.5f}).",
                "Take a place on a street, inside the extract.",
            )
    if way is not None:
        raise ScoutError("Start and finish are one place.", "Take two places apart.")
    raise ScoutError(
        "No way that one may ride or push leads from the start to the finish.",
        "Take places on streets of one town, with no private ground or water between them.",
    )


def _within_reach(network: Network, from_: Place, to: Place, metres: float) -> NDArray[np.bool_]:
    """Return which edges a way of this length can take: those in the ellipse around its ends."""
    points = shapely.points([(from_[1], from_[0]), (to[1], to[0])])
    ends = shapely.get_coordinates(network.plane.metres(points))
    both = np.sum([np.hypot(*(network.node_xy - end).T) for end in ends], axis=0)
    slack = 2 * NEAR_M + 0.02 * metres  # the ends lie off the street, and the plane is not exact
    inside: NDArray[np.bool_] = both <= metres + slack
    return inside[network.edge_from] | inside[network.edge_to]


def _quiet_ways(
    network: Network, costs: Costs, ends: tuple[Place, Place], k: int, longest_m: float
) -> list[Way]:
    """Return at most `k` ways that differ: those without a needless detour, then others."""
    found: list[Way] = []
    others: list[Way] = []

    def keep(way: Way) -> None:
        differs = all(_shared(way, w) <= MOST_SHARED for w in found)
        if way.length_m <= longest_m and differs and len(found) < k:
            found.append(way)

    dearer = costs
    for _ in range(_TRIES * k):
        way = way_between(network, dearer, *ends)
        if way is None or len(found) == k:
            break
        keep(way_between(network, _keeping_to(costs, way), *ends) or way)
        others.append(way)
        factor = np.ones(network.n_edges)
        factor[[part.edge for part in way.parts]] = _PENALTY
        dearer = replace(dearer, forward=dearer.forward * factor, backward=dearer.backward * factor)
    for way in others:
        keep(way)
    return found


def _keeping_to(costs: Costs, way: Way) -> Costs:
    """Return costs by which a way is left only where that saves a good part of the cost."""
    factor = np.full(len(costs.forward), MOST_STRETCH)
    factor[[part.edge for part in way.parts]] = 1.0
    return replace(costs, forward=costs.forward * factor, backward=costs.backward * factor)


def _shared(a: Way, b: Way) -> float:
    """Return the length that two ways have in common, as a share of the shorter one."""
    on_b: dict[int, list[tuple[float, float]]] = defaultdict(list)
    for part in b.parts:
        on_b[part.edge].append((min(part.from_m, part.to_m), max(part.from_m, part.to_m)))
    common = 0.0
    for part in a.parts:
        low, high = sorted((part.from_m, part.to_m))
        common += sum(max(0.0, min(high, d) - max(low, c)) for c, d in on_b[part.edge])
    return common / min(a.length_m, b.length_m)


def _cost(network: Network, costs: Costs, way: Way) -> float:
    total = 0.0
    for part in way.parts:
        whole = (costs.forward if part.forward else costs.backward)[part.edge]
        total += float(whole) * part.length_m / float(network.edge_m[part.edge])
    return total


def _chain(network: Network, way: Way) -> tuple[Track, Chain]:
    track = flat_track(network, way)
    _, _, starts = line_of(network, way.parts)
    at = track.chainage_m[starts].tolist()
    pieces = tuple(
        Piece(part.edge, part.forward, a, b, part.from_m, part.to_m, "sure")
        for part, (a, b) in zip(way.parts, pairwise(at), strict=True)
    )
    return track, Chain(pieces, (), track.length_m, 0.0)
