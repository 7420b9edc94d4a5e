"""What the reader takes from files that are in order, or nearly so."""

import time
from itertools import pairwise

import gpxpy
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from softpedal.library.gpx_reader import (
    Gpx,
    Limits,
    Waypoint,
    read_gpx,
    read_gpx_chunks,
    read_gpx_lines,
)

GPX_1_1 = "http://www.topografix.com/GPX/1/1"
GPX_1_0 = "http://www.topografix.com/GPX/1/0"
TWO_POINTS = '<trkpt lat="50" lon="-20"/>\n<trkpt lat="50.001" lon="-20.002"/>'


def document(content, namespace=GPX_1_1):
    xmlns = f' xmlns="{namespace}"' if namespace else ""
    return f'<?xml version="1.0"?>\n<gpx{xmlns} version="1.1" creator="test">\n{content}\n</gpx>'


def track(*parts, head=""):
    segments = "\n".join(f"<trkseg>\n{part}\n</trkseg>" for part in parts)
    return document(f"<trk>{head}\n{segments}\n</trk>")


def read(text):
    return read_gpx(text.encode(), "track.gpx")


def read_well(text) -> Gpx:
    gpx, problems = read(text)
    assert problems == []
    assert gpx is not None
    return gpx


def found(problems):
    return [(p.code, p.line, p.column, p.severity) for p in problems]


def test_a_track_becomes_arrays():
    gpx = read_well(
        track(
            '<trkpt lat="50" lon="-20"><ele>12.5</ele><time>1970-01-01T00:00:10Z</time></trkpt>'
            '<trkpt lat="50.001" lon="-20.002"/>',
            head="<name> Ferry \n Steps </name>",
        )
    )
    np.testing.assert_array_equal(gpx.lat, [50, 50.001])
    np.testing.assert_array_equal(gpx.lon, [-20, -20.002])
    np.testing.assert_array_equal(gpx.height, [12.5, np.nan])
    np.testing.assert_array_equal(gpx.time_s, [10, np.nan])
    np.testing.assert_array_equal(gpx.part, [0, 0])
    assert gpx.name == "Ferry Steps"
    assert gpx.waypoints == ()
    assert not gpx.is_drawn
    assert gpx.lat.dtype == gpx.lon.dtype == gpx.height.dtype == np.float64
    assert gpx.part.dtype.kind == "i"


def test_a_track_without_times_has_none():
    assert read_well(track(TWO_POINTS)).time_s is None


def test_parts_are_numbered_and_short_ones_dropped():
    single = '<trkpt lat="1" lon="1"/>'
    gpx = read_well(track(single, TWO_POINTS, "", single, TWO_POINTS, single))
    np.testing.assert_array_equal(gpx.part, [0, 0, 1, 1])
    np.testing.assert_array_equal(gpx.lat, [50, 50.001, 50, 50.001])


def test_points_keep_their_order_and_repeats():
    gpx = read_well(track(TWO_POINTS + TWO_POINTS))
    np.testing.assert_array_equal(gpx.lat, [50, 50.001, 50, 50.001])


@pytest.mark.parametrize("namespace", [GPX_1_1, GPX_1_0, ""])
def test_each_version_of_the_namespace_is_read(namespace):
    content = f"<trk><trkseg>{TWO_POINTS}</trkseg></trk>"
    assert len(read_well(document(content, namespace)).lat) == 2


def test_a_prefixed_namespace_is_read():
    gpx = read_well(
        f'<g:gpx xmlns:g="{GPX_1_1}"><g:trk><g:name>N</g:name><g:trkseg>'
        '<g:trkpt lat="1" lon="2"><g:ele>3</g:ele></g:trkpt><g:trkpt lat="2" lon="2"/>'
        "</g:trkseg></g:trk></g:gpx>"
    )
    assert gpx.name == "N"
    np.testing.assert_array_equal(gpx.height, [3, np.nan])


@pytest.mark.parametrize(
    ("declared", "codec"),
    [
        ("UTF-8", "utf-8"),
        ("utf-8", "utf-8-sig"),
        ("UTF-16", "utf-16"),
        ("UTF-16", "utf-16-be"),
        ("ISO-8859-1", "latin-1"),
        ("windows-1252", "cp1252"),
        ("ISO-8859-15", "iso-8859-15"),
    ],
)
def test_encodings(declared, codec):
    text = track(TWO_POINTS, head="<name>Fähre</name>")
    text = text.replace('version="1.0"', f'version="1.0" encoding="{declared}"', 1)
    data = text.encode(codec)
    if codec == "utf-16-be":
        data = b"\xfe\xff" + data
    gpx, problems = read_gpx(data, "track.gpx")
    assert problems == []
    assert gpx is not None
    assert gpx.name == "Fähre"


def test_without_a_declaration_a_byte_order_mark_decides():
    text = track(TWO_POINTS, head="<name>Fähre</name>").partition("\n")[2]
    gpx, problems = read_gpx(text.encode("utf-16"), "track.gpx")
    assert problems == []
    assert gpx is not None
    assert gpx.name == "Fähre"


def test_waypoints_carry_the_line_they_begin_on():
    gpx = read_well(
        document(
            '<wpt lat="50.5" lon="-20.5">\n<name>Grain &amp; silo</name></wpt>\n'
            '<wpt lat="+50.6" lon=" -20.6 "/>\n'
            f"<trk><trkseg>{TWO_POINTS}</trkseg></trk>"
        )
    )
    assert gpx.waypoints == (
        Waypoint(50.5, -20.5, "Grain & silo", 3),
        Waypoint(50.6, -20.6, "", 5),
    )


def test_the_name_of_the_file_stands_in_for_the_track():
    content = f"<metadata><name>File</name></metadata><trk><trkseg>{TWO_POINTS}</trkseg></trk>"
    assert read_well(document(content)).name == "File"
    assert read_well(document(content.replace("<trk>", "<trk><name>T</name>"))).name == "T"
    old = f"<name>Old</name><trk><trkseg>{TWO_POINTS}</trkseg></trk>"
    assert read_well(document(old, GPX_1_0)).name == "Old"


def test_a_long_name_is_cut():
    assert len(read_well(track(TWO_POINTS, head=f"<name>{'x' * 5000}</name>")).name) == 200


def test_a_route_is_read_where_there_is_no_track():
    points = TWO_POINTS.replace("trkpt", "rtept")
    gpx = read_well(document(f"<rte><name>Drawn</name>{points}</rte>"))
    assert gpx.is_drawn
    assert gpx.name == "Drawn"
    np.testing.assert_array_equal(gpx.part, [0, 0])


def test_a_route_beside_a_track_is_left_out_with_advice():
    points = TWO_POINTS.replace("trkpt", "rtept")
    gpx, problems = read(document(f"<rte>{points}</rte>\n<trk><trkseg>{TWO_POINTS}</trkseg></trk>"))
    assert gpx is not None
    assert not gpx.is_drawn
    assert found(problems) == [("gpx-several", 3, 1, "advice")]


@pytest.mark.parametrize(("line", "point"), [("trk", "trkpt"), ("rte", "rtept")])
def test_several_lines_are_refused_at_the_second(line, point):
    points = TWO_POINTS.replace("trkpt", point)
    if line == "trk":
        points = f"<trkseg>{points}</trkseg>"
    one = f"<{line}>{points}</{line}>\n"
    gpx, problems = read(document(one + f" <{line}/>\n" + one + one))
    assert gpx is None
    assert found(problems) == [("gpx-several", 6, 1, "error")]
    assert f"found 3 <{line}>" in problems[0].message


def test_a_second_track_without_a_line_does_no_harm():
    single = '<trk><trkseg><trkpt lat="1" lon="1"/></trkseg></trk>'
    content = f"{single}<trk><name>It</name><trkseg>{TWO_POINTS}</trkseg></trk>{single}"
    assert read_well(document(content)).name == "It"


def test_unknown_elements_are_ignored_and_noted_as_extensions():
    point = '<trkpt lat="50" lon="-20"><q:hr xmlns:q="urn:q">\n<q:ele>9</q:ele></q:hr></trkpt>'
    gpx = read_well(
        track(point + '<trkpt lat="50.1" lon="-20"><extra><ele>9</ele></extra></trkpt>')
    )
    assert np.isnan(gpx.height).all()
    assert gpx.private == (("extensions", 5, 27),)


def test_a_foreign_point_is_not_a_point():
    foreign = '<trkpt xmlns="urn:q" lat="95" lon="0"/>'
    assert len(read_well(track(TWO_POINTS + foreign)).lat) == 2


def test_foreign_attributes_do_not_stand_in_for_coordinates():
    text = track(TWO_POINTS + '<trkpt xmlns:q="urn:q" q:lat="1" q:lon="2"/>')
    assert found(read(text)[1]) == [("gpx-coordinate", 6, 36, "error")]


def test_what_is_private_is_listed_by_its_first_place():
    gpx = read_well(
        document(
            "<metadata><author><name>A</name><email id='a' domain='b'/></author>\n"
            "<copyright author='A'><year>2026</year></copyright>\n"
            "<link href='x'><text>x</text></link><time>2026-05-16T09:14:05Z</time></metadata>\n"
            "<trk><cmt>c</cmt><src>s</src><trkseg>\n"
            '<trkpt lat="50" lon="-20"><time>2026-05-16T09:14:05Z</time>'
            "<extensions><a><time>x</time></a></extensions></trkpt>\n"
            '<trkpt lat="50" lon="-21"><hdop>1</hdop></trkpt></trkseg></trk>'
        )
    )
    assert gpx.private == (
        ("author", 3, 11),
        ("copyright", 4, 1),
        ("link", 5, 1),
        ("time", 5, 37),
        ("description", 6, 6),
        ("source", 6, 18),
        ("extensions", 7, 60),
        ("device", 8, 27),
    )


def test_a_plain_track_has_nothing_private():
    head = "<name>N</name><number>1</number><type>ride</type>"
    bounds = '<metadata><name>N</name><bounds minlat="1"/><keywords>k</keywords></metadata>'
    text = track(TWO_POINTS, head=head).replace("<trk>", bounds + "<trk>")
    assert read_well(text).private == ()


@pytest.mark.parametrize(
    "written", ["5", "+5", "-5.", ".5", "05.50", " 5.0\n", "-0", "5.00000000000000000000000000001"]
)
def test_decimals_are_read(written):
    gpx = read_well(
        track(TWO_POINTS + f'<trkpt lat="{written}" lon="0"><ele>{written}</ele></trkpt>')
    )
    assert gpx.lat[-1] == gpx.height[-1] == float(written)


@pytest.mark.parametrize(
    "written", ["", "high", "NaN", "inf", "1e3", "1_0", "1,5", "٣", "0x5", "--5"]
)
def test_a_bad_height_is_advice_and_becomes_nan(written):
    second = f'<trkpt lat="51" lon="-20">\n<ele> {written} </ele></trkpt>'
    gpx, problems = read(track('<trkpt lat="50" lon="-20"><ele>7</ele></trkpt>' + second))
    assert gpx is not None
    np.testing.assert_array_equal(gpx.height, [7, np.nan])
    assert [(p.code, p.line, p.severity) for p in problems] == [("gpx-height", 6, "advice")]
    if written:
        assert problems[0].column == len("<ele> ") + 1
        assert repr(written) in problems[0].message


def test_a_bad_height_that_spans_lines_is_placed_on_its_own():
    text = track(TWO_POINTS + '<trkpt lat="1" lon="1"><ele>\n\n  high\n</ele></trkpt>')
    assert found(read(text)[1]) == [("gpx-height", 8, 1, "advice")]


@pytest.mark.parametrize(
    ("written", "seconds"),
    [
        ("1970-01-01T00:01:00Z", 60),
        ("1970-01-01T00:01:00.25Z", 60.25),
        ("1970-01-01T01:01:00+01:00", 60),
        ("1969-12-31T23:59:59Z", -1),
        (" 1970-01-01T00:01:00Z\n", 60),
    ],
)
def test_times_become_posix_seconds(written, seconds):
    text = track(TWO_POINTS + f'<trkpt lat="1" lon="1"><time>{written}</time></trkpt>')
    times = read_well(text).time_s
    assert times is not None
    assert times[-1] == seconds


@pytest.mark.parametrize(
    "written",
    ["", "soon", "2026-05-16", "2026-13-01T00:00:00Z", "1778000000", "2026-05-16 09:14:05Z"],
)
def test_a_bad_time_is_advice(written):
    text = track(TWO_POINTS + f'<trkpt lat="1" lon="1"><time>{written}</time></trkpt>')
    gpx, problems = read(text)
    assert gpx is not None
    assert gpx.time_s is None
    assert found(problems) == [("gpx-time", 6, len(TWO_POINTS.partition("\n")[2]) + 30, "advice")]


def test_times_without_a_zone_are_utc_and_said_once():
    point = '<trkpt lat="50.{0}" lon="-20"><time>1970-01-01T00:00:0{0}</time></trkpt>\n'
    gpx, problems = read(track(point.format(1) + point.format(2)))
    assert gpx is not None
    np.testing.assert_array_equal(gpx.time_s, [1, 2])
    assert found(problems) == [("gpx-time", 5, 35, "advice")]


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="the zone cannot be changed here")
def test_a_time_without_a_zone_does_not_depend_on_the_machine(monkeypatch):
    monkeypatch.setenv("TZ", "XYZ-13")
    time.tzset()
    try:
        gpx, _ = read(
            track(TWO_POINTS + '<trkpt lat="1" lon="1"><time>1970-01-01T00:00:05</time></trkpt>')
        )
    finally:
        monkeypatch.undo()
        time.tzset()
    assert gpx is not None
    assert gpx.time_s is not None
    assert gpx.time_s[-1] == 5


def test_times_that_run_backwards_are_fine():
    point = '<trkpt lat="50.{0}" lon="-20"><time>1970-01-01T00:00:0{0}Z</time></trkpt>\n'
    gpx = read_well(track(point.format(9) + point.format(2)))
    np.testing.assert_array_equal(gpx.time_s, [9, 2])


def test_the_time_of_a_waypoint_is_private_and_not_read():
    wpt = '<wpt lat="1" lon="1"><time>never</time></wpt>\n'
    gpx = read_well(document(f"{wpt}<trk><trkseg>{TWO_POINTS}</trkseg></trk>"))
    assert gpx.private == (("time", 3, 22),)


@given(cuts=st.lists(st.integers(1, 400), max_size=5))
@settings(deadline=None)
def test_a_file_in_pieces_reads_like_the_whole(cuts):
    text = track(TWO_POINTS + '<trkpt lat="1" lon="1"><ele>x</ele></trkpt>', head="<name>é</name>")
    data = text.encode()
    bounds = [0, *sorted(cuts), len(data)]
    pieces = [data[a:b] for a, b in pairwise(bounds)]
    whole, problems = read_gpx(data, "track.gpx")
    pieced, same_problems = read_gpx_chunks(pieces, "track.gpx")
    assert whole is not None
    assert pieced is not None
    assert problems == same_problems
    assert whole.name == pieced.name
    np.testing.assert_array_equal(whole.lat, pieced.lat)


def degrees(limit):
    return st.integers(-limit * 10**7, limit * 10**7).map(lambda n: f"{n / 10**7:.7f}")


POINT = st.tuples(
    degrees(90),
    degrees(180),
    st.none() | st.integers(-5000, 90000).map(lambda n: str(n / 10)),
    st.none() | st.integers(0, 2_000_000_000),
)


@given(parts=st.lists(st.lists(POINT, min_size=2, max_size=5), min_size=1, max_size=3))
@settings(deadline=None)
def test_the_reader_agrees_with_gpxpy(parts):
    def element(lat, lon, height, second):
        ele = "" if height is None else f"<ele>{height}</ele>"
        when = "" if second is None else f"<time>{np.datetime64(second, 's')}Z</time>"
        return f'<trkpt lat="{lat}" lon="{lon}">{ele}{when}</trkpt>'

    text = track(*("".join(element(*point) for point in part) for part in parts))
    gpx, _ = read(text)
    theirs = [
        (point.latitude, point.longitude, point.elevation, point.time, index)
        for index, segment in enumerate(gpxpy.parse(text).tracks[0].segments)
        for point in segment.points
    ]
    if len({point[:2] for point in theirs}) == 1:
        assert gpx is None
        return
    assert gpx is not None
    lat, lon, height, time, part = zip(*theirs, strict=True)
    np.testing.assert_array_equal(gpx.lat, lat)
    np.testing.assert_array_equal(gpx.lon, lon)
    np.testing.assert_array_equal(gpx.height, np.array(height, dtype=float))
    np.testing.assert_array_equal(gpx.part, part)
    seconds = [np.nan if moment is None else moment.timestamp() for moment in time]
    if gpx.time_s is None:
        assert np.isnan(seconds).all()
    else:
        np.testing.assert_array_equal(gpx.time_s, seconds)


def lines_of(content, **more):
    return read_gpx_lines(document(content).encode(), "track.gpx", **more)


def test_all_lines_are_read_in_the_order_of_the_file():
    points = TWO_POINTS.replace("trkpt", "rtept")
    one = f"<trk><name>{{}}</name><trkseg>{TWO_POINTS}</trkseg></trk>"
    single = '<trk><trkseg><trkpt lat="1" lon="1"/></trkseg></trk>'
    lines, problems = lines_of(
        f"{one.format('A')}<rte><name>B</name>{points}</rte>{single}<rte/>{one.format('C')}"
        '<wpt lat="1" lon="2"><name>Gate</name></wpt>'
    )
    assert problems == []
    assert [(line.name, line.is_drawn) for line in lines] == [
        ("A", False),
        ("B", True),
        ("C", False),
    ]
    assert all(len(line.lat) == 2 for line in lines)
    assert [w.name for w in lines[0].waypoints] == ["Gate"]
    assert lines[2].waypoints == lines[0].waypoints


@pytest.mark.parametrize(
    ("content", "code"),
    [
        ("", "gpx-empty"),
        ('<trk><trkseg><trkpt lat="1" lon="1"/></trkseg></trk>', "gpx-empty"),
        (f"<trk><trkseg>{TWO_POINTS}</trkseg></trk>" * 2 + "<trk>", "gpx-syntax"),
        (f"<trk><trkseg>{TWO_POINTS}<trkpt lat='95' lon='0'/></trkseg></trk>", "gpx-coordinate"),
    ],
)
def test_lines_of_a_faulty_file_are_none(content, code):
    lines, problems = lines_of(content)
    assert lines == []
    assert problems[0].code == code


def test_the_limit_of_points_holds_for_all_lines_together():
    content = f"<trk><trkseg>{TWO_POINTS}</trkseg></trk>" * 3
    assert len(lines_of(content, limits=Limits(points=6))[0]) == 3
    lines, problems = lines_of(content, limits=Limits(points=5))
    assert lines == []
    assert [p.code for p in problems] == ["gpx-limit"]


def test_a_file_of_one_line_reads_the_same_either_way():
    content = f'<trk><name>N</name><trkseg>{TWO_POINTS}</trkseg></trk><wpt lat="1" lon="1"/>'
    (line,), problems = lines_of(content)
    one = read_well(document(content))
    assert problems == []
    assert (line.name, line.waypoints, line.private) == (one.name, one.waypoints, one.private)
    np.testing.assert_array_equal(line.lat, one.lat)
    np.testing.assert_array_equal(line.part, one.part)
