"""Notes that an author has typed before there is a folder, by film, clock or any other position."""

# ruff: noqa: RUF012, TC001 - a pydantic model by way of Strict, which ruff does not see
from __future__ import annotations

from typing import TYPE_CHECKING, Any

from softpedal.draft.written import metres_of, position
from softpedal.library.note_items import (
    Barrier,
    Crossing,
    Dismount,
    Hazard,
    Landmark,
    Spot,
    Steep,
)
from softpedal.library.note_values import Strict
from softpedal.library.notes_reader import validate
from softpedal.library.yaml_source import MAX_BYTES, read_yaml
from softpedal.problems import CannotDoError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping
    from pathlib import Path

    from softpedal.draft.written import Item
    from softpedal.library.yaml_source import Path as YamlPath

_PLACES = ("at", "to")


class OwnNotesError(CannotDoError):
    """Notes that cannot be taken into a draft."""


class OwnNotes(Strict):
    """What may be typed: everything that has a place, but the legs."""

    crossings: list[Crossing] = []
    dismounts: list[Dismount] = []
    hazards: list[Hazard] = []
    landmarks: list[Landmark] = []
    barriers: list[Barrier] = []
    steep: list[Steep] = []
    skip: list[Spot] = []
    wishes: list[Spot] = []


def own_notes(file: Path, place: Callable[[str], float]) -> dict[str, list[Item]]:
    """Return the lists of a file of notes, each position written as a chainage.

    Args:
        file: YAML with some of the lists of notes.yml; positions may be `video 4:10` and
            `09:14:05` too.
        place: a position as typed → chainage along the published line, metres.

    Raises:
        OwnNotesError: the file cannot be read or used, with line and column.
    """
    try:
        with file.open("rb") as opened:
            content = opened.read(MAX_BYTES + 1)
    except OSError as error:
        raise OwnNotesError(f"{file.name} cannot be read: {error.strerror}.") from error
    source, problems = read_yaml(content, file.name)
    if source is None:
        raise OwnNotesError("\n".join(str(problem) for problem in problems))
    for path, item, key in _positions(source.data):
        try:
            item[key] = position(place(item[key]))
        except CannotDoError as error:
            line, column = source.place(path)
            raise OwnNotesError(f"{file.name}:{line}:{column}: {error}", error.hint) from error
    _, problems = validate(OwnNotes, source, file.name)
    if problems:
        raise OwnNotesError("\n".join(str(problem) for problem in problems))
    return dict(source.data)


def with_own(
    items: Mapping[str, list[Item]], own: Mapping[str, list[Item]], length_m: float
) -> dict[str, list[Item]]:
    """Return drafted items with an author's own among them, in riding order.

    Args:
        items: as drafted.
        own: as `own_notes` returns them.
        length_m: of the line.
    """
    found = dict(items)
    for name, added in own.items():
        both = [*items.get(name, []), *added]
        found[name] = sorted(both, key=lambda item: metres_of(item["at"], length_m))
    return found


def _positions(data: Any) -> Iterator[tuple[YamlPath, dict[str, Any], str]]:
    """Yield where each position stands, the item that holds it, and its key."""
    if not isinstance(data, dict):
        return
    for name, items in data.items():
        if not isinstance(items, list):
            continue
        for index, item in enumerate(items):
            if not isinstance(item, dict):
                continue
            for key in _PLACES:
                if isinstance(item.get(key), str):
                    yield (name, index, key), item, key
