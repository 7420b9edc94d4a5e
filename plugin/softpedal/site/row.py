"""One line of the table of legs and cues."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from markupsafe import Markup, escape

if TYPE_CHECKING:
    from softpedal.library.notes import Item
    from softpedal.site.film import OnFilm
    from softpedal.site.report_link import ReportTo


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table.

    Attributes:
        at_m: chainage in metres.
        at: chainage in words.
        sort: leg, crossing, busy crossing, dismount, hazard, barrier, landmark or sign.
        leg: index of the leg, or None.
        title: what it is.
        cue: what to do, or "".
        kind: what kind of street or control it is.
        level: its traffic stress in words, or "".
        details: further remarks.
        swatch: a piece of the leg's look.
        long: how long a leg is, in words.
        control: of a crossing.
        word: a short word for the map.
        film: where it is on film, or None.
        report: where a reader reports that it has changed, or None.
        to_m: chainage at which a stretch ends, None of a point.
        item: what of the notes it tells.
    """

    at_m: float
    at: str
    sort: str
    title: Markup
    leg: int | None = None
    cue: Markup = field(default_factory=Markup)
    kind: str = ""
    level: str = ""
    details: tuple[Markup, ...] = ()
    swatch: Markup = field(default_factory=Markup)
    long: str = ""
    control: str = ""
    word: str = ""
    film: OnFilm | None = None
    report: ReportTo | None = None
    to_m: float | None = None
    item: Item | None = field(default=None, compare=False, repr=False)

    @property
    def place(self) -> str:
        """Where it is, for the page's script: whole metres, of a stretch both ends."""
        ends = (self.at_m, self.at_m if self.to_m is None else self.to_m)
        return " ".join(dict.fromkeys(f"{metres:.0f}" for metres in ends))

    @property
    def plain(self) -> str:
        """The row in one line of plain text, as a marker on the map says it."""
        parts = [self.title, self.cue, escape(self.kind), escape(self.level), *self.details]
        return (
            f"{self.at}: " + ". ".join(part.striptags().rstrip(".") for part in parts if part) + "."
        )


def met_before(row: Row) -> tuple[float, int]:
    """Sort rows: what stands where a leg begins is met before it, except at the very start."""
    is_leg = row.sort == "leg"
    return row.at_m, (0 if is_leg else 1) if row.at_m <= 0 else (1 if is_leg else 0)
