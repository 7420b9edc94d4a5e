"""Where one route leaves the quiet: its stressful legs and crossings, and its author's wishes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from softpedal.library.notes import DIRECTIONS
from softpedal.measure.crossings import BUSY_LEVEL
from softpedal.site.language import tr, trn
from softpedal.site.quantities import small

if TYPE_CHECKING:
    from softpedal.library.notes import Crossing, Direction, Leg
    from softpedal.library.route import Route
    from softpedal.library.track import Floats, Track
    from softpedal.measure.crossings import MetCrossing
    from softpedal.measure.direction import DirectionMeasures
    from softpedal.measure.legs import Stretch
    from softpedal.measure.route_measures import Measures
    from softpedal.measure.stress import Level
    from softpedal.measure.units import Units

Sort = Literal["leg", "crossing"]

_MOVEMENTS = {"turn": "turning across its traffic", "roundabout": "a roundabout"}


@dataclass(frozen=True, eq=False, slots=True)
class GapPlace:
    """A stressful leg or crossing, as one route meets it in one direction.

    Attributes:
        route: id of the route.
        direction: in which it is met.
        sort: leg or crossing.
        name: of the street, or of the road that is crossed.
        what: the kind of a leg, or the control of a crossing, as the notes say it.
        level: its traffic stress.
        why: what the level rests on, in words.
        lat, lon: of the leg's line, or of the crossing, (N,) degrees.
        leg: index of the leg on which it is met, in that direction.
    """

    route: str
    direction: Direction
    sort: Sort
    name: str
    what: str
    level: int
    why: str
    lat: Floats
    lon: Floats
    leg: int


@dataclass(frozen=True, slots=True)
class Wish:
    """What an author wishes for, and where."""

    route: str
    what: str
    at_m: float
    lat: float
    lon: float
    leg: int


@dataclass(frozen=True, slots=True)
class RouteGaps:
    """What one route adds to the library's list."""

    places: tuple[GapPlace, ...] = ()
    wishes: tuple[Wish, ...] = ()


def route_gaps(route: Route, measures: Measures, units: Units) -> RouteGaps:
    """Return a route's legs at level 3 and 4, its crossings at such a level or busy and open.

    Taken is the state of the week that holds most of daytime, in both directions.
    """
    places: list[GapPlace] = []
    for direction in DIRECTIONS:
        measured = measures.of(direction)
        places += _legs(route.id, measured, units)
        places += _crossings(route.id, measured)
    outbound = measures.outbound
    wishes = [
        Wish(
            route.id, w.item.what, w.at_m, *route.along.track.at(w.at_m), _leg_at(outbound, w.at_m)
        )
        for w in route.along.wishes
    ]
    return RouteGaps(tuple(places), tuple(wishes))


def _legs(route_id: str, measured: DirectionMeasures, units: Units) -> list[GapPlace]:
    track, direction = measured.line.track, measured.direction
    return [
        GapPlace(
            route_id,
            direction,
            "leg",
            stretch.leg.street,
            stretch.kind,
            level.level,
            _why_leg(stretch, level, direction, units),
            *_line(track, stretch.from_m, stretch.to_m),
            index,
        )
        for index, (stretch, level) in enumerate(measured.leading.legs)
        if level.level >= BUSY_LEVEL
    ]


def _crossings(route_id: str, measured: DirectionMeasures) -> list[GapPlace]:
    track = measured.line.track
    found = []
    for met in measured.leading.crossings:
        if met.level.level >= BUSY_LEVEL or (met.busy and met.is_open):
            lat, lon = track.at(met.at_m)
            found.append(
                GapPlace(
                    route_id,
                    measured.direction,
                    "crossing",
                    met.crossing.road,
                    met.crossing.control,
                    met.level.level,
                    _why_crossing(met),
                    np.array([lat]),
                    np.array([lon]),
                    _leg_at(measured, met.at_m),
                )
            )
    return found


def _leg_at(measured: DirectionMeasures, at_m: float) -> int:
    """Return the index of the leg that leads to a place."""
    legs = measured.leading.legs
    return next((i for i, (s, _) in enumerate(legs) if s.to_m >= at_m), len(legs) - 1)


def _line(track: Track, from_m: float, to_m: float) -> tuple[Floats, Floats]:
    inside = (track.chainage_m > from_m) & (track.chainage_m < to_m)
    at = np.concatenate(([from_m], track.chainage_m[inside], [to_m]))
    return (
        np.interp(at, track.chainage_m, track.lat),
        np.interp(at, track.chainage_m, track.lon),
    )


def _why_leg(stretch: Stretch, level: Level, direction: Direction, units: Units) -> str:
    if level.raised:
        return level.raised
    if level.assumed:
        return tr("assumed from the kind of street")
    leg: Leg = stretch.leg
    words = _road(leg)
    if leg.lane_width and (width := leg.lane_width.get(direction)):
        words.append(tr("lane {width} wide", width=small(width, units)))
    if leg.parking and leg.parking.get(direction):
        words.append(tr("beside parked cars"))
    if leg.blocked and leg.blocked.get(direction) == "frequent":
        words.append(tr("often blocked"))
    return ", ".join(words)


def _why_crossing(met: MetCrossing) -> str:
    if met.level.raised:
        return met.level.raised
    crossing: Crossing = met.crossing
    words = _road(crossing)
    if crossing.vehicles_per_day is not None:
        count = crossing.vehicles_per_day
        words.append(trn("{count} vehicle a day", "{count} vehicles a day", count))
    if crossing.movement != "cross":
        words.append(tr(_MOVEMENTS[crossing.movement]))
    if met.level.assumed:
        words.append(tr("level assumed, for want of data"))
    return ", ".join(words)


def _road(item: Leg | Crossing) -> list[str]:
    words = [item.speed_limit.text] if item.speed_limit else []
    if item.lanes:
        words.append(trn("{count} lane", "{count} lanes", item.lanes))
    return words
