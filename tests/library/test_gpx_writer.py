"""What the writer puts into a published track, and what it keeps out."""

import re

import gpxpy
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from softpedal.library.gpx_reader import Waypoint, read_gpx
from softpedal.library.gpx_writer import write_gpx

LAT, LON = [50.0, 50.001, 50.002], [-20.0, -20.001, -20.002]


def write(
    lat=LAT, lon=LON, height=(1.04, np.nan, -0.04), part=(0, 0, 0), *, name="N", waypoints=()
):
    return write_gpx(lat, lon, height, part, name, waypoints)


def read(text):
    gpx, problems = read_gpx(text.encode(), "track.gpx")
    assert problems == []
    assert gpx is not None
    return gpx


def test_the_whole_document():
    assert write(part=[0, 0, 4], waypoints=[Waypoint(50.5, -20.25, "Silo", 7)]) == (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<gpx xmlns="http://www.topografix.com/GPX/1/1" '
        'xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance" '
        'xsi:schemaLocation="http://www.topografix.com/GPX/1/1 '
        'http://www.topografix.com/GPX/1/1/gpx.xsd" version="1.1" creator="softpedal">\n'
        '  <wpt lat="50.5" lon="-20.25">\n'
        "    <name>Silo</name>\n"
        "  </wpt>\n"
        "  <trk>\n"
        "    <name>N</name>\n"
        "    <trkseg>\n"
        '      <trkpt lat="50.0" lon="-20.0">\n'
        "        <ele>1.0</ele>\n"
        "      </trkpt>\n"
        '      <trkpt lat="50.001" lon="-20.001">\n'
        "      </trkpt>\n"
        "    </trkseg>\n"
        "    <trkseg>\n"
        '      <trkpt lat="50.002" lon="-20.002">\n'
        "        <ele>0.0</ele>\n"
        "      </trkpt>\n"
        "    </trkseg>\n"
        "  </trk>\n"
        "</gpx>"
    )


def test_nothing_private_is_written():
    assert read(write()).private == ()
    assert read(write()).time_s is None


def test_the_text_does_not_depend_on_what_was_read_before():
    before = write()
    gpxpy.parse('<gpx xmlns:q="urn:q" creator="other"><extensions><q:a/></extensions></gpx>')
    assert write() == before


def test_small_numbers_have_no_exponent():
    text = write(lat=[1e-7, -1e-7, 0], lon=[1e-5, 0, -1e-9], height=[1e-5, 1e-9, 0.06])
    assert not re.search(r"[0-9]e", text)
    assert not re.search(r'"-[0.]*"', text)
    np.testing.assert_array_equal(read(text).lat, [1e-7, -1e-7, 0])


@pytest.mark.parametrize(
    ("name", "read_back"),
    [
        ("Quay & <Row> \"x\" ]]> 'y'", "Quay & <Row> \"x\" ]]> 'y'"),
        ("a\x00b\x1bc\x0bd", "abcd"),
        ("a\tb\r\nc", "a b c"),
        ("a\ud800b\ufffe\uffffc", "abc"),
        ("Fähre 𐍈", "Fähre 𐍈"),
        ("", ""),
    ],
)
def test_names_are_escaped_and_cleaned(name, read_back):
    gpx = read(write(name=name, waypoints=[Waypoint(1, 2, name, 1)]))
    assert gpx.name == read_back
    assert gpx.waypoints[0].name == read_back


def test_an_empty_name_leaves_no_element():
    assert "<name>" not in write(name="\x00", waypoints=[Waypoint(1, 2, "", 1)])


@pytest.mark.parametrize(("lat", "lon"), [(90.1, 0), (0, -180.1), (np.nan, 0), (0, np.inf)])
def test_a_place_that_is_not_on_earth_is_refused(lat, lon):
    with pytest.raises(ValueError, match="not a place on earth"):
        write(lat=[*LAT[:2], lat], lon=[*LON[:2], lon])
    with pytest.raises(ValueError, match="not a place on earth"):
        write(waypoints=[Waypoint(lat, lon, "", 1)])


@pytest.mark.parametrize("change", [{"lat": [1]}, {"height": [1]}, {"part": [[0, 0, 0]]}])
def test_arrays_of_different_shapes_are_refused(change):
    with pytest.raises(ValueError, match="shape"):
        write(**change)


POINTS = st.lists(
    st.tuples(
        st.floats(-90, 90),
        st.floats(-180, 180),
        st.floats(-500, 9000) | st.just(np.nan),
        st.booleans(),
    ),
    min_size=2,
    max_size=12,
)


@given(points=POINTS, name=st.text(st.characters(exclude_categories=["Cs"]), max_size=20))
@settings(deadline=None)
def test_what_is_written_is_read_back(points, name):
    lat, lon, height, is_start = (np.array(values) for values in zip(*points, strict=True))
    part = np.cumsum(is_start)
    gpx, problems = read_gpx(write_gpx(lat, lon, height, part, name).encode(), "track.gpx")
    kept = np.isin(part, [n for n in np.unique(part) if (part == n).sum() >= 2])
    if gpx is None:  # no part, or all its points the same when rounded to a centimetre
        assert [problem.code for problem in problems] == ["gpx-empty"]
        places = np.unique(np.round([lat[kept], lon[kept]], 7) + 0.0, axis=1)
        assert places.shape[1] <= 1
        return
    assert problems == []
    np.testing.assert_allclose(gpx.lat, lat[kept], rtol=0, atol=1e-7)
    np.testing.assert_allclose(gpx.lon, lon[kept], rtol=0, atol=1e-7)
    np.testing.assert_allclose(gpx.height, height[kept], rtol=0, atol=0.0501)
    np.testing.assert_array_equal(gpx.part, np.unique(part[kept], return_inverse=True)[1])
    again = write_gpx(gpx.lat, gpx.lon, gpx.height, gpx.part, gpx.name)
    assert read(again).lat.tolist() == gpx.lat.tolist()


@given(points=POINTS)
@settings(deadline=None)
def test_gpxpy_reads_the_same(points):
    lat, lon, height, _ = (np.array(values) for values in zip(*points, strict=True))
    theirs = gpxpy.parse(write_gpx(lat, lon, height, np.zeros(len(lat)), "N"))
    assert theirs.creator == "softpedal"
    assert theirs.time is None
    (segment,) = theirs.tracks[0].segments
    np.testing.assert_allclose([p.latitude for p in segment.points], lat, rtol=0, atol=1e-7)
    assert all(point.time is None for point in segment.points)


@pytest.mark.parametrize("parts", [[0] * 400, [0] * 100 + [1] * 300])
@pytest.mark.parametrize("odd", [True, False])
def test_the_points_are_written_as_gpxpy_writes_them(parts, odd):
    """gpxpy writes the document and would write its points the same way, byte for byte."""
    rng = np.random.default_rng(5)
    lat, lon = 50 + rng.normal(0, 0.02, 400), -20 + rng.normal(0, 0.02, 400)
    height = rng.normal(3, 3, 400)
    lat[3], lon[5] = 0.0, -0.0
    if odd:
        lon[4] = 0.00001
        height[::7] = np.nan
    text = write(lat, lon, height, parts)
    document = gpxpy.parse(text)
    document.creator = "softpedal"
    assert document.to_xml(version="1.1") == text
