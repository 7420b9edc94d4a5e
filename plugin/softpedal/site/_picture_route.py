"""What the drawing of a route shows: one direction in the state that its page leads with."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.site.language import tr
from softpedal.site.map_data import MapLeg, MapLine, MapMarker
from softpedal.site.picture import Picture
from softpedal.site.quantities import distance

if TYPE_CHECKING:
    from softpedal.library.notes import Direction
    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings


def picture_of(
    route: Route, measures: Measures, settings: Settings, direction: Direction = "outbound"
) -> Picture:
    """Return what the drawing of a route shows."""
    out = measures.of(direction)
    state = out.leading
    legs = tuple(MapLeg(s.from_m, s.to_m, s.kind, s.leg.street) for s, _ in state.legs)
    markers = [MapMarker(0.0, "start", ""), MapMarker(out.length_m, "finish", "")]
    markers += [
        MapMarker(met.at_m, "busy crossing" if met.busy else "crossing", "", met.crossing.control)
        for met in state.crossings
    ]
    markers += [MapMarker(met.at_m, "dismount", "") for met in state.dismounts if met.counted]
    markers += [MapMarker(placed.at_m, "barrier", "") for placed in out.line.barriers]
    return Picture(
        MapLine.of(out.line.track),
        legs,
        tuple(markers),
        _ends(route, direction),
        picture_text(route, measures, settings, direction),
        settings.background_attribution,
        settings.units,
    )


def picture_text(
    route: Route, measures: Measures, settings: Settings, direction: Direction = "outbound"
) -> str:
    """Return the text alternative of a route's drawing."""
    start, finish = _ends(route, direction)
    return tr(
        "Map of {title}: {length} from {start} to {finish}, north at the top. "
        "Everything on it also stands in the table under Turn by turn.",
        title=route.notes.title,
        length=distance(measures.of(direction).length_m, settings.units),
        start=start,
        finish=finish,
    )


def _ends(route: Route, direction: Direction) -> tuple[str, str]:
    ends = route.notes.start, route.notes.finish
    return ends if direction == "outbound" else ends[::-1]
