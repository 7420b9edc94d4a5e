"""Recordings from public GPX libraries become measured and rendered routes (recordings/SOURCES.md).

They are what receivers and planners really write: GPX 1.0 and 1.1, times, extensions, no heights.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from geographiclib.geodesic import Geodesic

from building import leg, make_route, notes
from site_building import build_site
from softpedal.library.gpx_reader import read_gpx
from softpedal.library.load import load_route
from softpedal.measure.route_measures import measure_loaded
from softpedal.settings import Settings

RECORDINGS = sorted((Path(__file__).parent / "recordings").glob("*.gpx"))
KEEP = Settings(keep_times=True)


def _folder(tmp_path: Path, recording: Path) -> Path:
    legs = [leg("start", "back street"), leg("500 m", "traffic-free path")]
    return make_route(tmp_path, notes(legs=legs), gpx=recording.read_bytes(), id="recorded")


def test_there_are_enough_recordings() -> None:
    assert len(RECORDINGS) >= 3


@pytest.mark.parametrize("recording", RECORDINGS, ids=lambda path: path.stem)
def test_a_recording_is_measured(tmp_path, recording) -> None:
    """Length against geographiclib, summed within parts, to 1e-6 relative."""
    measured = measure_loaded(load_route(_folder(tmp_path, recording), KEEP), KEEP)
    assert measured.measures is not None, [str(p) for p in measured.problems]
    gpx, _ = read_gpx(recording.read_bytes(), recording.name)
    steps = [
        Geodesic.WGS84.Inverse(gpx.lat[i], gpx.lon[i], gpx.lat[i + 1], gpx.lon[i + 1])["s12"]
        for i in range(len(gpx.lat) - 1)
        if gpx.part[i] == gpx.part[i + 1]
    ]
    out = measured.measures.outbound
    assert out.length_m == pytest.approx(sum(steps), rel=1e-6)
    figures = out.leading.figures
    assert sum(figures.metres_by_kind.values()) == pytest.approx(out.length_m, rel=1e-12)
    assert figures.quietness == pytest.approx(1 - 500 / out.length_m, rel=1e-9)
    assert figures.ride_s > out.length_m / (20 / 3.6)


@pytest.mark.parametrize("recording", RECORDINGS, ids=lambda path: path.stem)
def test_a_recording_is_rendered_without_its_times(tmp_path, recording) -> None:
    _folder(tmp_path, recording)
    (tmp_path / "softpedal.yml").write_text("keep_times: true\n", encoding="utf-8")
    site = build_site(tmp_path)
    assert site.warnings == []
    page = site.text("routes/recorded/index.html")
    assert "quiet share" in page
    published = site.text("routes/recorded/recorded.gpx")
    assert not re.search(r"<time|<extensions|<src|<desc|<cmt|<author|<link", published)
    assert published.count("<trkpt") == len(read_gpx(recording.read_bytes(), "x")[0].lat)


@pytest.mark.parametrize("recording", RECORDINGS, ids=lambda path: path.stem)
def test_a_committed_recording_with_private_data_is_an_error(tmp_path, recording) -> None:
    loaded = load_route(_folder(tmp_path, recording), Settings())
    gpx, _ = read_gpx(recording.read_bytes(), recording.name)
    codes = [p.code for p in loaded.problems if p.is_error]
    assert codes == ["gpx-private"] * len(gpx.private)
    assert (loaded.route is None) == bool(gpx.private)
