"""Other lines for one stretch: the whole route's figures with each of them and without."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from softpedal.library.notes import DIRECTIONS
from softpedal.measure.route_measures import measure
from softpedal.measure.stress import crossing_words, leg_words
from softpedal.measure.variant import with_variant
from softpedal.site import wording
from softpedal.site.language import tr
from softpedal.site.map_data import MapLine, MapVariant
from softpedal.site.quantities import chainage, distance, minutes
from softpedal.site.render import render
from softpedal.site.text import inline

if TYPE_CHECKING:
    from softpedal.library.route import AnotherLine, Route
    from softpedal.measure.direction import DirectionMeasures
    from softpedal.measure.route_measures import Measures
    from softpedal.measure.units import Units
    from softpedal.settings import Settings

HEADING = "Another line for a stretch"


def variants_section(route: Route, measures: Measures, settings: Settings) -> str:
    """Return the section as HTML, "" where the route has no variants."""
    if not route.variants:
        return ""
    return render(
        "variants.html",
        variants=[_variant(route, other, measures, settings) for other in route.variants],
    )


def map_variants(route: Route) -> tuple[MapVariant, ...]:
    """Return the other lines for the route's map: its variants, and the direct road."""
    lines = [MapVariant(MapLine.of(v.line.track), _by(v)) for v in route.variants]
    if route.direct_line is not None:
        lines.append(MapVariant(MapLine.of(route.direct_line), tr("The direct road"), True))
    return tuple(lines)


def _variant(
    route: Route, other: AnotherLine, measures: Measures, settings: Settings
) -> dict[str, Any]:
    units = settings.units
    taken = measure(with_variant(route, other), settings)
    directions = DIRECTIONS if route.back is None else DIRECTIONS[:1]
    return {
        "where": tr(
            "From {leave} to {rejoin}: {length} in place of {instead}.",
            leave=chainage(other.leave_m, units),
            rejoin=chainage(other.rejoin_m, units),
            length=distance(other.line.length_m, units),
            instead=distance(other.rejoin_m - other.leave_m, units),
        ),
        "why": inline(other.variant.why),
        "by": _by(other),
        "groups": [
            {
                "title": tr(wording.DIRECTION_WORDS[direction]),
                "rows": _rows(measures.of(direction), taken.of(direction), units),
            }
            for direction in directions
        ],
    }


def _by(other: AnotherLine) -> str:
    """The street that most of it runs along."""
    return tr("By {street}", street=max(other.line.legs, key=lambda p: p.length_m).item.street)


def _rows(
    without: DirectionMeasures, taken: DirectionMeasures, units: Units
) -> list[tuple[str, str, str]]:
    names = (
        tr("Length"),
        tr("Quiet share"),
        tr("Busy crossings"),
        tr("Dismounts"),
        tr("Time"),
        tr("Hardest bit"),
    )
    return list(zip(names, _figures(without, units), _figures(taken, units), strict=True))


def _figures(direction: DirectionMeasures, units: Units) -> list[str]:
    state = direction.leading
    figures, length = state.figures, distance(direction.length_m, units)
    if figures is None:
        return [length, tr("shut"), "", "", "", ""]
    return [
        length,
        wording.quiet_words(figures, direction.length_m, units)[0],
        str(figures.busy),
        str(figures.dismounts),
        minutes(figures.ride_s),
        _level(direction),
    ]


def _level(direction: DirectionMeasures) -> str:
    leg, crossing = direction.leading.worst_leg, direction.leading.worst_crossing
    if crossing and direction.leading.worst_is_crossing:
        return tr("{words} (a crossing)", words=tr(crossing_words(crossing.level.level)))
    return tr(leg_words(leg[1].level, leg[0].kind)) if leg else ""
