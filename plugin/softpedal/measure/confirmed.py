"""What of a route its author has ridden, and when: what a figure or a page can rest on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.library.notes import DIRECTIONS
from softpedal.measure.direction import source_in

if TYPE_CHECKING:
    from collections.abc import Mapping

    from softpedal.library.notes import Direction, Leg
    from softpedal.library.route import Placed, Route


@dataclass(frozen=True, slots=True)
class Confirmed:
    """What has been ridden.

    Attributes:
        last: the day of the last ride in each direction, ISO, "" where there was none.
        unconfirmed: legs that are drafted only, of directions that have been ridden; their
            chainage is that of the direction.
    """

    last: Mapping[Direction, str]
    unconfirmed: Mapping[Direction, tuple[Placed[Leg], ...]]

    @property
    def latest(self) -> str:
        """The day of the last ride in any direction, "" where there was none."""
        return max(self.last.values())

    @property
    def never(self) -> tuple[Direction, ...]:
        """The directions that have never been ridden."""
        return tuple(direction for direction, day in self.last.items() if not day)


def confirmed(route: Route) -> Confirmed:
    """Return what of a route has been ridden."""
    rides = route.notes.ridden
    last: dict[Direction, str] = {
        d: max((r.on for r in rides if r.direction in (d, "both")), default="") for d in DIRECTIONS
    }
    drafted: dict[Direction, tuple[Placed[Leg], ...]] = {
        direction: tuple(
            leg
            for leg in route.line(direction).legs
            if day and source_in(leg.item, direction, is_ridden=True) != "ridden"
        )
        for direction, day in last.items()
    }
    return Confirmed(last, drafted)
