"""The direct road between two places, with which a quiet way is compared."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from softpedal.library.gpx_writer import write_gpx
from softpedal.library.track import Track
from softpedal.streets.costs import ride_costs
from softpedal.streets.ways import line_of, way_between

if TYPE_CHECKING:
    from softpedal.streets.country import Country
    from softpedal.streets.network import Network
    from softpedal.streets.ways import Way


@dataclass(frozen=True, eq=False, slots=True)
class Direct:
    """The direct road.

    Attributes:
        km: its length.
        minutes: of riding at the cruising speed, without any wait.
        track: its line, without heights.
        way: the edges that it takes.
    """

    km: float
    minutes: float
    track: Track
    way: Way


def direct_road(  # noqa: PLR0917 - two places, as the notes have them
    network: Network,
    country: Country,
    lat1: float,
    lon1: float,
    lat2: float,
    lon2: float,
    cruising_kmh: float = 15.0,
) -> Direct | None:
    """Return the shortest way between two places that one may ride by law, in that direction.

    Every way open to cycles counts, a path through a park too, and no traffic is avoided: nothing
    longer is called the direct road, so that no detour looks smaller than it is.

    Args:
        network: the streets.
        country: its defaults of access.
        lat1: of the start, like `lon1` in WGS84 degrees; the street may be 100 m away.
        lon1: of the start.
        lat2: of the finish.
        lon2: of the finish.
        cruising_kmh: speed for the minutes.
    """
    way = way_between(network, ride_costs(network, country), (lat1, lon1), (lat2, lon2))
    if way is None or not way.parts:
        return None
    track = flat_track(network, way)
    km = track.length_m / 1000
    return Direct(km, km / cruising_kmh * 60, track, way)


def flat_track(network: Network, way: Way) -> Track:
    """Return the line of a way as a track without heights."""
    lat, lon, _ = line_of(network, way.parts)
    return Track(lat, lon, np.full(len(lat), np.nan), np.zeros(len(lat), dtype=np.int64))


def direct_gpx(track: Track) -> str:
    """Return the direct road's line as the text of a route folder's direct.gpx."""
    comment = "The shortest way that one may ride by the map; to compare with, not to follow."
    arrays = track.lat, track.lon, track.height, track.part
    return write_gpx(*arrays, "The direct road", comment=comment)
