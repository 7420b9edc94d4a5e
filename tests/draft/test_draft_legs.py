"""Stretches of both directions → legs; and the stretches of a chain."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from draft.ridden import off_the_map, ridden, town_of
from softpedal.draft.draft_legs import TRAFFIC_FLICKER_M, draft_legs, short_pushes
from softpedal.draft.spans import OFF_THE_MAP, Span, spans, turned
from streets.small_network import network

KINDS = ("back street", "busy road", "filtered street", "on foot")


def row(*stretches):
    """Return spans of (metres, street, kind, other fields)."""
    found, at = [], 0.0
    for metres, street, kind, *more in stretches:
        found.append(Span(at, at + metres, street, True, kind, **(more[0] if more else {})))
        at += metres
    return found


def both(*stretches):
    found = row(*stretches)
    return draft_legs(found, found)


def told(legs):
    return [(round(leg.length_m), leg.lead.street, leg.lead.kind) for leg in legs]


def test_stretches_of_one_street_and_kind_are_one_leg():
    legs = both((100, "Mill Lane", "back street"), (80, "Mill Lane", "back street"))
    assert told(legs) == [(180, "Mill Lane", "back street")]


def test_another_street_or_kind_is_another_leg():
    legs = both(
        (100, "Mill Lane", "back street"),
        (80, "Dock Road", "back street"),
        (60, "Dock Road", "busy road"),
    )
    assert told(legs) == [
        (100, "Mill Lane", "back street"),
        (80, "Dock Road", "back street"),
        (60, "Dock Road", "busy road"),
    ]


def test_a_flicker_goes_into_the_same_street():
    legs = both(
        (100, "Mill Lane", "back street"),
        (24, "Mill Lane", "filtered street"),
        (300, "Dock Road", "busy road"),
    )
    assert told(legs) == [(124, "Mill Lane", "back street"), (300, "Dock Road", "busy road")]


def test_a_few_metres_among_traffic_are_told():
    legs = both(
        (100, "Mill Lane", "filtered street"),
        (20, "Dock Road", "busy road"),
        (300, "Quay", "filtered street"),
    )
    assert told(legs)[1] == (20, "Dock Road", "busy road")
    assert len(told(legs)) == 3


def test_a_flicker_between_others_goes_into_the_longer_one():
    legs = both(
        (100, "Mill Lane", "back street"),
        (10, "Quay", "filtered street"),
        (300, "Dock Road", "busy road"),
    )
    assert told(legs) == [(100, "Mill Lane", "back street"), (310, "Dock Road", "busy road")]


def test_what_is_no_flicker_stays():
    legs = both(
        (100, "Mill Lane", "back street"),
        (26, "Mill Lane", "busy road"),
        (100, "Mill Lane", "back street"),
    )
    assert [leg.lead.kind for leg in legs] == ["back street", "busy road", "back street"]


def test_a_direction_of_its_own_makes_a_leg():
    out = row((200, "Mill Lane", "back street"))
    back = row((100, "Mill Lane", "back street"), (100, "Mill Lane", "on foot"))
    legs = draft_legs(out, back)
    assert [(leg.lead.kind, leg.lead_back.kind) for leg in legs] == [
        ("back street", "back street"),
        ("back street", "on foot"),
    ]


@pytest.mark.parametrize("shift", [110, 115, 120])
@pytest.mark.parametrize("is_back", [True, False])
def test_a_stretch_of_30_m_is_kept_where_the_other_direction_changes_within_it(shift, is_back):
    one = row(
        (100, "Mill Lane", "back street"),
        (30, "Mill Lane", "busy road"),
        (200, "Mill Lane", "back street"),
    )
    other = row((shift, "Mill Lane", "filtered street"), (330 - shift, "Mill Lane", "back street"))
    legs = draft_legs(other, one) if is_back else draft_legs(one, other)
    kinds = [(leg.lead_back if is_back else leg.lead).kind for leg in legs]
    assert "busy road" in kinds


# pushes


def push(metres, why="no entry"):
    return (metres, "Mill Lane", "on foot", {"why_push": why, "evidence": "a sign"})


def streets_about(*pushes):
    return [(200, "Mill Lane", "back street"), *pushes, (200, "Mill Lane", "back street")]


def pushes_of(*found):
    legs = both(*streets_about(*found))
    return [
        (round(s.from_m), round(s.length_m), s.why_push) for s in short_pushes(legs, back=False)
    ]


def test_a_push_too_short_for_a_leg_is_kept_with_its_metres():
    assert pushes_of(push(20)) == [(200, 20, "no entry")]
    assert pushes_of(push(15)) == [(200, 15, "no entry")]
    assert pushes_of(push(14)) == []


@pytest.mark.parametrize("why", ["steps", "cycles are to be pushed"])
def test_steps_and_signs_are_kept_however_short(why):
    assert pushes_of(push(3, why)) == [(200, 3, why)]


def test_a_push_that_is_a_leg_is_told_once():
    legs = both(*streets_about(push(40)))
    assert [leg.lead.kind for leg in legs] == ["back street", "on foot", "back street"]
    assert short_pushes(legs, back=False) == []


def test_pushes_that_follow_on_each_other_are_one():
    assert pushes_of(push(8), push(9)) == [(200, 17, "no entry")]
    assert pushes_of(push(8), push(10, "pedestrians only")) == [(200, 18, "pedestrians only")]
    assert pushes_of(push(4), push(5, "steps")) == [(204, 5, "steps")]


def test_a_push_belongs_to_its_direction():
    out = row((420, "Mill Lane", "back street"))
    legs = draft_legs(out, row(*streets_about(push(20))))
    assert short_pushes(legs, back=False) == []
    assert [s.length_m for s in short_pushes(legs, back=True)] == [20]


# by chance


@st.composite
def span_rows(draw, length_m, least=1.0):
    count = draw(st.integers(1, 8))
    parts = draw(st.lists(st.floats(least, 300.0), min_size=count, max_size=count))
    scale = length_m / sum(parts)
    return row(
        *(
            (
                part * scale,
                draw(st.sampled_from(["Mill Lane", "Quay"])),
                draw(st.sampled_from(KINDS)),
            )
            for part in parts
        )
    )


@given(st.data())
def test_legs_cover_the_line_without_a_gap(data):
    length_m = data.draw(st.floats(30, 3000))
    out, back = data.draw(span_rows(length_m)), data.draw(span_rows(length_m))
    end = max(out[-1].to_m, back[-1].to_m)
    legs = draft_legs(out, back)
    assert legs[0].from_m == 0.0
    assert legs[-1].to_m == end
    assert all(a.to_m == b.from_m for a, b in pairwise(legs))
    assert len(legs) == 1 or min(leg.length_m for leg in legs) >= TRAFFIC_FLICKER_M
    for leg in legs:
        for side in (leg.out, leg.back):
            assert side[0].from_m == leg.from_m
            assert side[-1].to_m == leg.to_m
            assert all(a.to_m == b.from_m for a, b in pairwise(side))


@given(st.data())
def test_each_stretch_of_some_length_is_told_in_its_direction(data):
    """Stretches of 60 m and more both ways: each is the kind of most of its own metres."""
    n = data.draw(st.integers(2, 6)), data.draw(st.integers(2, 6))
    rows = []
    for count in n:
        kinds = data.draw(st.permutations([*KINDS, "bus lane", "painted lane"]))[:count]
        cuts = data.draw(st.lists(st.integers(0, 200), min_size=count, max_size=count))
        rows.append(
            [(60.0 + cut, "Mill Lane", kind) for cut, kind in zip(cuts, kinds, strict=True)]
        )
    longer = max(sum(s[0] for s in stretches) for stretches in rows)
    for stretches in rows:
        metres, street, kind = stretches[-1]
        rest = longer - sum(s[0] for s in stretches)
        stretches[-1] = (metres + rest, street, kind)
    out, back = row(*rows[0]), row(*rows[1])
    legs = draft_legs(out, back)
    for side, lead in ((out, "lead"), (back, "lead_back")):
        for span in side:
            right = sum(
                min(leg.to_m, span.to_m) - max(leg.from_m, span.from_m)
                for leg in legs
                if getattr(leg, lead).kind == span.kind
                and leg.to_m > span.from_m
                and leg.from_m < span.to_m
            )
            assert right >= 0.5 * span.length_m - 1e-6


def test_ends_that_differ_by_millimetres_leave_no_gap():
    out = [Span(0, 100.0, "A", True, "back street"), Span(100.0, 200.0, "B", True, "busy road")]
    back = [Span(0, 100.004, "A", True, "on foot"), Span(100.004, 200.0, "B", True, "busy road")]
    legs = draft_legs(out, back)
    assert [(leg.from_m, leg.to_m) for leg in legs] == [(0.0, 100.0), (100.0, 200.0)]


# facts


def facts(*stretches):
    (leg,) = both(*((metres, "Mill Lane", "back street", {"facts": f}) for metres, f in stretches))
    return leg.facts()


def test_the_worst_surface_and_the_highest_speed_are_told():
    found = facts(
        (60, {"surface": "smooth", "speed_limit": "30 mph", "lanes": 2}),
        (40, {"surface": "cobbles", "speed_limit": "60 km/h", "lanes": 4}),
    )
    assert found == {"surface": "cobbles", "speed_limit": "60 km/h", "lanes": 4}


def test_the_narrowest_lane_and_parking_are_told():
    found = facts(
        (60, {"lane_width": "1.5 m", "parking_width": "2 m"}),
        (40, {"lane_width": "1.2 m", "parking_width": "2.5 m"}),
    )
    assert found == {"lane_width": "1.2 m", "parking_width": "2 m"}


def test_a_flicker_of_a_fact_is_not_told_of_the_whole():
    assert facts((90, {"surface": "smooth"}), (10, {"surface": "rough"})) == {"surface": "smooth"}


@pytest.mark.parametrize(
    ("one", "other", "lit"),
    [
        ("yes", "yes", "yes"),
        ("yes", "no", "partly"),
        ("yes", None, "partly"),
        ("no", None, "no"),
        ("no", "no", "no"),
        ("partly", "yes", "partly"),
        (None, None, None),
    ],
)
def test_what_is_lit_in_part(one, other, lit):
    found = facts(*((50, {"lit": value} if value else {}) for value in (one, other)))
    assert found.get("lit") == lit


def test_good_news_must_be_known_of_the_whole():
    good = {"surface": "smooth", "parking": False, "residential": True, "speed_limit": "20 mph"}
    assert facts((100, good)) == good
    assert facts((40, good), (60, {})) == {}
    bad = {"surface": "rough", "parking": True}
    assert facts((40, bad), (60, {})) == bad


def test_parking_on_a_part_is_parking():
    assert facts((50, {"parking": True}), (50, {"parking": False})) == {"parking": True}


# sureness and evidence


def test_a_leg_is_as_sure_as_its_least_sure_stretch():
    (leg,) = both(
        (100, "Mill Lane", "back street", {"evidence": "a tag"}),
        (20, "Mill Lane", "back street", {"confidence": "guess", "may_lie": True}),
    )
    assert leg.confidence == "guess"
    assert leg.evidence == "a tag; the ride may have gone another way here"


def test_a_flicker_makes_no_leg_unsure():
    (leg,) = both(
        (100, "Mill Lane", "back street"),
        (10, "Mill Lane", "back street", {"confidence": "guess"}),
    )
    assert leg.confidence == "sure"


def test_what_closes_a_street_is_told_once():
    (leg,) = both(
        (100, "Mill Lane", "filtered street", {"closed_by": "posts"}),
        (100, "Mill Lane", "filtered street", {"closed_by": "posts"}),
        (100, "Mill Lane", "filtered street", {"closed_by": "a gate"}),
    )
    assert leg.closed_by == "posts; a gate"


# the stretches of a chain

A, B, C, D = (0, 0), (0, 100), (0, 200), (0, 300)


def lane(first="residential Mill Lane", second="residential Mill Lane"):
    return network([((A, B), first), ((B, C), second), ((C, D), second)])


def test_spans_go_from_start_to_end():
    net = lane(second="primary Dock Road")
    chain = ridden(net, A, B, C, D)
    found = spans(town_of(net), chain)
    assert [(s.street, s.kind) for s in found] == [
        ("Mill Lane", "back street"),
        ("Dock Road", "busy road"),
        ("Dock Road", "busy road"),
    ]
    assert found[0].from_m == 0.0
    assert found[-1].to_m == chain.length_m
    back = turned(spans(town_of(net), chain.turned()), chain.length_m)
    for key in ("from_m", "to_m"):
        wanted = [getattr(s, key) for s in found]
        assert [getattr(s, key) for s in back] == pytest.approx(wanted)


@pytest.mark.parametrize("after", [-1, 0, 2])
def test_a_break_is_off_the_map_and_never_quiet(after):
    net = lane()
    chain = off_the_map(ridden(net, A, B, C, D), after, 80.0)
    found = spans(town_of(net), chain)
    (off,) = [s for s in found if s.street == OFF_THE_MAP]
    assert (off.kind, off.confidence, off.is_named) == ("mixed street", "guess", False)
    assert off.length_m == pytest.approx(80)
    assert all(a.to_m == b.from_m for a, b in pairwise(found))
    assert (found[0].from_m, found[-1].to_m) == (0.0, chain.length_m)
    legs = draft_legs(found, found)
    assert [leg.lead.kind for leg in legs].count("mixed street") == 1


def test_a_short_break_between_the_same_is_more_of_it_to_be_checked():
    net = lane()
    chain = off_the_map(ridden(net, A, B, C, D), 0, 50.0)
    found = spans(town_of(net), chain)
    assert {s.kind for s in found} == {"back street"}
    assert found[1].length_m == pytest.approx(50)
    assert found[1].confidence == "check"
    (leg,) = draft_legs(found, found)
    assert leg.confidence == "check"


def test_a_short_break_is_no_surer_than_the_street_before():
    net = lane()
    chain = off_the_map(ridden(net, A, B, C, D, confidence="guess"), 0, 50.0)
    assert spans(town_of(net), chain)[1].confidence == "guess"


def test_a_street_without_a_name_has_its_number():
    net = lane(first="primary; ref=B 12")
    (first, *_) = spans(town_of(net), ridden(net, A, B, C, D))
    assert (first.street, first.is_named) == ("B 12", True)


def test_a_piece_of_no_length_is_no_stretch():
    net = lane()
    chain = ridden(net, A, B, C)
    empty = replace(chain.pieces[1], to_m=chain.pieces[1].from_m)
    chain = replace(chain, pieces=(chain.pieces[0], empty, chain.pieces[1]))
    assert len(spans(town_of(net), chain)) == 2


def test_a_short_break_between_kinds_is_off_the_map():
    net = lane(second="primary Dock Road")
    found = spans(town_of(net), off_the_map(ridden(net, A, B, C, D), 0, 50.0))
    assert [s.kind for s in found][:3] == ["back street", "mixed street", "busy road"]


def test_an_unsure_piece_makes_an_unsure_stretch():
    net = lane(first="living_street")
    (first, *_) = spans(town_of(net), ridden(net, A, B, C, D, confidence="guess"))
    assert (first.confidence, first.may_lie) == ("guess", True)
    assert (first.street, first.is_named) == ("Shared street without a name", False)
