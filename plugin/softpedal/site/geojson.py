"""A route as GeoJSON (RFC 7946): its legs as lines, and what is met on it as points."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import numpy as np

from softpedal.site.language import tr

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from softpedal.library.notes import Direction
    from softpedal.library.route import Route
    from softpedal.library.track import Track
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings
    from softpedal.site.row import Row

#: A tenth of a metre on the ground, as RFC 7946 advises.
DECIMALS = 6


def route_geojson(
    route: Route,
    measures: Measures,
    rows: Mapping[Direction, Sequence[Row]],
    settings: Settings,
    about: str,
) -> str:
    """Return a FeatureCollection in WGS84, longitude first, each direction in riding order.

    Args:
        route: whose line.
        measures: of the route.
        rows: the timetable of each direction that is offered.
        settings: of the library.
        about: what the reader must know: when it was ridden, and under what licence it is.
    """
    features: list[dict[str, Any]] = []
    for direction, found in rows.items():
        features += _legs(measures, direction)
        features += _points(route.line(direction).track, direction, found)
    notes = route.notes
    collection = {
        "type": "FeatureCollection",
        "title": notes.title,
        "from": notes.start,
        "to": notes.finish,
        "description": about,
        "attribution": settings.background_attribution,
        "features": features,
    }
    return json.dumps(collection, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def _legs(measures: Measures, direction: Direction) -> list[dict[str, Any]]:
    measured = measures.of(direction)
    return [
        {
            "type": "Feature",
            "geometry": _line(measured.line.track, stretch.from_m, stretch.to_m),
            "properties": {
                "sort": "leg",
                "direction": direction,
                "street": stretch.leg.street,
                "kind": stretch.kind,
                "kind_words": tr(stretch.kind),
                "level": level.level,
                "level_assumed": level.assumed,
                "quiet": stretch.is_quiet,
                "from_m": round(stretch.from_m, 1),
                "to_m": round(stretch.to_m, 1),
            },
        }
        for stretch, level in measured.leading.legs
    ]


def _points(track: Track, direction: Direction, rows: Sequence[Row]) -> list[dict[str, Any]]:
    return [
        {
            "type": "Feature",
            "geometry": {"type": "Point", "coordinates": _degrees(*track.at(row.at_m)[::-1])},
            "properties": {
                "sort": row.sort,
                "direction": direction,
                "at_m": round(row.at_m, 1),
                "text": row.plain,
            },
        }
        for row in rows
        if row.sort != "leg"
    ]


def _line(track: Track, from_m: float, to_m: float) -> dict[str, Any]:
    """Return the geometry between two chainages; a gap between parts of a track stays one."""
    pieces = []
    for part in np.unique(track.part):
        inside = track.part == part
        at, lat, lon = track.chainage_m[inside], track.lat[inside], track.lon[inside]
        low, high = max(from_m, float(at[0])), min(to_m, float(at[-1]))
        if high <= low:
            continue
        stops = np.concatenate(([low], at[(at > low) & (at < high)], [high]))
        lons, lats = np.interp(stops, at, lon), np.interp(stops, at, lat)
        # Adding zero makes plain zero of minus zero.
        pieces.append((np.round(np.c_[lons, lats], DECIMALS) + 0.0).tolist())
    if len(pieces) == 1:
        return {"type": "LineString", "coordinates": pieces[0]}
    return {"type": "MultiLineString", "coordinates": pieces}


def _degrees(lon: float, lat: float) -> list[float]:
    """Return longitude and latitude, and plain zero in place of minus zero."""
    return [round(float(lon), DECIMALS) + 0.0, round(float(lat), DECIMALS) + 0.0]
