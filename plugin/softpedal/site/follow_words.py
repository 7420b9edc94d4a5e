"""What a route's page says while it is followed: at the strip's slider and at one's own position.

Each text is translated where the map's data is written; the scripts fill in the braces.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.measure.units import MILE_M
from softpedal.site.language import number, tr
from softpedal.site.quantities import YARD_M

if TYPE_CHECKING:
    from collections.abc import Mapping

    from softpedal.measure.units import Units

FOLLOW_WORDS: Mapping[str, str] = {
    "along": "Along the route",
    "slide": "Slide along the strip: the map shows the place.",
    "place": "{at}: {what}",
    "where": "Where am I",
    "stop": "Stop showing where I am",
    "safe": "Stop in a safe place before you look at a map or a phone.",
    "private": "Your position stays on this device.",
    "waiting": "Waiting for a position.",
    "denied": (
        "This page may not read your position. You can allow it in the browser's settings for "
        "this site."
    ),
    "none": "This browser does not tell a position.",
    "insecure": "A browser tells a position only to pages that come over https; this one does not.",
    "lost": "No position found at the moment.",
    "at": "{at} from the start",
    "on": "on the route",
    "off": "{far} off the route",
    "far": "You are {far} from the route. The nearest place on it is {at} from the start.",
    "accuracy": "accurate to {metres}",
    "next": "In {far}: {what}",
    "now": "Here: {what}",
    "you": "Your position",
}


def figures_for_scripts(units: Units) -> dict[str, object]:
    """Return how scripts write chainages and short lengths: unit, metres in it, decimal sign."""
    if units == "imperial":
        long, short = (MILE_M, "mi"), (YARD_M, "yd")
    else:
        long, short = (1000.0, "km"), (1.0, "m")
    return {
        "long": [long[0], tr(long[1])],
        "short": [short[0], tr(short[1])],
        "decimal": number("0.0")[1],
    }
