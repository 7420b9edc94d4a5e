"""Puts everything that the notes name at its chainage along a line."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, TypeVar

from softpedal.library.positions import Unplaced, chainage_of, km
from softpedal.library.route import AnotherLine, Line, Placed
from softpedal.problems import Problem

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.gpx_reader import Waypoint
    from softpedal.library.notes import Leg, LineNotes, Remark, Variant
    from softpedal.library.track import Track
    from softpedal.library.values import Position
    from softpedal.library.yaml_source import Path, YamlSource

T = TypeVar("T")

#: How far from its line's start the first leg may begin, in metres.
START_SLACK_M = 10.0

_LISTS = ("crossings", "dismounts", "hazards", "landmarks", "barriers", "skip", "wishes")


class Placer:
    """Resolves positions along one track, and collects those that name no place on it."""

    def __init__(
        self, source: YamlSource, file: str, track: Track, waypoints: Sequence[Waypoint]
    ) -> None:
        self.source, self.file, self.track, self.waypoints = source, file, track, waypoints
        self.problems: list[Problem] = []

    def line(self, notes: LineNotes, at: Path) -> Line:
        """Place all the lists of one line; `at` is the path of the section in the notes."""
        lists: dict[str, Any] = {
            name: self.points(getattr(notes, name), (*at, name)) for name in _LISTS
        }
        steep = tuple(
            replace(p, to_m=min(p.at_m + p.item.metres, self.track.length_m))
            for p in self.points(notes.steep, (*at, "steep"))
        )
        return Line(
            track=self.track,
            legs=self.legs(notes.legs, (*at, "legs")),
            steep=steep,
            signed=self.points(notes.signed, (*at, "signed")),
            hardest=self._remark(notes.hardest, (*at, "hardest")),
            best=self._remark(notes.best, (*at, "best")),
            **lists,
        )

    def variant(
        self, variant: Variant, track: Track, waypoints: Sequence[Waypoint], index: int
    ) -> AnotherLine:
        """Place a variant: its ends along this line, its own legs along its own."""
        at: Path = ("variants", index)
        leave = self._chainage(variant.leave, (*at, "leave"))
        rejoin = self._chainage(variant.rejoin, (*at, "rejoin"))
        if leave is not None and rejoin is not None and rejoin <= leave:
            self._report(
                "position-order",
                (*at, "rejoin"),
                f"The variant comes back at {km(rejoin)}, not after it leaves at {km(leave)}.",
                "Both are chainages of the track in track.gpx; `rejoin` is the later one.",
            )
        own = Placer(self.source, self.file, track, waypoints)
        line = Line(
            track,
            own.legs(variant.legs, (*at, "legs")),
            own.points(variant.crossings, (*at, "crossings")),
            own.points(variant.dismounts, (*at, "dismounts")),
        )
        self.problems += own.problems
        return AnotherLine(variant, leave or 0.0, rejoin or 0.0, line)

    def legs(self, legs: Sequence[Leg], at: Path) -> tuple[Placed[Leg], ...]:
        """Place legs: each runs to where the next one starts, the last to the end."""
        starts: list[tuple[Leg, float, Path]] = []
        for index, leg in enumerate(legs):
            path = (*at, index, "from")
            start = self._chainage(leg.from_, path)
            if start is None:
                continue
            if index == 0:
                self._first_leg_starts(start, path)
                start = 0.0
            elif starts and start <= starts[-1][1]:
                self._report(
                    "position-order",
                    path,
                    f"This leg starts at {km(start)}, not after the leg before it "
                    f"({km(starts[-1][1])}).",
                    "Put the legs in riding order.",
                )
                continue
            starts.append((leg, start, path))
        ends = [start for _, start, _ in starts[1:]] + [self.track.length_m]
        if starts and ends[-1] <= starts[-1][1]:
            self._report(
                "position-order",
                starts[-1][2],
                f"The last leg starts at the very end of the track ({km(ends[-1])}).",
                "Leave it out, or move its `from` back.",
            )
        return tuple(
            Placed(leg, start, end, self.source.place(path[:-1]))
            for (leg, start, path), end in zip(starts, ends, strict=True)
        )

    def points(self, items: Sequence[T], at: Path) -> tuple[Placed[T], ...]:
        """Place points and stretches, sorted along the line."""
        placed: list[Placed[T]] = []
        for index, item in enumerate(items):
            key = "at" if hasattr(item, "at") else "from"
            position: Position = getattr(item, "at" if key == "at" else "from_")
            start = self._chainage(position, (*at, index, key))
            end = start
            if (to := getattr(item, "to", None)) is not None:
                end = self._chainage(to, (*at, index, "to"))
            if start is None or end is None:
                continue
            if end < start:
                self._report(
                    "position-order",
                    (*at, index, "to"),
                    f"The stretch ends at {km(end)}, before it starts at {km(start)}.",
                    "Exchange the two positions.",
                )
                continue
            placed.append(Placed(item, start, end, self.source.place((*at, index))))
        return tuple(sorted(placed, key=lambda p: p.at_m))

    def refuse_directions(self, notes: LineNotes, at: Path) -> None:
        """Report items with a direction of their own where each direction has its own lists."""
        for name in ("crossings", "dismounts", "hazards", "barriers"):
            for index, item in enumerate(getattr(notes, name)):
                if "direction" in item.model_fields_set:
                    self._report(
                        "direction-twice",
                        (*at, name, index, "direction"),
                        "With a return.gpx, each direction has its own lists.",
                        "Leave `direction` out, and note it in the list of that direction.",
                    )

    def _remark(self, remark: Remark | None, at: Path) -> Placed[Remark] | None:
        if remark is None:
            return None
        start = self._chainage(remark.at, (*at, "at"))
        return None if start is None else Placed(remark, start, start, self.source.place(at))

    def _first_leg_starts(self, start: float, path: Path) -> None:
        if start > START_SLACK_M:
            self._report(
                "position-order",
                path,
                f"The first leg starts at {km(start)}, which leaves the way up to there unsaid.",
                "Write `from: start`.",
            )

    def _chainage(self, position: Position, path: Path) -> float | None:
        try:
            return chainage_of(position, self.track, self.waypoints)
        except Unplaced as no:
            self._report(no.code, path, no.message, no.hint)
            return None

    def _report(self, code: str, path: Path, message: str, hint: str = "") -> None:
        place = self.source.place(path)
        self.problems.append(Problem(code, self.file, *place, message, hint))
