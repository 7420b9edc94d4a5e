"""What the reader refuses: every fault has a code, a place and a remedy, and nothing raises."""

import encodings.aliases
import re
import tracemalloc

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from softpedal.library.gpx_reader import Limits, read_gpx, read_gpx_chunks

XMLNS = 'xmlns="http://www.topografix.com/GPX/1/1"'
POINT = '<trkpt lat="50" lon="-20"/>'
OTHER = '<trkpt lat="50.001" lon="-20.002"/>'


def track(*points):
    """A track whose points stand on lines of their own, the first of them on line 3."""
    return f"<gpx {XMLNS}><trk>\n<trkseg>\n" + "\n".join(points) + "\n</trkseg></trk></gpx>"


def problems_of(text, limits=None):
    data = text if isinstance(text, bytes) else text.encode()
    gpx, problems = read_gpx(data, "track.gpx", limits or Limits())
    assert gpx is None
    for problem in problems:
        assert problem.file == "track.gpx"
        assert problem.hint
    return problems


def only_problem(text, limits=None):
    (problem,) = problems_of(text, limits)
    assert problem.severity == "error"
    return problem


def place(problem):
    return problem.code, problem.line, problem.column


# not XML


@pytest.mark.parametrize(
    ("text", "line", "column", "said"),
    [
        ("", 1, 1, "the file is empty"),
        ("Ride on Monday", 1, 1, "syntax error"),
        ('{"type": "FeatureCollection"}', 1, 1, "not well-formed"),
        (b"\x89PNG\r\n\x1a\n\x00", 1, 1, "not well-formed"),
        ("  \n ", 2, 2, "no element found"),
        (f"<gpx {XMLNS}>\n<trk></gpx>", 2, 8, "mismatched tag"),
        (f"<gpx {XMLNS}>\n <trk a='1' a='2'/></gpx>", 2, 13, "duplicate attribute"),
        (f"<gpx {XMLNS}>\n<g:trk/></gpx>", 2, 1, "unbound prefix"),
        (f"<gpx {XMLNS}>\n &nbsp;</gpx>", 2, 2, "undefined entity"),
        (f"<gpx {XMLNS}>\n &#0;</gpx>", 2, 2, "reference to invalid character number"),
        (f"<gpx {XMLNS}>\n\x01</gpx>", 2, 1, "not well-formed"),
        (f"<gpx {XMLNS}>\n".encode() + b"\xff</gpx>", 2, 1, "not well-formed"),
        (track(POINT, OTHER) + "\n<gpx/>", 6, 1, "junk after document element"),
    ],
)
def test_malformed_xml_is_placed(text, line, column, said):
    problem = only_problem(text)
    assert place(problem) == ("gpx-syntax", line, column)
    assert said in problem.message


def test_a_file_cut_off_in_a_point_is_placed_and_explained():
    problem = only_problem(track(POINT, OTHER)[: -len('2.002"/>\n</trkseg></trk></gpx>')])
    assert place(problem) == ("gpx-syntax", 4, 1)
    assert "unclosed token" in problem.message
    assert "cut off" in problem.hint


def test_a_file_cut_off_after_a_point_is_placed_and_explained():
    problem = only_problem(track(POINT, OTHER)[: -len("\n</trkseg></trk></gpx>")])
    assert place(problem) == ("gpx-syntax", 4, 36)
    assert "cut off" in problem.hint


def test_what_was_found_before_the_file_breaks_is_still_told():
    text = track('<trkpt lat="95" lon="0"/>', POINT)[:-10]
    assert [problem.code for problem in problems_of(text)] == ["gpx-coordinate", "gpx-syntax"]


# declarations that could read files or fill the memory


def test_entities_that_multiply_are_refused_unread():
    bombs = "".join(
        f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">\n' if n else '<!ENTITY l0 "lol">\n'
        for n in range(10)
    )
    text = (
        f"<?xml version='1.0'?>\n<!DOCTYPE gpx [\n{bombs}]>\n<gpx {XMLNS}><name>&l9;</name></gpx>"
    )
    problem = only_problem(text)
    assert place(problem) == ("gpx-syntax", 2, 15)
    assert "<!DOCTYPE" in problem.message


@pytest.mark.parametrize(
    "doctype",
    [
        '<!DOCTYPE gpx [<!ENTITY secret SYSTEM "{url}">]>',
        '<!DOCTYPE gpx [<!ENTITY % all SYSTEM "{url}"> %all;]>',
        '<!DOCTYPE gpx SYSTEM "{url}">',
        '<!DOCTYPE gpx PUBLIC "-//x//y" "{url}">',
        "<!DOCTYPE gpx>",
    ],
)
def test_a_local_file_is_never_read(doctype, tmp_path):
    secret = tmp_path / "secret.txt"
    secret.write_text("swordfish")
    head = doctype.format(url=secret.as_uri())
    text = (
        f"{head}<gpx {XMLNS}><trk><name>&secret;</name><trkseg>{POINT}{OTHER}</trkseg></trk></gpx>"
    )
    gpx, problems = read_gpx(text.encode(), "track.gpx")
    assert gpx is None
    assert [(p.code, p.line) for p in problems] == [("gpx-syntax", 1)]
    assert "<!DOCTYPE" in problems[0].message
    assert "swordfish" not in str(problems)


@pytest.mark.parametrize(
    ("encoding", "said"),
    [
        ("x-harbour", "unknown encoding"),
        ("utf-7", "unknown encoding"),
        ("shift_jis", "unknown encoding"),
        ("rot13", "unknown encoding"),
        ("unicode_escape", "unknown encoding"),
        ("iso-8859-12", "unknown encoding"),
        ("UTF-16", "encoding specified in XML declaration is incorrect"),
    ],
)
def test_an_encoding_that_is_not_read_is_named(encoding, said):
    problem = only_problem(f'<?xml version="1.0" encoding="{encoding}"?>{track(POINT, OTHER)}')
    assert (problem.code, problem.line) == ("gpx-syntax", 1)
    assert said in problem.message
    assert "UTF-8" in problem.hint or encoding == "UTF-16"


# other XML


@pytest.mark.parametrize(
    ("text", "line", "column", "said"),
    [
        ('\n <html xmlns="http://www.w3.org/1999/xhtml"/>', 2, 2, "<html> in the namespace"),
        ('<kml xmlns="http://www.opengis.net/kml/2.2"/>', 1, 1, "'http://www.opengis.net/kml/2.2'"),
        ("<html><body/></html>", 1, 1, "<html> without a namespace"),
        ('<gpx xmlns="urn:other"/>', 1, 1, "<gpx> in the namespace 'urn:other'"),
        (f"<GPX {XMLNS}/>", 1, 1, "<GPX>"),
        (f"<trk {XMLNS}/>", 1, 1, "<trk>"),
    ],
)
def test_another_root_is_named(text, line, column, said):
    problem = only_problem(text)
    assert place(problem) == ("gpx-not-gpx", line, column)
    assert said in problem.message
    assert "expected <gpx>" in problem.message


def test_a_long_name_is_quoted_short():
    problem = only_problem(f"<{'x' * 100_000} xmlns='{'y' * 100_000}'/>")
    assert len(str(problem)) < 300


def test_a_terminal_is_not_sent_control_characters():
    problem = only_problem(
        f"<gpx {XMLNS}><trkpt/><rte><rtept lat='&#x9b;31m' lon='0'/></rte></gpx>"
    )
    assert str(problem).isprintable()


# coordinates


@pytest.mark.parametrize(
    ("attributes", "said"),
    [
        ('lat="95" lon="0"', "lat '95' is not between -90 and 90"),
        ('lat="-90.0000001" lon="0"', "lat '-90.0000001' is not between -90 and 90"),
        ('lat="0" lon="180.5"', "lon '180.5' is not between -180 and 180"),
        ('lat="91" lon="181"', "lat '91' is not between -90 and 90 and lon '181' is not"),
        ('lat="NaN" lon="0"', "lat 'NaN' is not a decimal number"),
        ('lat="nan" lon="nan"', "lat 'nan' is not a decimal number and lon 'nan' is not"),
        ('lat="0" lon="inf"', "lon 'inf' is not a decimal number"),
        ('lat="-INF" lon="0"', "lat '-INF' is not a decimal number"),
        ('lat="5e1" lon="0"', "lat '5e1' is not a decimal number"),
        ('lat="5_2.0" lon="0"', "lat '5_2.0' is not a decimal number"),
        ('lat="50,5" lon="0"', "lat '50,5' is not a decimal number"),
        ('lat="50°" lon="0"', "lat '50°' is not a decimal number"),
        ('lat="٥٠" lon="0"', "lat '٥٠' is not a decimal number"),
        ('lat="" lon="0"', "lat '' is not a decimal number"),
        ('lat="." lon="0"', "lat '.' is not a decimal number"),
        ('lat="5 0" lon="0"', "lat '5 0' is not a decimal number"),
        ('lat="+-5" lon="0"', "lat '+-5' is not a decimal number"),
        ('lat="&#160;5" lon="0"', "is not a decimal number"),
        ('lon="0"', "lat is missing"),
        ('lat="0"', "lon is missing"),
        ("", "lat is missing and lon is missing"),
        (f'lat="{"1" * 100_000}" lon="0"', "1…' is not a decimal number"),
        (f'lat="0.{"1" * 100_000}" lon="0"', "1…' is not a decimal number"),
    ],
)
@pytest.mark.parametrize("element", ["trkpt", "rtept", "wpt"])
def test_a_coordinate_is_refused_where_it_stands(element, attributes, said):
    bad = f"<{element} {attributes}/>"
    if element == "trkpt":
        text = track(POINT, f"  {bad}", OTHER)
    else:
        bad = f"<rte>{bad}</rte>" if element == "rtept" else bad
        text = track(POINT, OTHER).replace("><trk>", f">\n\n\n  {bad}<trk>")
    problem = only_problem(text)
    column = 8 if element == "rtept" else 3
    assert place(problem) == ("gpx-coordinate", 4, column)
    assert said in problem.message
    assert len(problem.message) < 200


def test_swapped_coordinates_are_suspected():
    assert "swapped" in only_problem(track('<trkpt lat="151.2" lon="-33.8"/>', POINT)).hint
    assert "swapped" not in only_problem(track('<trkpt lat="50" lon="200"/>', POINT)).hint


def test_only_twenty_coordinates_are_listed():
    problems = problems_of(track(*['<trkpt lat="95" lon="0"/>'] * 30))
    assert [problem.line for problem in problems] == [*range(3, 23), 23]
    assert {problem.code for problem in problems} == {"gpx-coordinate"}
    assert "and 10 more" in problems[-1].message
    assert len(problems_of(track(*['<trkpt lat="95" lon="0"/>'] * 20))) == 20


def test_bad_heights_do_not_hide_bad_coordinates():
    point = '<trkpt lat="50" lon="0"><ele>x</ele></trkpt>'
    problems = problems_of(track(*[point] * 30, '<trkpt lat="95" lon="0"/>'))
    assert [problem.code for problem in problems if problem.is_error] == ["gpx-coordinate"]


# too little


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("", "found no <trk> or <rte>"),
        ("<trk/>", "found no <trk> or <rte>"),
        ("<trk><trkseg/></trk>", "found no <trk> or <rte>"),
        (f"<trk><trkseg>{POINT}</trkseg></trk>", "stand alone in their part: 1"),
        (f"<trk><trkseg>{POINT}</trkseg><trkseg>{OTHER}</trkseg></trk>", "part: 2"),
        (f"<trk>{POINT}{OTHER}</trk>", "outside a part or in another namespace: 2"),
        (f'<trk xmlns=""><trkseg>{POINT}{OTHER}</trkseg></trk>', "in another namespace: 2"),
        (f"<extensions><trk><trkseg>{POINT}{OTHER}</trkseg></trk></extensions>", "found no"),
        ('<wpt lat="1" lon="1"/><wpt lat="2" lon="2"/>', "found no <trk> or <rte>"),
        ('<rte><rtept lat="1" lon="1"/></rte>', "stand alone in their part: 1"),
    ],
)
def test_a_file_without_a_line_is_refused(content, said):
    problem = only_problem(f"<gpx {XMLNS}>{content}</gpx>")
    assert place(problem) == ("gpx-empty", 1, 1)
    assert said in problem.message


def test_points_that_are_all_the_same_are_no_line():
    problem = only_problem(track(POINT, POINT.replace("50", "50.0"), POINT))
    assert place(problem) == ("gpx-empty", 1, 48)
    assert "all 3 points" in problem.message


# too much


def test_a_file_over_the_size_is_refused_at_once():
    text = track(POINT, OTHER)
    gpx, problems = read_gpx(text.encode(), "track.gpx", Limits(bytes=len(text)))
    assert gpx is not None
    assert problems == []
    problem = only_problem(text, Limits(bytes=len(text) - 1))
    assert place(problem) == ("gpx-limit", 1, 1)
    assert f"larger than {len(text) - 1} bytes" in problem.message


def test_a_point_too_many_is_refused_where_it_stands():
    points = [POINT, OTHER, POINT]
    gpx, problems = read_gpx(track(*points).encode(), "track.gpx", Limits(points=3))
    assert gpx is not None
    assert problems == []
    problem = only_problem(track(*points, OTHER), Limits(points=3))
    assert place(problem) == ("gpx-limit", 6, 1)
    assert "more than 3 points" in problem.message


def test_points_of_all_sorts_count():
    rest = '<wpt lat="1" lon="1"/><rte><rtept lat="1" lon="1"/></rte>'
    text = track(POINT, OTHER).replace("><trk>", f">{rest}<trk>")
    assert only_problem(text, Limits(points=3)).code == "gpx-limit"
    assert read_gpx(text.encode(), "track.gpx", Limits(points=4))[0] is not None


@pytest.mark.parametrize("name", ["trk", "extensions", "unknown"])
def test_deep_nesting_is_refused(name):
    deep = f"<{name}>" * 31 + f"</{name}>" * 31
    text = track(POINT, OTHER).replace("><trk>", f">\n{deep}\n<trk>")
    gpx, problems = read_gpx(text.encode(), "track.gpx")
    assert gpx is not None
    assert problems == []
    deeper = f"<{name}>" * 32 + f"</{name}>" * 32
    problem = only_problem(text.replace(deep, deeper))
    assert place(problem) == ("gpx-limit", 2, 31 * len(f"<{name}>") + 1)
    assert "32 deep" in problem.message


@pytest.mark.parametrize(
    "huge", ["<!--{}", "<trk name='{}", "<{}", "<?{}", "<trk {}"], ids=lambda text: text[:5]
)
def test_a_tag_that_never_ends_is_not_kept(huge):
    filling = 'a="" ' * 400_000 if huge == "<trk {}" else "a" * 2_000_000
    problem = only_problem(f"<gpx {XMLNS}>\n{huge.format(filling)}")
    assert place(problem) == ("gpx-limit", 2, 1)
    assert "longer than 1,048,576 bytes" in problem.message


def test_ever_new_names_are_not_kept():
    names = "".join(f"<n{n}/>" for n in range(100_000))
    problem = only_problem(f"<gpx {XMLNS}>\n{names}</gpx>")
    assert (problem.code, problem.line) == ("gpx-limit", 2)
    assert "more than 10,000 different names" in problem.message


def test_a_long_text_is_no_long_tag():
    text = track(POINT, OTHER).replace("><trk>", f"><desc>{'a' * 3_000_000}</desc><trk>")
    gpx, problems = read_gpx(text.encode(), "track.gpx")
    assert gpx is not None
    assert problems == []


def stream(piece, taken):
    """Ten million points, made as they are asked for; `taken` counts the pieces."""
    yield f"<gpx {XMLNS}><trk><trkseg>".encode()
    for _ in range(10_000):
        taken.append(1)
        yield piece
    yield b"</trkseg></trk></gpx>"


def test_ten_million_points_are_not_taken():
    taken = []
    thousand = f"{POINT}\n".encode() * 1000
    tracemalloc.start()
    try:
        gpx, problems = read_gpx_chunks(stream(thousand, taken), "t.gpx", Limits(points=20_000))
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert gpx is None
    assert [place(problem) for problem in problems] == [("gpx-limit", 20_001, 1)]
    assert len(taken) == 21
    assert peak < 5_000_000


def test_a_stream_over_the_size_is_not_taken():
    taken = []
    blanks = b" " * 1000
    gpx, problems = read_gpx_chunks(stream(blanks, taken), "t.gpx", Limits(bytes=50_000))
    assert gpx is None
    assert [(p.code, p.line) for p in problems] == [("gpx-limit", 1)]
    assert len(taken) == 50


def test_twenty_thousand_tracks_keep_the_points_of_one():
    one = f"<trk><trkseg>{POINT}{OTHER}</trkseg></trk>"
    text = f"<gpx {XMLNS}>{one * 20_000}</gpx>".encode()
    tracemalloc.start()
    try:
        gpx, problems = read_gpx(text, "track.gpx")
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert gpx is None
    assert [problem.code for problem in problems] == ["gpx-several"]
    assert "found 20000 <trk>" in problems[0].message
    assert peak < 2_000_000


# anything at all


WHOLE = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    f'<gpx {XMLNS} xmlns:q="urn:q"><metadata><name>é</name></metadata><wpt lat="1" lon="2"/>'
    '<trk><name>x &amp; y</name><trkseg><trkpt lat="50" lon="-20"><ele>1</ele>'
    "<time>2026-05-16T09:14:05Z</time><extensions><q:hr>9</q:hr></extensions></trkpt>"
    f"<!-- c --><![CDATA[ ]]>{OTHER}</trkseg></trk></gpx>"
).encode()


def read_without_raising(data):
    gpx, problems = read_gpx(data, "track.gpx")
    assert (gpx is None) == any(problem.is_error for problem in problems)
    for problem in problems:
        assert problem.line >= 1
        assert problem.column >= 1
        assert str(problem).isprintable()


@given(data=st.binary(max_size=200))
@settings(deadline=None)
def test_arbitrary_bytes_never_raise(data):
    read_without_raising(data)


TAGS = [
    f"<{slash}{name}>"
    for name in ("gpx", "trk", "trkseg", "trkpt", "rte", "rtept", "wpt", "ele", "time", "name", "a")
    for slash in ("", "/")
]
OTHER_MARKUP = [
    "5",
    "x",
    "]]>",
    "<![CDATA[",
    "<!--",
    "-->",
    "<?p ?>",
    "&amp;",
    "&#9;",
    POINT,
    OTHER,
]


@given(content=st.lists(st.sampled_from(TAGS + OTHER_MARKUP)))
@settings(deadline=None)
def test_arbitrary_tags_never_raise(content):
    read_without_raising(f"<gpx {XMLNS}>{''.join(content)}</gpx>".encode())


@given(
    at=st.integers(0, len(WHOLE)),
    length=st.integers(0, 40),
    put=st.binary(max_size=8) | st.sampled_from([b'"', b"<", b">", b"&", b"<a>", b"\xff\xfe"]),
)
@example(at=len(WHOLE), length=0, put=b"")
@settings(deadline=None, max_examples=300)
def test_a_damaged_file_never_raises(at, length, put):
    read_without_raising(WHOLE[:at] + put + WHOLE[at + length :])


@given(
    name=st.sampled_from(sorted(encodings.aliases.aliases))
    | st.text(st.characters(codec="ascii", exclude_characters="\"<&'"), max_size=20)
)
@settings(deadline=None)
def test_any_name_of_an_encoding_never_raises(name):
    data = f'<?xml version="1.0" encoding="{name}"?>{track(POINT, OTHER)}'.encode()
    read_without_raising(data)


@given(written=st.text("0123456789.+-eE_ \tNnaif", max_size=8))
@settings(deadline=None, max_examples=500)
def test_numbers_have_the_pattern_of_xsd_decimal(written):
    """The lexical form of decimal: XML Schema Definition Language 1.1 part 2, section 3.3.3."""
    is_decimal = re.fullmatch(r"(\+|-)?([0-9]+(\.[0-9]*)?|\.[0-9]+)", written.strip())
    is_taken = is_decimal is not None and abs(float(written)) <= 90
    point = f'<trkpt lat="{written}" lon="0"/>'
    gpx, problems = read_gpx(track(POINT, point).encode(), "track.gpx")
    assert (gpx is not None) == is_taken
    assert [p.code for p in problems] == ([] if is_taken else ["gpx-coordinate"])
