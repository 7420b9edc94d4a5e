"""The five looks of a leg: the one table of colours and patterns, for pictures and map alike.

The colours are Paul Tol's "vibrant" scheme and black. Every look differs from the others by its
pattern too, so that it survives greyscale and any eye, and all of them lie on a white casing,
without which teal and magenta would fall under a contrast of 3:1.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from softpedal.site.language import tr

if TYPE_CHECKING:
    from collections.abc import Mapping

Cap = Literal["butt", "round"]

#: What every look is drawn on.
CASING = "#FFFFFF"

#: Width of the map's lines in CSS pixels, and of the white casing under them.
MAP_BAND_PX = 6.0
MAP_CASING_PX = 10.0


@dataclass(frozen=True, slots=True)
class Stroke:
    """A look at one size, in the units of the drawing."""

    colour: str
    width: float
    dash: tuple[float, ...]
    cap: Cap
    centre: float
    offset: float


@dataclass(frozen=True, slots=True)
class Look:
    """How legs of some kinds are drawn.

    Attributes:
        name: what readers call it.
        slug: its name in markup and scripts.
        colour: of the line.
        width: of the line, as a share of the band.
        dash: lengths of dash and gap in widths of the band; empty means solid.
        cap: how a dash ends; round with a dash of 0 gives dots.
        centre: width of a white line along the middle, as a share of the band; 0 means none.
        lead: how far the first dash starts behind the leg's start, in widths of the band, so that
            a round cap does not reach into the leg before.
    """

    name: str
    slug: str
    colour: str
    width: float
    dash: tuple[float, ...] = ()
    cap: Cap = "butt"
    centre: float = 0.0
    lead: float = 0.0

    def stroke(self, band: float, grain: float | None = None) -> Stroke:
        """Return this look for a band of that width.

        Args:
            band: the width of the band.
            grain: the width that the dashes are made for, where a finer pattern is wanted than
                that of the band; dots keep to the band, since they would run together.
        """
        unit = band if grain is None or self.cap == "round" else grain
        return Stroke(
            colour=self.colour,
            width=round(self.width * band, 2),
            dash=tuple(round(length * unit, 2) for length in self.dash),
            cap=self.cap,
            centre=round(self.centre * band, 2),
            offset=round(-self.lead * band, 2),
        )


AWAY = Look("away from traffic", "away", "#0077BB", 1.0, centre=0.34)
FILTERED = Look("filtered", "filtered", "#009988", 1.0)
LIGHT = Look("light traffic", "light", "#000000", 0.36, (1.1, 0.6))
AMONG = Look("among traffic", "among", "#CC3311", 1.0, (1.0, 0.45))
ON_FOOT = Look("on foot", "foot", "#EE3377", 0.62, (0.0, 1.0), "round", lead=0.4)

#: In the order in which a key lists them.
LOOKS: tuple[Look, ...] = (AWAY, FILTERED, LIGHT, AMONG, ON_FOOT)

#: The look of each kind of leg, in the order of the measures.
LOOK_OF_KIND: Mapping[str, Look] = {
    "protected track": AWAY,
    "traffic-free path": AWAY,
    "filtered street": FILTERED,
    "back street": LIGHT,
    "shared pavement": LIGHT,
    "painted lane": AMONG,
    "bus lane": AMONG,
    "mixed street": AMONG,
    "busy road": AMONG,
    "on foot": ON_FOOT,
}


def look_of(kind: str) -> Look:
    """Return the look of a kind of leg.

    Raises:
        ValueError: if there is no such kind.
    """
    try:
        return LOOK_OF_KIND[kind]
    except KeyError:
        known = ", ".join(LOOK_OF_KIND)
        raise ValueError(f"no look for the kind {kind!r}; kinds are {known}") from None


def looks_for_map() -> dict[str, dict[str, object]]:
    """Return the table as the map's script reads it: by slug, lengths in CSS pixels."""
    table: dict[str, dict[str, object]] = {}
    for look in LOOKS:
        stroke = look.stroke(MAP_BAND_PX)
        table[look.slug] = {
            "name": tr(look.name),
            "colour": stroke.colour,
            "width": stroke.width,
            "dash": list(stroke.dash),
            "cap": stroke.cap,
            "centre": stroke.centre,
            "offset": stroke.offset,
        }
    return table
