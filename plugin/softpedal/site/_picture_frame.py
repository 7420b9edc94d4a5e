"""The frame of a drawn map: degrees to pixels, north up, and what a round length is in it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from softpedal.measure.units import MILE_M
from softpedal.site.quantities import YARD_M

if TYPE_CHECKING:
    from softpedal.library.track import Floats
    from softpedal.measure.units import Units

#: One degree of latitude, near enough for drawing.
METRES_PER_DEGREE = 111_200.0

#: A short route is not blown up beyond this.
MIN_SPAN_M = 500.0


@dataclass(frozen=True, slots=True)
class Frame:
    """Where a part of the earth lies in a picture.

    Attributes:
        width, height: of the picture in pixels.
        lat, lon: WGS84 degrees, at the pixel `x`, `y`.
        scale: pixels to a metre.
    """

    width: float
    height: float
    lat: float
    lon: float
    x: float
    y: float
    scale: float

    @classmethod
    def around(
        cls, lat: Floats, lon: Floats, size: tuple[float, float], margins: tuple[float, ...]
    ) -> Frame:
        """Return the frame in which a line fills the room between the margins.

        Args:
            lat: of the line in degrees, (N,).
            lon: as `lat`.
            size: width and height in pixels.
            margins: pixels left free at the top, right, bottom and left.
        """
        top, right, bottom, left = margins
        south, north = float(lat.min()), float(lat.max())
        west, east = float(lon.min()), float(lon.max())
        middle = (south + north) / 2
        across = (east - west) * METRES_PER_DEGREE * float(np.cos(np.radians(middle)))
        up = (north - south) * METRES_PER_DEGREE
        room = size[0] - left - right, size[1] - top - bottom
        scale = min(room[0] / max(across, 1e-9), room[1] / max(up, 1e-9), min(room) / MIN_SPAN_M)
        x, y = left + room[0] / 2, top + room[1] / 2
        return cls(size[0], size[1], middle, (west + east) / 2, x, y, scale)

    @property
    def pixels_per_degree(self) -> tuple[float, float]:
        """Pixels to a degree of longitude and of latitude."""
        up = METRES_PER_DEGREE * self.scale
        return up * float(np.cos(np.radians(self.lat))), up

    def place(self, lon_lat: Floats) -> Floats:
        """Return pixels, (N, 2), of longitudes and latitudes in degrees, (N, 2)."""
        right, up = self.pixels_per_degree
        turned: Floats = (lon_lat - (self.lon, self.lat)) * (right, -up) + (self.x, self.y)
        return turned

    def bounds(self, beyond: float) -> tuple[float, float, float, float]:
        """Return west, south, east and north of what is seen, and of some pixels beyond it."""
        right, up = self.pixels_per_degree
        return (
            self.lon - (self.x + beyond) / right,
            self.lat - (self.height - self.y + beyond) / up,
            self.lon + (self.width - self.x + beyond) / right,
            self.lat + (self.y + beyond) / up,
        )

    def scale_bar(self, most_px: float, units: Units) -> tuple[float, float]:
        """Return a round length in metres that takes at most that many pixels, and its pixels."""
        unit = 1000.0 if units == "metric" else MILE_M
        most = most_px / self.scale
        small = 1.0 if units == "metric" else YARD_M
        unit = unit if most >= unit / 4 else small
        power = 10.0 ** np.floor(np.log10(most / unit))
        steps = (0.25, 0.5, 1, 2, 5, 10) if unit > small else (1, 2, 5, 10)
        metres = max((s * power * unit for s in steps if s * power * unit <= most), default=most)
        return float(metres), float(metres * self.scale)


def round_words(metres: float, units: Units) -> str:
    """Return the length of a scale bar in English: 250 m, 2 km, 200 yd, 0.5 mi."""
    long, short, unit = ("mi", "yd", MILE_M) if units == "imperial" else ("km", "m", 1000.0)
    far = metres / unit
    if far >= (0.25 if units == "imperial" else 1):
        return f"{far:.4g} {long}"
    return f"{metres / YARD_M if units == 'imperial' else metres:.0f} {short}"
