"""What was said of the street makes no leg better than it was."""

from __future__ import annotations

import pytest

from draft.heard_on import AGAINST, FILM, NO_MAP, SAID, at, by_map, merged, remark
from softpedal.library.notes import Leg
from softpedal.measure.legs import measured_kind

BENDS = {"outbound": "Turn left, then right."}


def measured(leg):
    """Return the kind that a drafted leg counts as."""
    plain = {key: value for key, value in leg.items() if key != "film"}
    return measured_kind(Leg.model_validate(plain), leg["kind"])


def test_a_doubtful_back_street_is_said_to_be_filtered_and_counts_as_a_back_street() -> None:
    leg = at(merged(remark("filtered", 500, closed_by="planters")), "legs", "400 m")
    assert (leg["kind"], leg["closed_by"]) == ("filtered street", "planters")
    assert (leg["source"], leg["confidence"]) == ("said", "check")
    assert measured(leg) == "back street"


@pytest.mark.parametrize(
    ("metres", "start", "kind", "lowered"),
    [
        (100, "start", "back street", "check"),
        (700, "650 m", "busy road", "check"),
        (1450, "1.400 km", "on foot", "sure"),
        (1600, "1.500 km", "mixed street", "check"),
    ],
)
def test_no_other_leg_becomes_filtered_by_what_was_said(metres, start, kind, lowered) -> None:
    leg = at(merged(remark("filtered", metres, closed_by="planters")), "legs", start)
    assert (leg["kind"], leg["source"], leg["confidence"]) == (kind, "map", lowered)
    assert "closed_by" not in leg
    assert leg["evidence"] == f"residential; {SAID if kind == 'on foot' else AGAINST}"


def test_what_was_said_to_be_busy_is_not_filtered_whatever_else_was_said() -> None:
    found = merged(remark("filtered", 450, closed_by="planters"), remark("busy", 600))
    leg = at(found, "legs", "400 m")
    assert (leg["kind"], leg["confidence"]) == ("back street", "check")
    assert "closed_by" not in leg


def test_busy_is_held_against_a_quiet_leg_of_the_map_and_changes_no_kind() -> None:
    leg = at(merged(remark("busy", 100)), "legs", "start")
    assert (leg["kind"], leg["confidence"]) == ("back street", "check")
    assert leg["evidence"] == f"residential; {AGAINST}"
    leg = at(merged(remark("busy", 700)), "legs", "650 m")
    assert (leg["kind"], leg["confidence"], leg["evidence"]) == (
        "busy road",
        "sure",
        f"residential; {SAID}",
    )


def test_without_a_map_busy_makes_a_busy_road() -> None:
    (leg,) = merged(remark("busy", 700), items=NO_MAP)["legs"]
    assert (leg["kind"], leg["source"], leg["confidence"]) == ("busy road", "said", "guess")


def test_without_a_map_only_a_short_leg_is_said_to_be_filtered() -> None:
    assert merged(remark("filtered", 700), items=NO_MAP)["legs"][0]["kind"] == "mixed street"
    turns = [remark("cue", metres, turn="left") for metres in (600, 850)]
    found = merged(*turns, remark("filtered", 700, closed_by="posts"), items=NO_MAP)
    leg = at(found, "legs", "600 m")
    assert (leg["kind"], leg["closed_by"], leg["confidence"]) == (
        "filtered street",
        "posts",
        "guess",
    )
    assert measured(leg) == "back street"
    assert [leg["kind"] for leg in found["legs"]].count("mixed street") == 2


def test_a_drafted_leg_that_says_no_source_does_not_become_quiet() -> None:
    items = {"legs": [{"from": "start", "street": "Quay", "kind": "back street"}]}
    (leg,) = merged(remark("filtered", 700, closed_by="posts"), items=items)["legs"]
    assert leg["kind"] == "back street"


def test_a_kind_by_direction_or_hour_is_left_as_it_is() -> None:
    kinds = {"outbound": "back street", "return": "mixed street"}
    items = by_map()
    items["legs"][1]["kind"] = kinds
    items["legs"][0] = {k: v for k, v in items["legs"][0].items() if k != "kind"} | {
        "hours": {"Sa 08:00-12:00": "on foot", "otherwise": "back street"}
    }
    said = [remark(sort, m) for sort in ("busy", "filtered", "dismount") for m in (100, 500)]
    found = merged(*said, items=items)
    assert at(found, "legs", "400 m")["kind"] == kinds
    assert "kind" not in at(found, "legs", "start")


# -- turns


def test_a_turn_where_the_drafted_cue_has_it_is_evidence() -> None:
    leg = at(merged(remark("cue", 380, turn="left")), "legs", "400 m")
    assert (leg["evidence"], leg["film"]) == (f"residential; {SAID}", "4:10")
    assert leg["cue"]["outbound"] == "Left onto Mill Lane."


def test_the_other_turn_is_held_against_the_leg_if_it_is_well_placed() -> None:
    leg = at(merged(remark("cue", 660, turn="left")), "legs", "650 m")
    assert (leg["confidence"], leg["evidence"]) == ("check", f"residential; {AGAINST}")
    leg = at(merged(remark("cue", 660, 60, turn="left")), "legs", "650 m")
    assert (leg["confidence"], leg["evidence"]) == ("sure", f"residential; {SAID}")


def test_a_turn_within_a_leg_of_the_map_makes_no_new_leg() -> None:
    found = merged(remark("cue", 1000, turn="left"))
    assert len(found["legs"]) == 5
    assert at(found, "legs", "650 m")["evidence"] == f"residential; {SAID}"


def test_without_a_map_a_leg_begins_where_a_turn_was_said() -> None:
    found = merged(remark("cue", 700, turn="left"), remark("cue", 720, turn="right"), items=NO_MAP)
    first, second = found["legs"]
    assert first == NO_MAP["legs"][0]
    assert second["from"] == "700 m"
    assert second["cue"] == {"outbound": "Turn left, then right."}
    assert second["street"] == first["street"]
    assert second["evidence"] == f"{first['evidence']}; {SAID}"
    assert (second["source"], second["confidence"]) == ("said", "guess")


def test_a_turn_said_twice_is_one_turn() -> None:
    twice = [remark("cue", metres, turn="left") for metres in (700, 730)]
    assert at(merged(*twice, items=NO_MAP), "legs", "700 m")["cue"] == {"outbound": "Turn left."}


def test_a_turn_that_the_line_has_is_evidence_and_no_other_cue_of_the_line_changes() -> None:
    items = {"legs": [*NO_MAP["legs"], NO_MAP["legs"][0] | {"from": "700 m", "cue": BENDS}]}
    for turn, off_m, metres in (("right", 10, 690), ("left", 100, 790), ("straight", 10, 690)):
        found = merged(remark("cue", metres, off_m, turn=turn), items=items, has_map=False)
        assert at(found, "legs", "700 m")["cue"] == BENDS
        assert at(found, "legs", "700 m")["evidence"].endswith(SAID)
        assert len(found["legs"]) == 2


def test_the_way_back_of_a_leg_that_is_cut_goes_with_its_end() -> None:
    items = {"legs": [NO_MAP["legs"][0] | {"cue": {"outbound": "Start.", "return": "Turn round."}}]}
    found = merged(remark("cue", 700, turn="left"), items=items, has_map=False)["legs"]
    assert [leg["cue"] for leg in found] == [
        {"outbound": "Start."},
        {"outbound": "Turn left.", "return": "Turn round."},
    ]


def test_a_turn_near_the_start_is_put_behind_the_start() -> None:
    items = {"legs": [NO_MAP["legs"][0] | {"cue": {"outbound": "Start heading east."}}]}
    found = merged(remark("cue", 20, turn="left"), items=items, has_map=False)["legs"]
    assert [leg["cue"] for leg in found] == [{"outbound": "Start heading east. Turn left."}]


def test_a_turn_that_is_badly_placed_begins_no_leg() -> None:
    (leg,) = merged(remark("cue", 700, 60, turn="left"), items=NO_MAP)["legs"]
    assert leg["evidence"].endswith(SAID)


def test_straight_on_and_the_finish_begin_no_leg() -> None:
    said = [remark("cue", 700, turn="straight"), remark("cue", 1970, turn="left")]
    (leg,) = merged(*said, items=NO_MAP)["legs"]
    assert leg["evidence"].count("said at") == 1
    assert "cue" not in leg


# -- what a leg is like


@pytest.mark.parametrize(
    ("sort", "facts", "key", "value"),
    [
        ("surface", {"surface": "rough"}, "surface", "rough"),
        ("lit", {"value": "no"}, "lit", "no"),
        ("lit", {"value": "yes"}, "lit", "yes"),
        ("wet", {"value": "floods after rain"}, "wet", "floods after rain"),
        ("walkers", {"value": "many"}, "walkers", "many"),
        ("company", {"value": "out of sight"}, "company", "out of sight"),
    ],
)
def test_what_the_map_does_not_say_of_a_leg_is_taken_from_speech(sort, facts, key, value) -> None:
    leg = at(merged(remark(sort, 500, **facts)), "legs", "400 m")
    assert leg[key] == value
    assert leg["evidence"] == f"residential; {SAID}"
    assert list(leg).index(key) < list(leg).index("source")


@pytest.mark.parametrize(
    ("sort", "facts", "key"),
    [
        ("surface", {"surface": "smooth"}, "surface"),
        ("lit", {"value": "yes"}, "lit"),
        ("walkers", {"value": "few"}, "walkers"),
        ("company", {"value": "overlooked"}, "company"),
    ],
)
def test_good_news_of_one_place_is_not_told_of_a_long_leg(sort, facts, key) -> None:
    leg = at(merged(remark(sort, 700, **facts)), "legs", "650 m")
    assert key not in leg
    assert leg["evidence"] == f"residential; {SAID}"


def test_what_the_map_says_otherwise_stays_and_is_to_be_checked() -> None:
    items = by_map()
    items["legs"][0] |= {"lit": "yes", "surface": {"outbound": "smooth", "return": "fair"}}
    items["legs"][1]["from"] = "200 m"
    said = [remark("lit", 100, value="no"), remark("surface", 100, surface="cobbles")]
    leg = at(merged(*said, items=items), "legs", "start")
    assert (leg["lit"], leg["surface"]["outbound"], leg["confidence"]) == ("yes", "smooth", "check")
    assert leg["evidence"] == f"residential; {AGAINST}"


@pytest.mark.parametrize("order", [("yes", "no"), ("no", "yes")])
def test_of_two_things_that_were_said_the_worse_holds(order) -> None:
    said = [remark("lit", 450 + 50 * n, value=value) for n, value in enumerate(order)]
    leg = at(merged(*said), "legs", "400 m")
    assert leg["lit"] == "no"
    assert "against" not in leg["evidence"]


def test_a_bad_surface_at_one_place_of_a_long_leg_is_a_hazard() -> None:
    found = merged(remark("surface", 900, surface="cobbles"))
    assert at(found, "hazards", "900 m")["what"] == "cobbles"
    assert found["legs"] == by_map()["legs"]
    items = by_map()
    items["legs"][2]["surface"] = "cobbles"
    assert "hazards" not in merged(remark("surface", 900, surface="cobbles"), items=items)


def test_each_leg_has_its_second_of_the_film() -> None:
    legs = merged(film=FILM)["legs"]
    assert [leg["film"] for leg in legs] == ["0:00", "1:40", "2:42", "5:50", "6:15"]
