"""A ride held against a route, and its adoption: files, times, refusals."""

import json

import numpy as np
import pytest

from building import crossing, gpx_text, leg, load, make_route, notes
from softpedal.draft.draft_record import RECORD, DraftRecord, read_record, write_record
from softpedal.draft.observed import Mark, Observed, Stop
from softpedal.draft.ride import cleaned, line_of
from softpedal.library.private_zones import NO_ZONES
from softpedal.library.reports import Report
from softpedal.problems import CannotDoError
from softpedal.settings import Settings
from softpedal.upkeep.reriding import adoption as adopting
from softpedal.upkeep.reriding.adoption import adoption, refuse_faulty, write
from softpedal.upkeep.reriding.moved_notes import NoAdoptionError
from softpedal.upkeep.reriding.moved_text import data_of
from softpedal.upkeep.reriding.reride import RerideError, compared
from softpedal.upkeep.reriding.reride_text import adoption_lines, reride_document, reride_lines
from upkeep.noisy_lines import degrees, noisy, points, recording

SETTINGS = Settings()
STRAIGHT = [(0, 0), (1200, 0)]
DETOUR = [(0, 0), (400, 0), (400, 100), (600, 100), (600, 0), (1200, 0)]
BACK = [(1200, 0), (1200, 200), (0, 200), (0, 0)]
LEGS = [
    leg("start", "back street", "Quay"),
    leg("0.45 km", "filtered street", "Mid Street", closed_by="posts"),
    leg("0.70 km", "back street", "Far Street"),
]


def ride(corners, **how):
    return cleaned(line_of(recording(noisy(points(corners), 3, 1.5), **how).encode(), "r.gpx"))


@pytest.fixture
def folder(tmp_path):
    marked = notes(
        legs=LEGS,
        hazards=[{"at": "0.50 km", "what": "humps"}, {"at": "0.90 km", "what": "a drain"}],
        crossings=[crossing("0.70 km", "signals", wait="30 s")],
    )
    return make_route(tmp_path, marked, degrees(points(STRAIGHT)))


def content(folder):
    return {p.name: p.read_bytes() for p in folder.iterdir()}


def test_a_ride_of_the_line_only_moves_ridden_on(folder):
    found = compared(load(folder), ride(STRAIGHT), SETTINGS)
    assert found.differing == ()
    plan = adoption(found, SETTINGS, NO_ZONES)
    assert list(plan.files) == ["notes.yml"]
    assert plan.ridden == {"on": "2026-11-20", "direction": "outbound", "moving": 4, "standing": 0}
    write(plan)
    assert [r.on for r in load(folder).notes.ridden] == ["2026-05-16", "2026-11-20"]


def test_the_line_is_adopted_with_all_its_positions(folder):
    found = compared(load(folder), ride(DETOUR), SETTINGS)
    (one,) = found.differing
    assert [street for street, _ in one.legs] == ["Quay", "Mid Street"]
    assert one.stretch.there_m == pytest.approx(200, abs=20)
    plan = adoption(found, SETTINGS, NO_ZONES)
    refuse_faulty(plan, SETTINGS, NO_ZONES, ())
    write(plan)
    route = load(folder)
    assert route.along.length_m == pytest.approx(1400, abs=25)
    streets = [placed.item.street for placed in route.along.legs]
    assert streets == ["Quay", "Street to be named", "Mid Street", "Far Street"]
    assert route.along.crossings[0].at_m == pytest.approx(900, abs=30)
    assert [h.item.what for h in route.along.hazards] == ["a drain"]
    assert "# - at: 0.50 km" in (folder / "notes.yml").read_text()


def test_the_mark_of_the_track_follows(tmp_path):
    track = {"length": "1200 m", "checksum": "0123456789ab"}
    path = make_route(tmp_path, notes(legs=LEGS), degrees(points(STRAIGHT)))
    track["checksum"] = load(path).along.track.checksum
    path = make_route(tmp_path, notes(legs=LEGS, track=track), degrees(points(STRAIGHT)))
    plan = adoption(compared(load(path), ride(DETOUR), SETTINGS), SETTINGS, NO_ZONES)
    write(plan)
    route = load(path)
    assert route.notes.track.checksum == route.along.track.checksum != track["checksum"]
    assert route.notes.track.length == pytest.approx(route.along.length_m, abs=1)


def test_what_was_drafted_moves_too(folder):
    document = {
        "legs": [dict(each) for each in LEGS],
        "crossings": [{"at": "0.50 km", "road": "A"}, {"at": "0.90 km", "road": "B"}],
    }
    seen = Observed(stops=(Stop(500.0, 20.0), Stop(900.0, 30.0)), marks=(Mark(100.0, "here"),))
    record = DraftRecord("", "", "", document, {}, seen.as_data())
    write_record(folder, record)
    plan = adoption(compared(load(folder), ride(DETOUR), SETTINGS), SETTINGS, NO_ZONES)
    assert set(plan.files) == {"notes.yml", "track.gpx", RECORD}
    write(plan)
    now = read_record(folder)
    assert now.document["legs"] == data_of((folder / "notes.yml").read_text())["legs"]
    (kept,) = now.document["crossings"]
    assert kept["road"] == "B"
    assert kept["at"].startswith(("1.09", "1.10", "1.11"))
    assert [s.at_m for s in now.seen().stops] == [pytest.approx(1100, abs=20)]
    assert now.seen().marks == seen.marks


def test_the_way_back_is_compared_with_its_own_line(tmp_path):
    back = gpx_text(degrees(points(BACK)))
    marked = notes(**{"return": {"legs": [leg("start", "back street", "High Road")]}})
    path = make_route(tmp_path, marked, degrees(points(STRAIGHT)), return_gpx=back)
    found = compared(load(path), ride(BACK), SETTINGS)
    assert (found.file, found.ridden.direction, found.differing) == ("return.gpx", "return", ())
    assert [time.street for time in found.times] == ["High Road"]
    assert not found.is_out_turned
    aside = [(1200, 0), (1200, 200), (800, 200), (800, 300), (500, 300), (500, 200), (0, 200)]
    plan = adoption(compared(load(path), ride([*aside, (0, 0)]), SETTINGS), SETTINGS, NO_ZONES)
    assert set(plan.files) == {"return.gpx", "notes.yml"}
    refuse_faulty(plan, SETTINGS, NO_ZONES, ())


def test_the_way_out_ridden_back_is_told_where_there_is_a_return(tmp_path):
    partly = [(1200, 0), (900, 0), (900, 200), (0, 200), (0, 0)]
    marked = notes(**{"return": {"legs": [leg("start", "back street", "High Road")]}})
    back = gpx_text(degrees(points(partly)))
    path = make_route(tmp_path, marked, degrees(points(STRAIGHT)), return_gpx=back)
    found = compared(load(path), ride(STRAIGHT[::-1]), SETTINGS)
    assert (found.file, found.is_out_turned) == ("return.gpx", True)
    assert "follows track.gpx, ridden the other way round" in "\n".join(reride_lines(found))


def test_a_reversed_ride_is_compared_the_other_way_round(folder):
    found = compared(load(folder), ride(DETOUR[::-1]), SETTINGS)
    assert (found.is_turned, found.ridden.direction) == (True, "return")
    assert found.differing[0].stretch.from_m == pytest.approx(400, abs=15)
    assert [time.street for time in found.times] == ["Far Street", "Mid Street", "Quay"]
    text = "\n".join(reride_lines(found))
    assert "compared with track.gpx the other way round" in text
    plan = adoption(found, SETTINGS, NO_ZONES)
    assert "the way out goes there too" in "\n".join(adoption_lines(plan, found))


def test_standing_is_told_apart_and_put_on_its_leg(folder):
    found = compared(load(folder), ride(STRAIGHT, stop=(680.0, 90)), SETTINGS)
    mid = found.times[1]
    assert mid.standing_s == pytest.approx(90, abs=15)
    assert mid.expected_standing_s == pytest.approx(30)
    assert mid.lost_s > 30
    assert found.times[2].expected_standing_s == 0.0
    assert found.ridden.standing in {1, 2}


def test_times_are_compared_with_an_older_ride(folder):
    older = ("old.gpx", ride(STRAIGHT, speed=3.0))
    found = compared(load(folder), ride(STRAIGHT, speed=6.0), SETTINGS, older=older)
    for time in found.times:
        assert time.expected_moving_s == pytest.approx(2 * time.moving_s, rel=0.2)
    assert "where old.gpx has" in "\n".join(reride_lines(found))
    untimed = ("old.gpx", ride(STRAIGHT, timed=False))
    with pytest.raises(RerideError, match="has no times"):
        compared(load(folder), ride(STRAIGHT), SETTINGS, older=untimed)


def test_a_part_confirms_nothing(folder):
    found = compared(load(folder), ride([(300, 0), (800, 0)]), SETTINGS)
    assert not found.ridden.is_whole
    assert adoption(found, SETTINGS, NO_ZONES).files == {}
    assert "covers a part only" in "\n".join(reride_lines(found))


@pytest.mark.parametrize("on", ["2026-05-16", "2020-01-01"])
def test_ridden_never_moves_back(folder, on):
    plan = adoption(compared(load(folder), ride(STRAIGHT), SETTINGS, on=on), SETTINGS, NO_ZONES)
    assert (plan.ridden, plan.files) == (None, {})


def test_a_ride_without_a_clock_needs_a_day(folder):
    plain = ride(STRAIGHT, timed=False)
    assert not compared(load(folder), plain, SETTINGS).ridden.moves_on
    found = compared(load(folder), plain, SETTINGS, on="2026-11-01")
    entry = adoption(found, SETTINGS, NO_ZONES).ridden
    assert entry == {"on": "2026-11-01", "direction": "outbound"}
    assert "no clock" in "\n".join(reride_lines(found))


def test_keeping_the_line_notes_the_ride_only_where_the_line_was_ridden(folder):
    found = compared(load(folder), ride(DETOUR), SETTINGS)
    assert adoption(found, SETTINGS, NO_ZONES, keep_line=True).files == {}
    little = [(0, 0), (400, 0), (400, 90), (490, 90), (490, 0), (1200, 0)]
    found = compared(load(folder), ride(little), SETTINGS)
    assert list(adoption(found, SETTINGS, NO_ZONES, keep_line=True).files) == ["notes.yml"]


def test_a_ride_elsewhere_is_refused(folder):
    with pytest.raises(RerideError, match=r"shares nothing with the published line of 1\.20 km"):
        compared(load(folder), ride([(0, 5000), (1200, 5000)]), SETTINGS)


def test_an_open_report_on_a_changed_stretch_is_told(folder):
    route = load(folder)

    def report(key, at, direction="outbound", state="open"):
        words = {"key": key, "route": route.id, "at": at, "direction": direction, "state": state}
        words |= {"sort": "changed", "on": "2026-06-02", "text": "Works."}
        return Report.model_validate(words)

    reports = [
        report("r0000000001", "0.50 km"),
        report("r0000000002", "1.00 km"),
        report("r0000000003", "0.50 km", state="done"),
    ]
    found = compared(route, ride(DETOUR), SETTINGS, reports=reports)
    assert [r.key for r in found.differing[0].reports] == ["r0000000001"]
    assert "still open (r0000000001): Works." in "\n".join(reride_lines(found))
    plan = adoption(found, SETTINGS, NO_ZONES)
    assert "not moved in reports.yml: 2 open reports." in "\n".join(adoption_lines(plan, found))
    turned = compared(
        route, ride(DETOUR[::-1]), SETTINGS, reports=[report("r0000000004", "0.70 km", "return")]
    )
    assert [r.key for r in turned.differing[0].reports] == ["r0000000004"]


def test_a_gap_in_the_recording_is_not_adopted(folder):
    text = recording(points(STRAIGHT))
    lines = text.splitlines()
    torn = "\n".join([*lines[:80], "</trkseg><trkseg>", *lines[150:]])
    found = compared(load(folder), cleaned(line_of(torn.encode(), "r.gpx")), SETTINGS)
    (one,) = found.differing
    assert not one.stretch.is_recorded
    plan = adoption(found, SETTINGS, NO_ZONES)
    assert plan.stretches == ()
    assert not found.ridden.moves_on
    assert (found.there_m, found.known) == (0, ())
    assert "Not known: 0." in "\n".join(reride_lines(found))


def test_heights_of_the_new_stretch_meet_those_of_the_line(tmp_path):
    high = [(*point, 55.0) for point in degrees(points(STRAIGHT))]
    path = make_route(tmp_path, notes(legs=LEGS), high)
    write(adoption(compared(load(path), ride(DETOUR), SETTINGS), SETTINGS, NO_ZONES))
    heights = load(path).along.track.height
    assert np.ptp(heights) < 0.2


def test_a_fault_beside_the_stretch_refuses_it(folder, monkeypatch):
    before = content(folder)
    found = compared(load(folder), ride(DETOUR), SETTINGS)
    plan = adoption(found, SETTINGS, NO_ZONES)
    broken = plan.files["notes.yml"].replace(b"1.1", b"9.9").replace(b"1.0", b"9.0")
    monkeypatch.setitem(plan.files, "notes.yml", broken)
    with pytest.raises(NoAdoptionError, match="position-beyond"):
        refuse_faulty(plan, SETTINGS, NO_ZONES, ())
    assert content(folder) == before


def test_a_failure_half_way_leaves_all_as_it_was(folder, monkeypatch):
    before = content(folder)
    plan = adoption(compared(load(folder), ride(DETOUR), SETTINGS), SETTINGS, NO_ZONES)
    real = adopting.Path.replace

    def replace(self, target):
        if target.name == "notes.yml":
            raise PermissionError(13, "Permission denied", str(target))
        return real(self, target)

    monkeypatch.setattr(adopting.Path, "replace", replace)
    with pytest.raises(CannotDoError, match="cannot be written"):
        write(plan)
    assert content(folder) == before


def test_notes_saved_in_the_meantime_are_not_written_over(folder):
    plan = adoption(compared(load(folder), ride(DETOUR), SETTINGS), SETTINGS, NO_ZONES)
    mine = (folder / "notes.yml").read_text() + "# mine\n"
    (folder / "notes.yml").write_text(mine)
    before = content(folder)
    with pytest.raises(CannotDoError, match="has changed in the meantime"):
        write(plan)
    assert content(folder) == before


def test_the_document_is_plain_data(folder):
    found = compared(load(folder), ride(DETOUR), SETTINGS)
    plan = adoption(found, SETTINGS, NO_ZONES)
    document = json.loads(json.dumps(reride_document(found, plan, ""), allow_nan=False))
    assert document["schema"] == 1
    lines = (folder / "notes.yml").read_text().splitlines()
    (gone,) = document["adoption"]["gone"]
    assert gone["note"] == "hazards at 0.50 km, humps"
    assert "0.50 km" in lines[gone["line"] - 1]
    assert document["stretches"][0]["legs"][0]["street"] == "Quay"
