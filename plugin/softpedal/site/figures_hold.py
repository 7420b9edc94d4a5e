"""For what way and which hours a route's three figures hold, where they stand alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.site.language import tr
from softpedal.site.panels import shut_words, views_of
from softpedal.site.route_view import big_figures
from softpedal.site.week_view import OTHER_TIMES

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.measure.route_measures import Measures
    from softpedal.measure.units import Units
    from softpedal.site.panels import View


def way_out(measures: Measures, units: Units) -> list[View]:
    """Return the way out in every state, its leading one first."""
    return [v for v in views_of(measures, units) if v.direction.direction == "outbound"]


def hours_held(views: Sequence[View]) -> str:
    """Return the hours for which the figures of the way out hold, "" where they always do."""
    first, others = views[0], views[1:]
    if shut_words(first) or not any(view.state.passable for view in others):
        return ""
    if first.when == tr(OTHER_TIMES):
        hours = "; ".join(view.when for view in others)
        return tr("These figures do not hold {hours}.", hours=hours)
    return tr("These figures hold {hours}; at other hours they differ.", hours=first.when)


def way_back_figures(measures: Measures, units: Units) -> str:
    """Return the three figures of the way back where they are not those of the way out, else ""."""
    out, back = measures.outbound, measures.way_back
    shown = big_figures(back, back.leading, units)
    if shown == big_figures(out, out.leading, units):
        return ""
    if not shown:
        return tr("shut")
    return ", ".join(map(str, shown))
