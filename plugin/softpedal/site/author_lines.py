"""Where each position of a route stands in its notes, for an author who picks it a new place.

Only under `mkdocs serve`: the page's script puts a new number into the line that it is given here
and reads no YAML.
"""

from __future__ import annotations

import itertools
import re
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from softpedal.library.folder_files import NOTES, ROUTES
from softpedal.library.positions import END_SLACK_M
from softpedal.library.values import CHAINAGE_UNITS
from softpedal.library.written import Written, written_values
from softpedal.site.map_data import script_json

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from softpedal.library.notes import LineNotes
    from softpedal.library.route import Line, Placed, Route
    from softpedal.library.values import Position
    from softpedal.library.yaml_source import Path
    from softpedal.site.row import Row

#: The script beside a route's page.
AUTHOR_LINES = "author.js"
#: Decimals of a new chainage in kilometres or miles, and of new coordinates, at least: 10 m, 1 m.
LEAST_PLACES = 2
LEAST_PLACES_DEGREES = 5

#: Lists whose items stand in the table, and those that stand elsewhere on the page.
_ROWS = ("legs", "crossings", "dismounts", "hazards", "landmarks", "barriers", "signed", "skip")
_OTHERS = ("steep", "wishes")

_CHAINAGE = re.compile(r"\d+(?:\.(\d+))?(\s*)(km|mi|m)")
_DEGREES = re.compile(r"-?\d+(?:\.(\d+))?(\s*,\s*)-?\d+(?:\.(\d+))?")
_USUAL = "km"


@dataclass(frozen=True, slots=True)
class _Place:
    """A position in the notes: its path there, what it says, and where that is in metres.

    A new one lies from `least_m` to `most_m`; a leg's, between them.
    """

    path: Path
    position: Position
    at_m: float
    least_m: float
    most_m: float


def author_lines_script(route: Route, rows: Mapping[str, Sequence[Row]]) -> str:
    """Return a classic script that adds the route's positions to `window.softpedalNotes`.

    Args:
        route: whose notes.
        rows: the timetable of every view by its key.
    """
    data = script_json(author_lines(route, rows))
    return (
        "window.softpedalNotes = window.softpedalNotes || {};\n"
        f"softpedalNotes[{script_json(route.id)}] = {data};\n"
    )


def author_lines(route: Route, rows: Mapping[str, Sequence[Row]]) -> dict[str, Any]:
    """Return where the positions of a route stand in its notes.

    Returns:
        `file`; `places` by key: line, the text `before` and `after` the value, `at`, `least` and
        `most` in metres along the line that the notes count on, and how to write a new value;
        `rows` of each view in their order, each with its name and the keys of where it begins
        and, if it is a stretch, ends; `others`, the same of what is in no row.
    """
    written = written_values((route.folder / NOTES).read_bytes())
    items = {id(item): path for path, item in _items(route)}
    found = {_key(p.path): p for p in _places(route, items) if p.path in written}
    usual = _usual_unit(found.values())
    return {
        "file": f"{ROUTES}/{route.id}/{NOTES}",
        "places": {
            key: _as_data(place, written[place.path], usual) for key, place in found.items()
        },
        "rows": {
            view: [
                {
                    "name": f"{row.at}: {row.title.striptags()}",
                    "ends": _ends(route, row, view, items, found),
                }
                for row in listed
            ]
            for view, listed in rows.items()
        },
        "others": [
            {"name": name, "ends": [key for key in map(_key, paths) if key in found]}
            for name, paths in _others(route, items)
        ],
    }


def _lines(route: Route) -> Iterator[tuple[Path, LineNotes, Line]]:
    yield (), route.notes, route.along
    if route.back is not None and route.notes.return_ is not None:
        yield ("return",), route.notes.return_, route.back


def _items(route: Route) -> Iterator[tuple[Path, object]]:
    for section, notes, _ in _lines(route):
        for name in (*_ROWS, *_OTHERS):
            for index, item in enumerate(getattr(notes, name)):
                yield (*section, name, index), item
    for index, photo in enumerate(route.notes.photos):
        yield ("photos", index), photo


def _places(route: Route, items: Mapping[int, Path]) -> Iterator[_Place]:
    end_m = route.along.length_m + END_SLACK_M
    for section, _, line in _lines(route):
        yield from _leg_places(line, items)
        for name in (*_ROWS[1:], *_OTHERS):
            for placed in getattr(line, name):
                yield from _item_places(placed, items[id(placed.item)], line.length_m + END_SLACK_M)
        for name in ("hardest", "best"):
            if (placed := getattr(line, name)) is not None:
                yield from _item_places(placed, (*section, name), line.length_m + END_SLACK_M)
    for photo in route.photos:
        yield from _item_places(photo, items[id(photo.item)], end_m)
    for index, another in enumerate(route.variants):
        path: Path = ("variants", index)
        leave, rejoin = another.leave_m, another.rejoin_m
        yield _Place((*path, "leave"), another.variant.leave, leave, 0.0, rejoin)
        yield _Place((*path, "rejoin"), another.variant.rejoin, rejoin, leave, end_m)


def _leg_places(line: Line, items: Mapping[int, Path]) -> Iterator[_Place]:
    """Where legs begin; the first begins at the start, the others keep their order."""
    for before, leg in itertools.pairwise(line.legs):
        path = (*items[id(leg.item)], "from")
        yield _Place(path, leg.item.from_, leg.at_m, before.at_m, leg.to_m)


def _item_places(placed: Placed[Any], path: Path, end_m: float) -> Iterator[_Place]:
    item, at_m, to_m = placed.item, placed.at_m, placed.to_m
    to = getattr(item, "to", None)
    most_m = end_m if to is None else to_m
    if hasattr(item, "at"):
        yield _Place((*path, "at"), item.at, at_m, 0.0, most_m)
    else:
        yield _Place((*path, "from"), item.from_, at_m, 0.0, most_m)
    if to is not None:
        yield _Place((*path, "to"), to, to_m, at_m, end_m)


def _ends(
    route: Route, row: Row, view: str, items: Mapping[int, Path], found: Mapping[str, _Place]
) -> list[str | None]:
    """Return the keys of where a row begins and ends as it is ridden; None of an end that stays."""
    path = items.get(id(row.item))
    if path is None:
        return []
    if row.sort == "leg":
        after: Path = (*path[:-1], int(path[-1]) + 1)
        keys = [_key((*path, "from")), _key((*after, "from"))]
    else:
        keys = [key for name in ("at", "from", "to") if (key := _key((*path, name))) in found]
    if view.startswith("return") and route.back is None:
        keys.reverse()
    return [key if key in found else None for key in keys]


def _others(route: Route, items: Mapping[int, Path]) -> Iterator[tuple[str, list[Path]]]:
    """What is in no row, by a name that an author knows it by."""
    for section, notes, _ in _lines(route):
        for name in ("hardest", "best"):
            if (remark := getattr(notes, name)) is not None:
                yield f"{name}: {remark.text}", [(*section, name, "at")]
        yield from ((f"wish: {w.what}", [(*items[id(w)], "at")]) for w in notes.wishes)
        yield from ((f"steep: {s.metres:.0f} m", [(*items[id(s)], "at")]) for s in notes.steep)
    yield from ((f"photo: {p.file}", [(*items[id(p)], "at")]) for p in route.notes.photos)
    for index, variant in enumerate(route.notes.variants):
        ends: list[Path] = [("variants", index, "leave"), ("variants", index, "rejoin")]
        yield f"variant: {variant.file}", ends


def _usual_unit(places: Iterable[_Place]) -> str:
    """Return the unit, with the space before it, in which these notes mostly give chainages."""
    texts = [p.position.text for p in places if p.position.form == "chainage"]
    units = Counter(f"{m[2]}{m[3]}" for text in texts if (m := _CHAINAGE.fullmatch(text)))
    return units.most_common(1)[0][0] if units else f" {_USUAL}"


def _as_data(place: _Place, written: Written, usual: str) -> dict[str, Any]:
    form, text = place.position.form, written.value
    data: dict[str, Any] = {
        "line": written.line,
        "before": written.before,
        "value": text,
        "after": written.after,
        "at": round(place.at_m, 1),
        "least": round(place.least_m, 1),
        "most": round(place.most_m, 1),
        "unit": _unit(usual),
    }
    if place.path[0] == "return":
        data["own"] = True
    if form == "chainage" and (match := _CHAINAGE.fullmatch(text.strip())):
        data["unit"] = _unit(match[2] + match[3], len(match[1] or ""))
    elif form in ("start", "finish"):
        data["word"] = form
    elif form == "coordinates" and (match := _DEGREES.match(text.strip())):
        places = max(LEAST_PLACES_DEGREES, len(match[1] or ""), len(match[3] or ""))
        data["degrees"] = [places, match[2]]
    if "legs" in place.path:
        data["strict"] = True
    return data


def _unit(unit: str, places: int = 0) -> list[object]:
    """Return how to write a chainage: metres in the unit, decimals, and what stands behind."""
    name = unit.strip()
    return [CHAINAGE_UNITS[name], places if name == "m" else max(LEAST_PLACES, places), unit]


def _key(path: Path) -> str:
    return ".".join(str(part) for part in path)
