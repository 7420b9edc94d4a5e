"""Private zones: their circle, and the file in their user's own folder."""

from __future__ import annotations

import json
import os
import pickle
import stat
from pathlib import Path

import numpy as np
import pytest

from softpedal.library.private_zones import (
    CONFIG_VARIABLE,
    LARGEST_M,
    LEAST_OFFSET,
    MOST_OFFSET,
    NO_ZONES,
    SMALLEST_M,
    PrivateZonesError,
    Zone,
    Zones,
    read_zones,
    write_zones,
    zones_path,
)
from softpedal.library.track import WGS84

HOME = Zone("home", 50.01234, -20.04567, 250.0)
SECRET = bytes(range(32))


def _zones(*zones: Zone, secret: bytes = SECRET) -> Zones:
    found = Zones((), secret)
    for zone in zones:
        found = found.with_zone(zone)
    return found


def _moved(zone: Zone, metres: float, bearing: float = 45.0) -> Zone:
    lon, lat, _ = WGS84.fwd(zone.lon, zone.lat, bearing, metres)
    return Zone(f"{zone.name} moved", lat, lon, zone.radius_m)


def _off(zones: Zones) -> tuple[float, float]:
    (zone,), (circle,) = zones.zones, zones.circles()
    bearing, _, metres = WGS84.inv(zone.lon, zone.lat, circle.lon, circle.lat)
    return bearing, metres


@pytest.fixture
def stored(own_folder):  # noqa: ARG001 - it says where the file is written
    return write_zones(_zones(HOME))


def test_the_centre_is_moved_by_a_share_of_the_radius_and_the_place_stays_inside():
    turns = []
    for number in range(200):
        zones = _zones(HOME, secret=number.to_bytes(32))
        bearing, metres = _off(zones)
        turns.append(bearing)
        assert LEAST_OFFSET <= metres / 250 <= MOST_OFFSET
        assert zones.holds(HOME.lat, HOME.lon)
    assert len({round(turn / 90) for turn in turns}) == 5  # to all sides


def test_the_same_home_noted_again_a_few_metres_off_keeps_its_offset():
    again = _zones(_moved(HOME, 8.0))
    assert _off(again) == pytest.approx(_off(_zones(HOME)), abs=1e-3)


def test_another_radius_moves_the_circle_elsewhere_and_not_in_line():
    """Were the offset only scaled, two radii would point at the home: see `_circle`."""
    wider = _zones(Zone("home", HOME.lat, HOME.lon, 400.0))
    assert abs(_off(wider)[0] - _off(_zones(HOME))[0]) > 1


def test_a_line_between_two_points_outside_may_touch_a_zone():
    zones = _zones(HOME)
    (circle,) = zones.circles()
    ends = [WGS84.fwd(circle.lon, circle.lat, bearing, 900)[:2] for bearing in (90, 270)]
    inside, through = zones.enter(np.array([e[1] for e in ends]), np.array([e[0] for e in ends]))
    assert inside.tolist() == [False, False]
    assert through.tolist() == [True]


@pytest.mark.parametrize(("metres", "held"), [(249.0, True), (251.0, False)])
def test_a_place_is_held_up_to_the_radius(metres, held):
    zones = _zones(HOME)
    (circle,) = zones.circles()
    for bearing in range(0, 360, 45):
        lon, lat, _ = WGS84.fwd(circle.lon, circle.lat, bearing, metres)
        assert zones.holds(lat, lon) is held


def test_zones_are_kept_for_their_user_alone_and_come_back(own_folder):
    assert read_zones() == NO_ZONES
    path = write_zones(_zones(HOME))
    assert path == zones_path() == Path(own_folder) / "private.json"
    assert read_zones() == _zones(HOME)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    assert [p.name for p in path.parent.iterdir()] == ["private.json"]


def test_a_folder_that_is_named_nowhere_is_the_users_own(monkeypatch):
    monkeypatch.delenv(CONFIG_VARIABLE)
    assert zones_path().parts[-2:] == ("softpedal", "private.json")


def test_they_can_be_sent_to_another_process_and_show_neither_place_nor_secret():
    zones = _zones(HOME)
    assert pickle.loads(pickle.dumps(zones)) == zones
    shown = repr(zones)
    assert "50.01" not in shown
    assert "20.04" not in shown
    assert SECRET.hex() not in shown
    assert repr(SECRET) not in shown


def test_the_first_zone_draws_a_secret_which_outlives_it():
    one = NO_ZONES.with_zone(HOME)
    assert len(one.secret) == 32
    assert one.secret != NO_ZONES.with_zone(HOME).secret
    none = one.without_zone("home")
    assert not none
    assert none.with_zone(HOME) == one


DAMAGED = {
    "empty": "",
    "cut off": '{"version": 1, "secr',
    "not JSON": "home 50.01 -20.04",
    "not a mapping": "[]",
    "no version": '{"secret": "", "zones": []}',
    "no secret": '{"version": 1, "zones": []}',
    "not hex": json.dumps({"version": 1, "secret": "z" * 64, "zones": []}),
    "short secret": json.dumps({"version": 1, "secret": "00", "zones": []}),
    "unknown key": json.dumps({"version": 1, "secret": "00" * 32, "zones": [], "more": 1}),
    "zones in words": json.dumps({"version": 1, "secret": "00" * 32, "zones": "none"}),
    "no number": json.dumps(
        {
            "version": 1,
            "secret": "00" * 32,
            "zones": [{"name": "home", "lat": float("nan"), "lon": -20.0, "radius_m": 250.0}],
        }
    ),
    "no radius": json.dumps(
        {"version": 1, "secret": "00" * 32, "zones": [{"name": "h", "lat": 50.0, "lon": -20.0}]}
    ),
}


@pytest.mark.parametrize("text", DAMAGED.values(), ids=DAMAGED)
def test_a_damaged_file_is_never_taken_for_no_zones(text, stored):
    stored.write_text(text, encoding="utf-8")
    with pytest.raises(PrivateZonesError, match="damaged") as caught:
        read_zones()
    assert str(stored) in str(caught.value)
    assert caught.value.hint
    assert "50.0" not in str(caught.value)


def test_bytes_that_are_no_text_are_damage(stored):
    stored.write_bytes(b"\xff\xfe\x00\x80")
    with pytest.raises(PrivateZonesError, match="damaged"):
        read_zones()


def test_another_version_is_named(stored):
    data = json.loads(stored.read_text(encoding="utf-8"))
    stored.write_text(json.dumps({**data, "version": 7}), encoding="utf-8")
    with pytest.raises(PrivateZonesError, match="of version 7"):
        read_zones()


def test_a_file_that_cannot_be_read_is_never_taken_for_no_zones(own_folder):
    Path(own_folder, "private.json").mkdir(parents=True)  # rights would not stop root
    with pytest.raises(PrivateZonesError, match="cannot be read"):
        read_zones()


def test_a_link_that_leads_nowhere_is_never_taken_for_no_zones(own_folder):
    Path(own_folder).mkdir()
    Path(own_folder, "private.json").symlink_to("gone.json")
    with pytest.raises(PrivateZonesError, match="leads nowhere"):
        read_zones()


def test_a_folder_that_cannot_be_made_is_reported(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("", encoding="utf-8")
    monkeypatch.setenv(CONFIG_VARIABLE, os.fspath(tmp_path / "file" / "below"))
    with pytest.raises(PrivateZonesError, match="cannot be written"):
        write_zones(_zones(HOME))


def test_writing_that_fails_leaves_the_old_file(stored, monkeypatch):
    before = stored.read_bytes()

    def refuse(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(PrivateZonesError, match="No space left"):
        write_zones(_zones(HOME, _moved(HOME, 2000)))
    assert stored.read_bytes() == before
    assert list(stored.parent.iterdir()) == [stored]


def test_a_second_zone_for_the_same_place_is_refused_with_its_reason():
    for metres in (0.0, 30.0, 240.0):
        with pytest.raises(PrivateZonesError, match="two circles"):
            _zones(HOME).with_zone(_moved(HOME, metres))
    assert len(_zones(HOME, _moved(HOME, 900)).zones) == 2


@pytest.mark.parametrize("metres", [SMALLEST_M - 1, LARGEST_M + 1, float("nan")])
def test_a_radius_out_of_bounds_is_refused(metres):
    with pytest.raises(PrivateZonesError, match="radius"):
        _zones(Zone("home", 50.0, -20.0, metres))


@pytest.mark.parametrize("name", ["home", "", "  ", "a\nb"])
def test_a_name_that_is_taken_or_none_is_refused(name):
    with pytest.raises(PrivateZonesError, match="zone"):
        _zones(HOME).with_zone(Zone(name, 51.0, -21.0))


def test_a_zone_that_is_not_there_cannot_be_taken_out():
    with pytest.raises(PrivateZonesError, match="no zone `work`"):
        _zones(HOME).without_zone("work")
