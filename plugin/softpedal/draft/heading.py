"""The head of a draft: title, area, ends, and the ride itself with its minutes."""

from __future__ import annotations

import datetime as dt
import re
import unicodedata
import zoneinfo
from typing import TYPE_CHECKING, Any

import numpy as np

from softpedal.draft.cleaning import moving_standing
from softpedal.draft.spans import OFF_THE_MAP
from softpedal.library.placeholders import AREA, END, STREET, SUMMARY, TITLE
from softpedal.library.track import WGS84

if TYPE_CHECKING:
    from softpedal.draft.ride import Ride
    from softpedal.draft.town import Town
    from softpedal.draft.written import Item
    from softpedal.library.track import Track
    from softpedal.settings import Settings

#: A place with a name this near to an end gives the end its name, metres.
PLACE_NEAR_M = 120.0
#: A part of a town this near to the middle of a ride gives the area, metres.
AREA_NEAR_M = 2500.0
#: Recordings joined with more than this between them are two rides, seconds.
ANOTHER_RIDE_S = 3 * 3600.0
#: A ride that moves for less than this says no minutes, seconds.
SHORTEST_S = 30.0

_AREAS = frozenset(
    ["suburb", "neighbourhood", "quarter", "village", "town", "hamlet", "borough", "city"]
)


def heading(
    town: Town | None,
    ride: Ride,
    items: dict[str, list[Item]],
    settings: Settings,
    *,
    minutes: bool = True,
) -> dict[str, Any]:
    """Return the first keys of the notes, up to `ridden`.

    What neither the map nor the legs name is a placeholder, which a published route may not have.
    """
    track, legs = ride.track, items["legs"]
    start = _place(town, track, 0.0) or _end_name(legs[0])
    finish = _place(town, track, track.length_m) or _end_name(legs[-1])
    title = f"{start} to {finish}" if finish != start else f"A loop from {start}"
    head: dict[str, Any] = {
        "title": TITLE if END in (start, finish) else title[:100],
        "area": [_area(town, track)],
        "start": start,
        "finish": finish,
        "summary": SUMMARY,
        "status": "draft",
    }
    ridden = ridden_of(ride, settings, minutes=minutes)
    return head | ({"ridden": ridden} if ridden else {})


def route_id(title: str) -> str:
    """Return a folder's name for a title: a-z, 0-9 and hyphens."""
    plain = unicodedata.normalize("NFKD", title.replace("'", "").replace("’", ""))
    ascii_only = plain.encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", ascii_only).strip("-")[:80].strip("-") or "route"


def ridden_of(ride: Ride, settings: Settings, *, minutes: bool = True) -> list[dict[str, Any]]:
    """Return the ride as the notes write it, with its moving and standing minutes.

    Rides that were joined and lie hours apart are told one by one; a ride without a clock is none.
    """
    if ride.time_s is None:
        return []
    zone = zoneinfo.ZoneInfo(settings.time_zone)
    apart = np.flatnonzero(np.diff(ride.time_s) > ANOTHER_RIDE_S) + 1
    found = []
    for first, end in zip([0, *apart.tolist()], [*apart.tolist(), len(ride.lat)], strict=True):
        day = dt.datetime.fromtimestamp(float(ride.time_s[first]), zone).date()
        told: dict[str, Any] = {"on": day.isoformat(), "direction": "outbound"}
        moving, standing = moving_standing(ride.only(slice(first, end)))
        if minutes and moving >= SHORTEST_S:
            told |= {"moving": max(1, round(moving / 60)), "standing": round(standing / 60)}
        found.append(told)
    return found


def _end_name(leg: Item) -> str:
    return END if leg["street"] in (OFF_THE_MAP, STREET) else leg["street"][:60]


def _place(town: Town | None, track: Track, at_m: float) -> str:
    """Return the nearest name to a chainage that is no part of town, "" where none is near."""
    lat, lon = track.at(at_m)
    near = _nearest(town, lat, lon, PLACE_NEAR_M, areas=False)
    return near[:60]


def _area(town: Town | None, track: Track) -> str:
    lat, lon = track.at(track.length_m / 2)
    return _nearest(town, lat, lon, AREA_NEAR_M, areas=True)[:60] or AREA


def _nearest(town: Town | None, lat: float, lon: float, within_m: float, *, areas: bool) -> str:
    places = [p for p in town.network.places if (p.what in _AREAS) == areas] if town else []
    if not places:
        return ""
    lats, lons = np.array([p.lat for p in places]), np.array([p.lon for p in places])
    _, _, metres = WGS84.inv(np.full(len(lats), lon), np.full(len(lats), lat), lons, lats)
    best = int(np.argmin(metres))
    return places[best].name if metres[best] <= within_m else ""
