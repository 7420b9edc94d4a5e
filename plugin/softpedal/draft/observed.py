"""What a ride tells besides its line: stops, pressed buttons, and what was said."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any, Literal

#: What a remark is about. `lit`, `wet`, `walkers` and `company` are fields of a leg.
Sort = Literal[
    "dismount",
    "cue",
    "hazard",
    "surface",
    "busy",
    "banned",
    "crossing",
    "filtered",
    "lit",
    "wet",
    "walkers",
    "company",
    "hours",
]


@dataclass(frozen=True, slots=True)
class Stop:
    """A place where the ride stood, metres along the published line, and for how many seconds."""

    at_m: float
    seconds: float


@dataclass(frozen=True, slots=True)
class Mark:
    """A place marked by a button on the ride, metres along the published line."""

    at_m: float
    name: str


@dataclass(frozen=True, slots=True)
class Suggestion:
    """What a sentence of the commentary suggests; not yet placed on the line.

    Attributes:
        film_s: second of the film at which the sentence begins.
        sentence: as it was said.
        sort: what it is about.
        facts: values that it gives, by the sort: dismount `must`; cue `turn` (left, right,
            straight), only where it is one; hazard `what`; surface `surface`; banned `direction`
            (outbound, return); crossing `control`; filtered `closed_by`; lit, walkers, company
            and wet `value`; hours `when`. Each is left out where the sentence does not say it.
    """

    film_s: float
    sentence: str
    sort: Sort
    facts: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Remark:
    """A suggestion at its place.

    Attributes:
        at_m: chainage along the published line, metres.
        off_m: how far it may be off, metres.
        suggestion: what is suggested.
    """

    at_m: float
    off_m: float
    suggestion: Suggestion


@dataclass(frozen=True, slots=True)
class Observed:
    """All that one ride tells besides its line, in riding order.

    Attributes:
        stops: where it stood.
        marks: where a button was pressed.
        remarks: what was said.
        film: (film second, chainage in metres) of the film's knots, both ascending: between two
            the film runs evenly. Where something was cut out, two knots share the second.
    """

    stops: tuple[Stop, ...] = ()
    marks: tuple[Mark, ...] = ()
    remarks: tuple[Remark, ...] = ()
    film: tuple[tuple[float, float], ...] = ()

    def as_data(self) -> dict[str, Any]:
        """Return it as plain data, for a file of JSON."""
        return asdict(self)

    @staticmethod
    def from_data(data: dict[str, Any]) -> Observed:
        """Return what `as_data` gave.

        Raises:
            KeyError, TypeError, ValueError: the data are of another form.
        """
        return Observed(
            tuple(Stop(**each) for each in data["stops"]),
            tuple(Mark(**each) for each in data["marks"]),
            tuple(
                Remark(each["at_m"], each["off_m"], Suggestion(**each["suggestion"]))
                for each in data["remarks"]
            ),
            tuple((float(second), float(metres)) for second, metres in data["film"]),
        )
