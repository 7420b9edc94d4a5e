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

    source: Directed[Source] = Field(
        Directed[Source].model_validate("ridden"),
        examples=["ridden", {"outbound": "ridden", "return": "map"}],
    )
    """who says so: `ridden`, you saw it; `map` or `said`, a draft does; `reported`, a reader"""
    note: Directed[Text] | None = Field(None, examples=["Taller than they look."])
    """more words about it, shown with it"""
    film: Film | None = Field(None, examples=["4:10"])
    """when it comes in the film"""
    confidence: Literal["sure", "check", "guess"] | None = Field(None, examples=["check"])
    """how sure a draft is"""
    evidence: Text | None = Field(None, examples=["a marked crossing on the map"])
    """what a draft goes by"""


class Point(Item):
    """Something at a place on the line."""

    at: At = Field(examples=["1.20 km"])
    """where it is"""


class Conditional(Point):
    """A point that may be there in one direction, or at some hours, only."""

    direction: Literal["outbound", "return", "both"] = Field("both", examples=["return"])
    """the direction in which it is there"""
    hours: Hours | None = Field(None, examples=["Mo-Fr 07:00-09:30"])
    """the hours at which it is there"""

    def applies(self, direction: Direction) -> bool:
        """Whether it is there for someone riding in this direction."""
        return self.direction in (direction, "both")


class Levelled(Item):
    """Something whose stress level the author may raise, with a reason."""

    speed_limit: Speed | None = Field(None, examples=["30 mph", "50 km/h"])
    """the road's speed limit, with its unit"""
    lanes: Count | None = Field(None, examples=[2])
    """lanes of both directions together"""
    level: Annotated[int, Field(ge=1, le=4)] | None = Field(None, examples=[3])
    """a stress level above the computed one; it never lowers one, and needs `why`"""
    why: Text | None = Field(None, examples=["Lorries use it to reach the yards."])
    """the reason for `level`"""

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

    from_: At = Field(alias="from", examples=["start", "1.24 km"])
    """where the leg begins; the first begins at the start"""
    street: Title = Field(examples=["Sailmaker Row"])
    """the street's name, or what people call the path"""
    kind: KindByDirection | None = Field(
        None,
        examples=["back street", {"outbound": "protected track", "return": "painted lane"}],
    )
    """what kind of street it is; needed unless `hours` says it"""
    hours: KindByHours | None = Field(
        None, examples=[{"Mo-Sa 08:00-18:00": "on foot", "otherwise": "filtered street"}]
    )
    """kinds by opening hours instead of `kind`; the first that is open holds"""
    closed_by: Text | None = Field(None, examples=["planters at Mill Lane"])
    """what keeps motor traffic from driving through"""
    cue: Cue | None = Field(
        None,
        examples=[
            "Straight on past the baths.",
            {"outbound": "Left at the baths.", "return": "Right at the baths."},
        ],
    )
    """what one is told where the leg begins; without a direction it is the way out's"""
    surface: Directed[Surface] | None = Field(None, examples=["rough"])
    """how it is to ride on"""
    walkers: Literal["few", "many"] | None = Field(None, examples=["many"])
    """how many people walk where one rides"""
    lit: Literal["yes", "partly", "no"] | None = Field(None, examples=["no"])
    """whether it is lit after dark"""
    wet: Text | None = Field(None, examples=["floods after rain"])
    """what rain does to it"""
    company: Literal["overlooked", "out of sight"] | None = Field(None, examples=["overlooked"])
    """whether one is seen from houses or streets"""
    edge: Text | None = Field(None, examples=["open water"])
    """what lies unguarded beside it"""
    steps: bool = Field(default=False, examples=[True])
    """whether the leg has steps"""
    lane_width: Directed[Metres] | None = Field(None, examples=["1.4 m"])
    """the width of a painted lane"""
    parking_width: Directed[Metres] | None = Field(None, examples=["2 m"])
    """the width of the parking beside a painted lane"""
    parking: Directed[bool] | None = Field(
        None, examples=[True, {"outbound": True, "return": False}]
    )
    """whether cars park beside the lane"""
    blocked: Directed[Literal["rare", "frequent"]] | None = Field(None, examples=["frequent"])
    """how often vans or bins stand in the lane"""
    median: bool = Field(default=False, examples=[True])
    """a raised median between the directions"""
    centre_line: bool | None = Field(None, examples=[False])
    """whether the road has a painted centre line"""
    residential: bool = Field(default=False, examples=[True])
    """whether it is a street of homes"""

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

    road: Title = Field(examples=["Dock Road"])
    """the road's name"""
    control: Control = Field(examples=["signals"])
    """what helps one over"""
    movement: Literal["cross", "turn", "roundabout"] = Field("cross", examples=["turn"])
    """whether one goes over, joins or leaves across the traffic, or goes round"""
    ride: bool | None = Field(None, examples=[True])
    """whether one may ride over; by default not on a zebra or at pedestrian signals"""
    busy: bool | None = Field(None, examples=[True])
    """whether it counts as busy; left out, the road's data say so"""
    road_class: (
        Literal["trunk", "primary", "secondary", "tertiary", "unclassified", "residential"] | None
    ) = Field(None, examples=["secondary"])
    """the road's class on the map"""
    vehicles_per_day: Annotated[int, Field(ge=0, le=500_000)] | None = Field(None, examples=[14000])
    """motor vehicles a day, as a count or the road authority says"""
    wait: Seconds | None = Field(None, examples=["75 s"])
    """how long you stood there; it counts instead of the formula"""
    easier: Directed[Text] | None = Field(
        None, examples=["Use the signalled crossing 40 m to the left and push over."]
    )
    """a way over for those who would rather not"""

    @property
    def is_ridden(self) -> bool:
        """Whether one rides over rather than pushes."""
        if self.ride is None:
            return self.control not in ("zebra", "pedestrian signals")
        return self.ride


class Dismount(Conditional):
    """A place where one gets off."""

    why: Text = Field(examples=["no entry"])
    """the reason"""
    metres: Metres = Field(0.0, examples=["15 m"])
    """how far one pushes"""
    must: Must = Field("law", examples=["barrier"])
    """what makes one get off; `advised` and `optional` are counted apart"""
    steps: bool = Field(default=False, examples=[True])
    """whether one carries it up or down steps"""
    without_getting_off: Text | None = Field(
        None, examples=["Use the ramp by the baths (60 m longer)."]
    )
    """a way round for those who cannot push"""


class Hazard(Conditional):
    """Something to look out for, at a point or along a stretch."""

    to: At | None = Field(None, examples=["1.30 km"])
    """where it ends, if it is a stretch"""
    what: Text = Field(examples=["speed humps"])
    """what it is"""
    severity: Literal["minor", "serious"] = Field("minor", examples=["serious"])
    """how bad it is"""


class Landmark(Point):
    """Something by which one knows where one is."""

    what: Text = Field(examples=["Grain silo"])
    """what one sees"""
    side: Literal["left", "right", "ahead", "both sides"] | None = Field(None, examples=["ahead"])
    """on which side, on the way out"""
    story: Text | None = Field(None, examples=["Painted by the town's school in 2011."])
    """something to tell about it"""


class Barrier(Conditional):
    """A gate, chicane or post that a wide or heavy cycle may not pass."""

    what: Text = Field(examples=["chicane gate"])
    """what it is"""
    gap: Metres | None = Field(None, examples=["1.2 m"])
    """the width that one has to get through"""
    turn: Text | None = Field(None, examples=["a tight turn to the left inside it"])
    """the turn that one has to make in it"""
    kerb: Metres | None = Field(None, examples=["0.12 m"])
    """the height of a kerb"""
    lift: bool | None = Field(None, examples=[True])
    """whether the cycle must be lifted"""
    steps: bool = Field(default=False, examples=[True])
    """whether there are steps"""
    way_round: Text | None = Field(None, examples=["Through the gate by the lock."])
    """how a wide or heavy cycle gets past"""


class Steep(Point):
    """A ramp too short for a recorded height to show; up is positive in riding order."""

    metres: Metres = Field(examples=["20 m"])
    """how long it is"""
    gradient: Gradient = Field(examples=["8 %", "-8 %"])
    """how steep; negative if it goes down on the way out"""


class Remark(Point):
    """The hardest bit, or the best."""

    text: Text = Field(examples=["No better way known past the yards."])
    """what makes it so"""


class Sign(Item):
    """A stretch that is signed as something."""

    from_: At = Field(alias="from", examples=["2.40 km"])
    """where the signs begin"""
    to: At = Field(examples=["3.00 km"])
    """where they end"""
    as_: Text = Field(alias="as", examples=["river route"])
    """what the signs say"""


class Spot(Point):
    """Something to pass by, or to wish for."""

    what: Text = Field(examples=["a cut-through to Chapel Green"])
    """what it is"""


class Photo(Point):
    """A picture in the route's photos folder."""

    file: FileName = Field(examples=["lock.jpg"])
    """its name in the folder photos/"""
    alt: Text = Field(examples=["A gravel path beside a lock gate"])
    """what it shows, for people who cannot see it"""
