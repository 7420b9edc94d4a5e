"""Recordings as an author brings them → the one line that is drafted: cleaned, private, joined."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from softpedal.draft.joining import joined
from softpedal.draft.privacy import without_private
from softpedal.draft.ride import cleaned
from softpedal.draft.several_lines import rides_in
from softpedal.draft.stretch_text import parse_replacement, parse_stretch, stretch_m
from softpedal.draft.stretches import Replacement, edited
from softpedal.library.gpx_reader import Limits

if TYPE_CHECKING:
    from softpedal.draft.privacy import Cut
    from softpedal.draft.ride import Ride
    from softpedal.library.private_zones import Zones
    from softpedal.settings import Settings


@dataclass(frozen=True, slots=True)
class Recordings:
    """What an author brings, and what of it is to be left out.

    Attributes:
        files: recordings, in the order in which they are ridden.
        track: which track of a file that holds several, from 1; None where there is one.
        drop: stretches to leave out, as typed.
        replace: stretches to put another line in for, as typed.
    """

    files: tuple[Path, ...]
    track: int | None = None
    drop: tuple[str, ...] = ()
    replace: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Prepared:
    """A line that is fit to be drafted and published.

    Attributes:
        ride: the line.
        raw: the recordings as they were, but for what lies in private zones.
        cuts: what was cut out of each of them, and of what was made of them.
        is_one_ride: whether it was ridden as it is, in one go, but for what is left out.
    """

    ride: Ride
    raw: tuple[Ride, ...]
    cuts: tuple[Cut, ...]
    is_one_ride: bool


def prepared(brought: Recordings, zones: Zones, settings: Settings) -> Prepared:
    """Return the one line of recordings.

    Each is cleaned, then cut; then they are joined. Stretches are taken along that line, all along
    the same one, so that leaving out one moves no other. What joins and replacements draw through
    a zone is cut in the end.

    Raises:
        RideError: one cannot be read or is no ride, they do not join, or nothing is left.
    """
    limits = Limits(settings.limits.bytes, settings.limits.points, settings.limits.depth)
    raw, cuts, rides = [], [], []
    for file in brought.files:
        read = rides_in(file, limits, brought.track)
        ride, cut = without_private(cleaned(read), zones)
        raw.append(without_private(read, zones)[0])
        cuts.append(cut)
        rides.append(ride)
    whole = joined(rides)
    drops = [stretch_m(parse_stretch(text), whole) for text in brought.drop]
    lines = []
    for text in brought.replace:
        stretch, name = parse_replacement(text)
        line = rides_in(Path(name), limits)
        ends = stretch_m(stretch, whole) if stretch else (None, None)
        lines.append(Replacement(replace(line, waypoints=()), *ends))
    ride, cut = without_private(edited(whole, drops, lines), zones)
    is_one = len(rides) == 1 and not lines
    return Prepared(ride, tuple(raw), (*cuts, cut), is_one_ride=is_one)
