"""A ride, and a town where there is a map → a route folder."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from softpedal.draft.chain import CONFIDENCES
from softpedal.draft.direct import direct_gpx, direct_road
from softpedal.draft.draft_record import RECORD, DraftRecord, record_text
from softpedal.draft.heading import heading, route_id
from softpedal.draft.heard import leftovers, with_observed
from softpedal.draft.matching import Pins, match
from softpedal.draft.new_folder import write_new_folder
from softpedal.draft.notes_document import draft_line
from softpedal.draft.notes_text import notes_text
from softpedal.draft.observed import Observed
from softpedal.draft.own_notes import with_own
from softpedal.draft.papers import source_of
from softpedal.draft.privacy import refuse_private
from softpedal.draft.ride import Ride, RideError, line_of
from softpedal.draft.unmapped import unmapped_items
from softpedal.draft.written import comments_of
from softpedal.library.folder_files import DIRECT, NOTES, TRACK
from softpedal.library.gpx_writer import write_gpx
from softpedal.library.plain_text import counted
from softpedal.library.private_zones import NO_ZONES
from softpedal.library.values import ROUTE_ID

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from softpedal.draft.chain import Chain
    from softpedal.draft.direct import Direct
    from softpedal.draft.notes_document import LineDraft
    from softpedal.draft.town import Town
    from softpedal.draft.written import Item
    from softpedal.library.private_zones import Zones
    from softpedal.library.track import Track
    from softpedal.settings import Settings

#: Ends nearer than this share of the length make a loop, which has no direct road.
LOOP_SHARE = 0.1
#: A ride with more than this share off the map is on another map.
MOST_OFF_MAP = 0.5
NOTHING = Observed()
NO_NOTES: Mapping[str, list[Item]] = MappingProxyType({})

_ONE = {
    "legs": "leg",
    "crossings": "crossing",
    "dismounts": "dismount",
    "hazards": "hazard",
    "landmarks": "landmark",
    "barriers": "barrier",
}


@dataclass(frozen=True, slots=True)
class Draft:
    """What is drafted of one ride.

    Attributes:
        document: the notes.
        comments: coordinates beside the positions.
        track: the line that is published.
        items: legs, crossings and the like, as they stand in the notes.
        remarks: what an author must know of it, in words.
        observed: what the ride told besides its line.
        chain: the ride on the network, None without a map.
        line: what the map alone says, None without one.
        direct: line of the direct road, None where there is none.
        of_line: the notes as the published line alone gives them, without the ride's clock: what
            a later draft is held against; None where nobody has made them.
    """

    document: dict[str, Any]
    comments: dict[tuple[str | int, ...], str]
    track: Track
    items: dict[str, list[dict[str, Any]]]
    remarks: tuple[str, ...]
    observed: Observed = NOTHING
    chain: Chain | None = None
    line: LineDraft | None = None
    direct: Track | None = None
    of_line: dict[str, Any] | None = None


def draft_ride(
    town: Town | None,
    ride: Ride,
    settings: Settings,
    pins: Pins | None = None,
    *,
    both: bool = True,
    observed: Observed = NOTHING,
    minutes: bool = True,
) -> Draft:
    """Return the draft of a ride.

    Args:
        town: what is known of the town, None without a map.
        ride: as it was recorded, or a published line.
        settings: those of the library.
        pins: what the author says of the way.
        both: whether the way back is the same line the other way round.
        observed: what the ride told besides its line; positions are along it.
        minutes: whether the clock tells how long it took, as it does not of a line put together.

    Raises:
        MatchError: nothing of the ride is on the map.
        RideError: most of it is off the map.
    """
    track, remarks = ride.track, list(ride.remarks)
    chain = line = direct = None
    if town is None:
        items = unmapped_items(track)
    else:
        chain = _on_the_map(town, ride, pins)
        line = draft_line(town, chain, both=both)
        items = line.items
        direct = _direct_road(town, track, settings)
        if town.network.date:
            remarks.append(f"held against a map whose newest entry is of {town.network.date}")
        if chain.breaks:
            remarks.append(f"off the map: {_stretches(chain)}")
    items = with_observed(items, observed, track.length_m, has_map=town is not None)
    document = heading(town, ride, items, settings, minutes=minutes)
    if direct is not None:  # rounded down, so that no detour looks smaller
        km = math.floor(direct.km * 100) / 100
        document["direct"] = {"km": km, "minutes": max(1, round(direct.minutes))}
    if town is not None:
        document["thanks"] = source_of(settings)
    if line is not None and line.closed:
        document["closed"] = list(line.closed)
    document |= items
    document["track"] = {"length": f"{track.length_m:.1f} m", "checksum": track.checksum}
    remarks += leftovers(items, observed)
    return Draft(
        document,
        comments_of(items, track),
        track,
        items,
        tuple(remarks),
        observed,
        chain,
        line,
        direct.track if direct else None,
    )


def _on_the_map(town: Town, ride: Ride, pins: Pins | None) -> Chain:
    chain = match(town.network, ride, town.country, pins or Pins())
    off = sum(b - a for a, b in chain.breaks)
    if off > MOST_OFF_MAP * chain.length_m:
        raise RideError(
            f"{off / 1000:.1f} km of the {chain.length_m / 1000:.1f} km ridden are off the map: "
            f"{_stretches(chain)}.",
            "Take an extract that covers the whole ride.",
        )
    return chain


def _direct_road(town: Town, track: Track, settings: Settings) -> Direct | None:
    """Return the direct road between the ends of a line, None for a loop."""
    if track.ends_apart_m <= LOOP_SHARE * track.length_m:
        return None
    (lat1, lat2), (lon1, lon2) = track.lat[[0, -1]].tolist(), track.lon[[0, -1]].tolist()
    speed = settings.cruising_speed
    found = direct_road(town.network, town.country, lat1, lon1, lat2, lon2, speed)
    return found if found and found.km >= 0.01 else None


def write_draft(  # noqa: PLR0917
    draft: Draft,
    town: Town | None,
    settings: Settings,
    into: Path,
    name: str = "",
    zones: Zones = NO_ZONES,
    own: Mapping[str, list[Item]] = NO_NOTES,
) -> Path:
    """Write a new route folder and return it; nothing half-written is ever left.

    What an author has typed themselves (`own`, positions as chainages) stands among the rest, and
    is no part of what a later draft is held against.

    Raises:
        FileExistsError: there is a route of that name.
        RideError: the name is none for a route's folder.
        PrivateLineError: the line enters a private zone.
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
    track, direct = draft.track, draft.direct
    refuse_private(track.lat, track.lon, track.part, zones)
    gpx = write_gpx(track.lat, track.lon, track.height, track.part, draft.document["title"])
    published = line_of(gpx.encode(), TRACK)
    line = draft_ride(town, published, settings, observed=draft.observed)
    draft = replace(draft, of_line=line.document)
    items = with_own(draft.items, own, track.length_m)
    notes = notes_text(draft.document | items, comments_of(items, track))
    files = {TRACK: gpx, NOTES: notes, RECORD: record_text(record_of(draft, town))}
    if direct is not None and not any(found.any() for found in zones.enter(direct.lat, direct.lon)):
        files[DIRECT] = direct_gpx(direct)
    write_new_folder(folder, files)
    return folder


def record_of(draft: Draft, town: Town | None) -> DraftRecord:
    """Return what is kept of a draft for the next one."""
    of = (town.network.digest, town.network.date, town.extract) if town else ("", "", "")
    of_line, observed = draft.of_line or {}, draft.observed
    kept = observed.as_data() if observed != NOTHING else {}
    return DraftRecord(*of, draft.document, of_line, kept)


def draft_report(draft: Draft) -> list[str]:
    """Return what an author should know of a draft, for the terminal."""
    counts = {name: len(items) for name, items in draft.items.items() if items}
    words = ", ".join(counted(n, _ONE[name]) for name, n in counts.items())
    marks = [i["confidence"] for items in draft.items.values() for i in items]
    shares = ", ".join(f"{marks.count(mark)} {mark}" for mark in CONFIDENCES if mark in marks)
    report = [f"{draft.track.length_m / 1000:.2f} km: {words} ({shares})."]
    report += [f"Note: {remark}." for remark in draft.remarks]
    return [*report, "Of what is marked check or guess, `softpedal ridesheet` prints a list."]


def _stretches(chain: Chain) -> str:
    return ", ".join(
        f"from {a / 1000:.2f} km to {b / 1000:.2f} km ({b - a:.0f} m)" for a, b in chain.breaks
    )
