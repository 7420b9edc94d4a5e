"""What may be noted about a route as a whole."""

# ruff: noqa: TC001 - these are pydantic models by way of Strict, which ruff does not see
from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from softpedal.library.faults import fault
from softpedal.library.note_values import Positive, Strict
from softpedal.library.values import At, Date, Link, Metres, MonthOrDate, RouteId, Text


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
    on: Date | None = None
    """since when; told in feed and newsletter"""


class Alert(Strict):
    """Something that holds between two dates."""

    from_: Date = Field(alias="from")
    until: Date | None = None
    text: Text

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.until is not None and self.until < self.from_:
            raise fault(
                f"The alert ends ({self.until}) before it begins ({self.from_}).",
                "Put the earlier date under `from`.",
                at="until",
            )
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
            raise fault(
                "`jump` has no {seconds} in it.", "Put {seconds} where the second goes.", at="jump"
            )
        return self


class Who(Strict):
    """The author's word on who can ride it."""

    child: Literal["with an adult", "with care", "no"] | None = None
    cargo: Literal["yes", "with care", "no"] | None = None


class Change(Strict):
    """Something that has changed on the way."""

    on: MonthOrDate
    text: Text


class Plan(Strict):
    """Something that is planned."""

    text: Text
    expected: Annotated[int, Field(ge=2000, le=2200)] | Text | None = None


class WayPin(Strict):
    """A way of the map that the line takes at a place, whatever the drawing of it suggests."""

    at: At
    way: Annotated[int, Field(gt=0)]
    """its OpenStreetMap id"""


class TrackMark(Strict):
    """The line that the notes were written for."""

    length: Metres
    checksum: Annotated[str, Field(pattern=r"^[0-9a-f]{12}$")]
