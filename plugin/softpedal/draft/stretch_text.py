"""Stretches of a ride as they are typed: from where to where, and the file that stands in."""

from __future__ import annotations

import re

from pydantic_core import PydanticCustomError

from softpedal.draft.ride import Ride, RideError
from softpedal.library.faults import shown
from softpedal.library.positions import Unplaced, chainage_of, km
from softpedal.library.values import Position, parse_position

STRETCH_EXAMPLE = "2.1km-2.4km"
LINE_EXAMPLE = "2.1km-2.4km=detour.gpx"

#: Where a stretch begins and where it ends.
Stretch = tuple[Position, Position]


def parse_stretch(text: str) -> Stretch:
    """Return a stretch as it was typed: two positions with a hyphen between.

    Raises:
        RideError: it has another form.
    """
    found: list[Stretch] = []
    for hyphen in re.finditer("[-–]", text):
        ends = _position(text[: hyphen.start()]), _position(text[hyphen.end() :])
        if ends[0] is not None and ends[1] is not None:
            found.append((ends[0], ends[1]))
    if len(found) == 1:
        return found[0]
    what = "can be read in more than one way" if found else "is not a stretch"
    raise RideError(
        f"`{shown(text)}` {what}: two positions with a hyphen between are expected.",
        f"Write it like `{STRETCH_EXAMPLE}`, `start-310m` or "
        "`50.01234,-20.04567-50.01301,-20.04712`; each with its unit: km, m or mi.",
    )


def parse_replacement(text: str) -> tuple[Stretch | None, str]:
    """Return a stretch, None where it is to be found, and the name of the replacing file.

    Raises:
        RideError: it has another form.
    """
    stretch, equals, file = text.partition("=")
    if not equals or not file.strip():
        raise RideError(
            f"`{shown(text)}` names no {'file' if equals else 'stretch'}: a stretch, `=` and a GPX "
            "file are expected.",
            f"Write it like `{LINE_EXAMPLE}`, or `=detour.gpx` where the line's ends say it all.",
        )
    return (parse_stretch(stretch) if stretch.strip() else None), file.strip()


def stretch_m(stretch: Stretch, ride: Ride) -> tuple[float, float]:
    """Return from where to where a stretch goes, metres along a ride.

    Raises:
        RideError: an end does not lie on the ride, or the second comes before the first.
    """
    try:
        from_m, to_m = (chainage_of(end, ride.track, ride.waypoints) for end in stretch)
    except Unplaced as error:
        raise RideError(error.message, error.hint) from error
    if to_m <= from_m:
        first, second = stretch
        raise RideError(
            f"The stretch from `{shown(first.text)}` to `{shown(second.text)}` has no length: "
            f"it would go from {km(from_m)} to {km(to_m)}.",
            "Give the place that is ridden first, first.",
        )
    return from_m, to_m


def _position(text: str) -> Position | None:
    try:
        return parse_position(text.strip())
    except PydanticCustomError:
        return None
