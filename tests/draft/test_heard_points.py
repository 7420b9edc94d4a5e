"""What was said of a place goes to what is drafted there, or stands there as said."""

from __future__ import annotations

import pytest

from draft.heard_on import AGAINST, NO_MAP, SAID, at, by_map, merged, remark
from softpedal.library.placeholders import ROAD


def test_nothing_observed_changes_nothing() -> None:
    assert merged() == by_map()
    assert merged(items={}) == {}


@pytest.mark.parametrize(("off_m", "confidence"), [(5, "check"), (30, "check"), (31, "guess")])
@pytest.mark.parametrize(
    ("sort", "name"), [("dismount", "dismounts"), ("hazard", "hazards"), ("cue", "landmarks")]
)
def test_what_only_speech_tells_is_said_and_never_sure(sort, name, off_m, confidence) -> None:
    item = at(merged(remark(sort, 900, off_m)), name, "900 m")
    assert (item["source"], item["confidence"]) == ("said", confidence)
    assert (item["evidence"], item["film"]) == (SAID, "4:10")
    assert list(item)[-4:] == ["source", "confidence", "evidence", "film"]


def test_a_dismount_near_a_drafted_one_is_evidence_of_it() -> None:
    items = by_map() | {"dismounts": [{"at": "300 m", "why": "steps", "source": "map"}]}
    (item,) = merged(remark("dismount", 335), items=items)["dismounts"]
    assert item == {"at": "300 m", "why": "steps", "source": "map", "evidence": SAID} | {
        "film": "4:10"
    }


def test_a_dismount_of_the_way_back_is_not_one_of_the_way_out() -> None:
    found = merged(remark("dismount", 300))["dismounts"]
    assert [d.get("direction") for d in found] == ["return", None]


@pytest.mark.parametrize("metres", [1370, 1450, 1535])
def test_getting_off_for_a_pushed_leg_is_no_dismount_of_its_own(metres) -> None:
    found = merged(remark("dismount", metres))
    assert found["dismounts"] == by_map()["dismounts"]
    assert at(found, "legs", "1.400 km")["evidence"] == f"residential; {SAID}"


def test_a_dismount_whose_reason_nobody_said_counts_but_names_no_law() -> None:
    assert at(merged(remark("dismount", 900)), "dismounts", "900 m")["must"] == "barrier"
    told = merged(remark("dismount", 900, must="law"))
    assert at(told, "dismounts", "900 m")["must"] == "law"


def test_a_ban_near_a_drafted_one_of_its_direction_is_evidence_of_it() -> None:
    found = merged(remark("banned", 330, direction="return"))["dismounts"]
    assert [d["evidence"] for d in found] == [f"tags; {SAID}"]
    found = merged(remark("banned", 330, direction="outbound"))["dismounts"]
    assert [(d["at"], d["direction"]) for d in found] == [
        ("300 m", "return"),
        ("330 m", "outbound"),
    ]
    assert (found[1]["must"], found[1]["confidence"]) == ("law", "check")


def test_a_ban_of_which_no_direction_was_said_holds_in_both() -> None:
    assert "direction" not in at(merged(remark("banned", 900)), "dismounts", "900 m")


@pytest.mark.parametrize("control", ["signals", "toucan", None])
def test_a_crossing_that_agrees_stays_as_sure_as_it_is(control) -> None:
    facts = {"control": control} if control else {}
    item = at(merged(remark("crossing", 602, **facts)), "crossings", "645 m")
    assert (item["control"], item["confidence"]) == ("signals", "sure")
    assert item["evidence"] == f"tags; {SAID}"


def test_a_crossing_that_is_told_otherwise_is_to_be_checked() -> None:
    item = at(merged(remark("crossing", 645, control="zebra")), "crossings", "645 m")
    assert (item["control"], item["confidence"]) == ("signals", "check")
    assert item["evidence"] == f"tags; {AGAINST}"


def test_a_control_of_which_the_map_is_not_sure_is_the_one_that_was_said() -> None:
    item = at(merged(remark("crossing", 1700, control="zebra")), "crossings", "1.700 km")
    assert (item["control"], item["confidence"], item["source"]) == ("zebra", "check", "map")
    sure = by_map()
    sure["crossings"][1]["confidence"] = "sure"
    item = at(
        merged(remark("crossing", 1700, control="zebra"), items=sure), "crossings", "1.700 km"
    )
    assert (item["control"], item["confidence"]) == ("none", "check")


def test_a_crossing_that_nobody_drafted_is_a_guess_without_a_name() -> None:
    item = at(merged(remark("crossing", 1000, control="zebra")), "crossings", "1.000 km")
    assert (item["road"], item["control"], item["confidence"]) == (ROAD, "zebra", "guess")
    item = at(merged(remark("crossing", 1000), items=NO_MAP), "crossings", "1.000 km")
    assert (item["control"], item["source"]) == ("none", "said")


def test_a_crossing_said_twice_is_one_and_its_control_the_one_that_was_said() -> None:
    twice = remark("crossing", 1000), remark("crossing", 1020, control="zebra")
    (item,) = merged(*twice, items=NO_MAP)["crossings"]
    assert (item["control"], item["confidence"]) == ("zebra", "guess")
    assert item["evidence"] == SAID


def test_one_hazard_said_twice_is_one() -> None:
    near = remark("hazard", 900, what="pothole"), remark("hazard", 924, what="Pothole")
    found = merged(*near, remark("hazard", 960, what="pothole"), remark("hazard", 905, what="bump"))
    assert [(h["at"], h["what"]) for h in found["hazards"]] == [
        ("900 m", "pothole"),
        ("905 m", "bump"),
        ("960 m", "pothole"),
    ]
    assert found["hazards"][0]["evidence"] == SAID


def test_what_to_look_out_for_is_named_in_a_few_of_the_words_that_were_said() -> None:
    said = "look out for the " + "very " * 20 + "tall silo"
    what = at(merged(remark("cue", 900, said=said)), "landmarks", "900 m")["what"]
    assert len(what) <= 80
    assert said.startswith(what.removesuffix("…"))
    assert what.endswith("very…")


def test_hours_are_to_be_looked_at_on_the_gate_or_else_the_leg() -> None:
    gate = at(merged(remark("hours", 1230, when="locked at night")), "barriers", "1.200 km")
    assert (gate["confidence"], gate["evidence"]) == ("check", f"tags; {SAID}")
    leg = at(merged(remark("hours", 900, when="locked at night")), "legs", "650 m")
    assert (leg["confidence"], leg["evidence"]) == ("check", f"residential; {SAID}")


def test_evidence_never_outgrows_what_notes_may_hold() -> None:
    long = [remark("hazard", 900, said=f"{n} " + "word " * 80, what="pothole") for n in range(30)]
    (item,) = merged(*long)["hazards"]
    assert 1500 < len(item["evidence"]) <= 2000
    assert item["evidence"].count("more was said or seen here") == 1
    assert (
        "\n" not in at(merged(remark("hazard", 900, said="a\nb")), "hazards", "900 m")["evidence"]
    )


def test_a_road_that_is_turned_into_is_not_crossed():
    """Of a road that begins ahead and is named, without a word of how one crosses."""
    said = "Left onto Mill Lane, no lights, so pick your gap."
    found = merged(remark("crossing", 330, said=said))
    assert len(found["crossings"]) == 2
    assert said in at(found, "legs", "400 m")["evidence"]


def test_a_ban_on_the_way_back_is_not_on_film():
    found = merged(remark("banned", 1700, direction="return"))
    (item,) = [d for d in found["dismounts"] if d["source"] == "said"]
    assert item["direction"] == "return"
    assert "film" not in item


def test_what_to_look_out_for_is_told_once():
    found = merged(remark("hazard", 900, what="hidden turn"), remark("cue", 900))
    assert [h["what"] for h in found["hazards"]] == ["hidden turn"]
    assert "landmarks" not in found
