"""The legs of a line of which no map says anything: one at the start, one at each clear bend."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from softpedal.draft.bends import bends
from softpedal.draft.cues import SHARP_DEGREES
from softpedal.draft.written import Item, position
from softpedal.library.placeholders import STREET
from softpedal.library.plain_text import counted
from softpedal.library.track import local_metres

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.draft.bends import Bend
    from softpedal.library.track import Track

#: A person names them one by one: more would not be done.
MOST_LEGS = 40
#: Bends nearer than this to the one that began a leg are told in its cue.
LEG_M = 60.0

_EVIDENCE = "no map: nothing is known of this stretch"
_ROUND_DEGREES = 160.0
_START_M = 25.0
_COMPASS = (
    "north",
    "north-east",
    "east",
    "south-east",
    "south",
    "south-west",
    "west",
    "north-west",
)


def unmapped_items(track: Track) -> dict[str, list[Item]]:
    """Return the legs of a line as in notes.yml, cut at its clear bends, all of them guesses.

    The kind is that of a street of which nothing is known: one with motor traffic. Legs are at
    least 60 m long but for the first and the last, and there are at most 40: of more bends the
    sharpest begin a leg, and the first leg's evidence says how many do not.
    """
    groups, dropped = _groups(bends(track))
    starts = [0.0, *(group[0].at_m for group in groups)]
    there = [f"Start heading {_heading(track)}.", *(_cue(group) for group in groups)]
    # Coming back, one turns into a leg where it ends: at the bends with which the next begins.
    back = [
        *(
            _cue([replace(bend, turn_degrees=-bend.turn_degrees) for bend in reversed(group)])
            for group in groups
        ),
        f"Start heading {_heading(track.reversed())}.",
    ]
    legs = [_leg(*leg) for leg in zip(starts, there, back, strict=True)]
    if dropped:
        legs[0]["evidence"] += f"; {counted(dropped, 'more bend')} of the line left without a leg"
    return {"legs": legs}


def _leg(at_m: float, out: str, back: str) -> Item:
    return {
        "from": position(at_m),
        "street": STREET,
        "kind": "mixed street",
        "cue": {"outbound": out, "return": back},
        "source": "map",
        "confidence": "guess",
        "evidence": _EVIDENCE,
    }


def _groups(found: Sequence[Bend]) -> tuple[list[list[Bend]], int]:
    """Return the bends that each leg begins with, and how many bends have found no place."""
    groups: list[list[Bend]] = []
    for bend in found:
        if groups and bend.at_m - groups[-1][0].at_m < LEG_M:
            groups[-1].append(bend)
        else:
            groups.append([bend])
    if len(groups) < MOST_LEGS:
        return groups, 0
    sharpest = sorted(groups, key=_sharpness, reverse=True)[: MOST_LEGS - 1]
    kept = [group for group in groups if any(group is other for other in sharpest)]
    return kept, len(found) - sum(map(len, kept))


def _sharpness(group: Sequence[Bend]) -> float:
    return max(abs(bend.turn_degrees) for bend in group)


def _cue(group: Sequence[Bend]) -> str:
    """Return what to do at bends that follow close on each other, in the order ridden."""
    turns = [_side(bend.turn_degrees) for bend in group]
    first, *more = [f"turn {turn}" if i == 0 else turn for i, turn in enumerate(turns)]
    return f"{', then '.join([first, *more]).capitalize()}."


def _side(turn: float) -> str:
    size, side = abs(turn), "right" if turn > 0 else "left"
    if size >= _ROUND_DEGREES:
        return "round"
    return f"sharp {side}" if size > SHARP_DEGREES else side


def _heading(track: Track) -> str:
    """Return the compass point towards which a line sets out."""
    lat, lon = track.at(_START_M)
    east, north = local_metres(
        np.array([lat]), np.array([lon]), float(track.lat[0]), float(track.lon[0])
    )
    degrees = float(np.degrees(np.arctan2(east[0], north[0])))
    return _COMPASS[round(degrees / 45) % 8]
