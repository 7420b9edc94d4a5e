"""The lines of all routes in one GeoJSON (RFC 7946), for maps and for work with them."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import numpy as np

from softpedal.site._map_line import kept_points
from softpedal.site.addresses import ROUTES_GEOJSON
from softpedal.site.geojson import DECIMALS
from softpedal.site.map_data import MapLine
from softpedal.site.published import StaticFile
from softpedal.site.quantities import share_down

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings


def routes_file(features: Sequence[dict[str, Any]], settings: Settings, address: str) -> StaticFile:
    """Return one FeatureCollection in WGS84, longitude first; `address` is that of all routes."""
    collection: dict[str, Any] = {
        "type": "FeatureCollection",
        "title": settings.title,
        "address": address,
        "attribution": settings.background_attribution,
    }
    if features:
        boxes = np.array([feature["bbox"] for feature in features])
        collection["bbox"] = [
            *boxes[:, :2].min(axis=0).tolist(),
            *boxes[:, 2:].max(axis=0).tolist(),
        ]
    collection["features"] = list(features)
    text = json.dumps(collection, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return StaticFile(ROUTES_GEOJSON, text.encode())


def feature_of(route: Route, measures: Measures, address: str, caution: str) -> dict[str, Any]:
    """Return a route's way out within 2 m, with the figures of its leading state.

    Args:
        route: the route.
        measures: of the route.
        address: of its page.
        caution: what the reader must know, and when it was last ridden.
    """
    out, notes = measures.outbound, route.notes
    figures = out.leading.figures
    return {
        "type": "Feature",
        "id": route.id,
        "bbox": bounds_of(route),
        "geometry": _geometry(route),
        "properties": {
            "id": route.id,
            "title": notes.title,
            "address": address,
            "area": ", ".join(notes.area),
            "quiet_share": share_down(figures.quietness) if figures else None,
            "busy_crossings": figures.busy if figures else None,
            "dismounts": figures.dismounts if figures else None,
            "level": figures.level if figures else None,
            "difficulty": measures.difficulty.overall,
            "length_m": round(out.length_m, 1),
            "ridden_on": measures.ridden_on,
            "caution": caution,
        },
    }


def bounds_of(route: Route) -> list[float]:
    """Return west, south, east and north of a route's way out, degrees (RFC 7946, section 5)."""
    track = route.along.track
    corners = (track.lon.min(), track.lat.min(), track.lon.max(), track.lat.max())
    return [round(float(degrees), DECIMALS) + 0.0 for degrees in corners]


def _geometry(route: Route) -> dict[str, Any]:
    line = MapLine.of(route.along.track)
    degrees = np.c_[line.lon, line.lat]
    # Adding zero makes plain zero of minus zero.
    pieces = [(np.round(degrees[kept], DECIMALS) + 0.0).tolist() for kept in kept_points(line)]
    if len(pieces) == 1:
        return {"type": "LineString", "coordinates": pieces[0]}
    return {"type": "MultiLineString", "coordinates": pieces}
