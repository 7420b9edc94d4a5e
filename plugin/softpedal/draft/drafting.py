"""A ride and a town → a route folder."""

from __future__ import annotations

import datetime as dt
import math
import re
import unicodedata
import zoneinfo
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from softpedal.draft.chain import CONFIDENCES
from softpedal.draft.direct import direct_gpx, direct_road
from softpedal.draft.draft_record import RECORD, DraftRecord, record_text
from softpedal.draft.matching import Pins, match
from softpedal.draft.new_folder import write_new_folder
from softpedal.draft.notes_document import draft_line
from softpedal.draft.notes_text import notes_text
from softpedal.draft.papers import source_of
from softpedal.draft.ride import Ride, RideError, line_of
from softpedal.draft.spans import OFF_THE_MAP
from softpedal.draft.written import comments_of
from softpedal.library.folder_files import DIRECT, NOTES, TRACK
from softpedal.library.gpx_writer import write_gpx
from softpedal.library.placeholders import AREA, SUMMARY
from softpedal.library.track import WGS84
from softpedal.library.values import ROUTE_ID

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.draft.chain import Chain
    from softpedal.draft.notes_document import LineDraft
    from softpedal.draft.spans import Span
    from softpedal.draft.town import Town
    from softpedal.library.track import Track
    from softpedal.settings import Settings

#: A place with a name this near to an end gives the end its name, metres.
PLACE_NEAR_M = 120.0
#: A part of a town this near to the middle of a ride gives the area, metres.
AREA_NEAR_M = 2500.0
#: Ends nearer than this share of the length make a loop, which has no direct road.
LOOP_SHARE = 0.1
#: Slower than this is standing, m/s.
STANDING_M_S = 0.6
#: The name of an end of which the map knows none.
NO_NAME = "A place to be named"
#: A ride with more than this share off the map is on another map.
MOST_OFF_MAP = 0.5

_ONE = {"legs": "leg", "crossings": "crossing", "dismounts": "dismount", "barriers": "barrier"}
_AREAS = frozenset(
    ["suburb", "neighbourhood", "quarter", "village", "town", "hamlet", "borough", "city"]
)


@dataclass(frozen=True, slots=True)
class Draft:
    """What is drafted of one ride.

    Attributes:
        document: the notes.
        comments: coordinates beside the positions.
        track: the line that is published.
        chain: the ride on the network.
        line: the legs, for those who need more than is written.
        remarks: what an author must know of it, in words.
        direct: line of the direct road, None where there is none.
        of_line: the notes as the published line alone gives them, without the ride's clock: what
            a later draft is held against; None where nobody has made them.
    """

    document: dict[str, Any]
    comments: dict[tuple[str | int, ...], str]
    track: Track
    chain: Chain
    line: LineDraft
    remarks: tuple[str, ...]
    direct: Track | None = None
    of_line: dict[str, Any] | None = None


def draft_ride(
    town: Town,
    ride: Ride,
    settings: Settings,
    pins: Pins | None = None,
    *,
    both: bool = True,
) -> Draft:
    """Return the draft of a ride.

    Args:
        town: what is known of the town.
        ride: as it was recorded, or a published line.
        settings: those of the library.
        pins: what the author says of the way.
        both: whether the way back is the same line the other way round.

    Raises:
        MatchError: nothing of the ride is on the map.
        RideError: most of it is off the map.
    """
    chain = match(town.network, ride, town.country, pins or Pins())
    off = sum(b - a for a, b in chain.breaks)
    if off > MOST_OFF_MAP * chain.length_m:
        raise RideError(
            f"{off / 1000:.1f} km of the {chain.length_m / 1000:.1f} km ridden are off the map: "
            f"{_stretches(chain)}.",
            "Take an extract that covers the whole ride.",
        )
    line = draft_line(town, chain, both=both)
    track = ride.track
    (lat1, lat2), (lon1, lon2) = track.lat[[0, -1]].tolist(), track.lon[[0, -1]].tolist()
    speed = settings.cruising_speed
    direct = direct_road(town.network, town.country, lat1, lon1, lat2, lon2, speed)
    document = _head(town, ride, line, settings)
    km = math.floor(direct.km * 100) / 100 if direct else 0.0  # so that no detour looks smaller
    if direct and km > 0 and track.ends_apart_m > LOOP_SHARE * track.length_m:
        document["direct"] = {"km": km, "minutes": max(1, round(direct.minutes))}
    else:
        direct = None
    document["thanks"] = source_of(settings)
    if line.closed:
        document["closed"] = list(line.closed)
    document |= line.items
    document["track"] = {"length": f"{track.length_m:.1f} m", "checksum": track.checksum}
    remarks = list(ride.remarks)
    if town.network.date:
        remarks.append(f"held against a map whose newest entry is of {town.network.date}")
    if chain.breaks:
        remarks.append(f"off the map: {_stretches(chain)}")
    return Draft(
        document,
        comments_of(line.items, track),
        track,
        chain,
        line,
        tuple(remarks),
        direct.track if direct else None,
    )


def write_draft(draft: Draft, town: Town, settings: Settings, into: Path, name: str = "") -> Path:
    """Write a new route folder and return it; nothing half-written is ever left.

    Raises:
        FileExistsError: there is a route of that name.
        RideError: the name is none for a route's folder.
        OSError: it cannot be written.
    """
    name = name or route_id(draft.document["title"])
    if not ROUTE_ID.fullmatch(name):
        raise RideError(
            f"`{name}` cannot be the name of a route's folder.",
            "Use lower case a-z, 0-9 and single hyphens.",
        )
    folder = into / name
    if folder.exists():
        raise FileExistsError(folder)
    track = draft.track
    gpx = write_gpx(track.lat, track.lon, track.height, track.part, draft.document["title"])
    line = draft_ride(town, line_of(gpx.encode(), TRACK), settings)
    draft = replace(draft, of_line=line.document)
    notes = notes_text(draft.document, draft.comments)
    files = {TRACK: gpx, NOTES: notes, RECORD: record_text(record_of(draft, town))}
    if draft.direct is not None:
        files[DIRECT] = direct_gpx(draft.direct)
    write_new_folder(folder, files)
    return folder


def route_id(title: str) -> str:
    """Return a folder's name for a title: a-z, 0-9 and hyphens."""
    plain = unicodedata.normalize("NFKD", title.replace("'", "").replace("’", ""))
    ascii_only = plain.encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", ascii_only).strip("-")[:80].strip("-") or "route"


def record_of(draft: Draft, town: Town) -> DraftRecord:
    """Return what is kept of a draft for the next one."""
    network = town.network
    return DraftRecord(
        network.digest, network.date, town.extract, draft.document, draft.of_line or {}
    )


def _head(town: Town, ride: Ride, line: LineDraft, settings: Settings) -> dict[str, Any]:
    track, legs = ride.track, line.legs
    start = _place(town, track, 0.0) or _end_name(legs[0].lead)
    finish = _place(town, track, track.length_m) or _end_name(legs[-1].lead)
    title = f"{start} to {finish}" if finish != start else f"A loop from {start}"
    head: dict[str, Any] = {
        "title": title[:100],
        "area": [_area(town, track)],
        "start": start,
        "finish": finish,
        "summary": SUMMARY,
        "status": "draft",
    }
    ridden = _ridden(ride, settings)
    return head | ({"ridden": [ridden]} if ridden else {})


def _end_name(span: Span) -> str:
    return NO_NAME if span.street == OFF_THE_MAP else span.street[:60]


def _place(town: Town, track: Track, at_m: float) -> str:
    """Return the nearest name to a chainage that is no part of town, "" where none is near."""
    lat, lon = track.at(at_m)
    near = _nearest(town, lat, lon, PLACE_NEAR_M, areas=False)
    return near[:60]


def _area(town: Town, track: Track) -> str:
    lat, lon = track.at(track.length_m / 2)
    return _nearest(town, lat, lon, AREA_NEAR_M, areas=True)[:60] or AREA


def _nearest(town: Town, lat: float, lon: float, within_m: float, *, areas: bool) -> str:
    places = [p for p in town.network.places if (p.what in _AREAS) == areas]
    if not places:
        return ""
    lats, lons = np.array([p.lat for p in places]), np.array([p.lon for p in places])
    _, _, metres = WGS84.inv(np.full(len(lats), lon), np.full(len(lats), lat), lons, lats)
    best = int(np.argmin(metres))
    return places[best].name if metres[best] <= within_m else ""


def _ridden(ride: Ride, settings: Settings) -> dict[str, Any] | None:
    """Return the ride as the notes write it, with its moving and standing minutes."""
    if ride.time_s is None:
        return None
    zone = zoneinfo.ZoneInfo(settings.time_zone)
    day = dt.datetime.fromtimestamp(float(ride.time_s[0]), zone).date()
    seconds = np.diff(ride.time_s)
    inside = np.diff(ride.part) == 0
    speed = np.divide(ride.track.steps_m, seconds, out=np.zeros(len(seconds)), where=seconds > 0)
    moving = float(seconds[inside & (speed >= STANDING_M_S)].sum())
    standing = float(seconds.sum()) - moving
    found: dict[str, Any] = {"on": day.isoformat(), "direction": "outbound"}
    if moving >= 30:
        found |= {"moving": max(1, round(moving / 60)), "standing": round(standing / 60)}
    return found


def _stretches(chain: Chain) -> str:
    return ", ".join(
        f"from {a / 1000:.2f} km to {b / 1000:.2f} km ({b - a:.0f} m)" for a, b in chain.breaks
    )


def draft_report(draft: Draft) -> list[str]:
    """Return what an author should know of a draft, for the terminal."""
    counts = {name: len(items) for name, items in draft.line.items.items()}
    words = ", ".join(f"{n} {name if n != 1 else _ONE[name]}" for name, n in counts.items())
    marks = [i["confidence"] for items in draft.line.items.values() for i in items]
    shares = ", ".join(f"{marks.count(mark)} {mark}" for mark in CONFIDENCES if mark in marks)
    report = [f"{draft.track.length_m / 1000:.2f} km: {words} ({shares})."]
    report += [f"Note: {remark}." for remark in draft.remarks]
    return [*report, "Of what is marked check or guess, `softpedal ridesheet` prints a list."]
