"""Matching a ride to the network: which edges it went over, from where to where, and how surely."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from softpedal.draft.candidates import RIDE, Corridor
from softpedal.draft.chain import Chain
from softpedal.draft.chaining import chained
from softpedal.draft.confidence import chances
from softpedal.draft.fixes import Fixes, thinned
from softpedal.draft.hidden_states import likeliest, rates, states
from softpedal.problems import CannotDoError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from softpedal.draft.hidden_states import States
    from softpedal.draft.ride import Ride
    from softpedal.streets.country import Country
    from softpedal.streets.network import Network

#: Fixes nearer to each other than this say nothing new.
SPACING_M = 10.0
#: The first look, for the noise alone, takes one fix in so many.
FIRST_LOOK = 4
#: Noise that is supposed at first, and the least and the greatest that is believed.
SIGMA_M, LEAST_SIGMA_M, MOST_SIGMA_M = 7.0, 4.0, 14.0
#: Ways are looked for within so many metres of a fix, and so many of them are looked at.
RADIUS_M, MOST, MOST_AT_FIRST = 40.0, 20, 8
#: Where only the likeliest are kept, a cost a metre counts as so many metres farther off.
HANDICAP_M = 60.0
#: The network is looked at so far beside the ride.
MARGIN_M, MOST_MARGIN_M = 80.0, 400.0
#: A shift of the whole recording is believed as far as a shift of so many metres is usual.
SHIFT_M = 6.0
#: Going out and back by less than so many standard deviations of the noise is noise.
SPUR_SIGMAS = 2.0
#: Cost of not being where the author says.
_PINNED = 1e4


class MatchError(CannotDoError):
    """A ride of which nothing is on the map, or a pin that cannot be kept."""


@dataclass(frozen=True, slots=True)
class Pins:
    """What the author says of the way, which is obeyed.

    Attributes:
        via_way: pairs of a chainage in metres and the OpenStreetMap id of the way ridden there.
        not_way: OpenStreetMap ids of ways that were not ridden.
    """

    via_way: tuple[tuple[float, int], ...] = ()
    not_way: frozenset[int] = frozenset()


def match(network: Network, ride: Ride, country: Country, pins: Pins = Pins()) -> Chain:
    """Match a ride to the network.

    Raises:
        MatchError: nothing of the ride is on the map, or a pin names a way that is not there.
    """
    fixes = thinned(network, ride, SPACING_M)
    margin = min(MARGIN_M + 1.5 * float(fixes.straight_m.max()), MOST_MARGIN_M)
    corridor = Corridor(network, country, fixes.xy, margin, pins.not_way)
    if not len(corridor.edges):
        raise _nothing(ride)
    said = [way for _, way in pins.via_way]
    corridor.code[np.isin(network.way_id[corridor.way], said)] = RIDE
    sigma, shift = _noise(corridor, fixes.every(FIRST_LOOK))
    fixes = replace(fixes, xy=fixes.xy - shift)
    found = corridor.candidates(fixes.xy, RADIUS_M, MOST, _handicap(fixes))
    hidden = states(corridor, fixes, found, sigma)
    _pin(corridor, network, fixes, hidden, pins)
    row = likeliest(hidden)
    if (row == hidden.off).all():
        raise _nothing(ride)
    way = np.where(hidden.edge >= 0, corridor.way[hidden.edge], -1)
    chance = chances(hidden, way, row)
    pieces, breaks = chained(corridor, fixes, hidden, row, chance, spur_m=SPUR_SIGMAS * sigma)
    return Chain(tuple(pieces), tuple(breaks), ride.track.length_m, sigma)


def _handicap(fixes: Fixes) -> NDArray[np.float64]:
    return rates(fixes.speed_m_s) * HANDICAP_M


def _pin(corridor: Corridor, network: Network, fixes: Fixes, hidden: States, pins: Pins) -> None:
    """Make all states but those on the pinned way dear at the fix next to each pin."""
    for at_m, way_id in pins.via_way:
        i = int(np.abs(fixes.at_m - at_m).argmin())
        is_it = network.way_id[corridor.way[hidden.edge[i]]] == way_id
        is_it &= hidden.edge[i] >= 0
        if not is_it.any():
            raise MatchError(
                f"The way {way_id} is not near the ride at {at_m / 1000:.2f} km.",
                f"Ways are looked for within {RADIUS_M:.0f} m; look at `via_way` in the notes.",
            )
        hidden.cost[i, :-1][~is_it] += _PINNED
        hidden.cost[i, -1] += _PINNED


def _noise(corridor: Corridor, fixes: Fixes) -> tuple[float, NDArray[np.float64]]:
    """Return the standard deviation of the noise and the shift of the whole recording, (2,).

    The shift is what the distances from the ways have in common in all directions of travel: a
    receiver or a map may be off by metres all along.
    """
    found = corridor.candidates(fixes.xy, RADIUS_M, MOST_AT_FIRST, _handicap(fixes))
    hidden = states(corridor, fixes, found, SIGMA_M)
    row = likeliest(hidden)
    on = np.flatnonzero(row != hidden.off)
    if len(on) < 5:
        return SIGMA_M, np.zeros(2)
    column = row[on] % found.edge.shape[1]
    normal = np.column_stack([found.normal_x[on, column], found.normal_y[on, column]])
    off = found.side_m[on, column]
    sigma, shift = _spread(off), np.zeros(2)
    for _ in range(3):
        rest = off - normal @ shift
        weight = 1.0 / np.maximum(1.0, np.abs(rest) / (1.5 * sigma))
        side = (normal * weight[:, None]).T
        usual = np.eye(2) * (sigma / SHIFT_M) ** 2 * 4
        shift = np.linalg.solve(side @ normal + usual, side @ off)
        sigma = _spread(off - normal @ shift)
    return sigma, shift


def _spread(off: NDArray[np.float64]) -> float:
    return float(np.clip(1.4826 * np.median(np.abs(off)), LEAST_SIGMA_M, MOST_SIGMA_M))


def _nothing(ride: Ride) -> MatchError:
    lat, lon = ride.track.at(0.0)
    return MatchError(
        f"Nothing of the ride is on the map: all {ride.track.length_m:.0f} m are off it, "
        f"from {lat:.5f}, {lon:.5f} on.",
        "Take an extract of the place where the ride was, with all its ways.",
    )
