"""What a strip says to somebody who cannot see it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.site.language import tr
from softpedal.site.quantities import coarse

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.measure.units import Units
    from softpedal.site.strip import StripLeg, StripMark

#: How a crossing's control is put after "crossing".
CONTROL_WORDS = {
    "cycle signals": "with cycle signals",
    "toucan": "by a toucan",
    "signals": "with signals",
    "pedestrian signals": "with pedestrian signals",
    "parallel": "by a parallel crossing",
    "zebra": "by a zebra",
    "refuge": "with a refuge",
    "roundabout": "at a roundabout",
    "none": "without signals",
    "bridge": "by a bridge",
    "underpass": "by an underpass",
}


def strip_text(
    length_m: float,
    legs: Sequence[StripLeg],
    marks: Sequence[StripMark] = (),
    worst: tuple[float, float, int] | None = None,
    units: Units = "metric",
) -> str:
    """Return the text alternative: the whole, then legs and marks in riding order.

    Neighbouring legs of one kind are told as one. Hazards and landmarks stand in the page's own
    lists and are left out here.
    """
    told: list[tuple[float, int, str]] = []
    for start, end, kind in _merged(legs):
        told.append((start, 1, f"{coarse(end - start, units)} {tr(kind)}"))
    told += [(mark.at_m, 0, _mark_words(mark)) for mark in marks if _mark_words(mark)]
    told.sort(key=lambda item: item[:2])
    text = f"{coarse(length_m, units)}: " + ", ".join(words for _, _, words in told)
    if worst is not None:
        start, end, level = worst
        ends = {"start": coarse(start, units), "end": coarse(end, units)}
        stretch = "; hardest from {start} to {end}, level {level}"
        point = "; hardest at {start}, level {level}"
        text += tr(stretch if end > start else point, **ends, level=level)
    return text + "."


def _merged(legs: Sequence[StripLeg]) -> list[tuple[float, float, str]]:
    merged: list[tuple[float, float, str]] = []
    for leg in legs:
        if merged and merged[-1][2] == leg.kind and merged[-1][1] == leg.from_m:
            merged[-1] = (merged[-1][0], leg.to_m, leg.kind)
        else:
            merged.append((leg.from_m, leg.to_m, leg.kind))
    return merged


def _mark_words(mark: StripMark) -> str:
    if mark.sort == "dismount":
        return tr("dismount")
    if mark.sort in {"crossing", "busy crossing"}:
        how = tr(CONTROL_WORDS[mark.control]) if mark.control in CONTROL_WORDS else mark.control
        return f"{tr(mark.sort)} {how}".rstrip()
    return ""
