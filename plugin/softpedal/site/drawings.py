"""What a route's strip, profile and map are drawn from."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from softpedal.measure.height import SEVERITY_NOTE
from softpedal.measure.stress import leg_words
from softpedal.site import profile as drawn_profile
from softpedal.site.language import tr
from softpedal.site.map_data import MapData, MapLeg, MapLine, MapMarker, MapTiles, map_script
from softpedal.site.map_views import MapView
from softpedal.site.strip import Strip, StripLeg, StripMark, strip_text
from softpedal.site.variants import map_variants

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from softpedal.library.route import Route
    from softpedal.library.track import Floats
    from softpedal.measure.direction import DirectionMeasures, StateMeasures
    from softpedal.measure.units import Units
    from softpedal.settings import Settings
    from softpedal.site.map_data import MarkerSort
    from softpedal.site.panels import View
    from softpedal.site.row import Row

#: Heights in a strip: enough for its width.
PROFILE_POINTS = 200

_MARKED: dict[str, MarkerSort] = {
    "crossing": "crossing",
    "busy crossing": "busy crossing",
    "dismount": "dismount",
    "hazard": "hazard",
    "barrier": "barrier",
    "landmark": "landmark",
}


def strip_of(direction: DirectionMeasures, state: StateMeasures, units: Units) -> Strip:
    """Return the strip of one direction in one state of the week."""
    line = direction.line
    legs = tuple(StripLeg(s.from_m, s.to_m, s.kind, level.level) for s, level in state.legs)
    marks = [
        StripMark(c.at_m, "busy crossing" if c.busy else "crossing", c.crossing.control)
        for c in state.crossings
    ]
    marks += [StripMark(d.at_m, "dismount") for d in state.dismounts if d.counted]
    marks += [StripMark(p.at_m, "hazard", word=p.item.what) for p in line.hazards]
    marks += [StripMark(p.at_m, "landmark", word=p.item.what) for p in line.landmarks]
    flag = _flag(state)
    return Strip(
        direction.length_m,
        legs,
        tuple(marks),
        _heights(direction),
        flag,
        units,
        strip_text(direction.length_m, legs, marks, flag, units),
    )


def _flag(state: StateMeasures) -> tuple[float, float, int] | None:
    """Where the hardest bit is and its level; none where nothing is above level 1."""
    leg, crossing = state.worst_leg, state.worst_crossing
    if crossing and state.worst_is_crossing:
        flag = (crossing.at_m, crossing.at_m, crossing.level.level)
    elif leg:
        flag = (leg[0].from_m, leg[0].to_m, leg[1].level)
    else:
        return None
    return flag if flag[2] > 1 else None


def profile_of(direction: DirectionMeasures, units: Units) -> str:
    """Return the height profile as SVG, or "" where heights were not recorded."""
    shape, heights = direction.profile, direction.heights
    if shape is None or heights is None:
        return ""
    climbs = [
        drawn_profile.Climb(c.from_m, c.to_m, c.rise_m / (c.to_m - c.from_m))
        for c in heights.climbs
        if c.severity > SEVERITY_NOTE
    ]
    return drawn_profile.profile_svg(shape.chainage_m, shape.height_m, climbs, units=units)


def map_of(route: Route, rows: Mapping[str, tuple[View, Sequence[Row]]], settings: Settings) -> str:
    """Return the script with the data of a route's map.

    Args:
        route: whose map.
        rows: every view with its timetable by its key, the one that the page leads with first.
        settings: who made the background, the owner's tiles, and the units.
    """
    views = tuple(_map_view(route, view, found) for view, found in rows.values())
    return map_script(
        MapData(
            route.id,
            MapLine.of(route.line("outbound").track),
            views[0].legs,
            views[0].markers,
            MapLine.of(route.back.track) if route.back else None,
            views,
            settings.tiles.attribution if settings.tiles else settings.background_attribution,
            settings.units,
            map_variants(route),
            MapTiles(settings.tiles.url, settings.tiles.max_zoom) if settings.tiles else None,
        )
    )


def _map_view(route: Route, view: View, rows: Sequence[Row]) -> MapView:
    is_back = view.direction.direction == "return"
    cues = {row.leg: row.cue.striptags() for row in rows if row.leg is not None}
    legs = tuple(
        MapLeg(
            s.from_m,
            s.to_m,
            s.kind,
            s.leg.street,
            tr(leg_words(level.level, s.kind)),
            cues.get(index, ""),
        )
        for index, (s, level) in enumerate(view.state.legs)
    )
    names = (route.notes.start, route.notes.finish)
    start, finish = names[::-1] if is_back else names
    last = tr("Finish: {name}", name=finish)
    ends = (
        MapMarker(0.0, "start", tr("Start: {name}", name=start)),
        MapMarker(view.direction.length_m, "finish", last, note=last),
    )
    points = tuple(
        MapMarker(row.at_m, _MARKED[row.sort], row.plain, row.control, row.word, _note(row))
        for row in rows
        if row.sort in _MARKED
    )
    return MapView(view.key, legs, ends + points, is_back, not view.state.passable)


def _note(row: Row) -> str:
    """What is met there, in a few words."""
    return ", ".join(words for words in (row.title.striptags(), row.kind) if words)


def _heights(direction: DirectionMeasures) -> Floats | None:
    shape = direction.profile
    if shape is None:
        return None
    at = np.linspace(0.0, direction.length_m, PROFILE_POINTS)
    return np.interp(at, shape.chainage_m, shape.height_m)
