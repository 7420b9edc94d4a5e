"""What an author may write in notes.yml: the models, and the names of the kinds."""

from __future__ import annotations

from typing import Annotated, Any, Generic, Literal, Self, TypeVar, get_args

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetJsonSchemaHandler,
    model_validator,
)

from softpedal.library.values import (
    At,
    Date,
    FileName,
    Film,
    Gradient,
    Hours,
    Link,
    Metres,
    MonthOrDate,
    RouteId,
    Seconds,
    Speed,
    Text,
    Title,
    check_hours,
    fault,
)

Direction = Literal["outbound", "return"]
DIRECTIONS: tuple[Direction, Direction] = ("outbound", "return")

Kind = Literal[
    "protected track",
    "traffic-free path",
    "filtered street",
    "back street",
    "shared pavement",
    "painted lane",
    "bus lane",
    "mixed street",
    "busy road",
    "on foot",
]
KINDS: tuple[Kind, ...] = get_args(Kind)

Control = Literal[
    "cycle signals",
    "toucan",
    "signals",
    "pedestrian signals",
    "parallel",
    "zebra",
    "refuge",
    "roundabout",
    "none",
    "bridge",
    "underpass",
]
Source = Literal["ridden", "map", "reported"]
Surface = Literal["smooth", "fair", "rough", "loose", "cobbles"]
Must = Literal["law", "barrier", "advised", "optional"]

OTHERWISE = "otherwise"

T = TypeVar("T")


class Strict(BaseModel):
    """Unknown keys are errors, nothing is coerced, nothing changes afterwards."""

    model_config = ConfigDict(
        extra="forbid", strict=True, frozen=True, allow_inf_nan=False, use_attribute_docstrings=True
    )


class Directed(Strict, Generic[T]):
    """A value that may differ by direction; a plain value holds for both."""

    outbound: T | None = None
    return_: T | None = Field(None, alias="return")

    @model_validator(mode="before")
    @classmethod
    def _from_plain(cls, value: Any) -> Any:
        if isinstance(value, dict | cls):
            return value
        return {"outbound": value, "return": value}

    def get(self, direction: Direction) -> T | None:
        """Return the value for a direction, None where nothing is said."""
        return self.outbound if direction == "outbound" else self.return_

    @classmethod
    def __get_pydantic_json_schema__(cls, core: Any, handler: GetJsonSchemaHandler) -> Any:
        """Either the plain value or the mapping."""
        mapping = handler.resolve_ref_schema(handler(core))
        plain = {k: v for k, v in mapping["properties"]["outbound"].items() if k != "default"}
        return {"anyOf": [plain, mapping]}


def _both_directions(value: Directed[Kind]) -> Directed[Kind]:
    for direction in DIRECTIONS:
        if value.get(direction) is None:
            raise fault(
                f"The kind for the direction `{direction}` is missing.",
                "Write `{outbound: …, return: …}`, or one kind for both.",
                "notes-missing",
            )
    return value


def _outbound_only(value: Any) -> Any:
    """A plain cue is the outbound one: cues are never turned round."""
    return {"outbound": value} if isinstance(value, str) else value


def _as_list(value: Any) -> Any:
    return [value] if isinstance(value, str) else value


def _hours_kinds(value: dict[str, Directed[Kind]]) -> dict[str, Directed[Kind]]:
    if OTHERWISE not in value:
        raise fault(
            "`hours` says no kind for all other times.",
            "Add `otherwise:` and the kind.",
            "notes-missing",
        )
    for expression in value:
        if expression != OTHERWISE:
            check_hours(expression)
    return value


KindByDirection = Annotated[Directed[Kind], AfterValidator(_both_directions)]
KindByHours = Annotated[dict[str, KindByDirection], AfterValidator(_hours_kinds)]
Cue = Annotated[Directed[Text], BeforeValidator(_outbound_only)]
Positive = Annotated[float, Field(gt=0, lt=1e6)]
Count = Annotated[int, Field(ge=1, le=12)]


class Item(Strict):
    """What every leg and point may carry."""

    source: Directed[Source] = Directed[Source].model_validate("ridden")
    """ridden (seen by the author), map (drafted, not yet confirmed) or reported"""
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
                "`level` is raised without a reason.", "Add `why:` and the reason.", "notes-missing"
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


class LineNotes(Strict):
    """What is noted along one line: the outbound one, or a way back of its own."""

    legs: Annotated[list[Leg], Field(min_length=1)]
    crossings: list[Crossing] = []
    dismounts: list[Dismount] = []
    hazards: list[Hazard] = []
    landmarks: list[Landmark] = []
    barriers: list[Barrier] = []
    steep: list[Steep] = []
    signed: list[Sign] = []
    skip: list[Spot] = []
    wishes: list[Spot] = []
    hardest: Remark | None = None
    best: Remark | None = None


class Ride(Strict):
    """One ride of the route; moving and standing are minutes."""

    on: Date
    direction: Literal["outbound", "return", "both"]
    when: Text | None = None
    moving: Positive | None = None
    standing: Annotated[float, Field(ge=0, lt=1e4)] | None = None


class Direct(Strict):
    """The main-road way, for comparison."""

    km: Positive
    minutes: Positive | None = None


class Withdrawn(Strict):
    """Why a route is no longer offered, and what to ride instead."""

    why: Text
    instead: RouteId | None = None


class Alert(Strict):
    """Something that holds between two dates."""

    from_: Date = Field(alias="from")
    until: Date | None = None
    text: Text

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.until is not None and self.until < self.from_:
            raise fault(f"The alert ends ({self.until}) before it begins ({self.from_}).")
        return self


class Video(Strict):
    """The talk-through film."""

    link: Link
    jump: Link | None = None
    """address with {seconds} in it"""
    chapters: bool = False

    @model_validator(mode="after")
    def _jump_has_seconds(self) -> Self:
        if self.jump is not None and "{seconds}" not in self.jump:
            raise fault("`jump` has no {seconds} in it.", "Put {seconds} where the second goes.")
        return self


class Who(Strict):
    """The author's word on who can ride it."""

    child: Literal["with an adult", "with care", "no"] | None = None
    cargo: Literal["yes", "with care", "no"] | None = None


class Change(Strict):
    """Something that has changed on the way."""

    on: MonthOrDate
    text: Text


class Photo(Point):
    """A picture in the route's photos folder."""

    file: FileName
    alt: Text


class Plan(Strict):
    """Something that is planned."""

    text: Text
    expected: Annotated[int, Field(ge=2000, le=2200)] | Text | None = None


class Variant(Strict):
    """Another line for one stretch."""

    file: FileName
    leave: At
    rejoin: At
    why: Text
    legs: Annotated[list[Leg], Field(min_length=1)]
    crossings: list[Crossing] = []
    dismounts: list[Dismount] = []


class TrackMark(Strict):
    """The line that the notes were written for."""

    length: Metres
    checksum: Annotated[str, Field(pattern=r"^[0-9a-f]{12}$")]


class Notes(LineNotes):
    """notes.yml as a whole."""

    title: Title
    area: Annotated[list[Title], BeforeValidator(_as_list), Field(min_length=1)]
    start: Title
    finish: Title
    summary: Text
    status: Literal["draft", "published", "withdrawn"]
    withdrawn: Withdrawn | None = None
    ridden: list[Ride] = []
    direct: Direct | None = None
    track: TrackMark | None = None
    alerts: list[Alert] = []
    closed: Annotated[list[Hours], BeforeValidator(_as_list)] = []
    video: Video | None = None
    who: Who | None = None
    avoids: Annotated[list[Text], BeforeValidator(_as_list)] = []
    changed: list[Change] = []
    photos: list[Photo] = []
    was: Annotated[list[RouteId], BeforeValidator(_as_list)] = []
    planned: list[Plan] = []
    thanks: Text | None = None
    variants: list[Variant] = []
    next: Annotated[list[RouteId], BeforeValidator(_as_list)] = []
    return_: LineNotes | None = Field(None, alias="return")

    @model_validator(mode="after")
    def _status_is_backed(self) -> Self:
        if self.status == "published" and not self.ridden:
            raise fault(
                "The route is published but says no ride.",
                "Add `ridden:` with the date and direction, or keep `status: draft`.",
                "notes-missing",
            )
        if (self.status == "withdrawn") != (self.withdrawn is not None):
            raise fault(
                "`status: withdrawn` and `withdrawn:` go together.",
                "Say `withdrawn: {why: …}` with `status: withdrawn`, and only then.",
                "notes-missing",
            )
        return self
