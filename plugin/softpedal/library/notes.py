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


class Variant(Strict):
    """Another line for one stretch."""

    file: FileName
    leave: At
    rejoin: At
    why: Text
    legs: Annotated[list[Leg], Field(min_length=1)]
    crossings: list[Crossing] = []
    dismounts: list[Dismount] = []


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

    title: Title
    area: Annotated[list[Title], Field(min_length=1), OneOrSeveral()]
    start: Title
    finish: Title
    summary: Text
    status: Literal["draft", "published", "withdrawn"]
    withdrawn: Withdrawn | None = None
    ridden: list[Ride] = []
    direct: Direct | None = None
    track: TrackMark | None = None
    via_way: list[WayPin] = []
    """for drafting: ways of the map that the line does take"""
    not_way: list[Annotated[int, Field(gt=0)]] = []
    """for drafting: OpenStreetMap ids of ways that the line does not take"""
    alerts: list[Alert] = []
    closed: Annotated[list[Hours], OneOrSeveral()] = []
    video: Video | None = None
    who: Who | None = None
    avoids: Annotated[list[Text], OneOrSeveral()] = []
    changed: list[Change] = []
    photos: list[Photo] = []
    was: Annotated[list[RouteId], OneOrSeveral()] = []
    planned: list[Plan] = []
    thanks: Text | None = None
    variants: list[Variant] = []
    next: Annotated[list[RouteId], OneOrSeveral()] = []
    return_: Annotated[LineNotes, AfterValidator(_cues_of_its_own)] | None = Field(
        None, alias="return"
    )

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
