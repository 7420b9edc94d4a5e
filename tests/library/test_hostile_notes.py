"""Whatever the bytes of notes.yml: no exception, a route or an error, soon, and short messages."""

import string
import time

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from building import gpx_text, line_east, make_route, notes_text
from library.small_library import NOTES
from softpedal.library.load import load_route
from softpedal.library.notes import Notes
from softpedal.library.yaml_source import MAX_BYTES
from softpedal.problems import CODES

#: Seconds of the processor in which notes of an ordinary size are read.
SOON_S = 1.0
#: The same for the largest size. They take 0.1 to 0.5; the rest allows for a busy machine.
LARGE_SOON_S = 3.0
#: At most so much of an author's text stands in one message.
MAX_SHOWN = 200

MARK = "x"
few = settings(
    max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return make_route(tmp_path_factory.mktemp("library"), gpx=gpx_text(line_east(2000, step=100)))


def read(folder, content, soon_s=SOON_S):
    """Load a folder with these notes, and hold what comes of it against what always holds."""
    (folder / "notes.yml").write_bytes(content if isinstance(content, bytes) else content.encode())
    begin = time.process_time()
    loaded = load_route(folder)
    assert time.process_time() - begin < soon_s
    assert (loaded.route is None) == any(p.is_error for p in loaded.problems)
    for problem in loaded.problems:
        assert problem.code in CODES
        assert problem.line >= 0
        assert problem.message
        str(problem).encode()
    return loaded


@few
@given(content=st.binary(max_size=400))
def test_any_bytes_end_in_a_route_or_an_error(folder, content):
    assert read(folder, content).route is None


@few
@given(
    at=st.integers(0, len(NOTES.encode()) - 1),
    length=st.integers(0, 30),
    put=st.binary(max_size=12)
    | st.sampled_from([b"\t", b" #x", b": ", b"&a ", b"- ", b"{", b"\0"]),
)
def test_damaged_notes_end_in_a_route_or_an_error(folder, at, length, put):
    content = NOTES.encode()
    read(folder, content[:at] + put + content[at + length :])


_SCALARS = (
    st.none()
    | st.booleans()
    | st.integers(-(10**20), 10**20)
    | st.floats()
    | st.text(max_size=20)
    | st.sampled_from(
        ["1 km", "start", "50, -20", "waypoint x", "2026-05-16", "Mo-Sa 08:00-18:00", "on foot"]
    )
)
_KEYS = st.sampled_from(
    sorted(
        {field.alias or name for name, field in Notes.model_fields.items()}
        | {"at", "from", "to", "kind", "hours", "otherwise", "outbound", "what", "road", "[key]"}
    )
) | st.text(max_size=8)
_DATA = st.recursive(
    _SCALARS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(_KEYS, inner, max_size=5),
    max_leaves=25,
)


@few
@given(data=st.dictionaries(_KEYS, _DATA, max_size=8))
def test_any_mapping_ends_in_a_route_or_an_error(folder, data):
    assert read(folder, notes_text(data)).route is None


@few
@given(changes=st.dictionaries(_KEYS, _DATA, min_size=1, max_size=4))
def test_good_notes_with_any_values_end_in_a_route_or_an_error(folder, changes):
    read(folder, notes_text({**yaml.safe_load(NOTES), **changes}))


@few
@given(text=st.text(string.printable, max_size=60))
def test_any_text_in_quotes_arrives_as_it_is(folder, text):
    quoted = yaml.dump({"thanks": text}, Dumper=yaml.SafeDumper, default_style='"')
    loaded = read(folder, NOTES + quoted)
    if loaded.route:
        assert loaded.route.notes.thanks == text
    else:
        assert loaded.problems[0].code in ("notes-value", "yaml-refused")
        assert not text or not text.isprintable()


def _filled(head, unit, tail=""):
    room = MAX_BYTES - len(head.encode()) - len(tail.encode())
    return head + unit * (room // len(unit.encode())) + tail


_CROSSING = "- {at: 1 km, road: R, control: none}\n"


@pytest.mark.parametrize(
    "content",
    [
        _filled("legs:\n", "- {}\n"),
        _filled("legs:\n", "- a\n"),
        "".join(f"k{i}:\n" for i in range(30_000)),
        _filled("a: [", "a,", "]"),
        _filled("a: ", "{a: "),
        _filled("", "- "),
        _filled("", "? "),
        _filled("", "\n"),
        _filled("a: &a [", "*a,", "]"),
        _filled(f"{NOTES}crossings:\n", _CROSSING),
        _filled(f"{NOTES}crossings:\n", _CROSSING.replace("1 km", '"50.0, -19.99"')),
        _filled(f"{NOTES}crossings:\n", _CROSSING.replace("none", "nune")),
        _filled(f"{NOTES}crossings:\n", _CROSSING.replace("1 km", "9 km")),
        _filled(f"{NOTES}crossings:\n", _CROSSING.replace("}", ", hours: Mon}")),
        _filled(NOTES + 'closed: "', "Mo ", '"\n'),
        _filled(NOTES + 'thanks: "', "\\x41", '"\n'),
        _filled(NOTES + "thanks: |\n  ", "a "),
        _filled("'", "''"),
        _filled("", '"'),
        _filled("", ": "),
        _filled("", "#"),
        _filled("", "\u00e9"),
        _filled("%", "x"),
        _filled("!", "x"),
        b"\xff" * MAX_BYTES,
        b"\0" * MAX_BYTES,
        b"x" * (50 * MAX_BYTES),
    ],
    ids=lambda content: repr(content[:20] + content[len(NOTES) : len(NOTES) + 40])[:60],
)
def test_files_of_the_largest_size_are_read_soon(folder, content):
    problems = read(folder, content, LARGE_SOON_S).problems
    assert len(problems) <= 10_000


LONG = MARK * 100_000


def _in_notes(text):
    return NOTES + text


@pytest.mark.parametrize(
    "content",
    [
        LONG,
        f"{LONG}: 1\n",
        f'? "{LONG}"\n: 1\n',
        f'? "{LONG}"\n: 1\n? "{LONG}"\n: 2\n',
        _in_notes(f"thanks: {LONG}\n"),
        _in_notes(f"thanks: {LONG} #x\n"),
        _in_notes(f"thanks: *{LONG}\n"),
        _in_notes(f"thanks: !{LONG}\n"),
        _in_notes(f"    surface: {LONG}\n"),
        _in_notes(f"    lanes: {LONG}\n"),
        _in_notes(f"    lane_width: {LONG}\n"),
        _in_notes(f"    speed_limit: {LONG} mph\n"),
        _in_notes(f"    hours: {{{MARK * 900}: on foot, otherwise: on foot}}\n"),
        _in_notes(f"    hours: {{{MARK * 900}: {{{MARK * 900}: on foot}}, otherwise: on foot}}\n"),
        _in_notes(f"    hours:\n      ? {MARK * 900}\n      : lanes\n      otherwise: on foot\n"),
        _in_notes(f"closed: {LONG}\n"),
        _in_notes(f"was: {LONG}\n"),
        _in_notes(f"alerts: [{{from: {LONG}, text: a}}]\n"),
        _in_notes(f"alerts: [{{from: 2026-01-01, text: a, film: '{LONG}'}}]\n"),
        _in_notes(f"changed: [{{on: {LONG}, text: a}}]\n"),
        _in_notes(f"hazards: [{{at: {LONG}, what: a}}]\n"),
        _in_notes(f"hazards: [{{at: waypoint {LONG}, what: a}}]\n"),
        _in_notes(f"hazards: [{{at: '50, -19.99 near {LONG}', what: a}}]\n"),
        _in_notes(f"photos: [{{file: {LONG}, at: 1 km, alt: a}}]\n"),
        _in_notes(f"photos: [{{file: {MARK * 81}, at: 1 km, alt: a}}]\n"),
        _in_notes(f"video: {{link: '{LONG}'}}\n"),
        _in_notes(f"track: {{length: 2 km, checksum: {LONG}}}\n"),
        NOTES.replace("published", LONG),
        NOTES.replace("kind: back street", f"kind: {LONG}"),
        NOTES.replace("from: start", f"from: {LONG}"),
    ],
    ids=lambda content: repr(content.removeprefix(NOTES)[:50].replace(MARK * 9, "x")),
)
def test_a_message_holds_little_of_what_was_written(folder, content):
    problems = read(folder, content).problems
    assert problems
    for problem in problems:
        ours = sum(text.count(MARK) for text in ("next", "complex", "maximum", "expected"))
        assert problem.message.count(MARK) <= MAX_SHOWN + ours
        assert problem.hint.count(MARK) <= MAX_SHOWN + ours


def test_names_of_waypoints_in_a_hint_are_cut(tmp_path):
    named = {f"{index}{MARK * 150}": (50.0, -19.99) for index in range(20)}
    gpx = gpx_text(line_east(2000, step=100), waypoints=named)
    notes = NOTES + "hazards: [{at: waypoint Lock, what: humps}]\n"
    (problem,) = load_route(make_route(tmp_path, notes, gpx=gpx)).problems
    assert 0 < problem.hint.count(MARK) <= MAX_SHOWN
    assert problem.hint.endswith("….")


def test_only_the_first_fifty_faults_are_listed_and_the_rest_counted(folder):
    problems = read(folder, NOTES + "".join(f"k{i}: 1\n" for i in range(70))).problems
    assert len(problems) == 51
    assert [p.message for p in problems if not p.line] == ["20 more faults are not listed."]


def test_fifty_faults_are_listed_without_a_count(folder):
    problems = read(folder, NOTES + "".join(f"k{i}: 1\n" for i in range(50))).problems
    assert len(problems) == 50
    assert all(p.line for p in problems)
