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

    on: Date = Field(examples=["2026-05-16"])
    """the day of the ride"""
    direction: Literal["outbound", "return", "both"] = Field(examples=["outbound"])
    """which way you rode: only what was ridden counts as confirmed"""
    when: Text | None = Field(None, examples=["weekday morning"])
    """the time of day or week, in your words"""
    moving: Positive | None = Field(None, examples=[19])
    """minutes in motion"""
    standing: Annotated[float, Field(ge=0, lt=1e4)] | None = Field(None, examples=[3])
    """minutes stood, at signals and elsewhere"""


class Direct(Strict):
    """The main-road way, for comparison."""

    km: Positive = Field(examples=[4.6])
    """its length in kilometres"""
    minutes: Positive | None = Field(None, examples=[20])
    """how long it takes to ride"""


class Withdrawn(Strict):
    """Why a route is no longer offered, and what to ride instead."""

    why: Text = Field(examples=["The swing bridge is gone."])
    """the reason, which the page says at its top"""
    instead: RouteId | None = Field(None, examples=["chapel-green-to-weir-mill"])
    """the id of a route to ride instead"""
    on: Date | None = Field(None, examples=["2026-01-20"])
    """since when; told in feed and newsletter"""


class Alert(Strict):
    """Something that holds between two dates."""

    from_: Date = Field(alias="from", examples=["2026-09-01"])
    """its first day"""
    until: Date | None = Field(None, examples=["2026-10-15"])
    """its last day; without it the alert stays until you take it out"""
    text: Text = Field(examples=["Quay wall works; follow the signed diversion."])
    """what riders must know, and what to do"""

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

    link: Link = Field(examples=["https://video.example/w/12"])
    """the film's address"""
    jump: Link | None = Field(None, examples=["https://video.example/w/12?t={seconds}"])
    """its address at a second, with {seconds} where the number goes"""
    chapters: bool = Field(default=False, examples=[True])
    """with `jump`: rows of the timetable link to their second in the film"""

    @model_validator(mode="after")
    def _jump_has_seconds(self) -> Self:
        if self.jump is not None and "{seconds}" not in self.jump:
            raise fault(
                "`jump` has no {seconds} in it.", "Put {seconds} where the second goes.", at="jump"
            )
        return self


class Who(Strict):
    """The author's word on who can ride it."""

    child: Literal["with an adult", "with care", "no"] | None = Field(
        None, examples=["with an adult"]
    )
    """a child who rides a cycle of their own"""
    cargo: Literal["yes", "with care", "no"] | None = Field(None, examples=["with care"])
    """a wide or long cycle: cargo bike, trike, trailer"""


class Change(Strict):
    """Something that has changed on the way."""

    on: MonthOrDate = Field(examples=["2025-04", "2025-04-16"])
    """the month or the day"""
    text: Text = Field(examples=["Sailmaker Row closed to through traffic."])
    """what has changed"""


class Plan(Strict):
    """Something that is planned."""

    text: Text = Field(examples=["The canal trust means to widen the towpath."])
    """what is planned, and who says so"""
    expected: Annotated[int, Field(ge=2000, le=2200)] | Text | None = Field(None, examples=[2027])
    """the year, or when in your words"""


class WayPin(Strict):
    """A way of the map that the line takes at a place, whatever the drawing of it suggests."""

    at: At = Field(examples=["1.20 km"])
    """where along the line"""
    way: Annotated[int, Field(gt=0)] = Field(examples=[100021])
    """its OpenStreetMap id"""


class TrackMark(Strict):
    """The line that the notes were written for."""

    length: Metres = Field(examples=["5000 m"])
    """its length as the notes' positions have it"""
    checksum: Annotated[str, Field(pattern=r"^[0-9a-f]{12}$")] = Field(examples=["0f3ac41b90de"])
    """twelve digits and letters, made from its points: `softpedal check` prints them"""
