"""What the notes claim, held against what was measured."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from softpedal.library.faults import shown
from softpedal.library.notes import DIRECTIONS
from softpedal.library.placeholders import (
    AREA,
    END,
    ROAD,
    STREET,
    SUMMARY,
    TITLE,
    TO_FILL_IN,
)
from softpedal.measure.crossings import CONTROLLED, is_busy
from softpedal.measure.legs import has_evidence, is_doubted, is_drafted
from softpedal.measure.stress import GRADE_SEPARATED, LEVEL_WORDS, crossing_level, leg_level
from softpedal.problems import Problem, Severity

if TYPE_CHECKING:
    from softpedal.library.notes import Crossing, Leg
    from softpedal.library.route import Line, Placed, Route
    from softpedal.measure.direction import DirectionMeasures

#: A dismount this near to a crossing that is pushed over is probably the same one, in metres.
SAME_PLACE_M = 15.0
#: At this level and above a route is not for children.
NO_CHILD_LEVEL = 3


def claim_problems(
    route: Route, outbound: DirectionMeasures, way_back: DirectionMeasures
) -> list[Problem]:
    """Return what the notes claim and the measures do not bear out."""
    file = f"routes/{route.id}/notes.yml"
    problems = [_child(route, file, outbound, way_back), *_draft(route, file)]
    for line in [route.along, *([route.back] if route.back else [])]:
        problems += [_evidence(leg, file) for leg in line.legs]
        problems += _levels(line, file)
        problems += _crossings(line, file)
    return [
        Problem(p.code, p.file, p.line, p.column, p.message, p.hint, route.id, p.severity)
        for p in problems
        if p is not None
    ]


def _draft(route: Route, file: str) -> list[Problem]:
    """Return what a published route still has of the draft that it was."""
    notes = route.notes
    if notes.status != "published":
        return []
    found = [
        Problem(
            "claim-draft",
            file,
            *route.place(key),
            f"`{key}` is still what the draft said.",
            "Write it: this is what readers see first.",
        )
        for key, is_left in (
            ("title", notes.title == TITLE),
            ("area", AREA in notes.area),
            ("start", notes.start == END),
            ("finish", notes.finish == END),
            ("summary", notes.summary == SUMMARY),
        )
        if is_left
    ]
    lines = [route.along, *([route.back] if route.back else [])]
    items: list[Placed[Any]] = []
    for line in lines:
        found += _to_fill_in(line, file)
        items += [*line.legs, *line.crossings, *line.dismounts, *line.hazards, *line.landmarks]
    guesses = [p for p in items if p.item.confidence == "guess" and is_drafted(p.item)]
    if guesses:
        found.append(
            _advice(
                "claim-draft",
                file,
                guesses[0].mark,
                f"{len(guesses)} of what a draft guessed is published as it is.",
                "Look at each, and write `source: ridden`, or take it out.",
            )
        )
    return found


def _to_fill_in(line: Line, file: str) -> list[Problem]:
    """Return an error for each item that its author has yet to give a name."""
    points: list[Placed[Any]] = [*line.hazards, *line.landmarks, *line.barriers]
    left: list[tuple[Placed[Any], str, str]] = [
        *((p, p.item.street, "the name of the street") for p in line.legs),
        *((p, p.item.road, "the name of the road") for p in line.crossings),
        *((p, p.item.what, "what is there, or take it out") for p in points),
    ]
    return [
        Problem(
            "claim-draft",
            file,
            *placed.mark,
            f"`{shown(text)}` is still what the draft said.",
            f"Write {what}.",
        )
        for placed, text, what in left
        if text in (STREET, ROAD) or text.startswith(TO_FILL_IN)
    ]


def _child(
    route: Route, file: str, outbound: DirectionMeasures, way_back: DirectionMeasures
) -> Problem | None:
    who = route.notes.who
    if who is None or who.child in (None, "no"):
        return None
    levels = [
        (state.figures.level, measured.direction)
        for measured in (outbound, way_back)
        for state in measured.states  # at any time of the week: a child may ride on Saturdays
        if state.figures
    ]
    worst = max(levels, default=(0, "outbound"))
    if worst[0] < NO_CHILD_LEVEL:
        return None
    return Problem(
        "claim-child",
        file,
        *route.place("who", "child"),
        f"`child: {who.child}` on a route with a bit at level {worst[0]} "
        f"({LEVEL_WORDS[worst[0]]}) {worst[1]}.",
        "Write `child: no`, or find a way round that bit.",
    )


def _evidence(placed: Placed[Leg], file: str) -> Problem | None:
    leg = placed.item
    kinds = [leg.kind] if leg.kind else []
    kinds += list((leg.hours or {}).values())
    filtered = any("filtered street" in (k.outbound, k.return_) for k in kinds)
    if not filtered or has_evidence(leg):
        return None
    wrong = "without what closes it"
    hint = "Add `closed_by: …`: the planters, gate or posts that keep cars from driving through."
    if leg.closed_by is not None and is_doubted(leg):
        wrong = "by a draft that is not sure of it"
        hint = "Look what closes it; write `source: ridden` when you have seen it."
    return _advice(
        "claim-evidence",
        file,
        placed.mark,
        f"{leg.street} is noted as a filtered street {wrong}, so it is measured as a back street.",
        hint,
    )


def _levels(line: Line, file: str) -> list[Problem]:
    """An author's level that is not higher than the computed one does nothing."""
    found = []
    for leg in line.legs:
        if leg.item.level is None or leg.item.hours is not None or leg.item.kind is None:
            continue
        plain = leg.item.model_copy(update={"level": None})
        computed = [
            leg_level(plain, kind, direction).level
            for direction in DIRECTIONS
            if (kind := leg.item.kind.get(direction))
        ]
        if leg.item.level <= min(computed):
            found.append(_no_raise(file, leg.mark, leg.item.level, min(computed)))
    for crossing in line.crossings:
        if crossing.item.level is not None:
            plain_crossing = crossing.item.model_copy(update={"level": None})
            level = crossing_level(plain_crossing, busy=is_busy(crossing.item)).level
            if crossing.item.level <= level:
                found.append(_no_raise(file, crossing.mark, crossing.item.level, level))
    return found


def _no_raise(file: str, mark: tuple[int, int], level: int, computed: int) -> Problem:
    return _advice(
        "claim-level",
        file,
        mark,
        f"`level: {level}` raises nothing: the level is {computed} without it.",
        "A level can be raised, never lowered; leave it out.",
    )


def _crossings(line: Line, file: str) -> list[Problem]:
    found = []
    for placed in line.crossings:
        crossing = placed.item
        if crossing.control in GRADE_SEPARATED and crossing.busy:
            found.append(
                _advice(
                    "claim-busy",
                    file,
                    placed.mark,
                    f"A {crossing.control} is never a busy crossing.",
                    "Leave `busy` out.",
                )
            )
        if crossing.control not in GRADE_SEPARATED and not _says_anything(crossing):
            found.append(
                _advice(
                    "claim-crossing",
                    file,
                    placed.mark,
                    f"Nothing says how busy {crossing.road} is, so it is not counted as busy.",
                    "Add `busy: true`, or `speed_limit`, `lanes` and `vehicles_per_day`.",
                )
            )
        if crossing.control in CONTROLLED and not crossing.is_ridden:
            found += [
                _advice(
                    "claim-twice",
                    file,
                    other.mark,
                    f"The {crossing.control} on {crossing.road} is pushed over, which already "
                    "counts as a dismount.",
                    "Leave this dismount out if it is the same one.",
                )
                for other in line.dismounts
                if abs(other.at_m - placed.at_m) <= SAME_PLACE_M
            ]
    return found


def _says_anything(crossing: Crossing) -> bool:
    """Whether anything is noted by which a road could be told busy or not."""
    noted = (
        crossing.busy,
        crossing.road_class,
        crossing.vehicles_per_day,
        crossing.speed_limit,
        crossing.level,
    )
    return any(value is not None for value in noted)


def _advice(code: str, file: str, mark: tuple[int, int], message: str, hint: str) -> Problem:
    severity: Severity = "advice"
    return Problem(code, file, *mark, message, hint, severity=severity)
