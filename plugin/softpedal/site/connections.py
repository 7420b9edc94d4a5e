"""Which routes one can ride on to: ends that meet, worked out over the whole library."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from softpedal.site.one_route import Ends

#: Ends this near to each other meet, in metres.
MEET_M = 250.0


def ride_on(routes: Mapping[str, tuple[Sequence[str], Ends]]) -> dict[str, list[str]]:
    """Return for each route the ids of those that begin or end near one of its ends.

    Distances are taken in an azimuthal equidistant projection about the middle of the library.

    Args:
        routes: by id, the ids that the notes name under `next` (they come first), and the
            latitude and longitude of both ends.
    """
    import geopandas as gpd  # noqa: PLC0415 - it takes a second to import

    found = {one: [n for n in named if n in routes] for one, (named, _) in routes.items()}
    if len(routes) < 2:
        return found
    ids = [one for one in routes for _ in range(2)]
    lats, lons = zip(*(end for _, ends in routes.values() for end in ends), strict=True)
    middle = f"+lat_0={sum(lats) / len(lats)} +lon_0={sum(lons) / len(lons)}"
    ends = gpd.GeoDataFrame(
        {"id": ids}, geometry=gpd.points_from_xy(lons, lats), crs="EPSG:4326"
    ).to_crs(f"+proj=aeqd {middle} +datum=WGS84 +units=m")
    here, there = ends.sindex.query(ends.geometry, predicate="dwithin", distance=MEET_M)
    for one, other in sorted({(ids[a], ids[b]) for a, b in zip(here, there, strict=True)}):
        if one != other and other not in found[one]:
            found[one].append(other)
    return found
