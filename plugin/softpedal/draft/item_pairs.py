"""Which item of one list of notes is which of another: by place along the line, sort and name."""

from __future__ import annotations

import json
import math
from typing import TYPE_CHECKING, Any

from softpedal.library.values import parse_position

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

#: Items of one name that lie at most so far apart along the line may be the same, in metres.
SAME_PLACE_M = 40.0
#: So near, items of one sort are taken for the same though their names differ, in metres.
SAME_SPOT_M = 15.0

#: The lists whose items are paired, and the key that names an item.
NAMES = {
    "legs": "street",
    "crossings": "road",
    "dismounts": "why",
    "hazards": "what",
    "landmarks": "what",
    "barriers": "what",
    "steep": "",
}
#: The lists of which one thing only can be at one place, whatever its name, and how near is one.
_ONE_AT_A_PLACE = {
    "legs": SAME_PLACE_M,
    "crossings": SAME_SPOT_M,
    "dismounts": SAME_SPOT_M,
    "barriers": SAME_SPOT_M,
    "steep": SAME_PLACE_M,
}

Item = dict[str, Any]


def plain_chainages(length_m: float) -> Callable[[str], float | None]:
    """Return what places `start`, `finish` and chainages on a line so long, and nothing else."""

    def chainage_of(text: str) -> float | None:
        try:
            position = parse_position(text)
        except ValueError:
            return None
        if position.form == "finish":
            return length_m
        return 0.0 if position.form == "start" else position.metres

    return chainage_of


def same(a: Any, b: Any) -> bool:
    """Whether two plain values are the same, true not being 1; the order of keys is free."""
    return as_words(a) == as_words(b)


def as_words(value: Any) -> str:
    """Return a text that is the same for values that are."""
    return json.dumps(value, sort_keys=True)


def chainages_m(
    name: str, items: Sequence[Item], chainage_of: Callable[[str], float | None]
) -> list[float]:
    """Return where the items of a list are, in metres; nan where that is not known."""
    key = "from" if name == "legs" else "at"
    found: list[float] = []
    for item in items:
        text = item.get(key)
        at_m = chainage_of(text) if isinstance(text, str) else None
        found.append(math.nan if at_m is None else float(at_m))
    return found


def paired(
    name: str,
    ours: Sequence[Item],
    others: Sequence[Item],
    our_m: Sequence[float],
    other_m: Sequence[float],
    *,
    renamed: bool = False,
) -> dict[int, int]:
    """Return the index in `others` for each item of `ours` that is there as well.

    Pairs never cross: of two items of one list, the one that comes first along the line is paired
    with what comes first in the other list. Items that are the same to the letter go first, then
    those of one name and direction, the nearest first, then those at one spot.

    Args:
        name: the list's key.
        ours: the items of one list.
        others: the items of the other.
        our_m: (n,) their chainages, nan where not known.
        other_m: (m,) the same for the others.
        renamed: whether any item may have got another name.
    """
    rank, other_rank = _ranks(our_m), _ranks(other_m)
    found: dict[int, int] = {}
    taken: set[int] = set()

    def pair_up(fits: Callable[[int, int], bool]) -> None:
        candidates = [
            (0.0 if math.isnan(apart) else apart, rank[i], other_rank[j], i, j)
            for i in range(len(ours))
            if i not in found
            for j in range(len(others))
            if j not in taken and fits(i, j)
            for apart in [abs(our_m[i] - other_m[j])]
        ]
        for *_, i, j in sorted(candidates):
            if i in found or j in taken:
                continue
            if any(
                (rank[i] < rank[k]) != (other_rank[j] < other_rank[n]) for k, n in found.items()
            ):
                continue
            found[i] = j
            taken.add(j)

    key = "from" if name == "legs" else "at"
    words, other_words = ([as_words(item) for item in items] for items in (ours, others))
    names, other_names = ([_name(name, item) for item in items] for items in (ours, others))

    def near(i: int, j: int, metres: float) -> bool:
        if math.isnan(our_m[i]) and math.isnan(other_m[j]):
            return same(ours[i].get(key), others[j].get(key))
        return abs(our_m[i] - other_m[j]) <= metres

    pair_up(lambda i, j: words[i] == other_words[j])
    pair_up(lambda i, j: names[i] == other_names[j] and near(i, j, SAME_PLACE_M))
    spot_m = _ONE_AT_A_PLACE.get(name, SAME_SPOT_M if renamed else -1.0)
    pair_up(lambda i, j: near(i, j, spot_m))
    return found


def _name(name: str, item: Item) -> tuple[str, str]:
    direction = str(item.get("direction", "both"))
    return " ".join(str(item.get(NAMES[name], "")).casefold().split()), direction


def _ranks(at_m: Sequence[float]) -> list[int]:
    """Return the place of each in riding order; what has no place stays behind the one before."""
    filled: list[float] = []
    for metres in at_m:
        filled.append((filled[-1] if filled else 0.0) if math.isnan(metres) else metres)
    order = sorted(range(len(filled)), key=lambda i: filled[i])
    ranks = [0] * len(filled)
    for place, index in enumerate(order):
        ranks[index] = place
    return ranks
