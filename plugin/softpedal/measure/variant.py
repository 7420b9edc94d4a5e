"""A route with one of its variants taken: another line for one stretch, measured as if ridden."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

import numpy as np

from softpedal.library.track import Track

if TYPE_CHECKING:
    from softpedal.library.notes import Leg
    from softpedal.library.route import AnotherLine, Line, Placed, Route
    from softpedal.library.track import Floats

T = TypeVar("T")


def with_variant(route: Route, other: AnotherLine) -> Route:
    """Return the route with the outbound line led over a variant.

    What is noted between leaving and rejoining goes, what is noted along the variant comes in its
    place. A way back that has a line of its own stays as it is.
    """
    return replace(route, along=spliced(route.along, other), variants=(), photos=())


def spliced(line: Line, other: AnotherLine) -> Line:
    """Return a line up to where a variant leaves it, the variant, and on from where it rejoins."""
    track, leave, enter, end = _joined(line.track, other)
    shift = end - other.rejoin_m

    def around(
        items: tuple[Placed[T], ...], within: tuple[Placed[T], ...]
    ) -> tuple[Placed[T], ...]:
        """Points outside the stretch, and what lies along the variant, in riding order."""
        before = [_moved(p, 0.0, 0.0, leave) for p in items if p.at_m <= other.leave_m]
        after = [
            _moved(p, shift, end, track.length_m)
            for p in items
            if p.at_m > other.leave_m and p.to_m >= other.rejoin_m
        ]
        own = [_moved(p, enter, leave, end) for p in within]
        return (*before, *own, *after)

    def kept(placed: Placed[T] | None) -> Placed[T] | None:
        found = around((placed,), ()) if placed else ()
        return found[0] if found else None

    own = other.line
    return replace(
        line,
        track=track,
        legs=_legs(line, other, leave, enter, end),
        crossings=around(line.crossings, own.crossings),
        dismounts=around(line.dismounts, own.dismounts),
        hazards=around(line.hazards, own.hazards),
        landmarks=around(line.landmarks, own.landmarks),
        barriers=around(line.barriers, own.barriers),
        steep=around(line.steep, own.steep),
        signed=around(line.signed, own.signed),
        skip=around(line.skip, own.skip),
        wishes=around(line.wishes, own.wishes),
        hardest=kept(line.hardest),
        best=kept(line.best),
    )


def _joined(track: Track, other: AnotherLine) -> tuple[Track, float, float, float]:
    """Return the whole line, and where on it the variant is left to, begins, and is left from."""
    start, mid, rest = (
        _cut(track, 0.0, other.leave_m),
        other.line.track,
        _cut(track, other.rejoin_m, track.length_m),
    )
    parts, last = [], 0
    for piece in (start, mid, rest):
        parts.append(piece.part - piece.part[0] + last)
        last = int(parts[-1][-1])
    whole = Track(
        np.concatenate([start.lat, mid.lat, rest.lat]),
        np.concatenate([start.lon, mid.lon, rest.lon]),
        np.concatenate([start.height, mid.height, rest.height]),
        np.concatenate(parts),
    )
    first, behind = len(start.lat), len(start.lat) + len(mid.lat)
    at = whole.chainage_m
    return whole, float(at[first - 1]), float(at[first]), float(at[behind])


def _cut(track: Track, from_m: float, to_m: float) -> Track:
    """Return a piece of a track; its ends are made where it has no point."""
    at = track.chainage_m
    inside = (at > from_m) & (at < to_m)
    first = int(np.searchsorted(at, from_m, side="right")) - 1
    last = min(int(np.searchsorted(at, to_m, side="left")), len(at) - 1)

    def values(column: Floats) -> Floats:
        ends = np.interp([from_m, to_m], at, column)
        return np.concatenate((ends[:1], column[inside], ends[1:]))

    return Track(
        values(track.lat),
        values(track.lon),
        values(track.height),
        np.concatenate(([track.part[first]], track.part[inside], [track.part[last]])),
    )


def _legs(
    line: Line, other: AnotherLine, leave: float, enter: float, end: float
) -> tuple[Placed[Leg], ...]:
    shift = end - other.rejoin_m
    legs = [replace(p, to_m=min(p.to_m, leave)) for p in line.legs if p.at_m < other.leave_m]
    own = [_moved(p, enter, leave, end) for p in other.line.legs]
    if own:  # the few metres from the line to the variant and back are its own
        own[0] = replace(own[0], at_m=leave)
        own[-1] = replace(own[-1], to_m=end)
    if legs:
        legs[-1] = replace(legs[-1], to_m=leave)
    after = [
        replace(p, at_m=max(p.at_m, other.rejoin_m) + shift, to_m=p.to_m + shift)
        for p in line.legs
        if p.to_m > other.rejoin_m
    ]
    if after:
        after[0] = replace(after[0], at_m=end)
    return (*legs, *own, *after)


def _moved(placed: Placed[T], by_m: float, least: float, most: float) -> Placed[T]:
    """Return something noted on another axis, kept between two chainages."""
    at_m = min(max(placed.at_m + by_m, least), most)
    return replace(placed, at_m=at_m, to_m=min(max(placed.to_m + by_m, at_m), most))
