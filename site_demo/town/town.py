"""The whole plan of Lindenferry, joined up."""

from __future__ import annotations

from chapel_side import chapel_streets, college_and_northfield, market, weaver_streets
from furniture import fittings
from junctions import Network, join
from main_roads import main_roads
from off_road import beside_roads, other_lines, paths
from old_harbour import old_harbour, orchard_side, yards
from south_side import south_side


def build_town() -> Network:
    """Return the town's network; the same one each time."""
    plan = [
        *main_roads(),
        *old_harbour(),
        *orchard_side(),
        *yards(),
        *market(),
        *chapel_streets(),
        *weaver_streets(),
        *college_and_northfield(),
        *south_side(),
        *beside_roads(),
        *paths(),
        *other_lines(),
    ]
    return join(plan, fittings())
