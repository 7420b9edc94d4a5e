"""Folders, names and files of one library, beyond the faults that are listed elsewhere."""

import os

import pytest

from building import gpx_text, line_east, make_route, notes, notes_text
from library.pictures import picture
from library.small_library import NOTES, RETURN, changed
from softpedal.library.load import load_route
from softpedal.library.names import name_problems, names_of
from softpedal.library.track import Track
from softpedal.settings import Limits, Settings
from softpedal.upkeep.check import check_library

TIMED = (
    gpx_text(line_east(2000, step=400))
    .replace("/>\n", "><time>2026-05-16T09:14:05Z</time></trkpt>\n")
    .replace("<trk>", "<trk><name>x</name>")
)


def found(folder, settings=None):
    return [
        (p.code, p.file.rpartition("/")[2], p.line) for p in load_route(folder, settings).problems
    ]


@pytest.mark.parametrize(("short", "is_there"), [(0, True), (190, True), (210, False)])
def test_the_direct_road_goes_from_start_to_finish(short, is_there, tmp_path):
    """A step of 900 m in it is no fault: it is drawn and not recorded."""
    line = [*line_east(1800, step=900), line_east(2000 - short)[-1]]
    route = load_route(make_route(tmp_path, files={"direct.gpx": gpx_text(line)})).route
    assert (route.direct_line is not None) is is_there
    if is_there:
        assert route.direct_line.length_m == pytest.approx(1800 + abs(200 - short), abs=1)


def test_a_direct_road_carries_nothing_private(tmp_path):
    folder = make_route(tmp_path, files={"direct.gpx": TIMED})
    assert ("gpx-private", "direct.gpx") in {(code, file) for code, file, _ in found(folder)}


def test_a_variant_may_be_called_direct(tmp_path):
    variant = {"file": "direct.gpx", "leave": "0.5 km", "rejoin": "1 km", "why": "Short."}
    legs = [{"from": "start", "kind": "busy road", "street": "Dock Road"}]
    files = {"direct.gpx": gpx_text(line_east(600))}
    route = load_route(
        make_route(tmp_path, notes(variants=[variant | {"legs": legs}]), files=files)
    ).route
    assert route.direct_line is None
    assert len(route.variants) == 1


def test_a_whole_folder_has_no_fault(tmp_path):
    more = {
        "story.md": "Once *upon* a `<b>` time.\n",
        "photos/lock.JPG": picture(),
        ".gitkeep": b"",
    }
    photo = "photos: [{file: lock.JPG, at: 1 km, alt: A lock gate}]\n"
    loaded = load_route(make_route(tmp_path, NOTES + photo, files=more))
    assert loaded.problems == ()
    assert loaded.route.story == more["story.md"]
    assert loaded.route.id == loaded.id == "ferry-steps-to-chapel-green"
    assert loaded.route.folder == loaded.folder


def test_no_story_is_an_empty_one(tmp_path):
    assert load_route(make_route(tmp_path)).route.story == ""


def test_a_byte_order_mark_is_no_fault(tmp_path):
    loaded = load_route(make_route(tmp_path, "\ufeff" + NOTES, files={"story.md": "\ufeffOnce"}))
    assert loaded.problems == ()
    assert loaded.route.notes.title == "Mill Lane to North Quay"
    assert loaded.route.story == "Once"


def test_windows_line_ends_are_no_fault(tmp_path):
    loaded = load_route(make_route(tmp_path, NOTES.replace("\n", "\r\n")))
    assert loaded.problems == ()


def test_times_are_refused_unless_they_are_kept(tmp_path):
    folder = make_route(tmp_path, gpx=TIMED)
    assert [code for code, _, _ in found(folder)] == ["gpx-private"]
    assert load_route(folder).route is None
    kept = load_route(folder, Settings(keep_times=True))
    assert kept.problems == ()
    assert kept.route is not None


def test_keep_times_in_the_settings_reaches_the_tracks(tmp_path):
    make_route(tmp_path, gpx=TIMED)
    assert [p.code for p in check_library(tmp_path)] == ["gpx-private"]
    (tmp_path / "softpedal.yml").write_text("keep_times: true\n")
    assert check_library(tmp_path) == []


def test_a_track_over_the_limit_of_bytes_is_refused(tmp_path):
    folder = make_route(tmp_path)
    assert found(folder, Settings(limits=Limits(bytes=1024)))[0][:2] == ("gpx-limit", "track.gpx")
    size = (folder / "track.gpx").stat().st_size
    assert found(folder, Settings(limits=Limits(bytes=size))) == []
    assert found(folder, Settings(limits=Limits(bytes=size - 1)))[0][0] == "gpx-limit"


def test_a_track_over_the_limit_of_points_is_refused(tmp_path):
    folder = make_route(tmp_path, points=line_east(2000, step=200))
    assert found(folder, Settings(limits=Limits(points=11))) == []
    assert found(folder, Settings(limits=Limits(points=10)))[0][0] == "gpx-limit"


def test_the_checksum_of_the_track_that_is_there_is_accepted(tmp_path):
    folder = make_route(tmp_path)
    checksum = load_route(folder).route.along.track.checksum
    text = notes_text(notes(track={"length": "2000 m", "checksum": checksum}))
    (folder / "notes.yml").write_text(text)
    assert found(folder) == []


def test_a_checksum_notices_a_ten_millionth_of_a_degree_no_more(tmp_path):
    track = load_route(make_route(tmp_path)).route.along.track
    for shift, same in ((1e-9, True), (1e-5, False)):
        moved = Track(track.lat + shift, track.lon, track.height, track.part)
        assert (moved.checksum == track.checksum) is same


def test_a_gap_and_a_jump_are_advice(tmp_path):
    gap = gpx_text(line_east(2000, step=100), parts=[11])
    jump = gpx_text(line_east(2000, step=1000))
    for gpx, code in ((gap, "gpx-gap"), (jump, "gpx-step")):
        loaded = load_route(make_route(tmp_path, gpx=gpx))
        assert [(p.code, p.severity) for p in loaded.problems] == [(code, "advice")]
        assert loaded.route is not None


def test_faults_of_all_files_are_reported_together(tmp_path):
    files = {"story.md": "<b>x</b>", "notes.yml": NOTES + "crosings: []\n"}
    folder = make_route(tmp_path, gpx="<gpx", files=files)
    assert {name for _, name, _ in found(folder)} == {"notes.yml", "story.md", "track.gpx"}


def test_faults_come_in_reading_order(tmp_path):
    text = changed("kind: back street", "kind: bak") + "crosings: []\nwas: [A]\n"
    lines = [line for _, _, line in found(make_route(tmp_path, text))]
    assert lines == [12, 16, 17]


def test_a_broken_return_gpx_is_reported_once(tmp_path):
    folder = make_route(tmp_path, NOTES + RETURN, return_gpx="<gpx")
    assert [name for _, name, _ in found(folder)] == ["return.gpx"]


def test_a_way_back_of_its_own_is_read_along_its_own_line(tmp_path):
    crossing = "  crossings:\n    - {at: 1.4 km, road: Kiln Road, control: none}\n"
    back = gpx_text(line_east(1500)[::-1])
    route = load_route(make_route(tmp_path, NOTES + RETURN + crossing, return_gpx=back)).route
    assert route.way_back.length_m == pytest.approx(1500)
    assert [round(c.at_m) for c in route.way_back.crossings] == [1400]
    assert route.outbound.crossings == ()


def test_a_plain_cue_in_the_way_backs_own_list_is_the_way_backs(tmp_path):
    back = gpx_text(line_east(1500)[::-1])
    text = NOTES + RETURN + "      cue: Left at the kiln.\n"
    route = load_route(make_route(tmp_path, text, return_gpx=back)).route
    assert route.way_back.legs[0].item.cue.get("return") == "Left at the kiln."


def test_a_folder_that_cannot_be_read_is_reported(tmp_path, monkeypatch):
    folder = make_route(tmp_path)

    def denied(*_, **__):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("pathlib.Path.open", denied)
    (problem,) = load_route(folder).problems
    assert (problem.code, problem.file) == ("file-unreadable", f"routes/{folder.name}")
    assert "Permission denied" in problem.message
    assert "right to read" in problem.hint


@pytest.mark.parametrize("name", [b"m\xff", b"m\x1b[31m", b"m\n::error::x", "m\u202e".encode()])
def test_odd_names_of_folders_can_be_printed(tmp_path, name):
    folder = tmp_path / "routes" / os.fsdecode(name)
    folder.mkdir(parents=True)
    for problem in check_library(tmp_path):
        text = f"{problem} {problem.route}"
        assert text.encode()
        assert "\x1b" not in text
        assert "\n" not in text
    assert {p.code for p in check_library(tmp_path)} == {"folder-name", "file-missing"}
    assert check_library(tmp_path, [folder.name]) == check_library(tmp_path)


def test_an_empty_folder_says_what_is_missing(tmp_path):
    folder = tmp_path / "routes" / "mill-lane"
    folder.mkdir(parents=True)
    assert found(folder) == [("file-missing", "notes.yml", 0), ("file-missing", "track.gpx", 0)]


class TestNames:
    """Old ids, and routes that are named."""

    def routes(self, tmp_path, **was):
        return [
            names_of(load_route(make_route(tmp_path, notes(was=old), id=name)).route)
            for name, old in was.items()
        ]

    def test_an_old_id_that_two_routes_have_is_reported_at_the_second(self, tmp_path):
        routes = self.routes(tmp_path, a=["old"], b=["older", "old"])
        (problem,) = name_problems(routes, ["a", "b"])
        assert (problem.code, problem.route) == ("id-taken", "b")
        assert "`a`" in problem.message

    def test_an_old_id_twice_in_one_route_is_no_fault(self, tmp_path):
        assert name_problems(self.routes(tmp_path, a=["old", "old"]), ["a"]) == []

    def test_a_route_may_be_followed_by_one_that_cannot_be_read(self, tmp_path):
        folder = make_route(tmp_path, notes(next=["broken"]))
        names = names_of(load_route(folder).route)
        assert name_problems([names], [folder.name, "broken"]) == []

    @pytest.mark.parametrize(
        ("status", "severity"), [("published", "advice"), ("withdrawn", "error")]
    )
    def test_a_draft_is_no_place_to_send_readers(self, tmp_path, status, severity):
        draft = names_of(load_route(make_route(tmp_path, notes(status="draft"), id="d")).route)
        data = notes(next=["d"])
        if status == "withdrawn":
            data = notes(status="withdrawn", withdrawn={"why": "Flooded.", "instead": "d"})
        route = names_of(load_route(make_route(tmp_path, data, id="r")).route)
        (problem,) = name_problems([draft, route], ["d", "r"])
        assert (problem.code, problem.severity) == ("claim-next", severity)
        assert "`d` is not published" in problem.message

    def test_long_names_are_cut(self, tmp_path):
        names = names_of(load_route(make_route(tmp_path, notes(next=["x" * 120]))).route)
        (problem,) = name_problems([names], [names.id])
        assert problem.message.count("x") < 70
