"""Main roads met in either direction → crossings of the notes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.draft.junctions import is_grade
from softpedal.draft.written import Item, position
from softpedal.streets.access import road_class
from softpedal.streets.street_facts import facts_of

if TYPE_CHECKING:
    from softpedal.draft.junctions import Met
    from softpedal.draft.town import Town
    from softpedal.library.notes import Direction

#: Crossings of both directions that lie this near are one.
SAME_PLACE_M = 25.0
#: Each direction comes to a roundabout on its own side.
SAME_RING_M = 80.0


def crossings(town: Town, met: dict[str, list[Met]], length_m: float) -> list[Item]:
    """Return the crossings of a line.

    Args:
        town: what is known of the town.
        met: roads met by direction, each by chainage in the direction ridden.
        length_m: of the line.
    """
    placed: list[tuple[float, Item]] = []
    back = [(length_m - m.at_m, m) for m in met.get("return", [])]
    for one in met["outbound"]:
        same = next(
            (
                pair
                for pair in back
                if abs(pair[0] - one.at_m)
                <= (SAME_RING_M if one.movement == "roundabout" else SAME_PLACE_M)
                and (pair[1].road, pair[1].movement) == (one.road, one.movement)
                and pair[1].control == one.control
            ),
            None,
        )
        if same:
            back.remove(same)
        only: Direction | None = "outbound" if "return" in met and not same else None
        placed.append((one.at_m, _crossing(town, one, one.at_m, only)))
    placed += [(at, _crossing(town, m, at, "return")) for at, m in back]
    return [item for _, item in sorted(placed, key=lambda pair: pair[0])]


def _crossing(town: Town, met: Met, at_m: float, direction: Direction | None) -> Item:
    tags = town.network.tags(met.edge)
    item: Item = {"at": position(at_m), "road": met.road, "control": met.control}
    if met.movement != "cross":
        item["movement"] = met.movement
    if direction:
        item["direction"] = direction
    if not is_grade(met):
        kind = road_class(tags)
        item["road_class"] = "trunk" if kind == "motorway" else kind
        facts = facts_of(town.network, met.edge, True, town.country)
        item |= {key: facts[key] for key in ("speed_limit", "lanes") if key in facts}
    item |= {"source": "map", "confidence": met.confidence}
    return item | {"evidence": met.evidence}
