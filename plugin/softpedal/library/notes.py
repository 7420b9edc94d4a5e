"""What an author may write in notes.yml as a whole; every name of the format is found here."""

# ruff: noqa: RUF012, TC001 - these are pydantic models by way of Strict, which ruff does not see
from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import AfterValidator, Field, model_validator

from softpedal.library.faults import fault
from softpedal.library.note_facts import (
    Alert,
    Change,
    Direct,
    Plan,
    Ride,
    TrackMark,
    Video,
    WayPin,
    Who,
    Withdrawn,
)
from softpedal.library.note_items import (
    Barrier,
    Conditional,
    Crossing,
    Dismount,
    Hazard,
    Item,
    Landmark,
    Leg,
    Photo,
    Point,
    Remark,
    Sign,
    Spot,
    Steep,
)
from softpedal.library.note_values import (
    DIRECTIONS,
    KINDS,
    OTHERWISE,
    Control,
    Directed,
    Direction,
    Kind,
    Must,
    OneOrSeveral,
    Source,
    Strict,
    Surface,
)
from softpedal.library.values import At, FileName, Hours, RouteId, Text, Title

__all__ = [
    "DIRECTIONS",
    "KINDS",
    "OTHERWISE",
    "Alert",
    "Barrier",
    "Change",
    "Conditional",
    "Control",
    "Crossing",
    "Direct",
    "Directed",
    "Direction",
    "Dismount",
    "Hazard",
    "Item",
    "Kind",
    "Landmark",
    "Leg",
    "LineNotes",
    "Must",
    "Notes",
    "Photo",
    "Plan",
    "Point",
    "Remark",
    "Ride",
    "Sign",
    "Source",
    "Spot",
    "Steep",
    "Surface",
    "TrackMark",
    "Variant",
    "Video",
    "WayPin",
    "Who",
    "Withdrawn",
]


class LineNotes(Strict):
    """What is noted along one line: the outbound one, or a way back of its own."""

    legs: Annotated[list[Leg], Field(min_length=1)]
    """the streets in riding order; each leg runs to the next one's `from`"""
    crossings: list[Crossing] = []
    """each main road that is crossed, joined or left"""
    dismounts: list[Dismount] = []
    """each place where one gets off"""
    hazards: list[Hazard] = []
    """what to look out for, at a point or along a stretch"""
    landmarks: list[Landmark] = []
    """how one knows where one is"""
    barriers: list[Barrier] = []
    """gates, chicanes and posts"""
    steep: list[Steep] = []
    """ramps too short for a recorded height to show"""
    signed: list[Sign] = []
    """stretches that are signed as something"""
    skip: list[Spot] = []
    """what to pass by, though it looks like the way"""
    wishes: list[Spot] = []
    """what you wish were there; listed with what breaks the quiet network"""
    hardest: Remark | None = None
    """the hardest bit, in your words"""
    best: Remark | None = None
    """the best bit, in your words"""


class Variant(Strict):
    """Another line for one stretch."""

    file: FileName = Field(examples=["variant-quay.gpx"])
    """the name of its track, beside track.gpx"""
    leave: At = Field(examples=["2.10 km"])
    """where it leaves the route"""
    rejoin: At = Field(examples=["2.90 km"])
    """where it comes back"""
    why: Text = Field(examples=["Level and lit, but shared with people walking."])
    """why one would take it"""
    legs: Annotated[list[Leg], Field(min_length=1)]
    """its legs, along its own track"""
    crossings: list[Crossing] = []
    """its crossings, along its own track"""
    dismounts: list[Dismount] = []
    """its dismounts, along its own track"""


def _cues_of_its_own(line: LineNotes) -> LineNotes:
    """A plain cue in the way back's own list is the way back's."""
    legs = [
        leg
        if leg.cue is None or leg.cue.return_ is not None
        else leg.model_copy(
            update={"cue": leg.cue.model_copy(update={"return_": leg.cue.outbound})}
        )
        for leg in line.legs
    ]
    return line.model_copy(update={"legs": legs})


class Notes(LineNotes):
    """notes.yml as a whole."""

    title: Title = Field(examples=["Ferry Steps to Chapel Green"])
    """the route's name"""
    area: Annotated[list[Title], Field(min_length=1), OneOrSeveral()] = Field(
        examples=["Chapel Side", ["Old Harbour", "Chapel Side"]]
    )
    """where it is, one name or several; readers browse by it"""
    start: Title = Field(examples=["Ferry Steps"])
    """where it begins, as people know the place"""
    finish: Title = Field(examples=["Chapel Green"])
    """where it ends"""
    summary: Text = Field(
        examples=["A level way from the ferry to the college that keeps off Dock Road."]
    )
    """one or two sentences that say what it is and for whom"""
    status: Literal["draft", "published", "withdrawn"] = Field(examples=["published"])
    """a draft is seen under `mkdocs serve` only; a withdrawn route keeps its page and says why"""
    withdrawn: Withdrawn | None = None
    """with `status: withdrawn`: why the route is no longer offered, and what to ride instead"""
    ridden: list[Ride] = []
    """your rides of it; a published route has at least one"""
    direct: Direct | None = None
    """the main-road way between the same ends, for comparison"""
    track: TrackMark | None = None
    """the line that the notes were written for, so that a changed track is told"""
    via_way: list[WayPin] = []
    """for drafting: ways of the map that the line does take"""
    not_way: list[Annotated[int, Field(gt=0)]] = Field([], examples=[[100034]])
    """for drafting: OpenStreetMap ids of ways that the line does not take"""
    alerts: list[Alert] = []
    """what holds between two dates: works, closures"""
    closed: Annotated[list[Hours], OneOrSeveral()] = Field([], examples=["21:00-06:00"])
    """hours at which the whole way is shut, as by a locked gate"""
    video: Video | None = None
    """the route's film"""
    who: Who | None = None
    """who can ride it, in your judgement"""
    avoids: Annotated[list[Text], OneOrSeveral()] = Field([], examples=["Dock gyratory"])
    """what it keeps away from"""
    changed: list[Change] = []
    """what has changed on the way"""
    photos: list[Photo] = []
    """pictures in the folder photos/"""
    was: Annotated[list[RouteId], OneOrSeveral()] = Field([], examples=["ferry-steps-to-chapel"])
    """old ids of the route; their addresses lead here"""
    planned: list[Plan] = []
    """what is planned on the way"""
    thanks: Text | None = Field(None, examples=["A reader found the ramp by the lock."])
    """whom or what you owe the route to"""
    variants: list[Variant] = []
    """other lines for a stretch, measured as if taken"""
    next: Annotated[list[RouteId], OneOrSeveral()] = Field(
        [], examples=["chapel-green-to-weir-mill"]
    )
    """routes that carry on from its end"""
    return_: Annotated[LineNotes, AfterValidator(_cues_of_its_own)] | None = Field(
        None, alias="return"
    )
    """what is noted along return.gpx, the way back where it is another line"""

    @model_validator(mode="after")
    def _status_is_backed(self) -> Self:
        if self.status == "published" and not self.ridden:
            raise fault(
                "The route is published but says no ride.",
                "Add `ridden:` with the date and direction, or keep `status: draft`.",
                "notes-missing",
                at="status",
            )
        if (self.status == "withdrawn") != (self.withdrawn is not None):
            raise fault(
                "`status: withdrawn` and `withdrawn:` go together.",
                "Say `withdrawn: {why: …}` with `status: withdrawn`, and only then.",
                "notes-missing",
                at="status",
            )
        return self
