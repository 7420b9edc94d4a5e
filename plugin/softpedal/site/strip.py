"""The strip: a route straightened into a band and drawn to scale, read from left to right.

The large strip is laid out in per cent of its width and in pixels of height, so that on a phone
its type stays as large as on a wide page; words that have no room on a phone carry the class
`sp-wide`, which the style sheet hides there.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from softpedal.site._strip_large import draw_large
from softpedal.site._strip_small import draw_small
from softpedal.site.strip_text import strip_text

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from softpedal.measure.units import Units

__all__ = ["MarkSort", "Strip", "StripLeg", "StripMark", "large_strip", "small_strip", "strip_text"]

MarkSort = Literal["crossing", "busy crossing", "dismount", "hazard", "landmark"]


@dataclass(frozen=True, slots=True)
class StripLeg:
    """A leg by chainage in metres, with its kind and its level of traffic stress."""

    from_m: float
    to_m: float
    kind: str
    level: int


@dataclass(frozen=True, slots=True)
class StripMark:
    """Something at one place: `control` belongs to crossings, `word` to hazards and landmarks."""

    at_m: float
    sort: MarkSort
    control: str = ""
    word: str = ""


@dataclass(frozen=True, slots=True)
class Strip:
    """What a strip shows.

    Attributes:
        length_m: of the route.
        legs: in riding order.
        marks: in any order.
        profile: heights in metres at equal steps from start to finish, (N,), or None.
        worst: chainage from and to, and the level, of the worst leg, or None.
        units: of the axis.
        text: the text alternative, see `strip_text`.
    """

    length_m: float
    legs: tuple[StripLeg, ...]
    marks: tuple[StripMark, ...] = ()
    profile: NDArray[np.float64] | None = None
    worst: tuple[float, float, int] | None = None
    units: Units = "metric"
    text: str = ""

    def share(self, at_m: float) -> float:
        """Return the share of the route that lies before a chainage, within [0, 1]."""
        return min(1.0, max(0.0, at_m / self.length_m)) if self.length_m > 0 else 0.0


def large_strip(strip: Strip, width: float | None = None) -> str:
    """Return the strip of a route's page as SVG, 110 px high.

    Args:
        strip: what to draw; each leg becomes a `<g data-leg="i">` that scripts can light.
        width: in pixels, for pictures; None follows the width of the page.

    Raises:
        ValueError: if a leg is of no known kind.
    """
    return draw_large(strip, width)


def small_strip(strip: Strip) -> str:
    """Return the strip of a list's row as SVG, 240 by 24 px and without words.

    Raises:
        ValueError: if a leg is of no known kind.
    """
    return draw_small(strip)
