"""The week on a route's page: each direction in each of its states, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.measure.stress import LEVEL_WORDS
from softpedal.measure.week import hours_text
from softpedal.site import wording
from softpedal.site.language import tr
from softpedal.site.quantities import minutes

if TYPE_CHECKING:
    from softpedal.measure.route_measures import Measures
    from softpedal.measure.units import Units


#: When the state holds that fills the rest of the week.
OTHER_TIMES = "at other times"


def week_rows(measures: Measures, units: Units) -> list[dict[str, str]]:
    """Return one row for each state of each direction, the leading one first."""
    rows = []
    for direction in (measures.outbound, measures.way_back):
        texts = [hours_text(state.spans) for state in direction.states]
        for state, when in zip(direction.states, texts, strict=True):
            figures = state.figures
            row = {
                "direction": tr(wording.DIRECTION_WORDS[direction.direction]),
                "when": _when(when, texts),
            }
            if figures is None:
                row |= {
                    "quiet": tr("shut: not passable"),
                    "busy": "",
                    "dismounts": "",
                    "time": "",
                    "worst": "",
                }
            else:
                row |= {
                    "quiet": wording.quiet_words(figures, direction.length_m, units)[0],
                    "busy": str(figures.busy),
                    "dismounts": str(figures.dismounts),
                    "time": minutes(figures.ride_s),
                    "worst": tr(LEVEL_WORDS[figures.level]),
                }
            rows.append(row)
    return rows


def _when(text: str, texts: list[str]) -> str:
    """The longest of several descriptions is told as the rest of the week."""
    if len(texts) > 1 and len(text) > 40 and text == max(texts, key=len):
        return tr(OTHER_TIMES)
    return wording.hours_words(text)
