"""Which route a message is about, and where on it: by what it refers to, names or measures."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from rapidfuzz import fuzz

from softpedal.library.positions import END_SLACK_M, MAX_OFF_TRACK_M
from softpedal.library.report_reference import REFERENCE, find_reference
from softpedal.library.track import nearest_on_track
from softpedal.library.values import METRES, ROUTE_ID

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.notes import Direction
    from softpedal.library.route import Line, Route
    from softpedal.upkeep.reports.messages import Message

#: How like a route's title a part of a message must be, and how much more than like any other's,
#: of 100: this project's own.
_LIKE, _LIKER = 90, 5
_SHORTEST_TITLE, _SHORTEST_NAME = 8, 4
#: Coordinates farther off a route than this are not of it: they may be of somebody's home.
_NEAR_M = 100.0

_ADDRESS = re.compile(rf"/routes/({ROUTE_ID.pattern})(?:/|\b)")
_UNITS = {
    "km": METRES["km"],
    **dict.fromkeys(("mi", "mile", "miles"), METRES["mi"]),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), 1.0),
}
_UNIT = "|".join(sorted(_UNITS, key=len, reverse=True))
_LENGTH = re.compile(
    r"(?<![\w.,-])"
    r"(?:(?P<lead>at|near|around|about|after|past|by|bei|nach|kurz vor|etwa bei|km)\s+)?"
    rf"(?P<number>\d{{1,4}}(?:[.,]\d{{1,3}})?)\s?(?P<unit>{_UNIT})\b",
    re.IGNORECASE,
)
_SIZE = re.compile(r"(?:\bfor|\bover|\babout|\bof|\banother|\bauf|\bvon|\brund)\s+$", re.IGNORECASE)
_COORDINATES = re.compile(
    r"(?<![\d.])([-\u2212]?\d{1,2}\.\d{3,9})\s*,?\s+?([-\u2212]?\d{1,3}\.\d{3,9})"
    r"|(?<![\d.])([-\u2212]?\d{1,2}\.\d{3,9}),([-\u2212]?\d{1,3}\.\d{3,9})"
)
_BACK = re.compile(r"(?i)\b(?:way back|return (?:way|leg|direction)|rückweg|zurück)\b")


@dataclass(frozen=True, slots=True)
class Place:
    """Where a message is about.

    Attributes:
        route: id of the route, "" where none could be told.
        metres: chainage in the direction, None where none could be told.
        direction: in which the chainage counts.
        at: latitude and longitude, from the page that the reader saw or from the message.
        page: the date on that page, ISO, or "".
    """

    route: str = ""
    metres: float | None = None
    direction: Direction = "outbound"
    at: tuple[float, float] | None = None
    page: str = ""


def place_of(message: Message, routes: Sequence[Route]) -> Place:
    """Return where a message is about.

    The line that the page puts into a mail goes before all else; then what is given beside the
    text; then the page's address, the route's id or title in subject or text, and a chainage,
    coordinates or the only place of a name. A route that is unknown keeps its id.
    """
    whole = f"{message.subject}\n{message.title}\n{message.text}"
    reference = find_reference(whole)
    if reference is not None:
        known = _by_id(reference.route, routes)
        return Place(
            known.id if known else reference.route,
            reference.metres,
            reference.direction,
            reference.place,
            reference.page,
        )
    words = REFERENCE.sub(" ", whole)
    route = _by_id(message.route, routes) or _named(words, routes)
    degrees = _coordinates(words)
    if route is None:
        if message.route:
            return Place(message.route)
        route = _only_near(degrees, routes)
    if route is None:
        return Place()
    direction: Direction = "return" if _BACK.search(words) else "outbound"
    found = Place(route.id, None, direction)
    line = route.line(direction)
    if degrees and (near := _nearest(line, degrees)) is not None:
        return replace(found, metres=near, at=degrees)
    metres = _chainage(f"at {message.at}" if message.at else words, line.length_m)
    return replace(found, metres=_at_name(words, line) if metres is None else metres)


def _by_id(name: str, routes: Sequence[Route]) -> Route | None:
    """Return the route with an id, now or before."""
    now = (route for route in routes if route.id == name)
    before = (route for route in routes if name and name in route.notes.was)
    return next(now, None) or next(before, None)


def _named(words: str, routes: Sequence[Route]) -> Route | None:
    """Return the one route that is named by its address, its id or its title."""
    for pattern in (_ADDRESS, re.compile(rf"(?<![\w-])({ROUTE_ID.pattern})(?![\w-])")):
        names = [match[1] for match in pattern.finditer(words)]
        if pattern is not _ADDRESS:
            names = [name for name in names if "-" in name]
        found = {r.id: r for name in names if (r := _by_id(name, routes))}
        if len(found) == 1:
            return next(iter(found.values()))
    text = " ".join(words.casefold().split())
    likes = sorted(
        (
            (_likeness(route.notes.title, text), index)
            for index, route in enumerate(routes)
            if len(route.notes.title) >= _SHORTEST_TITLE
        ),
        reverse=True,
    )
    if not likes or likes[0][0] < _LIKE:
        return None
    if len(likes) > 1 and likes[0][0] - likes[1][0] < _LIKER:
        return None
    return routes[likes[0][1]]


def _likeness(title: str, text: str) -> float:
    """Return how like a title some part of a text is, 0 to 100; a shorter text is not like it."""
    wanted = title.casefold()
    return fuzz.partial_ratio(wanted, text) if len(text) >= len(wanted) else 0.0


def _chainage(words: str, length_m: float) -> float | None:
    """Return the chainage that is named: the only one, and no mere length of something."""
    found = set()
    for match in _LENGTH.finditer(words):
        metres = float(match["number"].replace(",", ".")) * _UNITS[match["unit"].lower()]
        lead = (match["lead"] or "").lower()
        is_short = match["unit"].lower().startswith("m") and not match["unit"].startswith("mi")
        if lead == "about" or (is_short and not lead) or _SIZE.search(words[: match.start()]):
            continue
        if metres <= length_m + END_SLACK_M:
            found.add(min(metres, length_m))
    return found.pop() if len(found) == 1 else None


def _at_name(words: str, line: Line) -> float | None:
    """Return where the one place is that is named: a crossing, a landmark, the start of a leg."""
    text = words.casefold()
    places: dict[str, set[float]] = {}
    named = [(p.item.road, p.at_m) for p in line.crossings]
    named += [(p.item.what, p.at_m) for p in line.landmarks]
    named += [(p.item.what, p.at_m) for p in line.barriers]
    named += [(p.item.what, p.at_m) for p in line.hazards]
    named += [(p.item.street, p.at_m) for p in line.legs]
    for name, at_m in named:
        if len(name) >= _SHORTEST_NAME and re.search(
            rf"(?<!\w){re.escape(name.casefold())}(?!\w)", text
        ):
            places.setdefault(name.casefold(), set()).add(at_m)
    longest = [name for name in places if not any(name in o and name != o for o in places)]
    once = [places[name] for name in longest]
    return once[0].pop() if len(once) == 1 and len(once[0]) == 1 else None


def _coordinates(words: str) -> tuple[float, float] | None:
    for match in _COORDINATES.finditer(words):
        first, second = (float(g.replace("\u2212", "-")) for g in match.groups() if g)
        if abs(first) <= 90 and abs(second) <= 180:
            return first, second
    return None


def _nearest(line: Line, degrees: tuple[float, float]) -> float | None:
    off_m, chainage_m = nearest_on_track(line.track, *degrees)
    index = off_m.argmin()
    return float(chainage_m[index]) if off_m[index] <= _NEAR_M else None


def _only_near(degrees: tuple[float, float] | None, routes: Sequence[Route]) -> Route | None:
    """Return the one route that passes a place."""
    if degrees is None:
        return None
    near = [
        route
        for route in routes
        if nearest_on_track(route.along.track, *degrees)[0].min() <= MAX_OFF_TRACK_M
    ]
    return near[0] if len(near) == 1 else None
