"""What of a route depends on the day on which its page is read: alerts, and the age of its ride.

All of it goes into the page with its dates; the reader's browser shows what holds on that day.
"""

from __future__ import annotations

from math import isnan, nan
from typing import TYPE_CHECKING, Any

from softpedal.site import wording
from softpedal.site.language import date, tr
from softpedal.site.quantities import chainage
from softpedal.site.text import inline

if TYPE_CHECKING:
    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings

#: A ride that was so many months ago is told above everything else on its route's page.
OLD_MONTHS = 24
#: A list tells of alerts that begin within so many days; the route's page tells of all.
AHEAD_DAYS = 14


def dated_values(route: Route, measures: Measures, settings: Settings) -> dict[str, Any]:
    """Return what the templates of `dated.html` are given for a route, for `**`."""
    ridden_on = measures.ridden_on
    return {
        "alerts": alert_rows(route, settings),
        "zone": settings.time_zone,
        "ridden_on": ridden_on,
        "ridden_words": ridden_on and date(ridden_on),
        "old_months": OLD_MONTHS,
    }


def alert_rows(route: Route, settings: Settings) -> list[dict[str, Any]]:
    """Return the alerts in the notes' order, then the library's.

    Each has its first and last day as ISO dates, words, text, and where on the way out an alert of
    the library is passed. `until` is "" where the last day is not known, `where` "" where the place
    is.
    """
    alerts, passed = route.notes.alerts, route.passed_alerts
    places = [nan] * (len(alerts) - len(passed)) + [placed.at_m for placed in passed]
    return [
        {
            "from": alert.from_,
            "until": alert.until or "",
            "when": wording.span_words(alert.from_, alert.until),
            "text": inline(alert.text),
            "where": ""
            if isnan(at_m)
            else tr("(At {distance}.)", distance=chainage(at_m, settings.units)),
        }
        for alert, at_m in zip(alerts, places, strict=True)
    ]
