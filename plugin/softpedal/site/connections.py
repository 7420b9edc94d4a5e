"""Which routes one can ride on to: ends that meet, worked out over the whole library."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from softpedal.library.route import Route

#: Ends this near to each other meet, in metres.
MEET_M = 250.0


def ride_on(routes: Sequence[Route]) -> Mapping[str, list[str]]:
    """Return for each route the ids of those that begin or end near one of its ends.

    Routes that the notes name under `next` come first. Distances are taken in an azimuthal
    equidistant projection about the middle of the library.
    """
    import geopandas as gpd  # noqa: PLC0415 - it takes a second to import

    found: dict[str, list[str]] = {route.id: list(route.notes.next) for route in routes}
    known = set(found)
    if len(routes) < 2:
        return {one: [n for n in others if n in known] for one, others in found.items()}
    ids, lats, lons = [], [], []
    for route in routes:
        for index in (0, -1):
            ids.append(route.id)
            lats.append(float(route.along.track.lat[index]))
            lons.append(float(route.along.track.lon[index]))
    middle = f"+lat_0={sum(lats) / len(lats)} +lon_0={sum(lons) / len(lons)}"
    ends = gpd.GeoDataFrame(
        {"id": ids}, geometry=gpd.points_from_xy(lons, lats), crs="EPSG:4326"
    ).to_crs(f"+proj=aeqd {middle} +datum=WGS84 +units=m")
    here, there = ends.sindex.query(ends.geometry, predicate="dwithin", distance=MEET_M)
    pairs = sorted({(ids[a], ids[b]) for a, b in zip(here, there, strict=True)})
    for one, other in pairs:
        if one != other and other not in found[one]:
            found[one].append(other)
    return {one: [n for n in others if n in known] for one, others in found.items()}
