"""The drafted items of one line, as they are worked on: found by place, added, put in order."""

from __future__ import annotations

import copy
from typing import TYPE_CHECKING

from softpedal.draft.written import LISTS, Item, metres_of, position

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

#: What stands last in an item: where it comes from.
_LAST = ("source", "confidence", "evidence", "film")


class DraftedLine:
    """A copy of drafted items, to which things are done.

    Args:
        items: the lists of a line, whose positions were written by `written.position`.
        length_m: of the line.
    """

    def __init__(self, items: Mapping[str, Sequence[Item]], length_m: float) -> None:
        self.length_m = length_m
        self._lists: dict[str, list[Item]] = copy.deepcopy({k: list(v) for k, v in items.items()})

    def all(self, name: str) -> list[Item]:
        """Return the items of a list in riding order."""
        return sorted(self._lists.get(name, ()), key=self.at_m)

    def at_m(self, item: Item) -> float:
        """Return the chainage of an item, metres."""
        return metres_of(item["from"] if "from" in item else item["at"], self.length_m)

    def near(
        self,
        name: str,
        at_m: float,
        within_m: float,
        fits: Callable[[Item], bool] = lambda _: True,
    ) -> Item | None:
        """Return the nearest item of a list that fits, None where none is so near."""
        found = [
            item
            for item in self.all(name)
            if abs(self.at_m(item) - at_m) <= within_m and fits(item)
        ]
        return min(found, key=lambda item: abs(self.at_m(item) - at_m), default=None)

    def leg_at(self, at_m: float) -> Item | None:
        """Return the leg that holds at a chainage, None where there are no legs."""
        legs = self.all("legs")
        before = [leg for leg in legs if self.at_m(leg) <= at_m]
        return before[-1] if before else next(iter(legs), None)

    def end_m(self, leg: Item) -> float:
        """Return the chainage at which a leg ends, metres."""
        start_m = self.at_m(leg)
        later = [at for other in self.all("legs") if (at := self.at_m(other)) > start_m]
        return min(later, default=self.length_m)

    def leg_length_m(self, leg: Item) -> float:
        """Return the length of a leg, metres."""
        return self.end_m(leg) - self.at_m(leg)

    def put(self, name: str, at_m: float, item: Item) -> Item:
        """Add an item at a chainage, behind those that are there already, and return it."""
        key = "from" if name == "legs" else "at"
        placed = {key: position(min(at_m, self.length_m))} | item
        self._lists.setdefault(name, []).append(placed)
        return placed

    def items(self) -> dict[str, list[Item]]:
        """Return the lists that are not empty, each in riding order."""
        names = [*LISTS, *(name for name in self._lists if name not in LISTS)]
        return {
            name: [_in_order(item) for item in self.all(name)]
            for name in names
            if self._lists.get(name)
        }


def holds_outbound(item: Item) -> bool:
    """Whether an item is met on the way out."""
    return bool(item.get("direction", "both") != "return")


def _in_order(item: Item) -> Item:
    first = {key: value for key, value in item.items() if key not in _LAST}
    return first | {key: item[key] for key in _LAST if key in item}
