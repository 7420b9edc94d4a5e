"""What may be noted along a line: legs, and the points and stretches on them."""

# ruff: noqa: TC001 - these are pydantic models by way of Strict, which ruff does not see
from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from softpedal.library.faults import fault
from softpedal.library.note_values import (
    DIRECTIONS,
    Control,
    Count,
    Cue,
    Directed,
    Direction,
    KindByDirection,
    KindByHours,
    Must,
    Source,
    Strict,
    Surface,
)
from softpedal.library.values import (
    At,
    FileName,
    Film,
    Gradient,
    Hours,
    Metres,
    Seconds,
    Speed,
    Text,
    Title,
)


class Item(Strict):
    """What every leg and point may carry."""

    source: Directed[Source] = Directed[Source].model_validate("ridden")
    """ridden (seen by the author), map or said (drafted, not yet confirmed) or reported"""
    note: Directed[Text] | None = None
    film: Film | None = None
    """its second in the video, like 4:10"""
    confidence: Literal["sure", "check", "guess"] | None = None
    """how sure a draft is"""
    evidence: Text | None = None
    """what a draft goes by"""


class Point(Item):
    """Something at a place on the line."""

    at: At


class Conditional(Point):
    """A point that may be there in one direction, or at some hours, only."""

    direction: Literal["outbound", "return", "both"] = "both"
    hours: Hours | None = None

    def applies(self, direction: Direction) -> bool:
        """Whether it is there for someone riding in this direction."""
        return self.direction in (direction, "both")


class Levelled(Item):
    """Something whose stress level the author may raise, with a reason."""

    speed_limit: Speed | None = None
    lanes: Count | None = None
    """lanes of both directions together"""
    level: Annotated[int, Field(ge=1, le=4)] | None = None
    why: Text | None = None

    @model_validator(mode="after")
    def _level_has_reason(self) -> Self:
        if self.level is not None and self.why is None:
            raise fault(
                "`level` is raised without a reason.",
                "Add `why:` and the reason.",
                "notes-missing",
                at="level",
            )
        return self


class Leg(Levelled):
    """A stretch of one street; it runs to the next leg's `from`."""

    from_: At = Field(alias="from")
    street: Title
    kind: KindByDirection | None = None
    hours: KindByHours | None = None
    closed_by: Text | None = None
    """what keeps motor traffic from driving through"""
    cue: Cue | None = None
    surface: Directed[Surface] | None = None
    walkers: Literal["few", "many"] | None = None
    lit: Literal["yes", "partly", "no"] | None = None
    wet: Text | None = None
    company: Literal["overlooked", "out of sight"] | None = None
    edge: Text | None = None
    steps: bool = False
    lane_width: Directed[Metres] | None = None
    parking_width: Directed[Metres] | None = None
    parking: Directed[bool] | None = None
    blocked: Directed[Literal["rare", "frequent"]] | None = None
    median: bool = False
    """a raised median between the directions"""
    centre_line: bool | None = None
    residential: bool = False

    @model_validator(mode="after")
    def _has_kind(self) -> Self:
        if self.kind is None and self.hours is None:
            raise fault("The leg says no kind.", "Add `kind:` or `hours:`.", "notes-missing")
        if self.kind is not None and self.hours is not None:
            for direction in DIRECTIONS:
                kind = self.kind.get(direction)
                if kind not in [value.get(direction) for value in self.hours.values()]:
                    raise fault(
                        f"The leg's kind `{kind}` is none of those under its `hours`.",
                        "`hours` stands instead of `kind`: leave `kind` out.",
                        at="kind",
                    )
        return self


class Crossing(Conditional, Levelled):
    """A road that is crossed, joined or left across its traffic."""

    road: Title
    control: Control
    movement: Literal["cross", "turn", "roundabout"] = "cross"
    ride: bool | None = None
    """whether one may ride over; by default not on a zebra or at pedestrian signals"""
    busy: bool | None = None
    road_class: (
        Literal["trunk", "primary", "secondary", "tertiary", "unclassified", "residential"] | None
    ) = None
    vehicles_per_day: Annotated[int, Field(ge=0, le=500_000)] | None = None
    wait: Seconds | None = None
    """as stood on the ride; beats the formula"""
    easier: Directed[Text] | None = None

    @property
    def is_ridden(self) -> bool:
        """Whether one rides over rather than pushes."""
        if self.ride is None:
            return self.control not in ("zebra", "pedestrian signals")
        return self.ride


class Dismount(Conditional):
    """A place where one gets off."""

    why: Text
    metres: Metres = 0.0
    must: Must = "law"
    steps: bool = False
    without_getting_off: Text | None = None


class Hazard(Conditional):
    """Something to look out for, at a point or along a stretch."""

    to: At | None = None
    what: Text
    severity: Literal["minor", "serious"] = "minor"


class Landmark(Point):
    """Something by which one knows where one is."""

    what: Text
    side: Literal["left", "right", "ahead", "both sides"] | None = None
    story: Text | None = None


class Barrier(Conditional):
    """A gate, chicane or post that a wide or heavy cycle may not pass."""

    what: Text
    gap: Metres | None = None
    turn: Text | None = None
    kerb: Metres | None = None
    lift: bool | None = None
    steps: bool = False
    way_round: Text | None = None


class Steep(Point):
    """A ramp too short for a recorded height to show; up is positive in riding order."""

    metres: Metres
    gradient: Gradient


class Remark(Point):
    """The hardest bit, or the best."""

    text: Text


class Sign(Item):
    """A stretch that is signed as something."""

    from_: At = Field(alias="from")
    to: At
    as_: Text = Field(alias="as")


class Spot(Point):
    """Something to pass by, or to wish for."""

    what: Text


class Photo(Point):
    """A picture in the route's photos folder."""

    file: FileName
    alt: Text
