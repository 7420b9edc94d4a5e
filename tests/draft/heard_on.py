"""A small drafted line of 2 km, and what may be said on it."""

from __future__ import annotations

import copy
from typing import Any

from softpedal.draft.heard import with_observed
from softpedal.draft.observed import Mark, Observed, Remark, Stop, Suggestion

LENGTH_M = 2000.0
SENTENCE = "So this is what I say here."
#: Film and ride run together at 4 m/s.
FILM = ((0.0, 0.0), (500.0, 2000.0))

NO_MAP: dict[str, list[dict[str, Any]]] = {
    "legs": [
        {
            "from": "start",
            "street": "Street to be named",
            "kind": "mixed street",
            "source": "said",
            "confidence": "guess",
            "evidence": "no map: nothing is known of this stretch",
        }
    ]
}


def by_map() -> dict[str, list[dict[str, Any]]]:
    """Return a draft from a map: a sure back street, a doubtful one, a busy road, a push."""
    return {
        "legs": [
            _leg("start", "Quay", "back street", "Start along Quay.", "sure"),
            _leg("400 m", "Mill Lane", "back street", "Left onto Mill Lane.", "check"),
            _leg("650 m", "Dock Road", "busy road", "Right onto Dock Road.", "sure"),
            _leg("1.400 km", "Weir Path", "on foot", "Get off and push.", "sure"),
            _leg("1.500 km", "Alder Row", "mixed street", "Straight on along Alder Row.", "check"),
        ],
        "crossings": [
            _point("645 m", road="Dock Road", control="signals", confidence="sure"),
            _point("1.700 km", road="Rope Street", control="none", confidence="check"),
        ],
        "dismounts": [_point("300 m", why="no entry", direction="return", confidence="sure")],
        "barriers": [_point("1.200 km", what="gate", confidence="sure")],
    }


def _leg(start: str, street: str, kind: str, cue: str, confidence: str) -> dict[str, Any]:
    return {
        "from": start,
        "street": street,
        "kind": kind,
        "cue": {"outbound": cue, "return": "On."},
        "source": "map",
        "confidence": confidence,
        "evidence": "residential",
    }


def _point(at: str, **more: Any) -> dict[str, Any]:
    return {"at": at, **more, "source": "map", "evidence": "tags"}


def remark(
    sort: str, at_m: float, off_m: float = 10.0, said: str = SENTENCE, **facts: str
) -> Remark:
    """Return a remark, said at 4:10 of the film."""
    return Remark(at_m, off_m, Suggestion(250.0, said, sort, facts))


def merged(
    *remarks: Remark,
    items: dict[str, list[dict[str, Any]]] | None = None,
    stops: tuple[tuple[float, float], ...] = (),
    marks: tuple[tuple[float, str], ...] = (),
    film: tuple[tuple[float, float], ...] = (),
    has_map: bool = True,
) -> dict[str, list[dict[str, Any]]]:
    """Return the items with what was observed; those of a map if none are given."""
    items = by_map() if items is None else items
    has_map = has_map and items is not NO_MAP
    before = copy.deepcopy(items)
    observed = Observed(
        tuple(Stop(*each) for each in stops), tuple(Mark(*each) for each in marks), remarks, film
    )
    found = with_observed(items, observed, LENGTH_M, has_map=has_map)
    assert items == before
    assert found == with_observed(items, observed, LENGTH_M, has_map=has_map)
    return found


def at(items: dict[str, list[dict[str, Any]]], name: str, position: str) -> dict[str, Any]:
    """Return the one item of a list at a position."""
    (found,) = [i for i in items.get(name, []) if i.get("at", i.get("from")) == position]
    return found


SAID = f"said at 4:10: “{SENTENCE}”"
AGAINST = f"said at 4:10, against the map: “{SENTENCE}”"
