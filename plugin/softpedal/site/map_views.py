"""The further directions and hours of one map: what differs, by number into shared lists."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from softpedal.site.map_data import MapLeg, MapMarker


@dataclass(frozen=True, slots=True)
class MapView:
    """What the map shows in one direction and state of the week.

    Attributes:
        key: under which the page asks for it.
        legs: in riding order, by chainage in that direction.
        markers: in any order.
        is_back: whether it lies on the way back.
        is_shut: whether it cannot be ridden then.
    """

    key: str
    legs: tuple[MapLeg, ...]
    markers: tuple[MapMarker, ...]
    is_back: bool = False
    is_shut: bool = False


def packed_views(
    views: Sequence[MapView],
    legs: list[dict[str, object]],
    markers: list[dict[str, object]],
    leg: Callable[[MapLeg], dict[str, object]],
    marker: Callable[[MapMarker], dict[str, object]],
) -> dict[str, Any]:
    """Return `views` by key, and `more`: the legs and markers that the map's own lists lack.

    Args:
        views: all of the map.
        legs: the map's own legs as written.
        markers: the map's own markers as written.
        leg: writes a leg.
        marker: writes a marker.
    """
    pools = {"legs": [*legs], "markers": [*markers]}
    found = {}
    for view in views:
        ordered = sorted(view.markers, key=lambda each: each.at_m)
        found[view.key] = {
            "way": "return" if view.is_back else "outbound",
            "shut": view.is_shut,
            "legs": [_place(pools["legs"], leg(each)) for each in view.legs],
            "markers": [_place(pools["markers"], marker(each)) for each in ordered],
        }
    more = {"legs": pools["legs"][len(legs) :], "markers": pools["markers"][len(markers) :]}
    return {"views": found, "more": more}


def _place(pool: list[dict[str, object]], item: dict[str, object]) -> int:
    """Return where an item stands in a pool, after adding it if it is new."""
    try:
        return pool.index(item)
    except ValueError:
        pool.append(item)
        return len(pool) - 1
