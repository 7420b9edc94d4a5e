"""What a ride tells besides its line, merged into what was drafted along it."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from softpedal.draft import heard_points
from softpedal.draft.drafted_line import DraftedLine
from softpedal.draft.heard_legs import HeardOfLegs
from softpedal.draft.pressed import put_marks
from softpedal.draft.stood import put_stops, stops_left
from softpedal.library.film_time import film_text

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from softpedal.draft.observed import Observed, Remark, Sort
    from softpedal.draft.written import Item

#: A position of the notes is a whole metre, and may so lie beyond the last knot.
ROUNDING_M = 1.0
#: These come first: the turns say where legs begin, and what is busy is not quiet.
_FIRST: tuple[Sort, ...] = ("cue", "busy")


def with_observed(
    items: Mapping[str, Sequence[Item]], observed: Observed, length_m: float, *, has_map: bool
) -> dict[str, list[Item]]:
    """Return drafted items with what was observed on the ride.

    Each sentence is kept as evidence with its second of the film. What only a remark tells has
    `source: said`, and is to be checked or a guess, never sure. What a remark agrees with stays as
    sure as it is; what it disagrees with is to be checked.

    Args:
        items: the lists of a line as drafted; they are not changed.
        observed: what the ride tells, by chainage along the same line.
        length_m: of the line.
        has_map: whether the legs are those of a map, or only where the ride went.

    Returns:
        The lists that are not empty, each in riding order.
    """
    line = DraftedLine(items, length_m)
    legs = HeardOfLegs(line, has_map=has_map)
    hazards = {r.suggestion.film_s for r in observed.remarks if r.suggestion.sort == "hazard"}
    for remark in sorted(observed.remarks, key=_rank):
        said = remark.suggestion
        if said.sort == "cue" and "turn" not in said.facts and said.film_s in hazards:
            continue  # what to look out for is told once
        _hear(line, legs, remark)
    put_stops(line, observed.stops)
    put_marks(line, observed.marks)
    for leg in line.all("legs"):
        second = second_at(observed.film, line.at_m(leg))
        if second is not None:
            leg["film"] = film_text(second)
    return line.items()


def leftovers(items: Mapping[str, Sequence[Item]], observed: Observed) -> list[str]:
    """Return in words what was observed and is nowhere in the notes.

    Args:
        items: what `with_observed` returned.
        observed: what the ride tells.
    """
    return stops_left(items, observed.stops)


def second_at(knots: Sequence[tuple[float, float]], at_m: float) -> float | None:
    """Return the second of the film at a chainage, None where the film does not show it.

    Args:
        knots: (second, chainage in metres), both ascending; what lies between two of one second
            was cut out.
        at_m: chainage, metres. Where the ride stood, the second at which it came there.
    """
    for end_m in (knots[0][1], knots[-1][1]) if knots else ():
        at_m = end_m if abs(at_m - end_m) < ROUNDING_M else at_m
    for (second, here_m), (later, there_m) in pairwise(knots):
        if not here_m <= at_m <= there_m:
            continue
        if later > second:
            share = (at_m - here_m) / (there_m - here_m) if there_m > here_m else 0.0
            return second + share * (later - second)
        if at_m in (here_m, there_m):
            return second
    return None


def _rank(remark: Remark) -> tuple[int, float, float]:
    sort = remark.suggestion.sort
    first = _FIRST.index(sort) if sort in _FIRST else len(_FIRST)
    return first, remark.at_m, remark.suggestion.film_s


def _hear(line: DraftedLine, legs: HeardOfLegs, remark: Remark) -> None:
    on_line: dict[Sort, Callable[[DraftedLine, Remark], None]] = {
        "dismount": heard_points.dismount,
        "banned": heard_points.banned,
        "crossing": heard_points.crossing,
        "hazard": heard_points.hazard,
        "hours": heard_points.hours,
    }
    on_legs: dict[Sort, Callable[[Remark], None]] = {
        "cue": legs.cue,
        "busy": legs.busy,
        "filtered": legs.filtered,
        "surface": legs.surface,
        "lit": legs.field,
        "wet": legs.field,
        "walkers": legs.field,
        "company": legs.field,
    }
    sort = remark.suggestion.sort
    if sort in on_line:
        on_line[sort](line, remark)
    else:
        on_legs[sort](remark)
