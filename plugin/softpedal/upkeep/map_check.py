"""Where a published route's notes and the map disagree: advice with evidence, never an error.

The author has been there and the map may be wrong or old, so nothing here keeps a route off the
site. What the notes say to be quieter than the map does comes with the map's reason.
"""

from __future__ import annotations

import contextlib
from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.draft.banned_turns import banned_turns
from softpedal.draft.junctions import is_busy_class, is_grade
from softpedal.draft.matching import MatchError, Pins, match
from softpedal.draft.ridden_roads import ridden_roads
from softpedal.draft.ride import Ride
from softpedal.draft.spans import OFF_THE_MAP, spans
from softpedal.draft.way_back import way_back
from softpedal.library.load import NOTES, ROUTES
from softpedal.library.notes import DIRECTIONS
from softpedal.library.positions import Unplaced, chainage_of, km
from softpedal.measure.legs import QUIET, noted_kind
from softpedal.problems import Problem
from softpedal.upkeep.map_changes import map_changes

if TYPE_CHECKING:
    from collections.abc import Iterator

    from softpedal.draft.chain import Chain
    from softpedal.draft.junctions import Met
    from softpedal.draft.spans import Span
    from softpedal.draft.town import Town
    from softpedal.library.notes import Crossing, Direction, Kind, Leg
    from softpedal.library.route import Line, Placed, Route
    from softpedal.settings import Settings

#: A stretch shorter than this on which notes and map differ is a matter of where a leg begins.
MIN_STRETCH_M = 50.0
#: A crossing, or a place to get off, in the notes belongs to one of the map this near.
NEAR_M = 40.0
#: A roundabout may be noted anywhere on its ring.
RING_M = 100.0

_STEP_M = 5.0
#: Controls that differ in words only, as maps go.
_ALIKE = (
    frozenset({"cycle signals", "toucan", "signals"}),
    frozenset({"none", "refuge"}),
    frozenset({"zebra", "parallel"}),
)


@dataclass(frozen=True, slots=True)
class _Differs:
    """A stretch on which notes and map say different kinds, in one direction."""

    from_m: float
    to_m: float
    leg: Placed[Leg]
    noted: Kind
    span: Span


def check_against_map(route: Route, town: Town, settings: Settings) -> list[Problem]:
    """Return what the map says otherwise than a route's notes, and what has changed in it."""
    return [*_Check(route, town).problems(), *map_changes(route, town, settings)]


class _Check:
    def __init__(self, route: Route, town: Town) -> None:
        self._route, self._town = route, town
        self._told: list[tuple[str, str, float]] = []

    def problems(self) -> list[Problem]:
        try:
            chains = self._chains()
        except MatchError as error:
            return [self._advice("map-off", (1, 1), f"The line is not on the map: {error}", "")]
        found: list[Problem] = []
        for direction in DIRECTIONS:
            line, chain = self._route.line(direction), chains[direction]
            found += self._off(chain, direction)
            along = spans(self._town, chain)
            found += self._kinds(line, along, direction)
            found += self._turns(line, chain, direction)
            found += self._crossings(line, ridden_roads(self._town, chain, along), direction)
        return list(dict.fromkeys(found))

    def _chains(self) -> dict[Direction, Chain]:
        out = self._match(self._route.outbound)
        back = self._match(self._route.way_back) if self._route.back else way_back(self._town, out)
        return {"outbound": out, "return": back}

    def _match(self, line: Line) -> Chain:
        track = line.track
        ride = Ride(track.lat, track.lon, track.height, track.part, None)
        return match(self._town.network, ride, self._town.country, self._pins(line))

    def _pins(self, line: Line) -> Pins:
        notes = self._route.notes
        via = []
        for pin in notes.via_way:
            with contextlib.suppress(Unplaced):  # along the other line, if there are two
                via.append((chainage_of(pin.at, line.track), pin.way))
        return Pins(tuple(sorted(via)), frozenset(notes.not_way))

    def _is_told(self, code: str, what: str, at_m: float, direction: Direction) -> bool:
        """Whether the same has been told of the same place on the way out; else it now is."""
        if direction == "return" and not self._route.back:
            there = self._route.outbound.length_m - at_m
            return any(
                c == code and w == what and abs(m - there) <= NEAR_M for c, w, m in self._told
            )
        self._told.append((code, what, at_m))
        return False

    def _off(self, chain: Chain, direction: Direction) -> Iterator[Problem]:
        for a, b in chain.breaks:
            if b - a >= MIN_STRETCH_M and (direction == "outbound" or self._route.back):
                where = f"{_way(direction)}from {km(a)} to {km(b)}"
                yield self._advice(
                    "map-off", (1, 1), f"The line is off the map {where}.", "Is the extract old?"
                )

    def _kinds(self, line: Line, along: list[Span], direction: Direction) -> Iterator[Problem]:
        for one in _differences(line, along, direction):
            where = f"{_way(direction)}from {km(one.from_m)} to {km(one.to_m)}"
            says = f"{one.span.kind}" + (f" ({one.span.evidence})" if one.span.evidence else "")
            code, hint = "map-kind", "Keep what you saw; correct the notes if the map is right."
            if one.noted == "filtered street":
                code, hint = "map-filtered", "Look what closes it, and note it under `closed_by`."
            elif one.span.kind == "on foot" and one.span.why_push == "no entry":
                code, hint = "map-oneway", "Note a dismount, or that cycles are exempt."
            elif one.noted not in QUIET and one.span.kind in QUIET:
                hint = "It may be quieter than you noted, if the map is right."
            what, middle = f"{one.noted}, {one.span.kind}", (one.from_m + one.to_m) / 2
            if self._is_told(code, what, middle, direction):
                continue
            yield self._advice(
                code,
                one.leg.mark,
                f"{one.leg.item.street}, {where}: the notes say {one.noted}, the map says {says}.",
                hint,
            )

    def _turns(self, line: Line, chain: Chain, direction: Direction) -> Iterator[Problem]:
        for ban in banned_turns(self._town.network, chain):
            told = any(abs(d.at_m - ban.at_m) <= NEAR_M for d in line.dismounts)
            pushed = any(
                g.at_m <= ban.at_m <= g.to_m and noted_kind(g.item, direction, {}) == "on foot"
                for g in line.legs
            )
            if not told and not pushed:
                yield self._advice(
                    "map-turn",
                    self._leg_at(line, ban.at_m).mark,
                    f"{_way(direction)}at {km(ban.at_m)}: {ban.words}, by {ban.evidence}.",
                    f"Note a dismount there with `direction: {direction}`.",
                )

    def _crossings(self, line: Line, roads: list[Met], direction: Direction) -> Iterator[Problem]:
        for met in roads:
            reach = RING_M if met.movement == "roundabout" else NEAR_M
            near = [c for c in line.crossings if abs(c.at_m - met.at_m) <= reach]
            named = [c for c in near if c.item.road == met.road] or near
            if not named:
                tags = self._town.network.tags(met.edge)
                told = self._is_told("map-crossing", met.road, met.at_m, direction)
                if is_busy_class(tags) and not is_grade(met) and not told:
                    yield self._missing(line, met, direction)
            elif any(_alike(c.item, met) for c in named):
                continue
            elif not self._is_told("map-control", met.road, named[0].at_m, direction):
                yield self._control(named[0], met, direction)

    def _missing(self, line: Line, met: Met, direction: Direction) -> Problem:
        what = {"cross": "crosses", "turn": "turns across the traffic of"}.get(met.movement)
        words = f"{what} {met.road}" if what else f"goes round the roundabout of {met.road}"
        return self._advice(
            "map-crossing",
            self._leg_at(line, met.at_m).mark,
            f"{_way(direction)}at {km(met.at_m)} the way {words}, a main road, which the notes "
            f"omit (control on the map: {met.control}; {met.evidence}).",
            "Note it under `crossings`.",
        )

    def _control(self, noted: Placed[Crossing], met: Met, direction: Direction) -> Problem:
        return self._advice(
            "map-control",
            noted.mark,
            f"{met.road}, {_way(direction)}at {km(noted.at_m)}: the notes say "
            f"{noted.item.control}, the map says {met.control} ({met.evidence}).",
            "Keep what you saw; correct the notes if the map is right.",
        )

    def _leg_at(self, line: Line, at_m: float) -> Placed[Leg]:
        return next((g for g in line.legs if g.at_m <= at_m <= g.to_m), line.legs[0])

    def _advice(self, code: str, mark: tuple[int, int], message: str, hint: str) -> Problem:
        file = f"{ROUTES}/{self._route.id}/{NOTES}"
        return Problem(code, file, *mark, message, hint, self._route.id, "advice")


def _way(direction: Direction) -> str:
    return "on the way back, " if direction == "return" else ""


def _alike(crossing: Crossing, met: Met) -> bool:
    if crossing.control == met.control:
        return True
    return any({crossing.control, met.control} <= group for group in _ALIKE)


def _differences(line: Line, found: list[Span], direction: Direction) -> Iterator[_Differs]:
    """Yield the stretches on which the kinds differ, longer than a matter of rounding."""
    run: _Differs | None = None
    at = _STEP_M / 2
    legs, index = line.legs, 0
    which = 0
    while at < line.length_m:
        while index + 1 < len(legs) and legs[index].to_m <= at:
            index += 1
        while which + 1 < len(found) and found[which].to_m <= at:
            which += 1
        leg, span = legs[index], found[which]
        noted = noted_kind(leg.item, direction, {})  # at no hours of its own, where it has some
        expected = {span.kind} | {kind for _, kind in span.hours}
        differs = noted not in expected and span.street != OFF_THE_MAP
        if run and (not differs or run.leg is not leg or run.span.kind != span.kind):
            if run.to_m - run.from_m >= MIN_STRETCH_M:
                yield run
            run = None
        if differs:
            start = run.from_m if run else at - _STEP_M / 2
            run = _Differs(start, at + _STEP_M / 2, leg, noted, run.span if run else span)
        at += _STEP_M
    if run and run.to_m - run.from_m >= MIN_STRETCH_M:
        yield run
