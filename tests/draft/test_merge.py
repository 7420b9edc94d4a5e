"""Drafting again never changes what a person wrote, and follows the map everywhere else."""

import copy
import difflib
import random
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from demo.town_files import ROUTES
from draft.drafts import LENGTH_M, POINTS, STREETS, documents, leg_at, read, touched
from softpedal.draft.changes import changes_text
from softpedal.draft.item_pairs import NAMES, paired
from softpedal.draft.merge import MergeError, merge
from softpedal.draft.notes_text import notes_text

BASE = {
    "title": "Quay to Mill",
    "status": "draft",
    "legs": [
        {"from": "start", "street": "Quay", "kind": "back street", "source": "map"},
        {"from": "0.50 km", "street": "Mill Lane", "kind": "back street", "source": "map"},
        {"from": "1.20 km", "street": "Dock Road", "kind": "busy road", "source": "map"},
    ],
    "crossings": [
        {"at": "0.50 km", "road": "High Street", "control": "none", "source": "map"},
        {"at": "1.20 km", "road": "Dock Road", "control": "signals", "source": "map"},
    ],
}
TEXT = notes_text(BASE, {("crossings", 0, "at"): "50.00667, -20.02012"})


def changed(document=BASE, **keys):
    found = copy.deepcopy(document)
    for path, value in keys.items():
        at, *rest = path.split("__")
        if not rest:
            found[at] = value
        else:
            found[at][int(rest[0])][rest[1]] = value
    return found


def sorts(merged):
    return [change.sort for change in merged.changes]


def own_items(document):
    """Return (list, item) of all that a person wrote or confirmed; legs apart."""
    return [
        (name, item)
        for name in POINTS
        for item in document.get(name, [])
        if item.get("source", "ridden") != "map" or item.get("note") == "I went there."
    ]


# -- whatever the draft ---------------------------------------------------------------------------


@settings(max_examples=40, deadline=None)
@given(base=documents(), theirs=documents())
def test_notes_that_nobody_touched_follow_the_map(base, theirs):
    merged = merge(base, notes_text(base, {}), theirs, LENGTH_M)
    assert read(merged.text) == theirs
    assert "kept" not in sorts(merged)


@settings(max_examples=40, deadline=None)
@given(base=documents(), data=st.data())
def test_without_news_nothing_changes(base, data):
    mine, _ = data.draw(touched(base))
    text = notes_text(mine, {})
    merged = merge(base, text, base, LENGTH_M)
    assert merged.text == text
    assert set(sorts(merged)) <= {"kept"}


@settings(max_examples=40, deadline=None)
@given(base=documents(), theirs=documents(), data=st.data())
def test_what_a_person_wrote_is_never_different_after(base, theirs, data):
    mine, wrote = data.draw(touched(base))
    after = read(merge(base, notes_text(mine, {}), theirs, LENGTH_M).text)
    for key in wrote:
        assert after[key] == mine[key]
    for name, item in own_items(mine):
        assert item in after[name]
    for name in POINTS:
        for item in base.get(name, []):
            if item not in theirs.get(name, []) and item not in mine.get(name, []):
                assert item not in after.get(name, [])


@settings(max_examples=40, deadline=None)
@given(base=documents(), theirs=documents(), data=st.data())
def test_a_leg_holds_where_a_person_confirmed_it(base, theirs, data):
    mine, _ = data.draw(touched(base))
    after = read(merge(base, notes_text(mine, {}), theirs, LENGTH_M).text)
    for at_m in range(0, LENGTH_M, 10):
        leg, now = leg_at(mine["legs"], at_m), leg_at(after["legs"], at_m)
        if leg not in base["legs"]:
            assert now == leg
        elif now != leg and now in mine["legs"]:
            # No leg of the author's has grown over a stretch of which they said nothing.
            assert now in base["legs"]


@settings(max_examples=40, deadline=None)
@given(base=documents(), theirs=documents(), data=st.data())
def test_legs_that_nobody_touched_are_those_of_the_map(base, theirs, data):
    mine, _ = data.draw(touched(base))
    after = read(merge(base, notes_text(mine, {}), theirs, LENGTH_M).text)
    whole = merge(base, notes_text(base, {}), theirs, LENGTH_M)
    assert read(whole.text)["legs"] == theirs["legs"]
    for at_m in range(0, LENGTH_M, 10):
        now = leg_at(after["legs"], at_m)
        if now not in mine["legs"]:
            places = (min(max(at_m + off, 0), LENGTH_M - 1) for off in (-40, 0, 40))
            near = [leg_at(theirs["legs"], place) for place in places]
            assert now["kind"] in [leg["kind"] for leg in near]


@settings(max_examples=40, deadline=None)
@given(base=documents(), theirs=documents(), data=st.data())
def test_merging_twice_is_the_same_as_once(base, theirs, data):
    mine, _ = data.draw(touched(base))
    once = merge(base, notes_text(mine, {}), theirs, LENGTH_M).text
    assert merge(theirs, once, theirs, LENGTH_M).text == once


@settings(max_examples=40, deadline=None)
@given(mine=documents(), theirs=documents())
def test_without_a_record_all_is_the_authors(mine, theirs):
    text = notes_text(mine, {})
    after = read(merge({}, text, theirs, LENGTH_M).text)
    for name in ("legs", *POINTS):
        assert [item for item in after.get(name, []) if item in mine.get(name, [])] == mine.get(
            name, []
        )
    assert after["legs"] == mine["legs"]
    assert after["title"] == mine["title"]


# -- by hand --------------------------------------------------------------------------------------


def test_a_field_that_nobody_touched_is_taken():
    merged = merge(BASE, TEXT, changed(legs__1__kind="filtered street"), LENGTH_M)
    assert merged.text == TEXT.replace(
        "Mill Lane\n    kind: back street", "Mill Lane\n    kind: filtered street"
    )
    (line,) = changes_text(merged.changes)
    assert line == (
        "changed: legs at 0.50 km, Mill Lane: kind was back street, is filtered street "
        "(nobody has touched it since it was drafted)"
    )


@pytest.mark.parametrize("source", ["    source: ridden\n", "    source: reported\n", ""])
def test_a_confirmed_item_is_only_listed(source):
    at = TEXT.index("    source: map\n", TEXT.index("Mill Lane"))
    text = TEXT[:at] + source + TEXT[at:].removeprefix("    source: map\n")
    merged = merge(BASE, text, changed(legs__1__kind="busy road"), LENGTH_M)
    assert merged.text == text
    (line,) = changes_text(merged.changes)
    assert line == (
        "kept: legs at 0.50 km, Mill Lane: kind stays back street; the map now says busy road "
        "(you wrote or confirmed it)"
    )


def test_confirmed_in_one_direction_is_confirmed():
    text = TEXT.replace("source: map", "source: {outbound: ridden, return: map}")
    merged = merge(BASE, text, changed(crossings__1__control="none"), LENGTH_M)
    assert merged.text == text
    assert sorts(merged) == ["kept"]


@pytest.mark.parametrize(
    "comment", ["   # I doubt it", "\n    # I doubt it", "\n# I doubt it", " # 50.1, x"]
)
def test_an_item_with_a_remark_of_the_authors_is_only_listed(comment):
    text = TEXT.replace("road: Dock Road", f"road: Dock Road{comment}")
    for theirs in (changed(crossings__1__control="none"), changed(crossings=BASE["crossings"][:1])):
        merged = merge(BASE, text, theirs, LENGTH_M)
        assert merged.text == text
        assert sorts(merged) == ["kept"]


def test_so_is_one_below_a_remark_of_the_authors():
    text = TEXT.replace("  - at: 1.20 km", "\n  # I doubt it\n  # very much\n  - at: 1.20 km")
    merged = merge(BASE, text, changed(crossings__1__control="none"), LENGTH_M)
    assert merged.text == text
    assert sorts(merged) == ["kept"]
    merged = merge(BASE, text, changed(crossings__0__control="zebra"), LENGTH_M)
    assert merged.text == text.replace("control: none", "control: zebra")


def test_a_hash_within_a_text_is_no_remark():
    base = changed(crossings__1__road="Platform #2: the far end # not near")
    theirs = changed(base, crossings__1__control="none")
    assert sorts(merge(base, notes_text(base, {}), theirs, LENGTH_M)) == ["changed"]


def test_new_keys_go_where_the_draft_has_them():
    theirs = changed(crossings__0__lanes=2)
    theirs["crossings"][0] = {"film": "4:10", **theirs["crossings"][0], "cue": {"return": "On."}}
    theirs = {"area": ["Quay"]} | theirs
    merged = merge(BASE, TEXT, theirs, LENGTH_M)
    assert read(merged.text) == theirs
    assert list(read(merged.text)) == list(theirs)
    assert list(read(merged.text)["crossings"][0]) == list(theirs["crossings"][0])


def test_a_list_that_is_new_brings_its_comments_along():
    steps = {"at": "1 m", "what": "a step", "source": "map"}
    humps = {"at": "900 m", "what": "humps", "source": "map"}
    base = BASE | {"hazards": [steps]}
    comments = {("hazards", 0, "at"): "50.1, -20.1", ("hazards", 1, "at"): "50.2, -20.2"}
    merged = merge(base, TEXT, BASE | {"hazards": [steps, humps]}, LENGTH_M, comments=comments)
    assert merged.text == TEXT + (
        "\nhazards:\n  - at: 900 m   # 50.2, -20.2\n    what: humps\n    source: map\n"
    )
    assert sorts(merged) == ["kept", "added"]


def test_an_empty_list_of_the_authors_can_be_filled():
    base = BASE | {"hazards": []}
    text = TEXT + "hazards: []   # none yet\n"
    theirs = BASE | {"hazards": [{"at": "1 m", "what": "a step", "source": "map"}]}
    assert read(merge(base, text, theirs, LENGTH_M).text) == theirs


def test_coordinates_behind_a_position_follow_it():
    theirs = changed(crossings__0__at="0.51 km")
    assert "  - at: 0.51 km\n" in merge(BASE, TEXT, theirs, LENGTH_M).text
    comments = {("crossings", 0, "at"): "50.00667, -20.02222"}
    merged = merge(BASE, TEXT, theirs, LENGTH_M, comments=comments)
    assert "  - at: 0.51 km   # 50.00667, -20.02222\n" in merged.text
    assert "-20.02012" not in merged.text


def test_what_was_taken_out_stays_out_and_is_listed():
    text = notes_text(changed(crossings=BASE["crossings"][1:]), {})
    merged = merge(BASE, text, changed(crossings__0__control="zebra"), LENGTH_M)
    assert merged.text == text
    assert changes_text(merged.changes) == [
        "kept: crossings at 0.50 km, High Street (the map still has it, but you took it out)"
    ]


def test_a_new_item_goes_to_its_place():
    new = {"at": "0.90 km", "road": "Low Street", "control": "zebra"}
    theirs = changed(crossings=[BASE["crossings"][0], new, BASE["crossings"][1]])
    text = TEXT.replace("  - at: 1.20 km", "\n  # the lights\n  - at: 1.20 km")
    merged = merge(BASE, text, theirs, LENGTH_M)
    added = "  - at: 0.90 km\n    road: Low Street\n    control: zebra\n    source: map\n"
    assert added in merged.text
    assert merged.text.replace(added, "").replace("\n\n\n", "\n\n") == text
    assert read(merged.text)["crossings"][1] == new | {"source": "map"}


def test_the_first_and_the_last_list_come_and_go():
    hazard = [{"at": "1 m", "what": "a step", "source": "map"}]
    more = {"title": BASE["title"], "hazards": hazard} | BASE
    merged = merge(BASE, TEXT, more, LENGTH_M)
    assert read(merged.text) == more
    back = merge(more, merged.text, BASE, LENGTH_M).text
    assert [line for line in back.split("\n") if line] == [s for s in TEXT.split("\n") if s]
    without = {key: value for key, value in BASE.items() if key != "crossings"}
    assert read(merge(BASE, TEXT, without, LENGTH_M).text) == without


def test_two_roads_near_each_other_are_never_mixed_up():
    theirs = copy.deepcopy(BASE)
    theirs["crossings"].insert(0, {"at": "0.47 km", "road": "Low Road", "control": "zebra"})
    merged = merge(BASE, TEXT, theirs, LENGTH_M)
    assert [c["road"] for c in read(merged.text)["crossings"]] == [
        "Low Road",
        "High Street",
        "Dock Road",
    ]
    assert sorts(merged) == ["added"]


def test_a_street_that_the_author_calls_otherwise_stays_so():
    text = TEXT.replace("Mill Lane", "Mill Lane (old part)")
    merged = merge(BASE, text, changed(legs__1__from="0.52 km"), LENGTH_M)
    assert merged.text == text
    assert [(c.sort, c.key, c.now) for c in merged.changes] == [("kept", "from", "0.52 km")]


def test_what_the_author_added_before_the_map_had_it_is_not_doubled():
    own = {"at": "900 m", "road": "low street", "control": "zebra"}
    text = notes_text(changed(crossings=[*BASE["crossings"], own]), {})
    new = {"at": "0.92 km", "road": "Low Street", "control": "none", "source": "map"}
    merged = merge(BASE, text, changed(crossings=[*BASE["crossings"], new]), LENGTH_M)
    assert merged.text == text
    assert {change.key: change.now for change in merged.changes} == {
        "at": "0.92 km",
        "road": "Low Street",
        "control": "none",
    }


def test_a_drafted_leg_inside_the_authors_is_only_listed():
    mine = changed(legs__1__source="ridden")
    theirs = copy.deepcopy(BASE)
    new = {"from": "0.80 km", "street": "Mill Lane", "kind": "busy road", "source": "map"}
    theirs["legs"].insert(2, new)
    text = notes_text(mine, {})
    merged = merge(BASE, text, theirs, LENGTH_M)
    assert merged.text == text
    assert sorts(merged) == ["kept"]
    assert "stretch that you wrote or confirmed" in changes_text(merged.changes)[0]


def test_a_leg_of_the_authors_does_not_grow_when_the_next_one_goes():
    """The map now has Quay up to 1.2 km; the author rode it up to 0.5 km."""
    text = notes_text(changed(legs__0__source="ridden"), {})
    theirs = changed(legs=[BASE["legs"][0], BASE["legs"][2]])
    comments = {("legs", 0, "from"): "50.00001, -20.00001", ("legs", 0, "street"): "seen 2 m off"}
    merged = merge(BASE, text, theirs, LENGTH_M, comments=comments)
    assert "  - from: 0.50 km\n    street: Quay   # seen 2 m off\n" in merged.text
    legs = read(merged.text)["legs"]
    assert [(leg["from"], leg["street"], leg["source"]) for leg in legs] == [
        ("start", "Quay", "ridden"),
        ("0.50 km", "Quay", "map"),
        ("1.20 km", "Dock Road", "map"),
    ]


def test_a_boundary_of_the_authors_leg_does_not_move():
    text = notes_text(changed(legs__0__source="ridden"), {})
    merged = merge(BASE, text, changed(legs__1__from="0.53 km", legs__1__lanes=1), LENGTH_M)
    assert read(merged.text)["legs"][1] == BASE["legs"][1] | {"lanes": 1}
    assert sorts(merged) == ["changed", "kept"]


def test_a_boundary_that_the_author_moved_is_not_drafted_again():
    text = notes_text(changed(legs__1__from="0.53 km"), {})
    theirs = changed(legs__0__kind="mixed street")
    merged = merge(BASE, text, theirs, LENGTH_M)
    assert merged.text == text.replace("kind: back street", "kind: mixed street", 1)
    assert merge(BASE, text, BASE, LENGTH_M).text == text


def test_what_a_ride_confirmed_when_it_was_drafted_is_not_changed():
    base = changed(crossings__0__source="ridden")
    text = notes_text(base, {})
    merged = merge(base, text, changed(base, crossings__0__control="zebra"), LENGTH_M)
    assert merged.text == text
    assert sorts(merged) == ["kept"]


def test_an_item_between_blank_lines_goes_with_one_of_them():
    text = TEXT.replace("  - at: 1.20 km", "\n  - at: 1.20 km") + "\nthanks: To all.\n"
    base = BASE | {"thanks": "To all."}
    merged = merge(base, text, changed(base, crossings=BASE["crossings"][:1]), LENGTH_M)
    assert "\n\n\n" not in merged.text
    assert merged.text.endswith("source: map\n\nthanks: To all.\n")


def test_pairs_never_cross():
    ours = [{"at": "0 m", "what": "a"}, {"at": "20 m", "what": "b"}]
    others = [{"at": "0 m", "what": "b", "n": 1}, {"at": "20 m", "what": "a", "n": 1}]
    assert len(paired("hazards", ours, others, [0.0, 20.0], [0.0, 20.0])) == 1
    assert paired("hazards", ours, others[::-1], [0.0, 20.0], [0.0, 20.0]) == {0: 0, 1: 1}


def test_legs_out_of_order_are_left_alone():
    mine = changed(legs=[BASE["legs"][0], BASE["legs"][2], BASE["legs"][1]])
    text = notes_text(mine, {})
    merged = merge(BASE, text, changed(legs__1__kind="busy road"), LENGTH_M)
    assert merged.text == text
    assert "out of order" in changes_text(merged.changes)[0]


def test_positions_by_coordinates_are_paired_by_what_places_them():
    text = TEXT.replace("at: 0.50 km ", "at: 50.00667, -20.02012 near 0.5 km ")
    theirs = changed(crossings__0__control="zebra")

    def place(words):
        near = re.search(r"([\d.]+) km$", words)
        return float(near[1]) * 1000 if near else 0.0

    merged = merge(BASE, text, theirs, LENGTH_M, chainage_of=place)
    assert merged.text == text
    assert [(c.sort, c.key) for c in merged.changes] == [("kept", "control")]


def test_the_way_back_has_lists_of_its_own():
    own = {"legs": changed()["legs"], "crossings": changed()["crossings"]}
    base = BASE | {"return": own}
    theirs = copy.deepcopy(base)
    theirs["return"]["crossings"][0]["control"] = "zebra"
    theirs["return"]["best"] = {"at": "1.00 km", "text": "The weir."}
    merged = merge(base, notes_text(base, {}), theirs, LENGTH_M)
    assert read(merged.text) == theirs
    assert changes_text(merged.changes)[0].startswith(
        "changed: return: crossings at 0.50 km, High Street: control was none, is zebra"
    )
    ridden = notes_text(base, {}).replace("    - from: start", "    - from: start\n      lit: 'no'")
    gone = merge(base, ridden, BASE, LENGTH_M)
    assert gone.text == ridden
    assert sorts(gone) == ["kept"]
    assert read(merge(base, notes_text(base, {}), BASE, LENGTH_M).text) == BASE


def test_notes_that_cannot_be_read_are_not_merged():
    for text in ("legs: [", "- a", "", "a: &x 1", TEXT.replace("\n", "\r")):
        with pytest.raises(MergeError, match=r"notes\.yml"):
            merge(BASE, text, BASE, LENGTH_M)


# -- in the author's own hand ---------------------------------------------------------------------

HANDS = {
    "no final line end": TEXT.rstrip("\n"),
    "lists not indented": re.sub(r"^  (?=[- ])", "", TEXT, flags=re.MULTILINE),
    "lists far in": re.sub(r"^  (?=[- ])", "      ", TEXT, flags=re.MULTILINE),
    "Windows": TEXT.replace("\n", "\r\n"),
    "braces": "title: Quay to Mill\nstatus: draft\nlegs: ["
    + ",\n  ".join(
        "{{from: {from}, street: {street}, kind: {kind}, source: map}}".format(**leg)
        for leg in BASE["legs"]
    )
    + "]\ncrossings:\n"
    + "".join(
        "- {{at: {at}, road: '{road}', control: {control}, source: map}} # 50.1, -20.2\n".format(
            **c
        )
        for c in BASE["crossings"]
    ),
    "a byte order mark": "\ufeff" + TEXT,
    "a tab and a comment": TEXT.replace("control: none", "control: none\t# 50.1, -20.1"),
    "a marked document": f"---\n{TEXT}...\n",
    "folded": TEXT.replace("street: Mill Lane", "street: >-\n      Mill\n      Lane\n"),
    "hyphens apart": TEXT.replace("  - at", "  -\n    at").replace("  - from", "  -   \n    from"),
    "quoted keys": TEXT.replace("street:", '"street":').replace("legs:", "'legs' :"),
    "blank lines": TEXT.replace("  - ", "\n  - "),
}


@pytest.mark.parametrize("hand", HANDS)
@settings(max_examples=15, deadline=None)
@given(theirs=documents())
def test_however_the_notes_are_written_they_can_be_merged(hand, theirs):
    text = HANDS[hand]
    assert read(text) == BASE
    assert merge(BASE, text, BASE, LENGTH_M).text == text
    merged = merge(BASE, text, theirs, LENGTH_M)
    assert read(merged.text) == theirs
    assert ("\r\n" in merged.text) == (hand == "Windows")
    assert "\n" not in merged.text.replace("\r\n", "") or hand != "Windows"


def drafted(text):
    """Return notes in which every item of the lists that are merged is marked as drafted."""
    section, lines = "", []
    text = text.replace("# the bollards stand 20 m before Northgate", "# 50.01242, -20.03051")
    for line in text.split("\n"):
        if key := re.match(r"(?:  )?([a-z]+):(?: |$)", line):
            section = key[1]
        own = re.sub(r"^ *source: .*", "", line)
        if own != line and not own:
            continue
        lines.append(line)
        item = re.match(r"( *)- (?:at|from): ", line)
        if item and section in NAMES:
            lines.append(f"{item[1]}  source: map")
        elif section == "steep" and line.startswith("  - {"):
            lines[-1] = line.replace("}", ", source: map}")
    return "\n".join(lines)


def somewhat_different(document, chance):
    """Return a document with a few differences of every sort."""
    found = copy.deepcopy(document)
    for part in (found, found.get("return", {})):
        for name in sorted(set(NAMES) & set(part)):
            alter(name, part[name], chance)
    if chance.random() < 0.3:
        found["summary"] = "Another: way"
    return found


def alter(name, items, chance):
    for item in items:
        if chance.random() < 0.15:
            item["note"] = chance.choice(STREETS)
        if chance.random() < 0.15:
            item["evidence"] = "a tag"
        if "lit" in item and chance.random() < 0.15:
            item["lit"] = "partly"
        if "lanes" in item and chance.random() < 0.15:
            del item["lanes"]
    if len(items) > 2 and chance.random() < 0.3:
        del items[chance.randrange(1, len(items))]
    if name in POINTS and chance.random() < 0.3:
        items.append({"at": "finish", POINTS[name]: "Ropewalk", "source": "map"})


@pytest.mark.parametrize("path", sorted(ROUTES.glob("*/notes.yml")), ids=lambda p: p.parent.name)
def test_only_lines_that_are_listed_change_in_the_demonstration_notes(path: Path):
    text = path.read_text(encoding="utf-8")
    assert merge(read(text), text, read(text), LENGTH_M).text == text
    text = drafted(text)
    base = read(text)
    chance = random.Random(path.parent.name)
    for _ in range(10):
        theirs = somewhat_different(base, chance)
        merged = merge(base, text, theirs, LENGTH_M)
        assert read(merged.text) == theirs
        keys = {change.key for change in merged.changes if change.key}
        gone = [change.was for change in merged.changes if change.sort == "removed"]
        keys |= {key for item in gone for key in item} | {
            "outbound" for item in gone if isinstance(item.get("cue"), dict)
        }
        keys |= {"return"} if "outbound" in keys else set()
        for line in difflib.ndiff(text.splitlines(), merged.text.splitlines()):
            if line.startswith("- ") and not re.search(r"- \{.*\}$", line):
                key = re.match(r"(?:- )? *(?:- )?\{?([a-z_]*)", line[2:].strip())[1]
                assert key in keys, (line, keys)
        remarks = [line for line in text.splitlines() if line.lstrip().startswith("#")]
        assert all(line in merged.text.splitlines() for line in remarks)
