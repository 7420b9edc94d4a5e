"""Recordings by other people: read as gpxpy reads them, and of the length that geodesy gives them.

Where they come from stands in recordings/SOURCES.md.
"""

import hashlib
from itertools import pairwise
from pathlib import Path

import gpxpy
import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from pyproj import Geod

from softpedal.library.gpx_reader import Gpx, read_gpx
from softpedal.library.gpx_writer import write_gpx

FOLDER = Path(__file__).parent / "recordings"
RECORDINGS = {
    # name: points, kilometres (rounded), kinds of private things
    "sample-ride.gpx": (850, 7.59, ("time", "extensions")),
    "around-visnjan-with-car.gpx": (104, 2.74, ("link", "time", "extensions")),
    "Mojstrovka.gpx": (184, 2.70, ("time",)),
    "ExampleTrack_NoTime.gpx": (274, 23.92, ()),
}
WGS84 = Geod(ellps="WGS84")


def read(name) -> Gpx:
    gpx, problems = read_gpx((FOLDER / name).read_bytes(), name)
    assert problems == []
    assert gpx is not None
    return gpx


def metres_by_pyproj(gpx):
    return sum(
        float(WGS84.line_lengths(gpx.lon[gpx.part == part], gpx.lat[gpx.part == part]).sum())
        for part in np.unique(gpx.part)
    )


def metres_by_geographiclib(gpx):
    places = list(zip(gpx.lat.tolist(), gpx.lon.tolist(), gpx.part.tolist(), strict=True))
    return sum(
        Geodesic.WGS84.Inverse(*before[:2], *after[:2], Geodesic.DISTANCE)["s12"]
        for before, after in pairwise(places)
        if before[2] == after[2]
    )


def test_every_recording_is_named_and_is_the_one_in_the_list_of_sources():
    sources = (FOLDER / "SOURCES.md").read_text(encoding="utf-8")
    files = {path.name: path for path in FOLDER.glob("*.gpx")}
    assert files.keys() == RECORDINGS.keys()
    for name, path in files.items():
        digest = hashlib.sha256(path.read_bytes()).hexdigest()
        (row,) = [line for line in sources.splitlines() if line.endswith(f"| {digest} |")]
        assert row.startswith(f"| {name} |")
        assert "LICENSE-" in row


@pytest.mark.parametrize("name", RECORDINGS)
def test_a_recording_is_read(name):
    points, kilometres, private = RECORDINGS[name]
    gpx = read(name)
    assert len(gpx.lat) == points
    assert not gpx.is_drawn
    assert np.isfinite(gpx.height).all()
    assert tuple(kind for kind, _, _ in gpx.private) == private
    assert round(metres_by_pyproj(gpx) / 1000, 2) == kilometres


@pytest.mark.parametrize("name", RECORDINGS)
def test_a_recording_is_read_as_gpxpy_reads_it(name):
    gpx = read(name)
    theirs = gpxpy.parse((FOLDER / name).read_bytes())
    (track,) = theirs.tracks
    points = [(p, part) for part, segment in enumerate(track.segments) for p in segment.points]
    np.testing.assert_allclose(gpx.lat, [p.latitude for p, _ in points], rtol=0, atol=1e-9)
    np.testing.assert_allclose(gpx.lon, [p.longitude for p, _ in points], rtol=0, atol=1e-9)
    np.testing.assert_allclose(gpx.height, [p.elevation for p, _ in points], rtol=0, atol=1e-9)
    np.testing.assert_array_equal(gpx.part, [part for _, part in points])
    assert gpx.name == (track.name or "")
    if gpx.time_s is None:
        assert all(p.time is None for p, _ in points)
    else:
        seconds = [p.time.timestamp() for p, _ in points]
        np.testing.assert_allclose(gpx.time_s, seconds, rtol=0, atol=1e-3)


@pytest.mark.parametrize("name", RECORDINGS)
def test_two_libraries_of_geodesy_give_one_length(name):
    """Karney, Algorithms for geodesics, Journal of Geodesy 87 (2013): PROJ and GeographicLib."""
    gpx = read(name)
    assert metres_by_pyproj(gpx) == pytest.approx(metres_by_geographiclib(gpx), rel=1e-6)


@pytest.mark.parametrize("name", RECORDINGS)
def test_a_recording_that_is_written_again_is_public_and_as_long(name):
    gpx = read(name)
    text = write_gpx(gpx.lat, gpx.lon, gpx.height, gpx.part, gpx.name, gpx.waypoints)
    again, problems = read_gpx(text.encode(), name)
    assert problems == []
    assert again is not None
    assert again.private == ()
    assert again.name == gpx.name
    assert metres_by_pyproj(again) == pytest.approx(metres_by_pyproj(gpx), rel=1e-4)
