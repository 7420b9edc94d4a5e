"""Everything measured in one direction, for each state of the week."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from softpedal.measure.crossings import MetCrossing, MetDismount, met_crossings, met_dismounts
from softpedal.measure.directness import detour_factor, direct_ratio
from softpedal.measure.height import (
    Climb,
    Profile,
    Steepest,
    profile,
    rises_and_falls,
    steepest,
    up_and_down,
)
from softpedal.measure.legs import Stretch, pushed_runs, stretches
from softpedal.measure.quietness import metres_by_kind, quietness
from softpedal.measure.riding_time import moving_s
from softpedal.measure.stress import AMONG_TRAFFIC_LEVEL, DEFAULT_LEVEL, Level, leg_level
from softpedal.measure.week import (
    WeekState,
    conditions,
    daytime_minutes,
    joined,
    week_states,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from softpedal.library.notes import Direction, Item, Kind, Source
    from softpedal.library.route import Line, Route
    from softpedal.measure.week import Span
    from softpedal.settings import Settings


@dataclass(frozen=True, slots=True)
class Figures:
    """What is counted in one state; equal figures make one state.

    Attributes:
        quietness: share of the distance that is quiet, 0 to 1.
        metres_by_kind: metres on each kind.
        busy: busy-road crossings.
        busy_uncontrolled: those of them with neither signals nor zebra.
        crossings: all crossings.
        dismounts: times that one must get off.
        dismounts_advised: times that one may.
        pushed_m: metres pushed.
        ride_s: seconds with waits and pushing.
        wait_s: seconds of waiting in it.
        waits_unknown: crossings whose wait is not known and counted as nothing.
        level: the route's traffic stress, 1 to 4.
    """

    quietness: float
    metres_by_kind: dict[Kind, float]
    busy: int
    busy_uncontrolled: int
    crossings: int
    dismounts: int
    dismounts_advised: int
    pushed_m: float
    ride_s: float
    wait_s: float
    waits_unknown: int
    level: int


@dataclass(frozen=True, slots=True)
class StateMeasures:
    """One state of the week in one direction.

    Attributes:
        spans: when it holds, in minutes of the week.
        open: the conditions that are open then.
        passable: whether the way can be ridden at all; if not, `figures` is None.
        figures: what is counted.
        legs: the legs as met, with the level of each.
        crossings: the crossings that are there.
        dismounts: the dismounts outside pushed stretches.
        pushed: the pushed stretches.
    """

    spans: tuple[Span, ...]
    open: frozenset[str]
    passable: bool
    figures: Figures | None
    legs: tuple[tuple[Stretch, Level], ...]
    crossings: tuple[MetCrossing, ...]
    dismounts: tuple[MetDismount, ...]
    pushed: tuple[tuple[float, float], ...]

    @property
    def worst_leg(self) -> tuple[Stretch, Level] | None:
        """Of the legs at the highest level, the worst kind, and of those the longest."""
        return max(
            self.legs,
            key=lambda leg: (leg[1].level, DEFAULT_LEVEL[leg[0].kind], leg[0].length_m),
            default=None,
        )

    @property
    def worst_crossing(self) -> MetCrossing | None:
        """Of the crossings at the highest level, a busy one without signals, else the first."""
        return max(
            self.crossings,
            key=lambda c: (c.level.level, c.busy and c.is_open, c.busy, -c.at_m),
            default=None,
        )

    @property
    def worst_is_crossing(self) -> bool:
        """Whether the worst crossing is the hardest bit, rather than the worst leg.

        At equal levels it is if it is a busy one without signals or zebra, and the leg is not
        itself among traffic.
        """
        leg, crossing = self.worst_leg, self.worst_crossing
        if leg is None or crossing is None:
            return leg is None
        if crossing.level.level != leg[1].level:
            return crossing.level.level > leg[1].level
        among = DEFAULT_LEVEL[leg[0].kind] >= AMONG_TRAFFIC_LEVEL
        return crossing.busy and crossing.is_open and not among


@dataclass(frozen=True, slots=True)
class Heights:
    """Climbing in one direction, metres."""

    ascent_m: float
    descent_m: float
    climbs: tuple[Climb, ...]


@dataclass(frozen=True, eq=False, slots=True)
class DirectionMeasures:
    """Everything measured in one direction; the state that the page leads with comes first.

    `crossings` and `dismounts` are all that are there at some time of the week.
    """

    direction: Direction
    line: Line
    states: tuple[StateMeasures, ...]
    length_m: float
    detour_factor: float | None
    direct_ratio: float | None
    profile: Profile | None
    heights: Heights | None
    steepest: Steepest | None
    confirmed_share: float
    ridden_on: str | None
    crossings: tuple[MetCrossing, ...]
    dismounts: tuple[MetDismount, ...]

    @property
    def leading(self) -> StateMeasures:
        """The state that holds most of daytime."""
        return self.states[0]


def measure_direction(route: Route, direction: Direction, settings: Settings) -> DirectionMeasures:
    """Measure one direction of a route in every distinct state of the week."""
    line = route.line(direction)
    shape = profile(line.track)
    week = week_states(conditions(route, line), route.along.track.at(0), settings)
    closed = frozenset(route.notes.closed)
    states = [
        _state(line, direction, state, shape, settings, passable=not state.open & closed)
        for state in week
    ]
    ridden = route.is_ridden(direction)
    confirmed = sum(
        placed.length_m
        for placed in line.legs
        if source_in(placed.item, direction, is_ridden=ridden) == "ridden"
    )
    always = dict.fromkeys(conditions(route, line), True)
    everything = met_crossings(line, always, settings)
    dates = [r.on for r in route.notes.ridden if r.direction in (direction, "both")]
    ramps = [
        (p.at_m, p.to_m, -p.item.gradient if line.is_turned else p.item.gradient)
        for p in line.steep
    ]
    return DirectionMeasures(
        direction,
        line,
        _in_order(states),
        line.length_m,
        detour_factor(line.track),
        direct_ratio(line.track, route.notes.direct, route.direct_line),
        shape,
        _climbed(shape) if shape else None,
        steepest(shape, ramps),
        min(1.0, confirmed / line.length_m),
        max(dates, default=None),
        tuple(everything),
        tuple(met_dismounts(line, everything, (), always)),
    )


def _climbed(shape: Profile) -> Heights:
    changes = rises_and_falls(shape)
    up, down = up_and_down(change.rise_m for change in changes)
    return Heights(up, down, tuple(c for c in changes if c.rise_m > 0))


def source_in(item: Item, direction: Direction, *, is_ridden: bool) -> Source:
    """Return where a note comes from: what was not ridden in a direction is from the map there."""
    source = item.source.get(direction) or "ridden"
    return "map" if source == "ridden" and not is_ridden else source


def _state(
    line: Line,
    direction: Direction,
    week: WeekState,
    shape: Profile | None,
    settings: Settings,
    *,
    passable: bool,
) -> StateMeasures:
    is_open: Mapping[str, bool] = dict.fromkeys(week.open, True)
    met = stretches(line, direction, is_open)
    pushed = pushed_runs(met)
    crossings = met_crossings(line, is_open, settings)
    dismounts = met_dismounts(line, crossings, pushed, is_open)
    legs = tuple((s, leg_level(s.leg, s.kind, direction)) for s in met)
    state = StateMeasures(
        week.spans,
        week.open,
        passable,
        None,
        legs,
        tuple(crossings),
        tuple(dismounts),
        tuple(pushed),
    )
    return replace(state, figures=_figures(state, shape, settings)) if passable else state


def _figures(state: StateMeasures, shape: Profile | None, settings: Settings) -> Figures:
    met = [stretch for stretch, _ in state.legs]
    metres = metres_by_kind(met)
    waits = [c.wait_s for c in state.crossings]
    wait_s = sum(w for w in waits if w is not None)
    off_m = sum(d.metres for d in state.dismounts if d.counted)
    levels = [level.level for _, level in state.legs]
    levels += [c.level.level for c in state.crossings]
    return Figures(
        quietness=quietness(metres),
        metres_by_kind=metres,
        busy=sum(c.busy for c in state.crossings),
        busy_uncontrolled=sum(c.busy and not c.controlled for c in state.crossings),
        crossings=len(state.crossings),
        dismounts=len(state.pushed) + sum(d.counted for d in state.dismounts),
        dismounts_advised=sum(not d.counted for d in state.dismounts),
        pushed_m=sum(end - start for start, end in state.pushed) + off_m,
        ride_s=moving_s(met, shape, settings) + wait_s + off_m / settings.walking_speed,
        wait_s=wait_s,
        waits_unknown=sum(w is None for w in waits),
        level=max(levels),
    )


def _in_order(states: list[StateMeasures]) -> tuple[StateMeasures, ...]:
    """Merge states with equal figures; most daytime first, ties to the lower quietness."""
    merged: list[StateMeasures] = []
    for state in states:
        for index, other in enumerate(merged):
            if (state.passable, state.figures) == (other.passable, other.figures):
                spans = joined((*other.spans, *state.spans))
                merged[index] = replace(_longer(other, state), spans=spans)
                break
        else:
            merged.append(state)
    return tuple(sorted(merged, key=_leading_first))


def _longer(a: StateMeasures, b: StateMeasures) -> StateMeasures:
    """Of two states with the same figures, describe the one that holds more of the week."""
    return max(a, b, key=lambda s: sum(end - start for start, end in s.spans))


def _leading_first(state: StateMeasures) -> tuple[bool, int, float, int]:
    quiet = state.figures.quietness if state.figures else 0.0
    return not state.passable, -daytime_minutes(state.spans), quiet, state.spans[0][0]
