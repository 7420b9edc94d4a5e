"""Stretches of a ride that are left out, or replaced by another line."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from softpedal.draft.pieces import apart_m, between, pieced
from softpedal.draft.ride import STANDING_M, Ride, RideError
from softpedal.draft.stretch_text import LINE_EXAMPLE, STRETCH_EXAMPLE
from softpedal.library.gpx_writer import DEGREE_DECIMALS
from softpedal.library.positions import km, passes_of
from softpedal.library.track import MAX_GAP_M, WGS84, nearest_on_track

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.gpx_reader import Waypoint
    from softpedal.library.track import Track

#: The ends of a replacing line lie this near to where the ride is cut.
ENDS_M = 50.0
#: A stretch that reaches this near to an end reaches to it.
_END_M = 1.0
#: A waypoint this near to what is left stays with it.
_WAYPOINT_M = 30.0
#: A pace at which nobody's riding is doubted, metres a second; slower may mean that one pushed.
_RIDING_M_S = 3.0


@dataclass(frozen=True, slots=True)
class Replacement:
    """A stretch of a ride, metres along it, and the line that stands in for it.

    Both ends are None where they are to be found from the ends of the line.
    """

    line: Ride
    from_m: float | None = None
    to_m: float | None = None


def edited(
    ride: Ride,
    drops: Sequence[tuple[float, float]] = (),
    replacements: Sequence[Replacement] = (),
) -> Ride:
    """Return a ride with stretches left out and others replaced.

    Args:
        ride: cleaned; all metres are along it as it is.
        drops: from and to of what is left out.
        replacements: what stands in for what.

    Raises:
        RideError: stretches overlap, a line does not fit, or nothing is left.
    """
    found = [_located(ride, each) for each in replacements]
    spans = sorted(
        [*drops, *((from_m, to_m) for from_m, to_m, _ in found)], key=lambda span: span[0]
    )
    for (from_m, to_m), (next_m, end_m) in pairwise(spans):
        if next_m < to_m:
            raise RideError(
                f"The stretches {_words(from_m, to_m)} and {_words(next_m, end_m)} overlap.",
                "Give each metre of the ride once; all positions are along the ride before any "
                "stretch is left out.",
            )
    edits: list[tuple[float, float, Ride | None]] = [(*span, None) for span in drops]
    edits += found
    said = len(ride.remarks)
    remarks: list[str] = []
    # From the finish backwards: what lies before an edit keeps its metres.
    for from_m, to_m, line in sorted(edits, key=lambda edit: edit[0], reverse=True):
        ride = dropped(ride, from_m, to_m) if line is None else _replaced(ride, from_m, to_m, line)
        remarks[:0] = ride.remarks[said:]
        ride = replace(ride, remarks=ride.remarks[:said])
    return replace(ride, remarks=(*ride.remarks, *remarks))


def dropped(ride: Ride, from_m: float, to_m: float) -> Ride:
    """Return a ride without a stretch: its ends are joined if they are at most 50 m apart.

    The clock goes on as it was: what was dropped lies between two points of it.

    Raises:
        RideError: the stretch has no length or lies off the ride, or nothing is left.
    """
    head, tail = _around(ride, from_m, to_m)
    where = _words(from_m, to_m)
    if head is None and tail is None:
        raise RideError(
            f"The stretch {where} is all of the ride: nothing would be left.",
            f"Leave out less than {km(ride.track.length_m)}.",
        )
    if head is None or tail is None:
        said = f"{where} left out: the ride {'begins' if head is None else 'ends'} there"
        left = [piece for piece in (head, tail) if piece is not None]
    else:
        apart = apart_m(head, -1, tail, 0)
        how = "joined" if apart <= MAX_GAP_M else "left with a gap between"
        said = f"{where} left out: its ends are {apart:,.0f} m apart and are {how}"
        left = [head, tail]
    whole = pieced(left)
    if whole.track.length_m < STANDING_M:
        raise RideError(
            f"Without {where} no more than {whole.track.length_m:.0f} m of the ride are left.",
            f"Leave {STANDING_M:.0f} m of it or more.",
        )
    gone = between(ride, from_m, to_m)
    waypoints = tuple(w for w in ride.waypoints if _stays(w, whole.track, gone))
    remarks = [*ride.remarks, said]
    if lost := len(ride.waypoints) - len(waypoints):
        remarks.append(f"{lost} marked place{'' if lost == 1 else 's'} there left out too")
    return replace(whole, waypoints=waypoints, remarks=tuple(remarks))


def replaced(ride: Ride, from_m: float | None, to_m: float | None, line: Ride) -> Ride:
    """Return a ride of which one stretch is another line.

    The line is turned round if it was drawn the other way. The clock before and after stays; on
    the new stretch it goes by distance, for nobody recorded it there.

    Args:
        ride: cleaned.
        from_m: where what is replaced begins, metres along the ride.
        to_m: where it ends; both None to find them, as the places nearest to the line's ends.
        line: the line that stands in for it, with ends at most 50 m from those places.

    Raises:
        RideError: the line has no length, or does not fit.
    """
    return _replaced(ride, *_located(ride, Replacement(line, from_m, to_m)))


def _located(ride: Ride, replacement: Replacement) -> tuple[float, float, Ride]:
    """Return what is replaced, metres along the ride, and the line in the ride's direction."""
    line = replacement.line
    if len(line.lat) < 2 or line.track.length_m < _END_M:
        raise RideError("The replacing line has no length.", "Draw it with two points or more.")
    from_m, to_m = replacement.from_m, replacement.to_m
    ends = (line.track.at(0.0), line.track.at(line.track.length_m))
    if from_m is None or to_m is None:
        first, second = (
            _place(ride.track, end, which) for end, which in zip(ends, _ENDS, strict=True)
        )
        from_m, to_m = sorted((first, second))
        return from_m, to_m, _turned(line) if second < first else line
    _check(ride, from_m, to_m)
    cuts = (ride.track.at(from_m), ride.track.at(to_m))
    straight = [_off_m(cut, end) for cut, end in zip(cuts, ends, strict=True)]
    turned = [_off_m(cut, end) for cut, end in zip(cuts, reversed(ends), strict=True)]
    off = min(straight, turned, key=max)
    if max(off) > ENDS_M:
        raise RideError(
            f"The replacing line does not reach the ride: its ends are {off[0]:,.0f} m and "
            f"{off[1]:,.0f} m from where {_words(from_m, to_m)} begins and ends; at most "
            f"{ENDS_M:.0f} m are allowed.",
            "Draw it from the ride to the ride, or give the stretch that it stands in for.",
        )
    return from_m, to_m, _turned(line) if max(turned) < max(straight) else line


_ENDS = ("begins", "ends")
_TURNED = "the replacing line was drawn the other way and is turned round"


def _replaced(ride: Ride, from_m: float, to_m: float, line: Ride) -> Ride:
    head, tail = _around(ride, from_m, to_m)
    remarks = [*ride.remarks, *(said for said in line.remarks if said == _TURNED)]
    new_m = line.track.length_m
    remarks.append(
        f"{_words(from_m, to_m)} replaced by a line of {new_m:,.0f} m that was not ridden"
    )
    new = replace(
        line,
        lat=np.round(line.lat, DEGREE_DECIMALS),
        lon=np.round(line.lon, DEGREE_DECIMALS),
        time_s=None,
        stood_s=None if ride.stood_s is None else np.zeros(len(line.lat)),
    )
    if ride.time_s is not None:
        onto_m = 0.0 if head is None else apart_m(head, -1, new, 0)
        off_m = 0.0 if tail is None else apart_m(new, -1, tail, 0)
        at = onto_m + np.concatenate([[0.0], np.cumsum(new.track.steps_m)])
        length = at[-1] + off_m
        begins = ride.time_s[0] if head is None else _leaves_s(head)
        ends = _leaves_s(ride) if tail is None or tail.time_s is None else tail.time_s[0]
        pace_s = min(ends - begins, length / _RIDING_M_S)
        # What is left of the time is spent where the stretch begins: no walking pace is made up.
        times = ends - pace_s + at / length * pace_s
        if head is None:
            times[0] = begins
        new = replace(new, time_s=times)
        remarks.append("the clock there goes evenly by distance: no pace can be read from it")
    whole = pieced([piece for piece in (head, new, tail) if piece is not None])
    gone = between(ride, from_m, to_m)
    mine = [w for w in ride.waypoints if _stays(w, whole.track, gone)]
    return replace(
        whole,
        name=ride.name,
        waypoints=(*mine, *line.waypoints),
        remarks=tuple(remarks),
    )


def _leaves_s(ride: Ride) -> float:
    """Return when the last point of a timed ride is left."""
    assert ride.time_s is not None
    return float(ride.time_s[-1] + (0.0 if ride.stood_s is None else ride.stood_s[-1]))


def _around(ride: Ride, from_m: float, to_m: float) -> tuple[Ride | None, Ride | None]:
    """Return what lies before a stretch and what after it, None where there is nothing."""
    _check(ride, from_m, to_m)
    length = ride.track.length_m
    head = between(ride, 0.0, from_m) if from_m >= _END_M else None
    tail = between(ride, to_m, length) if length - to_m >= _END_M else None
    return head, tail


def _check(ride: Ride, from_m: float, to_m: float) -> None:
    length = ride.track.length_m
    if not from_m < to_m or to_m <= 0 or from_m >= length:
        raise RideError(
            f"The stretch {_words(from_m, to_m)} does not lie on the ride, which is "
            f"{km(length)} long.",
            f"Write it like `{STRETCH_EXAMPLE}`.",
        )


def _turned(line: Ride) -> Ride:
    return replace(line.turned(), remarks=(*line.remarks, _TURNED))


def _place(track: Track, end: tuple[float, float], which: str) -> float:
    """Return where a ride passes an end of the replacing line, metres along it."""
    off_m, at_m = nearest_on_track(track, *end)
    where = f"where the replacing line {which}"
    if off_m.min() > ENDS_M:
        raise RideError(
            f"The ride does not pass {where}: it comes no nearer than {off_m.min():,.0f} m; at "
            f"most {ENDS_M:.0f} m are allowed.",
            "Draw the line from the ride to the ride.",
        )
    places = passes_of(off_m, at_m, ENDS_M)
    if len(places) > 1:
        raise RideError(
            f"The ride passes {where} more than once, at "
            f"{' and '.join(km(place) for place in places)}.",
            f"Say which stretch is meant, like `{LINE_EXAMPLE}`.",
        )
    return places[0]


def _stays(waypoint: Waypoint, left: Track, gone: Ride | None) -> bool:
    """Whether a marked place lies on what is left, or nowhere near what is gone."""
    if gone is None or nearest_on_track(left, waypoint.lat, waypoint.lon)[0].min() <= _WAYPOINT_M:
        return True
    return bool(nearest_on_track(gone.track, waypoint.lat, waypoint.lon)[0].min() > _WAYPOINT_M)


def _off_m(one: tuple[float, float], other: tuple[float, float]) -> float:
    _, _, metres = WGS84.inv(one[1], one[0], other[1], other[0])
    return float(metres)


def _words(from_m: float, to_m: float) -> str:
    return f"{km(max(from_m, 0.0))} to {km(to_m)}"
