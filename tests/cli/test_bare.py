"""`softpedal bare`: the line of a recording, and nothing else of it."""

from __future__ import annotations

import pytest
from click.testing import CliRunner
from PIL import Image

from building import gpx_text, line_east
from library.pictures import picture
from softpedal.cli import main
from softpedal.library.gpx_reader import read_gpx
from softpedal.library.photo_file import has_position

POINT = "</trkpt>"


def _ride(folder):
    text = gpx_text(line_east(500, height=12.0), waypoints={"Weir gate": (50.0, -19.998)})
    timed = text.replace(
        POINT, f"<time>2026-05-16T08:00:00Z</time><extensions><hr>99</hr></extensions>{POINT}"
    )
    path = folder / "ride.gpx"
    path.write_text(timed, encoding="utf-8")
    return path


def test_the_line_stays_and_the_rest_goes(tmp_path):
    ride, track = _ride(tmp_path), tmp_path / "track.gpx"
    before = ride.read_bytes()
    result = CliRunner().invoke(main, ["bare", str(ride), str(track)])
    assert result.exit_code == 0, result.output
    assert "left out: extensions, time" in result.output
    gpx, problems = read_gpx(track.read_bytes(), "track.gpx")
    assert problems == []
    assert gpx.private == ()
    assert len(gpx.lat) == 51
    assert [w.name for w in gpx.waypoints] == ["Weir gate"]
    assert ride.read_bytes() == before


def test_nothing_is_written_over_unless_told(tmp_path):
    ride, track = _ride(tmp_path), tmp_path / "track.gpx"
    track.write_text("mine", encoding="utf-8")
    result = CliRunner().invoke(main, ["bare", str(ride), str(track)])
    assert result.exit_code == 2
    assert track.read_text(encoding="utf-8") == "mine"
    assert CliRunner().invoke(main, ["bare", str(ride), str(track), "--force"]).exit_code == 0
    assert track.read_text(encoding="utf-8").startswith("<?xml")


def test_a_file_that_is_no_track_is_reported(tmp_path):
    ride = tmp_path / "ride.gpx"
    ride.write_text("<gpx", encoding="utf-8")
    result = CliRunner().invoke(main, ["bare", str(ride), str(tmp_path / "track.gpx")])
    assert result.exit_code == 1
    assert "gpx-syntax" in result.output
    assert not (tmp_path / "track.gpx").exists()


@pytest.mark.parametrize(("form", "suffix"), [("JPEG", ".jpg"), ("PNG", ".png"), ("WEBP", ".webp")])
def test_a_photo_becomes_its_picture_alone(form, suffix, tmp_path):
    photo, out = tmp_path / f"photo{suffix}", tmp_path / f"out{suffix}"
    photo.write_bytes(picture(form, position=True, size=(40, 30)))
    result = CliRunner().invoke(main, ["bare", str(photo), str(out)])
    assert result.exit_code == 0, result.output
    assert not has_position(out)
    with Image.open(out) as opened:
        assert opened.format == form
        assert opened.size == (40, 30)
        assert not opened.getexif()
    assert b"A camera" in photo.read_bytes()
    assert b"A camera" not in out.read_bytes()


def test_a_photo_keeps_its_format_and_must_open(tmp_path):
    photo = tmp_path / "photo.jpg"
    photo.write_bytes(picture(position=True))
    result = CliRunner().invoke(main, ["bare", str(photo), str(tmp_path / "out.gpx")])
    assert result.exit_code == 2
    photo.write_bytes(b"no picture")
    result = CliRunner().invoke(main, ["bare", str(photo), str(tmp_path / "out.jpg")])
    assert result.exit_code == 1
    assert "does not open" in result.output
    assert not (tmp_path / "out.jpg").exists()
