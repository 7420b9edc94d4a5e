"""From a file to reports.yml: twice is once, and nothing of the sender is kept."""

import datetime as dt

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as runs
from hypothesis import strategies as st

from building import make_route
from softpedal.library.load import load_route
from softpedal.library.report_reference import Reference
from softpedal.library.reports import FILE_NAME, add_reports, load_reports, set_state
from softpedal.upkeep.reports.importing import import_messages, report_of
from softpedal.upkeep.reports.messages import Message, Read
from softpedal.upkeep.reports.sorting import sort_of

TODAY = "2026-06-01"
ID = "ferry-steps-to-chapel-green"


@pytest.fixture
def routes(tmp_path):
    return [load_route(make_route(tmp_path)).route]


def bring(library, messages, routes=(), today=TODAY):
    return import_messages(library, Read("mbox", list(messages)), routes, today)


def test_a_message_becomes_a_report(tmp_path, routes):
    message = Message(
        "Hi Ada,\nthe gate at 1.24 km is shut now.\n\nBest wishes\nBea Quill",
        subject=f"Bea on {ID}",
        on="2026-05-21",
        names=("Bea Quill",),
    )
    (made,) = bring(tmp_path, [message], routes).added
    assert (made.route, made.at.text, made.sort, made.on) == (
        ID,
        "1.24 km",
        "changed",
        "2026-05-21",
    )
    assert made.text == "the gate at 1.24 km is shut now."
    assert load_reports(tmp_path).reports == (made,)
    written = (tmp_path / FILE_NAME).read_text(encoding="utf-8")
    assert not [word for word in ("Ada", "Bea", "Quill", "@") if word in written]


def test_a_title_of_an_issue_belongs_to_its_text(tmp_path):
    (made,) = bring(tmp_path, [Message("Since May.", title="Gate shut")]).added
    assert made.text == "Gate shut\nSince May."
    assert made.on == TODAY


def test_what_was_closed_by_hand_stays_closed(tmp_path):
    messages = [Message("Gate shut.", on="2026-05-21")]
    (made,) = bring(tmp_path, messages).added
    set_state(tmp_path, [made.key], "done")
    again = bring(tmp_path, messages)
    assert (again.added, [r.state for r in again.known]) == ([], ["done"])


def test_a_message_without_a_day_is_the_same_on_another_day(tmp_path):
    messages = [Message("Gate shut.")]
    bring(tmp_path, messages)
    assert bring(tmp_path, messages, today="2026-07-01").added == []
    assert bring(tmp_path, [Message("Gate shut.", on="2026-07-01")]).added != []


def test_a_message_of_which_nothing_is_left_is_told(tmp_path):
    done = bring(tmp_path, [Message("> quoted"), Message("Gate shut.")])
    assert len(done.added) == 1
    assert [str(s) for s in done.skipped] == ["Message 1: nothing is left that can be kept"]


MESSAGES = st.builds(
    Message,
    st.text(st.characters(codec="utf-8", exclude_categories=["Cs"]), max_size=60),
    title=st.sampled_from(["", "Gate shut", 'A "title": {x}\r\n\u202e# y']),
    on=st.dates(dt.date(2020, 1, 1), dt.date(2027, 1, 1)).map(str) | st.just(""),
    names=st.sampled_from([(), ("Bea Quill",), ("(*[",)]),
    route=st.sampled_from(["", "a-b"]),
    at=st.sampled_from(["", "1.2 km", "x"]),
)


@runs(deadline=None, max_examples=80, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(messages=st.lists(MESSAGES, max_size=5), more=st.lists(MESSAGES, max_size=2))
def test_importing_twice_is_importing_once(tmp_path, messages, more):
    (tmp_path / FILE_NAME).unlink(missing_ok=True)
    first = bring(tmp_path, messages)
    if not first.added:
        assert not (tmp_path / FILE_NAME).exists()
        return
    before = (tmp_path / FILE_NAME).read_bytes()
    again = bring(tmp_path, [*messages, *messages], today="2026-06-02")
    assert again.added == []
    assert {r.key for r in again.known} == {r.key for r in first.added}
    assert (tmp_path / FILE_NAME).read_bytes() == before
    bring(tmp_path, [*messages, *more])
    assert (tmp_path / FILE_NAME).read_bytes().startswith(before)


def test_the_key_is_that_of_text_route_and_day(routes):
    def key(text, **more):
        return report_of(Message(text, **more), routes, TODAY).key

    assert key("Gate shut.") == key("Hello,\nGate  shut.\n-- \nBea")
    assert len({key("a"), key("b"), key("a", on="2026-05-21"), key("a", route="x-y")}) == 4


def test_the_same_words_of_two_places_are_two_reports(tmp_path, routes):
    ways = [
        Reference(ID, way, metres, routes[0].line(way).track.at(metres))
        for way, metres in (("outbound", 700), ("return", 1200))
    ]
    messages = [Message(f"Still flooded.\n{way}", on="2026-05-21") for way in ways]
    added = bring(tmp_path, messages, routes).added
    assert [(r.at.text, r.direction) for r in added] == [
        ("0.70 km", "outbound"),
        ("1.20 km", "return"),
    ]
    assert bring(tmp_path, messages, routes).added == []


@pytest.mark.parametrize(
    "text",
    [
        "Thank you, a lovely way. But a car nearly hit me at Northgate.",
        "Thanks for the site. The toucan at Northgate is out.",
        "Cheers, but the bollards are gone.",
    ],
)
def test_thanks_do_not_hide_a_fault(text):
    assert sort_of(text) == "changed"


def test_reports_of_by_hand_and_imported_ones_stand_together(tmp_path):
    (made,) = bring(tmp_path, [Message("Gate shut.")]).added
    add_reports(tmp_path, [made.model_copy(update={"key": "r0123456789"})])
    assert len(load_reports(tmp_path).reports) == 2
