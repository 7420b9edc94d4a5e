"""What drafting again did to the notes, and what it left alone, in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from softpedal.draft.notes_text import flow

if TYPE_CHECKING:
    from collections.abc import Iterable

#: A value is shown up to so many characters.
_SHOWN = 80
_NAMES = ("street", "road", "why", "what")


@dataclass(frozen=True)
class Change:
    """One difference between the notes and the new draft.

    Attributes:
        sort: what became of it; `kept` is what differs and was left as the author has it.
        place: where, like `legs at 1.20 km, Dock Road`.
        key: which key of the item, "" for all of it.
        was: the value in the notes, None where there is none.
        now: the value in the new draft, None where there is none.
        reason: why, "" where it goes without saying.
    """

    sort: Literal["added", "removed", "changed", "kept"]
    place: str
    key: str
    was: Any
    now: Any
    reason: str


def place_of(name: str, item: dict[str, Any], prefix: str = "") -> str:
    """Return where an item of a list is, in words."""
    at = item.get("from" if name == "legs" else "at", "an unknown place")
    called = next((f", {item[key]}" for key in _NAMES if key in item), "")
    return f"{prefix}{name} at {at}{called}"


def changes_text(changes: Iterable[Change]) -> list[str]:
    """Return a line for the terminal for each change."""
    return [_line(change) for change in changes]


def _line(change: Change) -> str:
    where = f"{change.sort}: {change.place}"
    reason = f" ({change.reason})" if change.reason else ""
    if change.key and change.key != change.place:
        where += f": {change.key}"
    if change.sort == "changed":
        return f"{where} was {_shown(change.was)}, is {_shown(change.now)}{reason}"
    if change.sort == "kept" and change.key:
        says = "no longer says this" if change.now is None else f"now says {_shown(change.now)}"
        has = "is left out" if change.was is None else f"stays {_shown(change.was)}"
        return f"{where} {has}; the map {says}{reason}"
    return f"{where}{reason}"


def _shown(value: Any) -> str:
    if value is None:
        return "nothing"
    text = value if isinstance(value, str) else flow(value)
    return text if len(text) <= _SHOWN else f"{text[: _SHOWN - 1]}…"
