"""Two or more rides → one line in the order given: what both have is taken once, gaps are told."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from softpedal.draft.pieces import apart_m, between, pieced
from softpedal.draft.ride import Ride, RideError
from softpedal.library.positions import km, nearest_steps
from softpedal.library.track import MAX_GAP_M, local_metres, nearest_on_track

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.track import Floats, Track

#: A ride begins on the line of another if it begins this near to it.
ON_LINE_M = 25.0
#: A ride that begins farther away is another one.
ELSEWHERE_M = 2000.0
#: Two lines go the same way if their directions differ by less, and opposite ways by more.
_SAME_DEGREES, _OPPOSITE_DEGREES = 60.0, 120.0
#: Directions are taken over so many metres before and after a place.
_HEADING_M = 20.0
#: A second ride is looked at in so many places, to see whether it comes back along the first.
_PLACES = 100
#: A ride of which more than this share comes back along the other was ridden the other way.
_MOST_OPPOSITE = 0.5
#: The clocks of two devices, and the fixes by which they are matched, differ by as much.
_CLOCKS_S = 10.0
#: Where the ends of two rides are at most 50 m apart, they overlap by less than this; and what
#: they overlap by less than the second length is no overlap.
_NEAR_END_M, _NO_OVERLAP_M = 100.0, 1.0


def joined(rides: Sequence[Ride]) -> Ride:
    """Return rides that follow on each other as one line, in the order given.

    Where one begins on the line of the one before, what both have is taken once, from the earlier.
    Ends at most 50 m apart are joined; a greater gap begins a new part. The clock is kept where
    the later ride is later; it is not used otherwise. Nothing between is made up.

    Args:
        rides: cleaned, at least one.

    Raises:
        RideError: one goes the other way, belongs before the other, or begins far away.
    """
    whole = rides[0]
    for number, ride in enumerate(rides[1:], 2):
        whole = _two(whole, ride, number)
    return whole


def _two(first: Ride, second: Ride, number: int) -> Ride:
    remarks = [*first.remarks, *second.remarks]
    same, opposite = _shares(first.track, second.track)
    if opposite > _MOST_OPPOSITE:
        raise RideError(
            f"Ride {number} goes along the line before it in the other direction.",
            "Give only the rides of one direction; the way back is drafted from the same line.",
        )
    if same >= 1.0:
        raise RideError(
            f"Ride {number} holds nothing new: all of it lies along the line before it.",
            "Leave it out.",
        )
    gap_m = apart_m(first, -1, second, 0)
    near = gap_m <= MAX_GAP_M
    begins_m = _last_pass(first.track, second.track)
    shared_m = 0.0 if begins_m is None else first.track.length_m - begins_m
    # Ends near to each other, and far along the line: an earlier pass of the same place.
    overlap = shared_m > _NO_OVERLAP_M and not (near and shared_m > _NEAR_END_M)
    cut = _overlapping(first, second, shared_m, number, near=near) if overlap else None
    if cut is None and not near:
        _refuse(first, second, gap_m, number)
        said = (
            f"ride {number} begins {gap_m:,.0f} m from where the line before it ends: "
            "the way between them is a gap"
        )
    else:
        said = f"ride {number} joined on, {gap_m:,.0f} m from the end of the one before"
    head, tail, said = cut or (first, second, said)
    remarks.append(said)
    head, tail, clock = _clocked(head, tail, number)
    remarks += clock
    places = dict.fromkeys((w.lat, w.lon, w.name) for w in first.waypoints)
    more = tuple(w for w in second.waypoints if (w.lat, w.lon, w.name) not in places)
    return replace(pieced([head, tail]), waypoints=first.waypoints + more, remarks=tuple(remarks))


def _overlapping(
    first: Ride, second: Ride, shared_m: float, number: int, *, near: bool
) -> tuple[Ride, Ride, str] | None:
    """Return what is kept of two rides of which the second begins on the line of the first.

    None where nothing need be cut: it begins near the end of the first, and goes another way.
    """
    ends_m = _pass_near(second.track, first.track, shared_m)
    if ends_m is not None:
        # Two receivers lie apart: one goes over from line to line aslant, not straight across.
        aside_m = float(nearest_on_track(second.track, *first.track.at(np.inf))[0].min())
        rest = between(second, ends_m + aside_m, second.track.length_m)
        if rest is None:
            raise RideError(
                f"Ride {number} holds nothing new: it ends where the line before it ends.",
                "Leave it out.",
            )
        said = f"ride {number} begins {shared_m:,.0f} m before the one before ends: taken once"
        return first, rest, said
    if near:
        return None
    begins_m = first.track.length_m - shared_m
    head = between(first, 0.0, begins_m)
    if head is None:
        raise RideError(
            f"Ride {number} begins where the one before begins, and goes another way.",
            "Give rides that follow on each other.",
        )
    said = (
        f"ride {number} leaves the line of the one before at {km(begins_m)}: "
        f"the last {shared_m:,.0f} m of that one are left out"
    )
    return head, second, said


def _refuse(first: Ride, second: Ride, gap_m: float, number: int) -> None:
    """Refuse a ride that cannot be meant to follow."""
    if apart_m(second, -1, first, 0) <= MAX_GAP_M:
        raise RideError(
            f"Ride {number} ends where the one before begins.",
            "Give them the other way round; of a loop, give a line for its gap too.",
        )
    if apart_m(first, -1, second, -1) <= MAX_GAP_M:
        raise RideError(
            f"Ride {number} ends where the one before ends: it was ridden in the other direction.",
            "Ride that stretch in the direction of the rest, or give a drawn line of it.",
        )
    if gap_m > ELSEWHERE_M:
        raise RideError(
            f"Ride {number} begins {gap_m / 1000:,.1f} km from where the one before ends.",
            "Give rides that follow on each other, in the order in which they are to be ridden.",
        )


def _clocked(head: Ride, tail: Ride, number: int) -> tuple[Ride, Ride, list[str]]:
    """Return both with a clock that runs on, or both without."""
    if head.time_s is None or tail.time_s is None:
        said = "only one of the rides has times" if head.time_s is not tail.time_s else ""
    else:
        ends = head.time_s[-1] + (0.0 if head.stood_s is None else head.stood_s[-1])
        later = int(np.searchsorted(tail.time_s, ends, "right"))
        if later == 0:
            return head, tail, []
        near = later < len(tail.lat) - 1 and ends - tail.time_s[0] <= _CLOCKS_S
        if near and float(tail.track.chainage_m[later]) <= MAX_GAP_M:
            return head, tail.only(slice(later, None)), []
        said = f"ride {number} is not later than the one before"
    off = [f"{said}: the clock of the rides is not used"] if said else []
    return replace(head, time_s=None), replace(tail, time_s=None), off


def _last_pass(first: Track, second: Track) -> float | None:
    """Return where the first line was last on its way past the start of the second."""
    same = _passes(first, second, 0.0)
    return float(same.max()) if len(same) else None


def _pass_near(second: Track, first: Track, near_m: float) -> float | None:
    """Return where the second line passes the end of the first, nearest to a chainage."""
    same = _passes(second, first, first.length_m)
    return float(same[np.abs(same - near_m).argmin()]) if len(same) else None


def _passes(track: Track, other: Track, at_m: float) -> Floats:
    """Return the chainages at which a line comes nearest to a place of another, going its way."""
    off_m, passed_m = nearest_on_track(track, *other.at(at_m))
    there = passed_m[nearest_steps(off_m, ON_LINE_M)]
    turns = _apart_degrees(_headings(track, there), _headings(other, np.array([at_m])))
    return there[turns < _SAME_DEGREES]


def _shares(first: Track, second: Track) -> tuple[float, float]:
    """Return which share of the second line runs along the first, and which the other way."""
    marks = (np.arange(_PLACES) + 0.5) / _PLACES * second.length_m
    headings, all_headings = _headings(second, marks), _headings(first, first.chainage_m)
    same = opposite = 0
    for mark, heading in zip(marks.tolist(), headings, strict=True):
        off_m, _ = nearest_on_track(first, *second.at(mark))
        turns = _apart_degrees(all_headings[:-1][off_m <= ON_LINE_M], heading)
        if len(turns):
            same += bool(turns.min() < _SAME_DEGREES)
            opposite += bool(turns.min() > _OPPOSITE_DEGREES)
    return same / _PLACES, opposite / _PLACES


def _headings(track: Track, at_m: Floats) -> Floats:
    """Return the direction of a line about each chainage, degrees from north, (n,)."""
    east, north = local_metres(track.lat, track.lon, float(track.lat[0]), float(track.lon[0]))
    before, after = at_m - _HEADING_M, at_m + _HEADING_M
    de, dn = (
        np.interp(after, track.chainage_m, values) - np.interp(before, track.chainage_m, values)
        for values in (east, north)
    )
    return np.asarray(np.degrees(np.arctan2(de, dn)), dtype=np.float64)


def _apart_degrees(one: Floats, other: Floats | float) -> Floats:
    return np.asarray(np.abs((other - one + 180.0) % 360.0 - 180.0), dtype=np.float64)
