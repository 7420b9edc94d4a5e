"""Where the ride stood: the wait at a crossing, and what else may have been there."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from softpedal.draft.drafted_line import DraftedLine, holds_outbound
from softpedal.draft.heard_words import add_evidence

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from softpedal.draft.observed import Stop
    from softpedal.draft.written import Item

#: One waits so far before a crossing or gate, and by the receiver's noise behind it, metres.
BEFORE_M, BEHIND_M = 30.0, 10.0
#: Where nothing is waited for.
_OVER_OR_UNDER = ("bridge", "underpass")


def put_stops(line: DraftedLine, stops: Iterable[Stop]) -> None:
    """Say how long the ride stood at crossings, gates and dismounts.

    Several stops before one crossing, as in a queue, are one wait.
    """
    found: dict[int, tuple[str, Item, float]] = {}
    for stop in stops:
        if (there := _at(line, stop)) is not None:
            name, item = there
            _, _, before = found.get(id(item), (name, item, 0.0))
            found[id(item)] = (name, item, before + stop.seconds)
    for name, item, seconds in found.values():
        whole = round(seconds)
        if whole < 1:
            continue
        if name == "crossings":
            item.setdefault("wait", f"{whole} s")
        add_evidence(item, f"stood {whole} s here on the ride")


def stops_left(items: Mapping[str, Sequence[Item]], stops: Iterable[Stop]) -> list[str]:
    """Return in words where the ride stood and nothing is noted for which one waits."""
    line = DraftedLine(items, math.inf)
    return [
        f"stood {round(stop.seconds)} s at {stop.at_m / 1000:.2f} km, where the notes have "
        "nothing: perhaps a shop or a gate"
        for stop in stops
        if _at(line, stop) is None
    ]


def _at(line: DraftedLine, stop: Stop) -> tuple[str, Item] | None:
    """Return the list and the item at which a stop was made: a crossing before all else."""
    for name in ("crossings", "barriers", "dismounts"):
        ahead = [
            (abs(line.at_m(item) - stop.at_m), item)
            for item in line.all(name)
            if -BEHIND_M <= line.at_m(item) - stop.at_m <= BEFORE_M
            and holds_outbound(item)
            and item.get("control") not in _OVER_OR_UNDER
        ]
        if ahead:
            return name, min(ahead, key=lambda pair: pair[0])[1]
    return None
