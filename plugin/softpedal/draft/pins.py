"""What the notes say of the ways of the map that the line takes, and does not take."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from softpedal.draft.matching import Pins

if TYPE_CHECKING:
    from collections.abc import Callable


def pins_of(document: Any, place: Callable[[str], float | None]) -> Pins:
    """Return the pins in the data of a notes.yml; what `check` would refuse is left out.

    Args:
        document: the notes as plain data.
        place: a position as written → chainage, metres; None where it has none.
    """
    if not isinstance(document, dict):
        return Pins()
    via = []
    for pin in _listed(document.get("via_way")):
        at = place(str(pin.get("at", ""))) if isinstance(pin, dict) else None
        if at is not None and isinstance(pin.get("way"), int):
            via.append((at, pin["way"]))
    ways = (way for way in _listed(document.get("not_way")) if isinstance(way, int))
    return Pins(tuple(sorted(via)), frozenset(ways))


def _listed(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []
