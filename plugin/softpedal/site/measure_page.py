"""The page How we measure: printed from the constants that the measures use."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.library.notes import KINDS
from softpedal.library.track import MAX_GAP_M
from softpedal.measure import (
    crossings,
    difficulty,
    directness,
    height,
    quietness,
    riding_time,
    stress,
    waiting,
)
from softpedal.measure.legs import QUIET
from softpedal.site.addresses import HOW_WE_MEASURE
from softpedal.site.looks import look_of
from softpedal.site.published import Page
from softpedal.site.render import render

if TYPE_CHECKING:
    from softpedal.settings import Settings


def measure_page(settings: Settings) -> Page:
    """Return the page; its tables cannot drift from the code."""
    kinds = [
        {
            "name": kind,
            "what": KIND_WORDS[kind],
            "quiet": "yes" + (", with evidence" if kind == "filtered street" else "")
            if kind in QUIET
            else "no",
            "look": look_of(kind).name,
            "level": stress.DEFAULT_LEVEL[kind],
        }
        for kind in KINDS
    ]
    return Page(
        HOW_WE_MEASURE,
        render(
            "how_we_measure.md",
            kinds=kinds,
            settings=settings,
            s=stress,
            w=waiting,
            h=height,
            d=directness,
            c=crossings,
            q=quietness,
            t=riding_time,
            g=difficulty,
            gap_m=MAX_GAP_M,
        ),
    )


KIND_WORDS = {
    "protected track": "beside a road, kept from motor traffic by a kerb, island, planters, posts "
    "or parked cars; for cycling, not a shared pavement",
    "traffic-free path": "away from roads: park, towpath, estate path, closed railway",
    "filtered street": "open to motor traffic only for access: nothing can drive through",
    "back street": "light traffic, but one can drive through",
    "shared pavement": "pavement on which riding is allowed, among people walking",
    "painted lane": "lane marked by paint only",
    "bus lane": "shared with buses",
    "mixed street": "ordinary street, some through traffic",
    "busy road": "mixed with heavy or fast traffic",
    "on foot": "pushed: pedestrian street, pavement, steps, no entry",
}
