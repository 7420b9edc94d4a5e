"""How much motor traffic a street is likely to have, and how fast, by its class and its tags."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.streets.access import one_way, road_class
from softpedal.streets.street_facts import lanes, speed_limit

if TYPE_CHECKING:
    from softpedal.streets.network import Tags

#: From this limit on, mixed traffic is at the highest stress in Mekuria, Furth & Nixon (2012),
#: table 4 ("35+ mph"); km/h are rounded to the nearest 5 mph first, as in `measure`.
FAST_MPH = 35.0
#: A street of so many lanes carries more than its neighbourhood's traffic: table 4 of the same goes
#: up at four lanes of both directions together; three lanes one way are our own figure.
MANY_LANES, MANY_LANES_ONE_WAY = 4, 3
#: More than a lane each way: an ordinary street, whatever its class (our own figure).
SOME_LANES = 3
#: Limits up to this keep a street slow (20 mph and 30 km/h zones).
SLOW_MPH = 20.0

_BUSY = frozenset({"motorway", "trunk", "primary", "secondary"})


def limit_mph(tags: Tags) -> float | None:
    """Return the speed limit on the grid of 5 mph, None where no tag says it."""
    text = speed_limit(tags)
    if text is None:
        return None
    number, unit = text.split(" ")
    return float(number) if unit == "mph" else 5.0 * round(float(number) / 1.609344 / 5.0)


def is_slow(tags: Tags) -> bool:
    """Whether a sign keeps traffic slow."""
    limit = limit_mph(tags)
    return tags.get("highway") == "living_street" or (limit is not None and limit <= SLOW_MPH)


def is_fast(tags: Tags) -> bool:
    """Whether a sign lets traffic drive fast."""
    limit = limit_mph(tags)
    return limit is not None and limit >= FAST_MPH


def is_busy(tags: Tags) -> bool:
    """Whether traffic is heavy or fast: main roads, and tertiary ones that are built for it."""
    kind = road_class(tags)
    if kind in _BUSY:
        return True
    many = MANY_LANES if one_way(tags) == 0 else MANY_LANES_ONE_WAY
    return kind == "tertiary" and (is_fast(tags) or (lanes(tags) or 0) >= many)


def is_mixed(tags: Tags) -> bool:
    """Whether it is an ordinary street with some through traffic."""
    if road_class(tags) == "tertiary" or is_fast(tags):
        return True
    return (lanes(tags) or 0) >= SOME_LANES
