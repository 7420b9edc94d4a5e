"""A drafted document is written as a person would write it, and reads back as it was."""

from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from demo.town_files import ROUTES
from softpedal.draft.notes_text import HEADER, WIDTH, notes_text, plain
from softpedal.library.notes import Notes
from softpedal.library.notes_reader import validate
from softpedal.library.yaml_source import read_yaml

HOSTILE = [
    "Mill Lane: the upper part",
    "Platform #2",
    "C#",
    'The "Old" Anchor',
    "It's",
    "🚲 Quay",
    "- no entry",
    "-8 %",
    "-",
    "@home",
    "%gone",
    "`tick`",
    "*star",
    "&and",
    "!bang",
    "|",
    ">",
    "? what",
    "[x]",
    "{x}",
    "a, b",
    "null",
    "~",
    "yes",
    "No",
    "on",
    "007",
    "1e3",
    "1_000",
    "0x1f",
    ".inf",
    "4:10",
    "13:05:00",
    "2026-05-16",
    "21:00-06:00",
    "2027",
    "<<",
    "=",
    "...",
    "---",
    "--- x",
    "ends:",
    " leads and trails ",
    "tab\there",
    "back\\slash",
    "",
    "x\u2003",
    "\u00a0x",
    "https://video.example/w/12?t={seconds}",
]


def read(text):
    source, problems = read_yaml(text.encode(), "notes.yml")
    assert problems == []
    return source.data


texts = st.sampled_from(HOSTILE) | st.text(max_size=30) | st.text("-:#?\"'{}[], \tab\n", max_size=8)
names = texts.filter(lambda text: text != "<<")  # no key: the reader refuses it in any form
leaves = texts | st.integers(-(10**9), 10**9) | st.booleans()
values = st.recursive(
    leaves,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(names, inner, max_size=3),
    max_leaves=8,
)
keys = st.sampled_from(["title", "area", "legs", "crossings", "steep", "who", "return"]) | names


@settings(deadline=None)
@given(document=st.dictionaries(keys, values, min_size=1, max_size=5))
@example(document={"legs": [], "return": {}, "who": {}, "": ""})
@example(document={"a": HOSTILE, "legs": [{text: text} for text in HOSTILE if text != "<<"]})
@example(document={"a": {"b": HOSTILE}, "b": [[text] for text in HOSTILE]})
@example(document={"\n": "", "": "a"})
def test_it_reads_back_as_it_was(document):
    assert read(notes_text(document, {})) == plain(document)


@settings(deadline=None)
@given(comment=texts, value=leaves)
def test_a_comment_never_becomes_part_of_a_value(comment, value):
    document = {"legs": [{"from": value, "street": value}], "best": {"at": value}, "title": value}
    paths = [("legs", 0), ("legs", 0, "from"), ("best", "at"), ("best",), ("legs",), ("title",)]
    text = notes_text(document, dict.fromkeys(paths, comment))
    assert read(text) == plain(document)
    assert text.count(" ".join(plain(comment).split())) >= 3


@pytest.mark.parametrize("text", HOSTILE)
def test_a_text_in_one_line_stays_as_it_is(text):
    assert read(notes_text({"title": text}, {})) == {"title": text}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Mill\nLane", "Mill Lane"),
        ("Mill \r\n  Lane", "Mill Lane"),
        ("Mill\u2028Lane", "Mill Lane"),
        ("Mill\x00\x1bLane\ufeff", "MillLane"),
    ],
)
def test_a_text_of_several_lines_becomes_one(text, expected):
    written = notes_text({"title": text}, {})
    assert read(written) == {"title": expected}
    assert written.splitlines()[1:] == [f"title: {expected}"]


def test_true_and_one_are_told_apart():
    found = read(notes_text({"a": True, "b": 1, "c": "true", "d": "1", "e": 4.6}, {}))
    assert [type(value) for value in found.values()] == [bool, int, str, str, float]


def test_it_looks_like_notes_that_a_person_wrote():
    document = {
        "title": "Ferry Steps to Chapel Green",
        "area": ["Old Harbour", "Chapel Side"],
        "status": "draft",
        "ridden": [{"on": "2026-05-16", "direction": "outbound", "moving": 19}],
        "direct": {"km": 4.6, "minutes": 20},
        "legs": [
            {
                "from": "start",
                "street": "Netmakers' Quay",
                "hours": {"Mo-Sa 08:00-18:00": "on foot", "otherwise": "filtered street"},
                "lit": "yes",
                "source": "map",
            },
            {
                "from": "0.31 km",
                "street": "Sailmaker Row",
                "kind": {"outbound": "filtered street", "return": "back street"},
                "cue": {"outbound": "Turn right. " * 5 + "Go on.", "return": "Left. " * 5 + "On."},
                "lanes": 2,
                "parking": False,
                "film": "2:35",
            },
        ],
        "crossings": [{"at": "1.18 km", "road": "Dock Road", "control": "signals"}],
        "steep": [{"at": "1.60 km", "metres": 120, "gradient": "12 %"}],
        "closed": ["21:00-06:00"],
        "thanks": "A long word of thanks. " * 10 + "It stays in one line.",
    }
    comments = {("legs", 1, "from"): "50.00667, -20.02012"}
    assert (
        notes_text(document, comments)
        == f"""{HEADER}
title: Ferry Steps to Chapel Green
area: [Old Harbour, Chapel Side]
status: draft
ridden:
  - {{on: 2026-05-16, direction: outbound, moving: 19}}
direct: {{km: 4.6, minutes: 20}}

legs:
  - from: start
    street: Netmakers' Quay
    hours: {{"Mo-Sa 08:00-18:00": on foot, otherwise: filtered street}}
    lit: "yes"
    source: map
  - from: 0.31 km   # 50.00667, -20.02012
    street: Sailmaker Row
    kind: {{outbound: filtered street, return: back street}}
    cue:
      outbound: {"Turn right. " * 5}Go on.
      return: {"Left. " * 5}On.
    lanes: 2
    parking: false
    film: "2:35"

crossings:
  - at: 1.18 km
    road: Dock Road
    control: signals

steep:
  - {{at: 1.60 km, metres: 120, gradient: 12 %}}

closed: ["21:00-06:00"]
thanks: {"A long word of thanks. " * 10}It stays in one line.
"""
    )


@pytest.mark.parametrize("path", sorted(ROUTES.glob("*/notes.yml")), ids=lambda p: p.parent.name)
def test_the_demonstration_notes_survive_being_written_again(path: Path):
    data = read(path.read_text(encoding="utf-8"))
    text = notes_text(data, {})
    source, _ = read_yaml(text.encode(), "notes.yml")
    assert source.data == data
    assert list(source.data) == list(data)
    assert validate(Notes, source, "notes.yml")[1] == []
    braces = [line for line in text.splitlines() if line.endswith(("}", "]"))]
    assert braces
    assert max(map(len, braces)) <= WIDTH
