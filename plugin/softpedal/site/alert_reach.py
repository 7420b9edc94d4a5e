"""Which of a library's alerts may reach a route, told without reading the route again."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from softpedal.library.library_alerts import LibraryAlert
    from softpedal.library.route import Route

#: A degree of latitude is longer everywhere, in metres (110.57 km at the equator, WGS84).
_DEGREE_M = 110_000.0
_TURN, _HALF_TURN = 360.0, 180.0


@dataclass(frozen=True, slots=True)
class Box:
    """In which all lines of a route lie, in WGS84 degrees."""

    south: float
    west: float
    north: float
    east: float

    @classmethod
    def of(cls, route: Route) -> Box:
        """Return the box of a route, with its own way back and its variants."""
        others = [*([route.back] if route.back else []), *(v.line for v in route.variants)]
        tracks = [line.track for line in (route.along, *others)]
        return cls(
            min(float(track.lat.min()) for track in tracks),
            min(float(track.lon.min()) for track in tracks),
            max(float(track.lat.max()) for track in tracks),
            max(float(track.lon.max()) for track in tracks),
        )

    def may_be_reached(self, alert: LibraryAlert) -> bool:
        """Whether an alert's radius touches the box; never false where it reaches the route."""
        up = alert.radius / _DEGREE_M
        most = max(abs(self.south), abs(self.north), abs(alert.at.lat)) + up
        aside = up / math.cos(math.radians(most)) if most < _TURN / 4 else _TURN
        if self.east - self.west > _HALF_TURN:  # it goes over the 180th meridian
            aside = _TURN
        lon = alert.at.lon
        return self.south - up <= alert.at.lat <= self.north + up and any(
            self.west - aside <= lon + turn <= self.east + aside for turn in (-_TURN, 0, _TURN)
        )


def near(box: Box | None, alerts: Iterable[LibraryAlert]) -> tuple[LibraryAlert, ...]:
    """Return the alerts that may reach a box, all of them where it is not known."""
    return tuple(alert for alert in alerts if box is None or box.may_be_reached(alert))
