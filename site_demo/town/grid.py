"""The ground plan's own grid: metres east and north of the town's centre, and back to degrees.

Lindenferry lies in the open Atlantic, so that nobody mistakes it for a place.
"""

from __future__ import annotations

import math

#: Latitude and longitude of the grid's origin, in degrees.
CENTRE = (50.010, -20.035)

#: West, south, east and north edge of the town's extract, in grid metres.
EDGES = (-2500.0, -2000.0, 2500.0, 2000.0)

_AXIS_M = 6_378_137.0
_FLATTENING = 1 / 298.257223563
_E2 = _FLATTENING * (2 - _FLATTENING)
_S2 = math.sin(math.radians(CENTRE[0])) ** 2
#: Metres in a degree of latitude and of longitude at the centre, from the WGS84 radii there.
_LAT_M = math.radians(_AXIS_M * (1 - _E2) / (1 - _E2 * _S2) ** 1.5)
_LON_M = math.radians(_AXIS_M / math.sqrt(1 - _E2 * _S2)) * math.cos(math.radians(CENTRE[0]))

Point = tuple[float, float]


def to_degrees(point: Point, places: int = 6) -> Point:
    """Return (latitude, longitude) of a grid point, rounded to `places` decimals."""
    x, y = point
    return round(CENTRE[0] + y / _LAT_M, places), round(CENTRE[1] + x / _LON_M, places)


def to_grid(lat: float, lon: float) -> Point:
    """Return the grid point (metres east, metres north) of a latitude and longitude."""
    return (lon - CENTRE[1]) * _LON_M, (lat - CENTRE[0]) * _LAT_M


def points(text: str) -> list[Point]:
    """Return the points that a text such as ``"0,10 25,40"`` writes down."""
    pairs = (pair.split(",") for pair in text.split())
    return [(float(x), float(y)) for x, y in pairs]
