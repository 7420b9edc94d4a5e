"""The line in a reader's report that says what it is about, made to be found again by a program.

`[softpedal ferry-steps-to-chapel-green outbound 1240 m 50.01234,-20.04567 2026-05-16]`: the route,
the direction and the chainage along it, the place, and the day on which the page said that the
route was last ridden. A report on a whole page has neither chainage nor place.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

from softpedal.library.values import ROUTE_ID

if TYPE_CHECKING:
    from softpedal.library.note_values import Direction

#: What stands between two words after a mail program has wrapped and quoted the line, at most.
_GAP = r"[\s>|]{1,40}"
_MINUS = "[-\u2010-\u2015\u2212]"
_NUMBER = rf"{_MINUS}?\d{{1,3}}\.\d{{1,7}}"
REFERENCE = re.compile(
    rf"\\?\[softpedal{_GAP}(?P<route>{ROUTE_ID.pattern})"
    rf"(?:{_GAP}(?P<direction>outbound|return))?"
    rf"(?:{_GAP}(?P<metres>\d{{1,7}}){_GAP}m{_GAP}(?P<lat>{_NUMBER}),(?P<lon>{_NUMBER}))?"
    rf"(?:{_GAP}(?P<page>\d{{4}}{_MINUS}\d\d{_MINUS}\d\d))?\\?\]",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Reference:
    """What a report is about.

    Attributes:
        route: id of the route, as it was then.
        direction: in which it was looked at.
        metres: chainage in that direction, None for the route as a whole.
        place: latitude and longitude there, degrees.
        page: the date on the page, ISO, "" where it had none.
    """

    route: str
    direction: Direction = "outbound"
    metres: int | None = None
    place: tuple[float, float] | None = None
    page: str = ""

    def __str__(self) -> str:
        words = [self.route, self.direction]
        if self.metres is not None and self.place is not None:
            lat, lon = self.place
            words += [f"{self.metres} m", f"{lat:.5f},{lon:.5f}"]
        return f"[softpedal {' '.join([*words, *([self.page] if self.page else [])])}]"


def find_reference(text: str) -> Reference | None:
    """Return the first reference in a text, also one that was quoted or wrapped, or None."""
    match = REFERENCE.search(text)
    if match is None:
        return None
    place = metres = None
    if match["metres"]:
        metres = int(match["metres"])
        place = (_degrees(match["lat"]), _degrees(match["lon"]))
    return Reference(
        match["route"].lower(),
        cast("Direction", (match["direction"] or "outbound").lower()),
        metres,
        place,
        re.sub(_MINUS, "-", match["page"] or ""),
    )


def _degrees(text: str) -> float:
    return float(re.sub(_MINUS, "-", text))
