"""Numbers with units in words, as the library's settings say; inside the code all is SI."""

from __future__ import annotations

from typing import Literal

Units = Literal["metric", "imperial"]

MILE_M = 1609.344
FOOT_M = 0.3048


def distance(metres: float, units: Units) -> str:
    """Return a length in words: metres or yards when short, else km or miles to one place."""
    if units == "imperial":
        if metres < 0.25 * MILE_M:
            return f"{metres / 0.9144:.0f} yd"
        return f"{metres / MILE_M:.1f} mi"
    return f"{metres:.0f} m" if metres < 999.5 else f"{metres / 1000:.1f} km"


def chainage(metres: float, units: Units) -> str:
    """Return a chainage in km or miles to two places."""
    return f"{metres / MILE_M:.2f} mi" if units == "imperial" else f"{metres / 1000:.2f} km"


def small(metres: float, units: Units) -> str:
    """Return a width or a gap, to a tenth of a metre or an inch's worth of feet."""
    return f"{metres / FOOT_M:.1f} ft" if units == "imperial" else f"{metres:.1f} m"


def rise(metres: float, units: Units) -> str:
    """Return metres climbed, to 10 m or 10 ft."""
    if units == "imperial":
        return f"{round(metres / FOOT_M, -1):.0f} ft"
    return f"{round(metres, -1):.0f} m"


def height(metres: float, units: Units) -> str:
    """Return a height in whole metres or feet."""
    return f"{round(metres / FOOT_M)} ft" if units == "imperial" else f"{round(metres)} m"
