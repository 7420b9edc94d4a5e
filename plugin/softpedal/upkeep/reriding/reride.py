"""A new ride of a route against its published line: what it shares, where it differs, its time."""

from __future__ import annotations

import datetime as dt
import zoneinfo
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from softpedal.draft.cleaning import moving_standing
from softpedal.draft.heading import SHORTEST_S
from softpedal.library.folder_files import RETURN, TRACK
from softpedal.library.positions import Unplaced, chainage_of, km
from softpedal.measure.confirmed import confirmed
from softpedal.measure.direction import measure_direction
from softpedal.measure.ride_reasons import open_reports
from softpedal.problems import CannotDoError
from softpedal.upkeep.reriding.line_cover import cover
from softpedal.upkeep.reriding.ride_times import Clock, leg_times

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.draft.ride import Ride
    from softpedal.library.notes import Direction, Leg
    from softpedal.library.reports import Report
    from softpedal.library.route import Line, Placed, Route
    from softpedal.library.track import Track
    from softpedal.settings import Settings
    from softpedal.upkeep.reriding.line_cover import Cover, Stretch
    from softpedal.upkeep.reriding.ride_times import LegTime

#: A ride that shares less with a line is one of somewhere else: metres, or a share of the line.
LEAST_SAME_M, LEAST_SAME_SHARE = 200.0, 0.25
#: A ride counts as one of the route if it covers so much of it, other ways included.
WHOLE_SHARE = 0.95
#: A ride by other ways confirms the published line only if it left at most this share of it out.
LEFT_OUT_SHARE = 0.1
#: A report this near to a stretch, along the line, is one of it.
_REPORT_NEAR_M = 60.0


class RerideError(CannotDoError):
    """A ride that cannot be compared with the route."""


@dataclass(frozen=True, slots=True)
class Ridden:
    """What a ride would be as an entry of `ridden`.

    Attributes:
        on: the day, ISO; "" where the recording has no clock and nobody named one.
        direction: in which it was ridden.
        moving, standing: minutes between the ends of what is compared, None without a clock.
        last: the day of the last ride in that direction that the notes have, "" where none.
        is_whole: whether it covers the whole line.
    """

    on: str
    direction: Direction
    moving: int | None
    standing: int | None
    last: str
    is_whole: bool

    @property
    def moves_on(self) -> bool:
        """Whether it is later than what the notes have, and so counts."""
        return self.is_whole and bool(self.on) and self.on > self.last


@dataclass(frozen=True, slots=True)
class Differing:
    """A stretch that differs, and what the notes say of it.

    Attributes:
        stretch: metres along both lines.
        legs: the legs that it lies on, in the order of the file, with the metres of each.
        reports: open ones on it.
    """

    stretch: Stretch
    legs: tuple[tuple[str, float], ...]
    reports: tuple[Report, ...]


@dataclass(frozen=True, eq=False, slots=True)
class Reride:
    """A ride held against a published line.

    Attributes:
        route: that was ridden.
        file: the published line's: track.gpx or return.gpx.
        line: what is noted along it, in the order of the file.
        ride: cleaned, in the order of the file.
        is_turned: whether it was ridden the other way than the file has it.
        is_out_turned: whether it follows the way out, turned round, more than the return.gpx that
            it is compared with.
        cover: how the two lie together.
        differing: the stretches that differ.
        ridden: what it would be under `ridden`.
        times: by leg, in riding order; empty without a clock.
        reports_along: how many open reports are placed by their chainage along the old line.
        against: the name of the older ride that the times are compared with, "" for the page.
    """

    route: Route
    file: str
    line: Line
    ride: Ride
    is_turned: bool
    is_out_turned: bool
    cover: Cover
    differing: tuple[Differing, ...]
    ridden: Ridden
    times: tuple[LegTime, ...]
    reports_along: int
    against: str

    @property
    def known(self) -> tuple[Differing, ...]:
        """The stretches over which the ride was recorded."""
        return tuple(one for one in self.differing if one.stretch.is_recorded)

    @property
    def unknown(self) -> tuple[Differing, ...]:
        """The stretches over which the recording has a gap."""
        return tuple(one for one in self.differing if not one.stretch.is_recorded)

    @property
    def there_m(self) -> float:
        """Metres of the published line that were not ridden, of what the recording knows."""
        return sum(one.stretch.there_m for one in self.known)

    @property
    def new_m(self) -> float:
        """Metres that the ride took instead."""
        return sum(one.stretch.new_m for one in self.known)

    @property
    def is_along_line(self) -> bool:
        """Whether the published line as it is was ridden, but for a little."""
        return self.there_m <= LEFT_OUT_SHARE * self.line.length_m


def compared(
    route: Route,
    ride: Ride,
    settings: Settings,
    *,
    on: str = "",
    older: tuple[str, Ride] | None = None,
    reports: Sequence[Report] = (),
) -> Reride:
    """Hold a ride against a route.

    The direction is the one in which more of the line was ridden. The way back is compared with
    return.gpx, or with the outbound line where that is the way back too.

    Args:
        route: as published.
        ride: cleaned, private zones cut.
        settings: of the library.
        on: the day of the ride, ISO; that of the recording where it is "".
        older: name and line of another ride to compare the times with.
        reports: of the library.

    Raises:
        RerideError: the ride is one of somewhere else, or the older one is.
    """
    file, line, is_turned, found = _direction(route, ride)
    _refuse_elsewhere(found, line.track, ride.track, "The ride")
    direction: Direction = "return" if is_turned or file == RETURN else "outbound"
    ordered = ride.turned() if is_turned else ride
    clock = Clock.of(ride, is_turned=is_turned)
    times: tuple[LegTime, ...] = ()
    old = _older(older, line.track, is_turned=is_turned) if older else None
    if clock is not None:
        measured = measure_direction(route, direction, settings)
        minute = _minute(ride, settings)
        times = tuple(leg_times(measured, settings, (found, clock), old, minute))
    waiting = open_reports({route.id, *route.notes.was}, reports)
    differing = tuple(
        Differing(one, _legs(line.legs, one), _reports(waiting, line, one, direction, is_turned))
        for one in found.stretches
    )
    ridden = _ridden(route, ride, found, clock, direction, on or _day(ride, settings))
    return Reride(
        route,
        file,
        line,
        ordered,
        is_turned,
        file == RETURN and cover(route.along.track, ride.track.reversed()).same_m > found.same_m,
        found,
        differing,
        ridden,
        times,
        sum(report.at is not None for report in waiting),
        older[0] if older else "",
    )


def _direction(route: Route, ride: Ride) -> tuple[str, Line, bool, Cover]:
    out = cover(route.along.track, ride.track)
    if route.back is not None:
        back = cover(route.back.track, ride.track)
        if back.same_m > out.same_m:
            return RETURN, route.back, False, back
        return TRACK, route.along, False, out
    back = cover(route.along.track, ride.track.reversed())
    if back.same_m > out.same_m:
        return TRACK, route.along, True, back
    return TRACK, route.along, False, out


def _refuse_elsewhere(found: Cover, line: Track, ride: Track, what: str) -> None:
    if found.same_m >= min(LEAST_SAME_M, LEAST_SAME_SHARE * line.length_m):
        return
    share = "nothing" if found.same_m < 1 else f"only {found.same_m:.0f} m"
    raise RerideError(
        f"{what} shares {share} with the published line of {km(line.length_m)}: it is "
        f"{km(ride.length_m)} long, from {ride.lat[0]:.4f}, {ride.lon[0]:.4f}, and the line begins "
        f"at {line.lat[0]:.4f}, {line.lon[0]:.4f}.",
        "Take the recording of this route, or name another route's folder.",
    )


def _older(older: tuple[str, Ride], line: Track, *, is_turned: bool) -> tuple[Cover, Clock]:
    name, ride = older
    clock = Clock.of(ride, is_turned=is_turned)
    if clock is None:
        raise RerideError(f"{name} has no times to compare with.", "Take a recording with times.")
    found = cover(line, ride.track.reversed() if is_turned else ride.track)
    _refuse_elsewhere(found, line, ride.track, f"{name}, in the direction of the new ride,")
    return found, clock


def _legs(legs: Sequence[Placed[Leg]], stretch: Stretch) -> tuple[tuple[str, float], ...]:
    found = []
    for leg in legs:
        metres = min(leg.to_m, stretch.to_m) - max(leg.at_m, stretch.from_m)
        is_there = leg.at_m <= stretch.from_m < leg.to_m if stretch.there_m < 1.0 else metres >= 1.0
        if is_there:
            found.append((leg.item.street, max(0.0, metres)))
    return tuple(found)


def _reports(
    reports: Sequence[Report], line: Line, stretch: Stretch, direction: Direction, is_turned: bool
) -> tuple[Report, ...]:
    near = []
    for report in reports:
        at_m = None
        try:
            if report.place is not None:
                at_m = chainage_of(report.place, line.track)
            elif report.at is not None and (is_turned or report.direction == direction):
                at_m = report.at.metres or 0.0
                is_from_finish = is_turned and report.direction == "return"
                at_m = line.length_m - at_m if is_from_finish else at_m
        except Unplaced:
            continue
        if at_m is None:
            continue
        if stretch.from_m - _REPORT_NEAR_M <= at_m <= stretch.to_m + _REPORT_NEAR_M:
            near.append(report)
    return tuple(near)


def _ridden(  # noqa: PLR0917
    route: Route, ride: Ride, found: Cover, clock: Clock | None, direction: Direction, on: str
) -> Ridden:
    length_m = (route.back or route.along if direction == "return" else route.along).length_m
    moving = standing = None
    if clock is not None and moving_standing(ride)[0] >= SHORTEST_S:
        moved, stood = clock.between(found.ride_from_m, found.ride_to_m)
        moving, standing = max(1, round(moved / 60)), round(stood / 60)
    last = confirmed(route).last
    unknown = sum(s.there_m for s in found.stretches if not s.is_recorded)
    is_whole = found.to_m - found.from_m - unknown >= WHOLE_SHARE * length_m
    return Ridden(on, direction, moving, standing, last[direction], is_whole)


def _start(ride: Ride, settings: Settings) -> dt.datetime | None:
    if ride.time_s is None or not np.isfinite(ride.time_s[0]):
        return None
    return dt.datetime.fromtimestamp(float(ride.time_s[0]), zoneinfo.ZoneInfo(settings.time_zone))


def _day(ride: Ride, settings: Settings) -> str:
    start = _start(ride, settings)
    return start.date().isoformat() if start else ""


def _minute(ride: Ride, settings: Settings) -> int | None:
    start = _start(ride, settings)
    return None if start is None else start.weekday() * 1440 + start.hour * 60 + start.minute
