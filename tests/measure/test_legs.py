"""What a leg counts as: by evidence, by direction and by time."""

from __future__ import annotations

import itertools

import pytest

from building import leg, line_east, measures_of, notes
from softpedal.library.notes import Leg
from softpedal.measure.legs import has_evidence, measured_kind, noted_kind


def figures_of(*legs, direction="outbound"):
    return measures_of(notes(legs=list(legs))).of(direction).leading.figures


def test_a_filtered_street_without_evidence_counts_as_a_back_street():
    figures = figures_of(leg("start", "filtered street"))
    assert figures.quietness == 0
    assert figures.metres_by_kind["back street"] == pytest.approx(2000, abs=1e-6)
    assert figures.metres_by_kind["filtered street"] == 0
    assert figures.level == 2


def test_a_filtered_street_with_what_closes_it_is_quiet_and_level_1():
    figures = figures_of(leg("start", "filtered street", closed_by="planters at Mill Lane"))
    assert (figures.quietness, figures.level) == (1.0, 1)


@pytest.mark.parametrize(
    ("more", "counts"),
    [
        ({"confidence": "sure", "evidence": "a bollard closes the only way out"}, True),
        ({"confidence": "check", "evidence": "a bollard closes the only way out"}, False),
        ({"confidence": "guess", "evidence": "a bollard"}, False),
        ({"confidence": "sure"}, False),
        ({"source": "ridden"}, False),
        ({"source": "map", "confidence": "sure", "evidence": "a bollard"}, True),
        ({"source": "map", "confidence": "check", "closed_by": "a bollard"}, False),
        ({"source": "said", "confidence": "check", "closed_by": "a bollard"}, False),
        ({"source": "said", "confidence": "sure", "evidence": "said at 4:10"}, False),
        ({"source": {"outbound": "said"}, "confidence": "guess", "closed_by": "posts"}, False),
        ({"source": "ridden", "confidence": "check", "closed_by": "posts"}, True),
    ],
)
def test_the_map_analysis_is_evidence_only_when_sure(more, counts):
    noted = Leg.model_validate(leg("start", "filtered street", **more))
    assert has_evidence(noted) is counts
    expected = "filtered street" if counts else "back street"
    assert measured_kind(noted, "filtered street") == expected


def test_a_kind_may_differ_by_direction():
    kind = {"outbound": "protected track", "return": "painted lane"}
    one = leg("start", kind)
    assert figures_of(one).quietness == 1
    assert figures_of(one, direction="return").quietness == 0


def test_of_a_legs_hours_the_first_that_is_open_wins():
    hours = {
        "Mo-Fr 08:00-10:00": "busy road",
        "Mo-Su 06:00-20:00": {"outbound": "bus lane", "return": "painted lane"},
        "otherwise": "back street",
    }
    noted = Leg.model_validate(leg("start", hours=hours))
    both = {"Mo-Fr 08:00-10:00": True, "Mo-Su 06:00-20:00": True}
    assert noted_kind(noted, "outbound", both) == "busy road"
    later = {"Mo-Su 06:00-20:00": True}
    assert noted_kind(noted, "outbound", later) == "bus lane"
    assert noted_kind(noted, "return", later) == "painted lane"
    assert noted_kind(noted, "return", {}) == "back street"


def test_legs_leave_no_gap_and_do_not_overlap():
    legs = [leg("start", "back street"), leg("0.7 km", "on foot"), leg("1.1 km", "bus lane")]
    measures = measures_of(notes(legs=legs), line_east(2345))
    for direction in ("outbound", "return"):
        met = [stretch for stretch, _ in measures.of(direction).leading.legs]
        assert met[0].from_m == 0
        assert met[-1].to_m == measures.outbound.length_m
        assert all(a.to_m == b.from_m for a, b in itertools.pairwise(met))
    assert [stretch.kind for stretch, _ in measures.way_back.leading.legs] == [
        "bus lane",
        "on foot",
        "back street",
    ]


@pytest.mark.parametrize(
    ("source", "confidence", "counts"),
    [
        ("map", "sure", True),
        ("map", "check", False),
        ("map", "guess", False),
        ("ridden", "check", True),
        ("map", None, True),
    ],
)
def test_what_a_draft_doubts_counts_once_somebody_has_seen_it(source, confidence, counts):
    marks = {"confidence": confidence} if confidence else {}
    noted = Leg.model_validate(
        leg("start", "filtered street", closed_by="planters", source=source, **marks)
    )
    assert has_evidence(noted) is counts
    assert measured_kind(noted, "filtered street") == (
        "filtered street" if counts else "back street"
    )
