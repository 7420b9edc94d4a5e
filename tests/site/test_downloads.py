"""What a track that is taken along tells its rider, and what it keeps to itself."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from building import crossing, leg, notes, route_of
from softpedal.library.gpx_reader import read_gpx
from softpedal.measure.route_measures import measure
from softpedal.settings import Settings
from softpedal.site.downloads import NAME_LENGTH, gpx_files

LONG = "Left at the third lamp, then at once right into the lane behind the old rope works"
NOTES = notes(
    legs=[
        leg("start", "back street", cue="Ride off from the <steps>"),
        leg("1 km", "filtered street", street="Tar Lane", cue={"outbound": LONG}),
    ],
    crossings=[crossing("0.5 km", "zebra", road="Dock & Grain Road")],
    dismounts=[{"at": "0.7 km", "metres": 5, "why": "narrow steps", "must": "barrier"}],
    barriers=[{"at": "0.6 km", "what": "bollards", "gap": 1.5}],
    hazards=[
        {"at": "0.8 km", "what": "tram rails", "severity": "serious"},
        {"at": "0.9 km", "what": "a bump", "severity": "minor"},
    ],
    landmarks=[{"at": "0.3 km", "what": "Grain silo"}],
)


def files(changed=None, settings=Settings()) -> dict[str, bytes]:  # noqa: B008 - it is frozen
    route = route_of(NOTES | (changed or {}))
    found = gpx_files(route, measure(route, settings), settings)
    return {file.path.rpartition("/")[2]: file.content for file in found}


def read(content):
    gpx, problems = read_gpx(content, "track.gpx")
    assert problems == []
    assert gpx is not None
    return gpx


def test_waypoints_say_what_to_do_in_riding_order() -> None:
    gpx = read(files()["ferry-steps-to-chapel-green.gpx"])
    names = [place.name for place in gpx.waypoints]
    assert names == [
        "Ride off from the <steps>",
        "Cross Dock & Grain Road: zebra",
        "Barrier: bollards",
        "Get off and push for 5 m: narrow steps",
        "Look out: tram rails",
        "Left at the third lamp, then at once right into…",
    ]
    assert all(len(name) <= NAME_LENGTH for name in names)
    east = [place.lon for place in gpx.waypoints]
    assert all(a < b for a, b in itertools.pairwise(east))
    assert east[1] == pytest.approx(np.interp(0.25, [0, 1], gpx.lon[[0, -1]]), abs=1e-5)


def test_the_way_back_has_its_own_order_and_cues() -> None:
    gpx = read(files()["ferry-steps-to-chapel-green-back.gpx"])
    names = [place.name for place in gpx.waypoints]
    assert names[0] == "Look out: tram rails"
    assert LONG[:10] not in str(names)
    west = [place.lon for place in gpx.waypoints]
    assert all(a > b for a, b in itertools.pairwise(west))


def test_only_ways_that_were_ridden_are_offered() -> None:
    one = files({"ridden": [{"on": "2026-05-16", "direction": "outbound"}]})
    assert set(one) == {"ferry-steps-to-chapel-green.gpx", "ferry-steps-to-chapel-green.geojson"}
    withdrawn = {"why": "The bridge is gone."}
    assert files({"status": "withdrawn", "withdrawn": withdrawn}) == {}


def test_a_track_names_the_licence_and_the_caution_and_nothing_private() -> None:
    settings = Settings(background_attribution="Map by the town, CC0")
    for name, content in files(settings=settings).items():
        text = content.decode()
        assert "Map by the town, CC0" in text, name
        assert "Signs, signals and local law come first" in text, name
        if name.endswith(".gpx"):
            assert 'creator="softpedal"' in text
            assert read(content).private == ()


def test_names_are_english_units_in_an_imperial_library() -> None:
    text = files(settings=Settings(units="imperial"))["ferry-steps-to-chapel-green.gpx"].decode()
    assert "Get off and push for 5 yd" in text
