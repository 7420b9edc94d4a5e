"""Main roads met by a ride, without the turns that are pushed round a corner."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.draft.junctions import met_roads
from softpedal.draft.spans import is_on_foot

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.draft.chain import Chain
    from softpedal.draft.junctions import Met
    from softpedal.draft.spans import Span
    from softpedal.draft.town import Town


def ridden_roads(town: Town, chain: Chain, along: Sequence[Span]) -> list[Met]:
    """Return the main roads met by riding a chain, whose stretches are `along`, in riding order."""
    return [
        met
        for met in met_roads(town.network, chain, town.country)
        if met.movement != "turn" or not is_on_foot(along, met.at_m)
    ]
