"""A ride and a town become a route: what is in it, and that it is whole."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from edited_town import FERRY, WEIR, extract, line_of_ride, names_of_rides
from softpedal.draft.chain import CONFIDENCES
from softpedal.draft.drafting import draft_report, draft_ride, route_id, write_draft
from softpedal.draft.ride import RideError, cleaned
from softpedal.draft.town import open_town
from softpedal.draft.written import LISTS, metres_of
from softpedal.library.load import load_route
from softpedal.settings import Settings
from town_truth import at_one_hertz, published, true_rides

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.draft.drafting import Draft
    from softpedal.draft.town import Town

SETTINGS = Settings(time_zone="Atlantic/Azores")
RIDES = [name for name in names_of_rides() if name.endswith("track.gpx")]
QUIET = {"protected track", "traffic-free path", "filtered street"}


@pytest.fixture(scope="module")
def town(tmp_path_factory: pytest.TempPathFactory) -> Town:
    return open_town(extract(), tmp_path_factory.mktemp("cache"), "GB")


def _draft(town: Town, name: str, *, timed: bool) -> Draft:
    facts = true_rides()[name]
    ride = published(name, facts)
    ride = cleaned(at_one_hertz(ride, facts)[0]) if timed else ride
    return draft_ride(town, ride, SETTINGS)


@pytest.mark.parametrize("timed", [False, True])
@pytest.mark.parametrize("name", RIDES)
def test_every_ride_of_the_town_is_a_route_without_a_fault(
    name: str, timed: bool, town: Town, tmp_path: Path
) -> None:
    draft = _draft(town, name, timed=timed)
    folder = write_draft(draft, town, SETTINGS, tmp_path / "routes", "a-way")
    loaded = load_route(folder, SETTINGS)
    assert [str(p) for p in loaded.problems if p.is_error] == []
    assert loaded.route is not None
    assert loaded.route.along.track.checksum == draft.track.checksum
    assert loaded.route.notes.status == "draft"
    assert (len(loaded.route.notes.ridden) == 1) == timed


@pytest.mark.parametrize("name", RIDES)
def test_every_item_says_where_it_comes_from_and_how_sure(name: str, town: Town) -> None:
    draft = _draft(town, name, timed=False)
    items = [item for key in LISTS for item in draft.document.get(key, ())]
    assert items
    for item in items:
        assert item["source"] == "map"
        assert item["confidence"] in CONFIDENCES
        assert item.get("evidence", "") != "" or item.get("why"), item
    assert sum("evidence" in item for item in items) >= 0.9 * len(items)


@pytest.mark.parametrize("name", RIDES)
def test_items_stand_in_the_order_of_the_ride_and_have_coordinates(name: str, town: Town) -> None:
    draft = _draft(town, name, timed=False)
    length_m = draft.track.length_m
    for key in LISTS:
        place = "from" if key == "legs" else "at"
        items: list[dict[str, Any]] = draft.document.get(key, [])
        at = [metres_of(item[place], length_m) for item in items]
        assert at == sorted(at)
        assert all(0 <= metres <= length_m + 0.5 for metres in at)
        for index, metres in enumerate(at):
            lat, lon = draft.track.at(metres)
            assert draft.comments[key, index, place] == f"{lat:.5f}, {lon:.5f}"
    assert draft.document["legs"][0]["from"] == "start"


def test_the_heading_comes_of_the_ends_the_clock_and_the_library(town: Town) -> None:
    """1 780 000 000 s is 28 May 2026, 20:26 UTC, 20:26 at UTC+0 of the Azores' summer."""
    draft = _draft(town, f"{WEIR}/track.gpx", timed=True)
    head = {key: draft.document[key] for key in ("title", "start", "finish", "status", "ridden")}
    assert head == {
        "title": "Chapel to Weir Mill",
        "start": "Chapel",
        "finish": "Weir Mill",
        "status": "draft",
        "ridden": [{"on": "2026-05-28", "direction": "outbound", "moving": 7, "standing": 0}],
    }
    track = draft.track
    mark = {"length": f"{track.length_m:.1f} m", "checksum": track.checksum}
    assert draft.document["track"] == mark


def test_the_day_is_that_of_the_time_zone(town: Town) -> None:
    facts = true_rides()[f"{WEIR}/track.gpx"]
    ride, _ = at_one_hertz(line_of_ride(WEIR), facts)
    days = [
        draft_ride(town, ride, Settings(time_zone=zone)).document["ridden"][0]["on"]
        for zone in ("Atlantic/Azores", "Pacific/Auckland")
    ]
    assert days == ["2026-05-28", "2026-05-29"]


def test_a_stop_is_standing_and_no_riding(town: Town) -> None:
    """Five minutes at one place, in the middle of the ride."""
    facts = true_rides()[f"{WEIR}/track.gpx"]
    ride, _ = at_one_hertz(line_of_ride(WEIR), facts)
    assert ride.time_s is not None
    ride.time_s[200:] += 300
    ridden = draft_ride(town, ride, SETTINGS).document["ridden"][0]
    assert (ridden["moving"], ridden["standing"]) == (7, 5)


def test_a_loop_has_no_direct_road_and_says_that_it_is_one(town: Town) -> None:
    draft = _draft(town, "two-bridges-loop/track.gpx", timed=False)
    assert draft.document["title"].startswith("A loop from ")
    assert "direct" not in draft.document
    assert "direct" in _draft(town, f"{FERRY}/track.gpx", timed=False).document


def test_a_line_of_a_few_metres_has_no_direct_road_of_nothing(town: Town, tmp_path: Path) -> None:
    """4 m would be written as `km: 0.0`, which the notes refuse."""
    ride = line_of_ride(FERRY)
    lat, lon = ride.lat[[0, 0]], ride.lon[0] - np.array([0.0, 6e-5])
    short = type(ride)(lat, lon, ride.height[:2], ride.part[:2], None)
    folder = write_draft(draft_ride(town, short, SETTINGS), town, SETTINGS, tmp_path, "short")
    assert [str(p) for p in load_route(folder, SETTINGS).problems if p.is_error] == []


def test_the_report_counts_what_is_there(town: Town) -> None:
    draft = _draft(town, f"{WEIR}/track.gpx", timed=False)
    assert draft_report(draft)[0] == "1.85 km: 6 legs, 2 crossings, 1 barrier (9 sure)."
    assert "softpedal ridesheet" in draft_report(draft)[-1]


def test_a_ride_mostly_off_the_map_is_refused_with_every_stretch(town: Town) -> None:
    """West of the town's edge there is nothing."""
    ride = line_of_ride(FERRY)
    n = len(ride.lat) // 4
    lon = ride.lon.copy()
    lon[n:] -= 0.2 * np.minimum(1, np.arange(1, len(lon) - n + 1) / 50)
    away = type(ride)(ride.lat, lon, ride.height, ride.part, None)
    with pytest.raises(RideError, match=r"km of the .* km ridden are off the map: from ") as caught:
        draft_ride(town, away, SETTINGS)
    assert caught.value.hint == "Take an extract that covers the whole ride."


@pytest.mark.parametrize("name", ["../x", "a/b", "Mill", "-", "."])
def test_a_name_that_is_none_writes_nothing(name: str, town: Town, tmp_path: Path) -> None:
    draft = _draft(town, f"{WEIR}/track.gpx", timed=False)
    with pytest.raises(RideError, match="cannot be the name of a route's folder"):
        write_draft(draft, town, SETTINGS, tmp_path / "routes", name)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_there_stays(town: Town, tmp_path: Path) -> None:
    draft = _draft(town, f"{WEIR}/track.gpx", timed=False)
    (tmp_path / "mine").mkdir()
    with pytest.raises(FileExistsError):
        write_draft(draft, town, SETTINGS, tmp_path, "mine")
    assert [path.name for path in tmp_path.rglob("*")] == ["mine"]


@pytest.mark.parametrize(
    ("title", "id_"),
    [
        ("Chapel to Weir Mill", "chapel-to-weir-mill"),
        ("Netmakers’ Quay to Coopers' Row", "netmakers-quay-to-coopers-row"),
        ("Ærø – Às", "r-as"),
        ("渡し場", "route"),
        ("-- 9 --", "9"),
        ("a" * 79 + " b", "a" * 79),
    ],
)
def test_a_title_gives_a_folders_name(title: str, id_: str) -> None:
    assert route_id(title) == id_
