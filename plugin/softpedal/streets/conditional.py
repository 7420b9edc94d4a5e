"""What a way's tags are at some hours: `bicycle:conditional=dismount @ (Mo-Sa 08:00-18:00)`.

After the OpenStreetMap wiki's page "Conditional restrictions" (from memory): of several clauses
whose condition holds, the last one wins. Conditions that are no hours (`wet`, `weight>7.5`) are
left out: the notes cannot say them.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING

from pydantic_core import PydanticCustomError

from softpedal.library.values import check_hours
from softpedal.streets.access import conditions

if TYPE_CHECKING:
    from softpedal.streets.network import Tags

#: A year makes it road works or the like, not hours that come again.
_YEAR = re.compile(r"\b(19|20)\d\d\b")

_END = ":conditional"
#: Keys that change what a way is to a rider.
_KEYS = frozenset(
    f"{key}{end}"
    for key in [
        "access",
        "vehicle",
        "motor_vehicle",
        "motorcar",
        "bicycle",
        "foot",
        "oneway",
        "oneway:bicycle",
    ]
    for end in ("", ":forward", ":backward")
)
_PREFIXES = ("busway", "lanes:bus", "lanes:psv", "bus:lanes", "psv:lanes", "cycleway")


@lru_cache(maxsize=4096)
def hours_of(condition: str) -> str:
    """Return a condition as an opening-hours expression for the notes, "" where it is none."""
    text = " ".join(condition.split())
    if not text or _YEAR.search(text):
        return ""
    try:
        return check_hours(text)
    except PydanticCustomError:
        return ""


def alternatives(tags: Tags) -> list[tuple[str, Tags]]:
    """Return (hours, tags that hold then), the first one that is open wins."""
    found: dict[str, Tags] = {}
    for key, value in tags.items():
        base = key.removesuffix(_END)
        if base == key or not (base in _KEYS or base.startswith(_PREFIXES)):
            continue
        for word, condition in reversed(conditions(value)):
            if hours := hours_of(condition):
                found.setdefault(hours, {}).setdefault(base, word)
    return list(found.items())
