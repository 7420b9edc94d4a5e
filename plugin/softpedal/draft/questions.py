"""What a route's notes leave open: the questions to answer on the ride, where each arises."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from softpedal.library.notes import DIRECTIONS, OTHERWISE
from softpedal.library.placeholders import ROAD, STREET, TO_FILL_IN
from softpedal.measure.crossings import is_busy
from softpedal.measure.legs import is_drafted
from softpedal.measure.stress import AMONG_TRAFFIC_LEVEL, DEFAULT_LEVEL

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from softpedal.library.notes import Barrier, Crossing, Dismount, Item, Leg
    from softpedal.library.route import Line, Placed

When = Literal["outbound", "return", "both"]
#: Crossed where nothing stops the traffic, so that its speed and lanes matter.
_OPEN = frozenset({"none", "refuge"})


@dataclass(frozen=True, slots=True)
class LookAt:
    """Something to look at on the ride.

    Attributes:
        at_m: chainage at which it is, or begins.
        to_m: chainage at which it ends; the same for a point.
        lat: where that is, WGS84 degrees.
        lon: where that is, WGS84 degrees.
        what: the street, road or thing.
        ask: the questions.
        evidence: what the draft goes by, "" where it says nothing.
        when: in which direction it is met.
    """

    at_m: float
    to_m: float
    lat: float
    lon: float
    what: str
    ask: tuple[str, ...]
    evidence: str = ""
    when: When = "both"


def questions(line: Line) -> list[LookAt]:
    """Return what to look at along a line, in riding order."""
    found = [*_of_legs(line), *_of_points(line)]
    return sorted(found, key=lambda look: look.at_m)


def _look(line: Line, placed: Placed[Any], what: str, ask: Iterable[str]) -> Iterator[LookAt]:
    asked = tuple(ask)
    if asked:
        item = placed.item
        lat, lon = line.track.at(placed.at_m)
        when: When = getattr(item, "direction", "both")
        evidence = item.evidence or ""
        yield LookAt(placed.at_m, placed.to_m, lat, lon, what, asked, evidence, when)


def _is_doubtful(item: Item) -> bool:
    return item.confidence in ("check", "guess")


def _of_legs(line: Line) -> Iterator[LookAt]:
    for placed in line.legs:
        yield from _look(line, placed, placed.item.street, _about_leg(placed.item))


def _about_leg(leg: Leg) -> Iterator[str]:
    kinds = _kinds(leg)
    if leg.street == STREET:
        yield "What is the street called?"
    if _is_doubtful(leg):
        guess = " This is a guess." if leg.confidence == "guess" else ""
        yield f"Is it this: {_in_words(leg)}?{guess}"
    if leg.closed_by and (_is_doubtful(leg) or is_drafted(leg)):
        yield f"Does this keep motor traffic from driving through: {leg.closed_by}?"
    if leg.hours and (_is_doubtful(leg) or is_drafted(leg)):
        hours = ", ".join(h for h in leg.hours if h != OTHERWISE)
        yield f"Which hours does the sign give? The draft has: {hours}."
    if any(DEFAULT_LEVEL[kind] >= AMONG_TRAFFIC_LEVEL for kind in kinds):
        yield from _traffic(leg)


def _kinds(leg: Leg) -> set[Any]:
    directed = [leg.kind] if leg.kind else []
    directed += list((leg.hours or {}).values())
    return {kind for value in directed for d in DIRECTIONS if (kind := value.get(d))}


def _in_words(leg: Leg) -> str:
    if leg.kind is None:
        hours = leg.hours or {}
        return "; ".join(f"{_both(kind)} ({when})" for when, kind in hours.items())
    return _both(leg.kind)


def _both(kind: Any) -> str:
    out, back = (kind.get(d) for d in DIRECTIONS)
    return str(out) if out == back else f"{out} on the way out, {back} on the way back"


def _traffic(item: Leg | Crossing) -> Iterator[str]:
    if item.speed_limit is None:
        yield "What is the speed limit?"
    if item.lanes is None:
        yield "How many lanes are there, both directions together?"


def _of_points(line: Line) -> Iterator[LookAt]:
    for crossing in line.crossings:
        yield from _look(line, crossing, crossing.item.road, _about_crossing(crossing.item))
    for dismount in line.dismounts:
        what = f"getting off: {dismount.item.why}"
        yield from _look(line, dismount, what, _about_dismount(dismount.item))
    for barrier in line.barriers:
        yield from _look(line, barrier, barrier.item.what, _about_barrier(barrier.item))
    things: tuple[Placed[Any], ...] = (*line.hazards, *line.landmarks, *line.skip, *line.wishes)
    for placed in things:
        yield from _look(line, placed, placed.item.what, _is_there(placed.item))
    for steep in line.steep:
        yield from _look(line, steep, "ramp", _is_there(steep.item))
    for sign in line.signed:
        yield from _look(line, sign, f"signed as {sign.item.as_}", _is_there(sign.item))
    for remark in (line.hardest, line.best):
        if remark is not None:
            yield from _look(line, remark, remark.item.text, _is_there(remark.item))


def _is_there(item: Item) -> Iterator[str]:
    if str(getattr(item, "what", "")).startswith(TO_FILL_IN):
        yield "What is here?"
    elif _is_doubtful(item):
        yield "Is it so?"
    yield from _hours(item)


def _hours(item: Item) -> Iterator[str]:
    hours = getattr(item, "hours", None)
    if hours and (_is_doubtful(item) or is_drafted(item)):
        yield f"Which hours does the sign give? The draft has: {hours}."


def _about_crossing(crossing: Crossing) -> Iterator[str]:
    if crossing.road == ROAD:
        yield "What is the road called?"
    if _is_doubtful(crossing):
        how = {"none": "nothing helps you across"}.get(crossing.control, crossing.control)
        verb = {"cross": "crossed", "turn": "joined or left", "roundabout": "passed"}
        yield f"Is it {verb[crossing.movement]} like this: {how}?"
    yield from _hours(crossing)
    if crossing.control in _OPEN and is_busy(crossing):
        yield from _traffic(crossing)


def _about_dismount(dismount: Dismount) -> Iterator[str]:
    if _is_doubtful(dismount):
        yield "Must one get off here, and for how many metres?"
    yield from _hours(dismount)


def _about_barrier(barrier: Barrier) -> Iterator[str]:
    if _is_doubtful(barrier):
        yield "Is it there, and can one ride through?"
    if barrier.gap is None:
        yield "How wide is the gap?"
    yield from _hours(barrier)
