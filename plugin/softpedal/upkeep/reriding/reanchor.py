"""Positions in the notes, old line → new line: what moves, and what has no place any more."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from softpedal.library.positions import Unplaced, chainage_of, km
from softpedal.library.track import nearest_on_track
from softpedal.library.values import METRES, parse_position

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.gpx_reader import Waypoint
    from softpedal.library.track import Track
    from softpedal.upkeep.reriding.line_splice import Spliced

#: A position that moves by less stays as it is written, metres.
STILL_M = 0.5
#: Coordinates and waypoints that are found again within so many metres along stay as written.
_FOUND_M = 60.0

_NUMBER = re.compile(r"(\d+)(\.\d+)?(\s*)(km|mi|m)")


@dataclass(frozen=True, eq=False, slots=True)
class Reanchor:
    """Finds places of an old line on the new one.

    Attributes:
        old: the line as it was, with its waypoints.
        waypoints: of the file; they stay.
        spliced: the new line.
        tolerance_m: a place this near to the new line still is on it.
    """

    old: Track
    waypoints: Sequence[Waypoint]
    spliced: Spliced
    tolerance_m: float

    def old_m(self, text: str) -> float | None:
        """Return the chainage that a position had, None where it had none."""
        try:
            return chainage_of(parse_position(text), self.old, self.waypoints)
        except (ValueError, Unplaced):
            return None

    def stretch_at(self, old_m: float) -> int | None:
        """Return which stretch that was put in a place of the old line lies on, if any."""
        for number, stretch in enumerate(self.spliced.stretches):
            if stretch.from_m < old_m < stretch.to_m or _at_changed_end(
                old_m, stretch.from_m, stretch.to_m, self.old.length_m
            ):
                return number
        return None

    def new_m(self, old_m: float) -> float | None:
        """Return where a place is along the new line, metres, None where that passes it no more."""
        number = self.stretch_at(old_m)
        if number is None:
            return self._moved(old_m)
        off, along = nearest_on_track(self.spliced.track, *self.old.at(old_m))
        a, b = self.spliced.new_from_m[number], self.spliced.new_to_m[number]
        off = np.where((along >= a - 1.0) & (along <= b + 1.0), off, np.inf)
        best = int(off.argmin())
        return float(along[best]) if off[best] <= self.tolerance_m else None

    def ends(self, from_m: float, to_m: float) -> tuple[float, float] | None:
        """Return from where to where a stretch is along the new line, None where nothing is left.

        An end on a stretch that was left out is moved to where the old line goes on.
        """
        first, last = self.stretch_at(from_m), self.stretch_at(to_m)
        start, end = self.new_m(from_m), self.new_m(to_m)
        if start is None and end is None and first == last:
            return None
        if start is None and first is not None:
            start = float(self.spliced.new_to_m[first])
        if end is None and last is not None:
            end = float(self.spliced.new_from_m[last])
        if start is None or end is None or end < start:
            return None
        return start, end

    def kept(self, from_m: float, to_m: float) -> list[tuple[float, float]]:
        """Return what of a stretch of the old line is still ridden, along the old line."""
        left, at = [], from_m
        for stretch in self.spliced.stretches:
            if stretch.to_m <= at or stretch.from_m >= to_m:
                continue
            if stretch.from_m > at:
                left.append((at, stretch.from_m))
            at = max(at, stretch.to_m)
        return [*left, (at, to_m)] if at < to_m else left

    def text(self, text: str, new_m: float) -> str:
        """Return a position as it is written for the new line; what still holds stays as it is.

        Args:
            text: as it was written.
            new_m: where it now is, metres.
        """
        position = parse_position(text)
        old_m = self.old_m(text)
        if position.form in ("start", "finish") or old_m is None:
            return text
        if position.form == "chainage":
            return _shifted(text, new_m - old_m)
        try:
            found = chainage_of(position, self.spliced.track, self.waypoints)
        except Unplaced:
            found = None
        if found is not None and abs(found - new_m) <= _FOUND_M and position.metres is None:
            return text
        if position.form == "waypoint":
            return _shifted("0.00 km", new_m)
        head, near, place = text.partition("near")
        if near:
            return head + near + _shifted(place, new_m - old_m)
        return f"{text.strip()} near {km(new_m)}"

    def _moved(self, old_m: float) -> float:
        beyond = sum(stretch.to_m <= old_m for stretch in self.spliced.stretches)
        moved = old_m + float(self.spliced.shift_m[beyond])
        return min(max(moved, 0.0), self.spliced.track.length_m)


def _at_changed_end(old_m: float, from_m: float, to_m: float, length_m: float) -> bool:
    """Whether a place is the very start or finish of a line, and another way leads there."""
    return to_m > from_m and (
        (old_m <= 0.0 and from_m <= 0.0) or (old_m >= length_m and to_m >= length_m)
    )


def _shifted(text: str, by_m: float) -> str:
    """Return a chainage so many metres on, in its own unit and with its own digits at least."""
    match = _NUMBER.search(text)
    if match is None or abs(by_m) < STILL_M:
        return text
    unit = METRES[match[4]]
    digits = 0 if match[4] == "m" else max(2, len(match[2] or "") - 1)
    value = max(0.0, float(match[1] + (match[2] or "")) + by_m / unit)
    return text[: match.start()] + f"{value:.{digits}f}{match[3]}{match[4]}" + text[match.end() :]
