"""Measures as plain data: SI units, exact values, and the JSON Schema that describes them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pydantic import BaseModel, ConfigDict, Field

from softpedal.library.csv_table import csv_table
from softpedal.library.notes import DIRECTIONS, KINDS
from softpedal.measure.difficulty import Grade
from softpedal.measure.stress import leg_words
from softpedal.measure.week import hours_text

if TYPE_CHECKING:
    from collections.abc import Iterable

    from softpedal.library.route import Route
    from softpedal.measure.crossings import MetCrossing
    from softpedal.measure.direction import DirectionMeasures, StateMeasures
    from softpedal.measure.legs import Stretch
    from softpedal.measure.route_measures import Measures
    from softpedal.measure.stress import Level

SCHEMA_VERSION = 1


class _Document(BaseModel):
    model_config = ConfigDict(extra="forbid", use_attribute_docstrings=True)


class WorstDocument(_Document):
    """The leg or crossing with the highest level of traffic stress."""

    what: str
    """leg or crossing"""
    name: str
    """street or road"""
    kind: str
    """kind of the leg, or control of the crossing"""
    from_m: float
    """chainage in riding order, metres"""
    to_m: float
    level: int = Field(ge=1, le=4)
    words: str
    assumed: bool
    """the level comes from the kind alone, as no speed is noted"""
    raised: str
    """the author's reason for a higher level, or empty"""


class StressDocument(_Document):
    """Level of traffic stress 1-4: the weakest link, never an average."""

    route: int = Field(ge=1, le=4)
    worst: WorstDocument
    worst_leg: WorstDocument
    worst_crossing: WorstDocument | None


class SteepestDocument(_Document):
    """The steepest bit uphill in this direction."""

    gradient: float
    """rise over run, 0.05 is 5 %"""
    at_m: float
    metres: float
    source: str
    """recorded (over 50 m, smoothed) or notes"""


class StateDocument(_Document):
    """One state of the typical week in one direction; figures are null if not passable."""

    when: str
    """an opening_hours expression"""
    is_daytime: bool
    """true for the one state of a direction that its page leads with"""
    passable: bool
    quietness: float | None = Field(ge=0, le=1)
    """metres on protected tracks, traffic-free paths and filtered streets / all metres"""
    metres_by_kind: dict[str, float] | None
    busy_crossings: int | None
    busy_crossings_uncontrolled: int | None
    crossings: int | None
    dismounts: int | None
    """times that one must get off, by law or at a barrier"""
    dismounts_advised: int | None
    """places where getting off is advised or optional; not in `dismounts`"""
    pushed_m: float | None
    stress: StressDocument | None
    ride_s: float | None
    """riding, pushing and waiting"""
    wait_s: float | None
    waits_unknown: int | None
    """crossings whose wait is not known and counted as 0"""
    ascent_m: float | None
    """null where heights were not recorded"""
    descent_m: float | None
    steepest: SteepestDocument | None


class DirectionDocument(_Document):
    """One direction; the state that leads comes first."""

    length_m: float
    detour_factor: float | None
    """length / geodesic between the ends; null for a loop or across a gap"""
    direct_ratio: float | None
    """length / the main-road way's; null where not noted"""
    confirmed_share: float = Field(ge=0, le=1)
    """share of the distance that was ridden in this direction"""
    ridden_on: str | None
    states: list[StateDocument]


class DirectionsDocument(_Document):
    """Both directions."""

    outbound: DirectionDocument
    return_: DirectionDocument = Field(alias="return")


class DifficultyDocument(_Document):
    """The grade of the worse direction in its leading state."""

    overall: Grade
    traffic: Grade
    effort: Grade
    reason: str
    qualified: list[str]
    """conditions under which the grade holds: by day, when dry, when open; or harder at times"""


class RouteDocument(_Document):
    """One route; figures at the top are the outbound ones."""

    id: str
    title: str
    area: list[str]
    status: str
    start: str
    finish: str
    length_m: float
    directions: DirectionsDocument
    detour_factor: float | None
    direct_ratio: float | None
    difficulty: DifficultyDocument
    confirmed_share: float
    ridden_on: str | None
    """date of the latest ride in either direction"""


class MeasuresDocument(_Document):
    """What `softpedal measure --format json` prints: SI units, exact values."""

    schema_: int = Field(alias="schema")
    routes: list[RouteDocument]


def measures_schema() -> dict[str, Any]:
    """Return the JSON Schema of the document."""
    return MeasuresDocument.model_json_schema(by_alias=True)


def measures_document(measured: Iterable[tuple[Route, Measures]]) -> dict[str, Any]:
    """Return the measures of routes as plain data."""
    return {
        "schema": SCHEMA_VERSION,
        "routes": [_route(route, measures) for route, measures in measured],
    }


def measures_csv(measured: Iterable[tuple[Route, Measures]]) -> str:
    """Return one row for each route, direction and state; the columns are those of the JSON."""
    rows = []
    for route in measures_document(measured)["routes"]:
        head = {k: route[k] for k in ("id", "title", "status", "start", "finish")}
        head |= {"area": "; ".join(route["area"]), "ridden_on": route["ridden_on"]}
        head |= {
            f"difficulty_{k}": route["difficulty"][k] for k in ("overall", "traffic", "effort")
        }
        for direction, figures in route["directions"].items():
            along = {k: v for k, v in figures.items() if k not in ("states", "ridden_on")}
            rows += [
                {**head, "direction": direction, **along, **_flat(state)}
                for state in figures["states"]
            ]
    columns = list(rows[0]) if rows else ["id"]
    return csv_table([columns, *([row[column] for column in columns] for row in rows)], "\n")


def _flat(state: dict[str, Any]) -> dict[str, Any]:
    flat = {k: v for k, v in state.items() if k not in ("metres_by_kind", "stress", "steepest")}
    flat["stress"] = state["stress"] and state["stress"]["route"]
    flat["steepest"] = state["steepest"] and state["steepest"]["gradient"]
    kinds = state["metres_by_kind"] or {}
    return flat | {f"m {kind}": kinds.get(kind) for kind in KINDS}


def _route(route: Route, measures: Measures) -> dict[str, Any]:
    notes, out, grade = route.notes, measures.outbound, measures.difficulty
    return {
        "id": route.id,
        "title": notes.title,
        "area": list(notes.area),
        "status": notes.status,
        "start": notes.start,
        "finish": notes.finish,
        "length_m": out.length_m,
        "directions": {direction: _direction(measures.of(direction)) for direction in DIRECTIONS},
        "detour_factor": out.detour_factor,
        "direct_ratio": out.direct_ratio,
        "difficulty": {
            "overall": grade.overall,
            "traffic": grade.traffic,
            "effort": grade.effort,
            "reason": grade.reason,
            "qualified": list(grade.qualified),
        },
        "confirmed_share": out.confirmed_share,
        "ridden_on": measures.ridden_on,
    }


def _direction(direction: DirectionMeasures) -> dict[str, Any]:
    return {
        "length_m": direction.length_m,
        "detour_factor": direction.detour_factor,
        "direct_ratio": direction.direct_ratio,
        "confirmed_share": direction.confirmed_share,
        "ridden_on": direction.ridden_on,
        "states": [_state(state, direction) for state in direction.states],
    }


def _state(state: StateMeasures, direction: DirectionMeasures) -> dict[str, Any]:
    figures, heights, steep = state.figures, direction.heights, direction.steepest
    head: dict[str, Any] = {
        "when": hours_text(state.spans),
        "is_daytime": state is direction.leading,
        "passable": state.passable,
    }
    if figures is None:
        return head | dict.fromkeys(name for name in StateDocument.model_fields if name not in head)
    return head | {
        "quietness": figures.quietness,
        "metres_by_kind": dict(figures.metres_by_kind),
        "busy_crossings": figures.busy,
        "busy_crossings_uncontrolled": figures.busy_uncontrolled,
        "crossings": figures.crossings,
        "dismounts": figures.dismounts,
        "dismounts_advised": figures.dismounts_advised,
        "pushed_m": figures.pushed_m,
        "stress": _stress(state),
        "ride_s": figures.ride_s,
        "wait_s": figures.wait_s,
        "waits_unknown": figures.waits_unknown,
        "ascent_m": heights and heights.ascent_m,
        "descent_m": heights and heights.descent_m,
        "steepest": steep
        and {
            "gradient": steep.gradient,
            "at_m": steep.at_m,
            "metres": steep.metres,
            "source": steep.source,
        },
    }


def _stress(state: StateMeasures) -> dict[str, Any]:
    worst_leg, worst_crossing = state.worst_leg, state.worst_crossing
    assert worst_leg is not None
    leg = _worst_leg(*worst_leg)
    crossing = worst_crossing and _worst_crossing(worst_crossing)
    worst = crossing if crossing and state.worst_is_crossing else leg
    return {
        "route": worst["level"],
        "worst": worst,
        "worst_leg": leg,
        "worst_crossing": crossing,
    }


def _worst_leg(stretch: Stretch, level: Level) -> dict[str, Any]:
    ends = stretch.from_m, stretch.to_m
    words = leg_words(level.level, stretch.kind)
    return _worst("leg", stretch.leg.street, stretch.kind, ends, level, words)


def _worst_crossing(met: MetCrossing) -> dict[str, Any]:
    ends = met.at_m, met.at_m
    words = met.words
    return _worst("crossing", met.crossing.road, met.crossing.control, ends, met.level, words)


def _worst(  # noqa: PLR0917 - in the order of the document
    what: str, name: str, kind: str, ends: tuple[float, float], level: Level, words: str
) -> dict[str, Any]:
    return {
        "what": what,
        "name": name,
        "kind": kind,
        "from_m": ends[0],
        "to_m": ends[1],
        "level": level.level,
        "words": words,
        "assumed": level.assumed,
        "raised": level.raised,
    }
