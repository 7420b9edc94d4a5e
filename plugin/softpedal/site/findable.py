"""What a reader can find a route by, worked out once for each route; small, and picklable."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.measure.difficulty import is_step_free
from softpedal.measure.quietness import whole_percent
from softpedal.measure.week import WEEK, joined
from softpedal.site.overview_line import SCALE, Parts, overview_line

if TYPE_CHECKING:
    from softpedal.library.route import Route
    from softpedal.measure.direction import DirectionMeasures
    from softpedal.measure.route_measures import Measures
    from softpedal.measure.week import Span

#: What holds or does not; the names stand in the address of a filtered list.
FLAGS = ("signals", "riding", "stepfree", "lit")

#: How far an author's word on who can ride it goes: 1 is without reserve.
CHILD = {"with an adult": 1, "with care": 2}
CARGO = {"yes": 1, "with care": 2}


@dataclass(frozen=True, slots=True)
class Landmark:
    """Something to ride by, and where it is, in integers of the overview."""

    what: str
    lat: int
    lon: int


@dataclass(frozen=True, slots=True)
class Findable:
    """What the filters of the page of all routes look at: the way out, in its leading state.

    Attributes:
        percent: the quiet share in whole per cent, rounded down; 0 where the way is shut.
        length_m: metres.
        flags: those of `FLAGS` that hold.
        child, cargo: the author's word, 1 without reserve, 2 with care, 0 no or not said.
        open: the spans of the week in which it can be ridden, None if that is always.
        start, finish: names of the ends.
        streets: each once.
        landmarks: along the way.
        line: for the map of all routes.
    """

    percent: int
    length_m: float
    flags: frozenset[str]
    child: int
    cargo: int
    open: tuple[Span, ...] | None
    start: str
    finish: str
    streets: tuple[str, ...]
    landmarks: tuple[Landmark, ...]
    line: Parts


def findable(route: Route, measures: Measures) -> Findable:
    """Return what a route is found by."""
    out, notes, track = measures.outbound, route.notes, route.along.track
    figures = out.leading.figures
    landmarks = []
    for placed in route.along.landmarks:
        lat, lon = track.at(placed.at_m)
        landmarks.append(Landmark(placed.item.what, round(lat * SCALE), round(lon * SCALE)))
    return Findable(
        whole_percent(figures.quietness) if figures else 0,
        out.length_m,
        _flags(out),
        CHILD.get(notes.who.child or "", 0) if notes.who else 0,
        CARGO.get(notes.who.cargo or "", 0) if notes.who else 0,
        _open(out),
        notes.start,
        notes.finish,
        tuple(dict.fromkeys(placed.item.street for placed in route.along.legs)),
        tuple(landmarks),
        overview_line(track),
    )


def _flags(out: DirectionMeasures) -> frozenset[str]:
    figures = out.leading.figures
    if figures is None:
        return frozenset()
    legs = [stretch.leg for stretch, _ in out.leading.legs]
    holds = {
        "signals": figures.busy_uncontrolled == 0,
        "riding": figures.dismounts == 0,
        "stepfree": is_step_free(out),
        "lit": all(leg.lit == "yes" for leg in legs),
    }
    return frozenset(name for name in FLAGS if holds[name])


def _open(out: DirectionMeasures) -> tuple[Span, ...] | None:
    spans = joined(span for state in out.states if state.passable for span in state.spans)
    return None if spans == ((0, WEEK),) else spans
