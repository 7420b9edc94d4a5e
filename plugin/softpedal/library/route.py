"""A Route: its lines as arrays, and what is noted along them at resolved chainages."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Generic, TypeVar

if TYPE_CHECKING:
    import pathlib
    from collections.abc import Mapping

    from softpedal.library.notes import (
        Alert,
        Barrier,
        Conditional,
        Crossing,
        Direction,
        Dismount,
        Hazard,
        Landmark,
        Leg,
        Notes,
        Photo,
        Remark,
        Sign,
        Spot,
        Steep,
        Variant,
    )
    from softpedal.library.track import Track
    from softpedal.library.yaml_source import Mark, Path

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Placed(Generic[T]):
    """Something noted, and where it is.

    Attributes:
        item: what is noted.
        at_m: chainage of the point, or of the start of the stretch.
        to_m: chainage of the end; equal to `at_m` for a point.
        mark: line and column in notes.yml, 1-based.
    """

    item: T
    at_m: float
    to_m: float
    mark: tuple[int, int] = (0, 0)

    @property
    def length_m(self) -> float:
        """Metres from start to end."""
        return self.to_m - self.at_m

    def turned(self, length_m: float) -> Placed[T]:
        """Return the same as met from the other end of a line of this length."""
        return replace(self, at_m=length_m - self.to_m, to_m=length_m - self.at_m)


@dataclass(frozen=True)
class Line:
    """One line in riding order, with everything noted along it.

    Attributes:
        is_turned: the line is the outbound one ridden from its finish, so that sides and
            gradients, which are noted in outbound order, are the other way round.
    """

    track: Track
    legs: tuple[Placed[Leg], ...]
    crossings: tuple[Placed[Crossing], ...] = ()
    dismounts: tuple[Placed[Dismount], ...] = ()
    hazards: tuple[Placed[Hazard], ...] = ()
    landmarks: tuple[Placed[Landmark], ...] = ()
    barriers: tuple[Placed[Barrier], ...] = ()
    steep: tuple[Placed[Steep], ...] = ()
    signed: tuple[Placed[Sign], ...] = ()
    skip: tuple[Placed[Spot], ...] = ()
    wishes: tuple[Placed[Spot], ...] = ()
    hardest: Placed[Remark] | None = None
    best: Placed[Remark] | None = None
    is_turned: bool = False

    @property
    def length_m(self) -> float:
        """Chainage of the end."""
        return self.track.length_m

    def turned(self) -> Line:
        """Return the line ridden from its finish to its start."""

        def turn(items: tuple[Placed[T], ...]) -> tuple[Placed[T], ...]:
            return tuple(item.turned(self.length_m) for item in reversed(items))

        return Line(
            track=self.track.reversed(),
            legs=turn(self.legs),
            crossings=turn(self.crossings),
            dismounts=turn(self.dismounts),
            hazards=turn(self.hazards),
            landmarks=turn(self.landmarks),
            barriers=turn(self.barriers),
            steep=turn(self.steep),
            signed=turn(self.signed),
            skip=turn(self.skip),
            wishes=turn(self.wishes),
            hardest=self.hardest and self.hardest.turned(self.length_m),
            best=self.best and self.best.turned(self.length_m),
            is_turned=not self.is_turned,
        )

    def met(self, direction: Direction) -> Line:
        """Return the line with only what is there for someone riding in this direction."""

        def keep(items: tuple[Placed[C], ...]) -> tuple[Placed[C], ...]:
            return tuple(placed for placed in items if placed.item.applies(direction))

        return replace(
            self,
            crossings=keep(self.crossings),
            dismounts=keep(self.dismounts),
            hazards=keep(self.hazards),
            barriers=keep(self.barriers),
        )


C = TypeVar("C", bound="Conditional")


@dataclass(frozen=True, slots=True)
class AnotherLine:
    """A variant: where it leaves the route and comes back, and its own line."""

    variant: Variant
    leave_m: float
    rejoin_m: float
    line: Line


@dataclass(frozen=True)
class Route:
    """A route folder, read and resolved.

    Attributes:
        id: the folder's name.
        folder: where it was read from.
        notes: what the author wrote, and behind their alerts those of the library that reach it.
        along: the outbound line with its notes.
        back: the way back's own line, where there is a return.gpx.
        variants: other lines for one stretch.
        photos: pictures, with the chainage at which they were taken.
        story: longer text in Markdown, or "".
        direct_line: the direct road, where there is a direct.gpx.
        places: line and column in notes.yml of its keys and of what stands directly under them,
            by their path.
        passed_alerts: those of the library, placed on the outbound line; nan where it is another
            line of the route that passes there.
    """

    id: str
    folder: pathlib.Path
    notes: Notes
    along: Line
    back: Line | None = None
    variants: tuple[AnotherLine, ...] = ()
    photos: tuple[Placed[Photo], ...] = field(default=())
    story: str = ""
    direct_line: Track | None = None
    places: Mapping[Path, Mark] = field(default_factory=dict)
    passed_alerts: tuple[Placed[Alert], ...] = ()

    @cached_property
    def outbound(self) -> Line:
        """What one meets riding from start to finish."""
        return self.along if self.back else self.along.met("outbound")

    @cached_property
    def way_back(self) -> Line:
        """What one meets riding from finish to start."""
        return self.back or self.along.turned().met("return")

    def line(self, direction: Direction) -> Line:
        """Return what one meets riding in a direction."""
        return self.outbound if direction == "outbound" else self.way_back

    def place(self, *path: str | int) -> Mark:
        """Return where something stands in notes.yml, or the nearest thing around it."""
        while path and path not in self.places:
            path = path[:-1]
        return self.places.get(path, (1, 1))

    def is_ridden(self, direction: Direction) -> bool:
        """Whether the author has ridden it in this direction."""
        return any(ride.direction in (direction, "both") for ride in self.notes.ridden)
