"""A button pressed on the ride: waypoints of the recording → things to fill in, at their place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.draft.heard_words import MAX_NAME, excerpt
from softpedal.draft.observed import Mark
from softpedal.library.placeholders import TO_FILL_IN
from softpedal.library.positions import MAX_OFF_TRACK_M, passes_of
from softpedal.library.track import nearest_on_track

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from softpedal.draft.drafted_line import DraftedLine
    from softpedal.library.gpx_reader import Waypoint
    from softpedal.library.track import Track

#: So far before the one pressed before it, a waypoint is still at the same place, metres: noise.
SAME_PLACE_M = 10.0


def marks_on(track: Track, waypoints: Sequence[Waypoint]) -> tuple[tuple[Mark, ...], list[str]]:
    """Return the marks along a line in riding order, and in words what became of the others.

    Waypoints stand in the file in the order in which they were pressed: where the line passes one
    more than once, it was pressed at the first pass that is not before the one pressed before it.

    Args:
        track: the published line.
        waypoints: of the recording, in the order of the file.

    Returns:
        The marks, a waypoint without a name being called by its number in the file; and a
        sentence on each waypoint that is off the line or out of order.
    """
    marks: list[Mark] = []
    words: list[str] = []
    before_m = 0.0
    for number, waypoint in enumerate(waypoints, 1):
        name = excerpt(waypoint.name, MAX_NAME)
        called = f"waypoint “{name}”" if name else f"waypoint {number}"
        off_m, chainage_m = nearest_on_track(track, waypoint.lat, waypoint.lon)
        passes = passes_of(off_m, chainage_m)
        if not passes:
            words.append(
                f"{called} is left out: it is {off_m.min():,.0f} m from the line, more than "
                f"{MAX_OFF_TRACK_M:.0f} m"
            )
            continue
        later = [at for at in passes if at >= before_m - SAME_PLACE_M]
        if later:
            before_m = max(before_m, later[0])
            marks.append(Mark(before_m, name or str(number)))
            continue
        at_m = float(chainage_m[off_m.argmin()])
        marks.append(Mark(at_m, name or str(number)))
        words.append(
            f"{called} stands behind others in the file, but before them on the line: it is put "
            f"at {at_m / 1000:.2f} km"
        )
    return tuple(sorted(marks, key=lambda mark: mark.at_m)), words


def put_marks(line: DraftedLine, marks: Iterable[Mark]) -> None:
    """Add a landmark to fill in for each mark.

    Its source is `said`: the map does not have it, and `ridden` would be untrue until somebody
    has written what is there.
    """
    for number, mark in enumerate(marks, 1):
        name = excerpt(mark.name, MAX_NAME).replace('"', "'") or str(number)
        which = f"waypoint {name}" if name.isdigit() else f'waypoint "{name}"'
        line.put(
            "landmarks",
            mark.at_m,
            {
                "what": f"{TO_FILL_IN} ({which})",
                "source": "said",
                "confidence": "guess",
                "evidence": "a button pressed on the ride",
            },
        )
