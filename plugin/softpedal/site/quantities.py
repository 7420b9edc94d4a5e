"""Numbers with their units as pages show them, in the current language."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.measure import units as english
from softpedal.site.language import number, tr

if TYPE_CHECKING:
    from softpedal.measure.units import Units

YARD_M = 0.9144


def distance(metres: float, units: Units) -> str:
    """Return a length: metres or yards when short, else km or miles to one place."""
    return number(english.distance(metres, units))


def coarse(metres: float, units: Units) -> str:
    """Return a length to a tenth of a kilometre or mile, or in tens below that."""
    if units == "imperial":
        miles = metres / english.MILE_M
        return number(f"{miles:.1f} mi") if miles >= 0.1 else f"{_tens(metres / YARD_M)} yd"
    return number(f"{metres / 1000:.1f} km") if metres >= 100 else f"{_tens(metres)} m"


def chainage(metres: float, units: Units) -> str:
    """Return a chainage in km or miles to two places."""
    return number(english.chainage(metres, units))


def small(metres: float, units: Units) -> str:
    """Return a width or a gap."""
    return number(english.small(metres, units))


def rise(metres: float, units: Units) -> str:
    """Return metres climbed, to 10 m or 10 ft."""
    return english.rise(metres, units)


def height(metres: float, units: Units) -> str:
    """Return a height in whole metres or feet."""
    return english.height(metres, units)


def minutes(seconds: float) -> str:
    """Return seconds as whole minutes, rounded up."""
    return tr("{minutes} min", minutes=max(1, -int(-seconds // 60)))


def share_down(share: float) -> float:
    """Return a share of 0 to 1 to four places, rounded down: no figure is flattered."""
    return int(share * 10_000 + 1e-9) / 10_000


def _tens(value: float) -> int:
    return max(10, int(value / 10 + 0.5) * 10) if value >= 5 else round(value)
