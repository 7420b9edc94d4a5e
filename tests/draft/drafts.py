"""Drafts by chance, what a person may do to them, and what holds where."""

import itertools
import math

from hypothesis import strategies as st

from softpedal.draft.item_pairs import plain_chainages
from softpedal.library.yaml_source import read_yaml

LENGTH_M = 3000
KINDS = ["back street", "busy road", "filtered street", "mixed street"]
STREETS = ["Mill Lane", "Dock Road", "Mill Lane: upper", "Quay #2", "yes", "Ropewalk"]
POINTS = {"crossings": "road", "dismounts": "why", "hazards": "what", "barriers": "what"}

chainage = plain_chainages(LENGTH_M)
metres = st.integers(0, LENGTH_M // 20 - 1).map(lambda n: n * 20)
facts = st.fixed_dictionaries(
    {},
    optional={
        "lit": st.sampled_from(["yes", "no"]),
        "lanes": st.integers(1, 4),
        "note": st.sampled_from(["Mind: the step", "Slow #1", "Go on.", "A long word. " * 12]),
        "cue": st.fixed_dictionaries(
            {"outbound": st.sampled_from(["Left.", "Right. " * 12]), "return": st.just("On.")}
        ),
        "parking": st.booleans(),
    },
)


def where(at_m):
    return "start" if at_m == 0 else f"{at_m / 1000:.2f} km"


def read(text):
    source, problems = read_yaml(text.encode(), "notes.yml")
    assert problems == []
    return source.data


@st.composite
def line(draw):
    starts = [0, *sorted(draw(st.sets(metres.filter(bool), max_size=5)))]
    found = {
        "legs": [
            {
                "from": where(at_m),
                "street": draw(st.sampled_from(STREETS)),
                "kind": draw(st.sampled_from(KINDS)),
                **draw(facts),
                "source": "map",
            }
            for at_m in starts
        ]
    }
    for name, key in POINTS.items():
        places = sorted(draw(st.lists(metres, max_size=4)))
        items = [
            {"at": where(m), key: draw(st.sampled_from(STREETS)), **draw(facts), "source": "map"}
            for m in places
        ]
        if items:
            found[name] = items
    return found


@st.composite
def documents(draw):
    found = {
        "title": draw(st.sampled_from(["A to B", "A: B", "no"])),
        "area": draw(st.lists(st.sampled_from(STREETS), min_size=1, max_size=2)),
        "status": "draft",
    }
    if draw(st.booleans()):
        found["direct"] = {"km": draw(st.sampled_from([2.5, 3.0]))}
    found |= draw(line())
    if draw(st.booleans()):
        found["avoids"] = draw(st.lists(st.sampled_from(STREETS), min_size=1, max_size=2))
    if draw(st.booleans()):
        found["return"] = draw(line())
    return found


DEEDS = {
    "ridden": lambda item: [item | {"source": "ridden"}],
    "bare": lambda item: [{k: v for k, v in item.items() if k != "source"}],
    "edit": lambda item: [item | {"note": "I went there."}],
    "drop": lambda _: [],
    "add": lambda item: [item, {k: v for k, v in item.items() if k != "source"} | {"note": "Mine"}],
    "": lambda item: [item],
}


@st.composite
def touched(draw, document):
    """Return a document after a person went over it, and the keys that they wrote."""
    found = {key: value for key, value in document.items() if key != "return"}
    wrote = draw(st.sampled_from([[], ["title"]]))
    found |= dict.fromkeys(wrote, "My own way")
    for name in ("legs", *POINTS):
        deeds = ["", "", "", "ridden", "bare", "edit", *(["add"] if name != "legs" else [])]
        items = []
        for item in found.pop(name, []):
            may_go = [] if name == "legs" and not items else ["drop"]
            items += DEEDS[draw(st.sampled_from(deeds + may_go))](item)
        found |= {name: items} if items else {}
    if draw(st.booleans()):
        known = {chainage(leg["from"]) for leg in found["legs"]}
        at_m = draw(metres.filter(lambda m: m not in known))
        own = {"from": where(at_m), "street": "My Lane", "kind": draw(st.sampled_from(KINDS))}
        found["legs"] = sorted([*found["legs"], own], key=lambda leg: chainage(leg["from"]))
    return found | {key: document[key] for key in document if key == "return"}, wrote


def leg_at(legs, at_m):
    """Return the leg that holds at a chainage."""
    starts = [0.0, *(chainage(leg["from"]) for leg in legs[1:]), math.inf]
    pairs = itertools.pairwise(starts)
    return next(leg for leg, (a, b) in zip(legs, pairs, strict=True) if a <= at_m < b)
