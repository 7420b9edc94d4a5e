"""What was observed makes notes that load, and that drafting again treats as it does the map's."""

from __future__ import annotations

import copy

import pytest
from hypothesis import given
from hypothesis import strategies as st

from building import line_east, make_route, notes, track_of
from draft.heard_on import FILM, LENGTH_M, NO_MAP, by_map, merged, remark
from softpedal.draft.heard import with_observed
from softpedal.draft.merge import merge
from softpedal.draft.notes_text import notes_text
from softpedal.draft.observed import Mark, Observed, Remark, Stop, Suggestion
from softpedal.draft.phrase_table import FACTS
from softpedal.draft.written import comments_of, metres_of
from softpedal.library.load import load_route
from softpedal.library.yaml_source import read_yaml
from softpedal.measure.legs import is_drafted
from softpedal.measure.route_measures import measure
from softpedal.settings import Settings

TRACK = track_of(line_east(LENGTH_M))
metres = st.floats(0, LENGTH_M)
FREE = ["speed humps", "planters", "floods: after rain #1", "a gate; \"shut\" 'at' night"]


@st.composite
def remarks(draw):
    sort = draw(st.sampled_from(sorted(FACTS)))
    facts = {
        name: draw(st.sampled_from(values or FREE))
        for name, values in FACTS[sort].items()
        if draw(st.booleans())
    }
    said = draw(st.sampled_from(["Left here; then on.", "Mind: <b>this</b> #2", "word " * 70]))
    second = draw(st.floats(0, 4000))
    return Remark(draw(metres), draw(st.floats(0, 100)), Suggestion(second, said, sort, facts))


rides = st.builds(
    Observed,
    stops=st.lists(st.builds(Stop, metres, st.floats(0, 400)), max_size=4).map(tuple),
    marks=st.lists(st.builds(Mark, metres, st.sampled_from(["", "Weir: #1", "2"])), max_size=4).map(
        lambda found: tuple(sorted(found, key=lambda mark: mark.at_m))
    ),
    remarks=st.lists(remarks(), max_size=12).map(tuple),
    film=st.sampled_from([(), FILM]),
)
drafts = st.sampled_from([by_map(), NO_MAP])


def document(items):
    return notes(status="draft", ridden=None, legs=None) | items


def text_of(items):
    return notes_text(document(items), comments_of(items, TRACK))


def figures(tmp_path_factory, items):
    """Return the measures outbound of a route with such notes; they must load."""
    folder = make_route(tmp_path_factory.mktemp("library"), text_of(items), line_east(LENGTH_M))
    loaded = load_route(folder, Settings())
    assert loaded.route is not None, [str(problem) for problem in loaded.problems]
    return loaded.route, measure(loaded.route, Settings()).outbound.leading.figures


@given(drafts, rides)
def test_what_was_observed_makes_notes_that_load_and_flatter_nothing(
    tmp_path_factory, items, observed
) -> None:
    before = copy.deepcopy(items)
    found = with_observed(items, observed, LENGTH_M, has_map=items != NO_MAP)
    assert items == before
    for name, listed in found.items():
        key = "from" if name == "legs" else "at"
        chainages = [metres_of(item[key], LENGTH_M) for item in listed]
        assert chainages == sorted(chainages)
        assert name != "legs" or len(set(chainages)) == len(chainages)
    route, after = figures(tmp_path_factory, found)
    _, drafted = figures(tmp_path_factory, before)
    line = route.along
    items_of = [*line.legs, *line.crossings, *line.dismounts, *line.hazards, *line.landmarks]
    for placed in items_of:
        assert is_drafted(placed.item)
        assert placed.item.source.outbound != "said" or placed.item.confidence != "sure"
    assert after.quietness <= drafted.quietness + 1e-9
    assert after.dismounts >= drafted.dismounts
    assert after.busy >= drafted.busy
    assert after.crossings >= drafted.crossings


@given(drafts, rides)
def test_drafting_again_without_news_leaves_the_file_to_the_letter(items, observed) -> None:
    found = with_observed(items, observed, LENGTH_M, has_map=items != NO_MAP)
    text = text_of(found)
    again = merge(document(found), text, document(found), LENGTH_M)
    assert (again.text, again.changes) == (text, ())


@given(drafts, rides, rides)
def test_drafting_again_after_another_ride_follows_it(items, one, other) -> None:
    first, second = (
        with_observed(items, r, LENGTH_M, has_map=items != NO_MAP) for r in (one, other)
    )
    comments = comments_of(second, TRACK)
    again = merge(document(first), text_of(first), document(second), LENGTH_M, comments=comments)
    source, problems = read_yaml(again.text.encode(), "notes.yml")
    assert problems == []
    for name in ("hazards", "landmarks", "dismounts", "crossings"):
        mine = source.data.get(name, [])
        assert sorted(map(str, map(sorted, (i.items() for i in mine)))) == sorted(
            map(str, map(sorted, (i.items() for i in second.get(name, []))))
        )


SAID = merged(
    remark("hazard", 900, what="pothole"), remark("dismount", 1000), marks=((800, "Weir gate"),)
)


@pytest.mark.parametrize("name", ["hazards", "dismounts", "landmarks"])
def test_what_an_author_has_confirmed_stays_when_it_is_not_said_again(name) -> None:
    mine = copy.deepcopy(SAID)
    mine[name][-1] |= {"source": "ridden", "note": "I went back and looked."}
    again = merge(document(SAID), text_of(mine), document(by_map()), LENGTH_M)
    source, _ = read_yaml(again.text.encode(), "notes.yml")
    assert source.data[name][-1] == mine[name][-1]
    gone = [c for c in again.changes if c.sort == "removed"]
    assert len(gone) == 2
    assert {change.reason for change in gone} == {"the ride tells of it no more"}
    (kept,) = [c.reason for c in again.changes if c.sort == "kept"]
    assert kept == "the ride tells of it no more, but you wrote or confirmed it"


def test_a_mark_that_was_filled_in_stays_and_one_taken_out_does_not_come_back() -> None:
    mine = copy.deepcopy(SAID)
    mine["landmarks"][0] = {"at": "800 m", "what": "The weir's gate, green"}
    del mine["hazards"]
    again = merge(document(SAID), text_of(mine), document(SAID), LENGTH_M)
    assert again.text == text_of(mine)
    assert [change.reason for change in again.changes] == [
        "the ride still tells of it, but you took it out"
    ]


def test_what_is_said_for_the_first_time_is_put_in_as_said() -> None:
    drafted = document(by_map())
    again = merge(
        drafted,
        text_of(by_map()),
        document(SAID),
        LENGTH_M,
        comments=comments_of(SAID, TRACK),
    )
    source, _ = read_yaml(again.text.encode(), "notes.yml")
    assert source.data["hazards"] == SAID["hazards"]
    assert source.data["landmarks"] == SAID["landmarks"]
    assert "at: 900 m   # 50.00000, -19.98" in again.text
