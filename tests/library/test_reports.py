"""reports.yml: read with its faults' places, added to, and changed in one word only."""

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as runs
from hypothesis import strategies as st

from softpedal.authored_text import direction_closed
from softpedal.library.reports import (
    FILE_NAME,
    Report,
    add_reports,
    load_reports,
    read_reports,
    set_state,
)
from softpedal.problems import CannotDoError
from softpedal.upkeep.check import check_library

FIRST, SECOND, THIRD = "r0000000001", "r0000000002", "raaaaaaaaaa"
OWN = f"""\
# my reports
-   key: {FIRST}   # from the meeting
    route: ferry-steps-to-chapel-green
    at: 1.24 km
    sort: changed
    on: 2026-05-21
    text: >-
      The gate
      is shut.
    state: open   # write to the council

# the second
-   {{key: {SECOND}, sort: thanks, on: 2026-05-22, state: "open", text: state open}}
"""


def report(key=THIRD, **more):
    return Report.model_validate(
        {"key": key, "sort": "other", "on": "2026-05-23", "text": "x", "state": "open"} | more
    )


def write(library, text):
    (library / FILE_NAME).write_bytes(text.encode())


def text_of(library):
    return (library / FILE_NAME).read_bytes().decode()


def test_no_file_means_no_reports(tmp_path):
    assert load_reports(tmp_path).reports == ()
    add_reports(tmp_path, [])
    assert not (tmp_path / FILE_NAME).exists()


def test_what_is_written_is_read_back(tmp_path):
    new = [
        report(),
        report(
            FIRST,
            route="ferry-steps-to-chapel-green",
            at="1.24 km",
            place="50.01234, -20.04567",
            direction="return",
            page="2026-05-16",
            text='Two\nlines: "quoted" #1 {a} \\ \u202e\u2028 end',
        ),
    ]
    add_reports(tmp_path, new)
    assert load_reports(tmp_path).reports == tuple(new)
    assert text_of(tmp_path).startswith("# What readers reported")
    assert check_library(tmp_path, []) == [
        p for p in check_library(tmp_path) if "no route" in p.message
    ]


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("last", [True, False])
def test_adding_leaves_what_is_there(tmp_path, end, mark, last):
    before = mark + OWN.replace("\n", end)
    before = before if last else before.removesuffix(end)
    write(tmp_path, before)
    add_reports(tmp_path, [report()])
    after = text_of(tmp_path)
    assert after.startswith(before)
    assert [r.key for r in load_reports(tmp_path).reports] == [FIRST, SECOND, THIRD]
    if end == "\r\n":
        assert "\n" not in after.replace("\r\n", "")


def test_a_state_is_changed_in_its_place_and_nothing_else(tmp_path):
    write(tmp_path, OWN)
    assert set_state(tmp_path, [FIRST, SECOND], "done") == 2
    wanted = OWN.replace("state: open   #", "state: done   #").replace('"open"', '"done"')
    assert text_of(tmp_path) == wanted
    assert set_state(tmp_path, [FIRST], "done") == 0
    assert set_state(tmp_path, [FIRST, SECOND], "open") == 2
    assert text_of(tmp_path) == OWN


@pytest.mark.parametrize("text", ["", "# nothing yet\n", "null\n", "---\n"])
def test_an_empty_file_is_added_to(tmp_path, text):
    write(tmp_path, text)
    if text == "null\n":
        with pytest.raises(CannotDoError):
            add_reports(tmp_path, [report()])
        return
    add_reports(tmp_path, [report()])
    assert load_reports(tmp_path).reports == (report(),)
    assert text_of(tmp_path).startswith(text)


@pytest.mark.parametrize(
    "text", ["[]\n", f"[{{key: {FIRST}, sort: other, on: 2026-05-22, text: x, state: open}}]\n"]
)
def test_a_list_in_brackets_is_left_alone_and_told(tmp_path, text):
    write(tmp_path, text)
    with pytest.raises(CannotDoError, match="as it is written") as told:
        add_reports(tmp_path, [report()])
    assert "hyphen" in told.value.hint
    assert text_of(tmp_path) == text


def test_a_full_file_is_left_alone_and_told(tmp_path):
    add_reports(tmp_path, [report()])
    before = text_of(tmp_path)
    many = [report(f"r{number:010x}", text="x" * 1900) for number in range(140)]
    with pytest.raises(CannotDoError, match="262,144"):
        add_reports(tmp_path, many)
    assert text_of(tmp_path) == before
    assert [path.name for path in tmp_path.iterdir()] == [FILE_NAME]


GOOD = f"key: {FIRST}, sort: other, on: 2026-05-22, text: x, state: open"


@pytest.mark.parametrize(
    ("text", "expected", "says"),
    [
        ("title: x\n", ("reports-value", 1, 1), "list of reports"),
        ("- x\n", ("reports-value", 1, 3), "mapping"),
        (f"- {{{GOOD.replace(FIRST, 'abc')}}}\n", ("reports-value", 1, 9), "form"),
        (f"- {{{GOOD}, at: start}}\n", ("reports-value", 1, 77), "chainage"),
        (f"- {{{GOOD}, at: 1.2}}\n", ("reports-value", 1, 77), "chainage"),
        (f"- {{{GOOD}, place: 1 km}}\n", ("reports-value", 1, 80), "coordinates"),
        (f"- {{{GOOD}, route: A B}}\n", ("reports-value", 1, 80), "route's id"),
        (f"- {{{GOOD}, from: a@b}}\n", ("reports-value", 1, 73), "`from`"),
        (f"- {{{GOOD.replace('other', 'change')}}}\n", ("reports-value", 1, 28), "`sort: change`"),
        (f"- {{{GOOD.replace('open', 'opn')}}}\n", ("reports-value", 1, 67), "`state: opn`"),
        (f"- {{{GOOD.replace(', text: x', '')}}}\n", ("reports-value", 1, 3), "`text` is missing"),
        (f"- {{{GOOD}}}\n- {{{GOOD}}}\n", ("reports-value", 2, 9), "line 1"),
        ("- [\n", ("yaml-syntax", 2, 1), "YAML"),
        ("- text: way #2\n", ("yaml-hash", 1, 13), "way #2"),
    ],
)  # fmt: skip
def test_a_fault_is_told_at_its_place(tmp_path, text, expected, says):
    write(tmp_path, text)
    found, problems = read_reports(tmp_path)
    assert found is None
    assert [(p.code, p.line, p.column) for p in problems] == [expected], [str(p) for p in problems]
    assert says in problems[0].message
    assert problems[0].hint
    assert problems[0].file == FILE_NAME
    assert check_library(tmp_path) == problems
    with pytest.raises(CannotDoError, match=f"{FILE_NAME}:{expected[1]}"):
        load_reports(tmp_path)


def test_an_unreadable_file_is_told(tmp_path):
    (tmp_path / FILE_NAME).mkdir()
    found, (problem,) = read_reports(tmp_path)
    assert (found, problem.code) == (None, "file-unreadable")


def test_an_open_report_on_no_route_is_advice(tmp_path):
    add_reports(
        tmp_path,
        [report(route="mill"), report(FIRST, route="quay", state="done"), report(SECOND)],
    )
    (problem,) = check_library(tmp_path)
    assert (problem.code, problem.severity) == ("reports-value", "advice")
    assert "`mill`" in problem.message
    assert problem.line == 5


TEXTS = st.text(
    st.one_of(
        st.sampled_from(list("{}[]\"'\\#:-|>&*!%@`, \n\r\t\x85\u2028\u2029\u202e\u2066\u200f\xa0")),
        st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Co", "Cn"]),
    ),
    min_size=1,
    max_size=80,
).filter(lambda text: "\ufeff" not in text)


@runs(deadline=None, max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(texts=st.lists(TEXTS, min_size=1, max_size=4))
def test_any_text_is_read_back_as_it_was(tmp_path, texts):
    (tmp_path / FILE_NAME).unlink(missing_ok=True)
    new = [report(f"r{number:010x}", text=text) for number, text in enumerate(texts)]
    add_reports(tmp_path, new)
    set_state(tmp_path, [new[0].key], "done")
    found = load_reports(tmp_path).reports
    assert [r.text for r in found] == [direction_closed(text) for text in texts]
    assert [r.state for r in found] == ["done", *("open" for _ in texts[1:])]
