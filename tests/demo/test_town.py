"""The invented town: made the same each time, well-formed, and true to what it claims."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import pytest

from demo.town_files import ROUTES, Built, build, tags_of

if TYPE_CHECKING:
    import xml.etree.ElementTree as ET
    from pathlib import Path

LAYERS = {"water", "green", "building", "main_road", "street", "path", "rail"}
MAIN = {"trunk", "primary", "secondary", "tertiary"}
MINOR = {"residential", "unclassified", "living_street", "service"}
CLOSING = {"bollard", "planter", "gate", "bus_trap"}


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Built:
    return build(tmp_path_factory.mktemp("town"))


def test_two_runs_write_the_same_bytes(built: Built, tmp_path: Path) -> None:
    again = build(tmp_path).files()
    assert sorted(again) == sorted(built.files())
    assert [name for name, content in built.files().items() if again[name] != content] == []


def test_committed_tracks_are_the_ones_that_the_script_writes(built: Built) -> None:
    made = {str(p.relative_to(built.routes)): p for p in built.routes.rglob("*.gpx")}
    committed = {str(p.relative_to(ROUTES)): p for p in ROUTES.rglob("*.gpx")}
    assert sorted(made) == sorted(committed)
    assert len(made) >= 9
    changed = [name for name in made if made[name].read_bytes() != committed[name].read_bytes()]
    assert changed == []


def test_sizes_stay_small(built: Built) -> None:
    assert sum(map(len, built.files().values())) <= 5_000_000
    assert (built.out / "background.geojson").stat().st_size <= 700_000
    photos = list(built.routes.rglob("photos/*"))
    assert photos
    assert all(p.stat().st_size <= 40_000 for p in photos)
    assert all((ROUTES / p.relative_to(built.routes)).is_file() for p in photos)


def test_photos_are_plain_pictures(built: Built) -> None:
    for photo in built.routes.rglob("photos/*.png"):
        content = photo.read_bytes()
        assert content.startswith(b"\x89PNG\r\n\x1a\n")
        assert not any(kind in content for kind in (b"eXIf", b"tEXt", b"iTXt", b"tIME"))


def test_everything_that_the_extract_refers_to_exists(built: Built) -> None:
    root = built.osm()
    ids = {kind: {e.get("id") for e in root.iter(kind)} for kind in ("node", "way")}
    assert len(ids["node"]) == len(list(root.iter("node")))
    assert len(ids["way"]) > 100
    for way in root.iter("way"):
        refs = [nd.get("ref") for nd in way.iterfind("nd")]
        assert len(refs) >= 2
        assert set(refs) <= ids["node"]
    for member in root.iter("member"):
        assert member.get("ref") in ids[member.get("type", "")]


def test_banned_turns_meet_at_their_junction(built: Built) -> None:
    root = built.osm()
    ends: dict[str | None, set[str | None]] = {}
    for way in root.iter("way"):
        refs = [nd.get("ref") for nd in way.iterfind("nd")]
        ends[way.get("id")] = {refs[0], refs[-1]}
    bans = [r for r in root.iter("relation") if tags_of(r).get("type") == "restriction"]
    assert len(bans) >= 5
    assert any(tags_of(r).get("except") == "bicycle" for r in bans)
    assert any("restriction:bicycle" in tags_of(r) for r in bans)
    for ban in bans:
        role = {m.get("role"): m.get("ref") for m in ban.iterfind("member")}
        assert role["via"] in ends[role["from"]]
        assert role["via"] in ends[role["to"]]


@pytest.mark.parametrize(
    ("key", "values"),
    [
        ("highway", MAIN | MINOR | {"pedestrian", "cycleway", "path", "footway", "steps"}),
        ("barrier", {"bollard", "planter", "gate", "bus_trap", "cycle_barrier", "kissing_gate"}),
        ("crossing_ref", {"toucan", "zebra", "pelican", "tiger"}),
        ("crossing", {"unmarked", "traffic_signals", "uncontrolled", "marked"}),
        ("traffic_calming", {"hump", "cushion", "table", "chicane"}),
        ("railway", {"tram", "tram_crossing", "tram_level_crossing", "abandoned"}),
        ("surface", {"asphalt", "sett", "cobblestone", "gravel", "fine_gravel", "wood"}),
        ("junction", {"roundabout"}),
        ("cycleway", {"opposite"}),
        ("cycleway:right", {"separate"}),
        ("cycleway:left", {"lane", "share_busway"}),
        ("oneway:bicycle", {"no"}),
        ("lit", {"yes", "no"}),
        ("bridge", {"yes"}),
        ("tunnel", {"yes"}),
        ("waterway", {"lock_gate"}),
        ("area", {"yes"}),
        ("natural", {"water"}),
        ("building", {"terrace"}),
    ],
)
def test_the_extract_shows_what_a_drafting_tool_must_cope_with(
    built: Built, key: str, values: set[str]
) -> None:
    found = {tags_of(element).get(key) for element in built.osm()}
    assert values - found == set()


def test_the_background_has_all_layers_short_coordinates_and_an_island(built: Built) -> None:
    features = built.background()["features"]
    assert {f["properties"]["layer"] for f in features} == LAYERS
    assert any(
        f["properties"]["layer"] == "water" and len(f["geometry"]["coordinates"]) > 1
        for f in features
        if f["geometry"]["type"] == "Polygon"
    )
    for feature in features:
        lines = feature["geometry"]["coordinates"]
        if feature["geometry"]["type"] == "LineString":
            lines = [lines]
        for lon, lat in (point for line in lines for point in line):
            assert -20.08 < lon < -19.99
            assert 49.99 < lat < 50.03
            assert (round(lon, 6), round(lat, 6)) == (lon, lat)


def test_filtered_streets_are_those_that_no_car_can_drive_through(built: Built) -> None:
    """Brute force over every simple way from one main-road junction to another."""
    passable, minor = _driven_through(built)
    truth = built.truth()["streets"]
    claimed = {way for s in truth.values() if s["filtered"] for way in s["ways"]}
    assert len(claimed & minor) > 30
    assert len(passable) > 20
    assert claimed & passable == set()
    assert minor - claimed - passable == set()


def test_filtered_streets_say_what_closes_them(built: Built) -> None:
    streets = built.truth()["streets"].values()
    assert all(bool(s["closed_by"]) == s["filtered"] for s in streets)


def test_edges_cover_every_street_end_to_end(built: Built) -> None:
    truth = built.truth()
    on_way = {
        int(w.get("id", "0")): [int(nd.get("ref", "0")) for nd in w.iterfind("nd")]
        for w in built.osm().iter("way")
    }
    for key, street in truth["streets"].items():
        edges = [e for e in truth["edges"] if e["street"] == key]
        refs = [pair for way in street["ways"] for pair in pairwise(on_way[way])]
        assert [(e["from"], e["to"]) for e in edges] == refs


def _driven_through(built: Built) -> tuple[set[int], set[int]]:
    """Return the ways that some car can drive through, and all minor ways."""
    root = built.osm()
    closed = {n.get("id") for n in root.iter("node") if tags_of(n).get("barrier") in CLOSING}
    portals = _nodes_at_the_edge(root)
    minor: set[int] = set()
    arms: dict[str, list[tuple[str, int]]] = {}
    for way in root.iter("way"):
        tags, number = tags_of(way), int(way.get("id", "0"))
        refs = [nd.get("ref", "") for nd in way.iterfind("nd")]
        if tags.get("highway") in MAIN:
            portals.update(refs)
        if tags.get("highway") in MINOR:
            minor.add(number)
            for a, b in pairwise(refs if tags.get("access") not in ("no", "private") else []):
                arms.setdefault(a, []).append((b, number))
                arms.setdefault(b, []).extend([(a, number)] * (tags.get("oneway") != "yes"))
    passable: set[int] = set()

    def drive(at: str, seen: frozenset[str], ways: frozenset[int]) -> None:
        for there, way in arms.get(at, []):
            if there in seen or there in closed:
                continue
            if there in portals:
                passable.update(ways, {way})
            else:
                drive(there, seen | {there}, ways | {way})

    for portal in sorted(portals & set(arms)):
        drive(portal, frozenset({portal}), frozenset())
    return passable, minor


def _nodes_at_the_edge(root: ET.Element) -> set[str]:
    """Return the nodes on the bounds of the extract, where streets go on outside it."""
    bounds = root.find("bounds")
    assert bounds is not None
    lats = {float(bounds.get(k, "")) for k in ("minlat", "maxlat")}
    lons = {float(bounds.get(k, "")) for k in ("minlon", "maxlon")}
    return {
        node.get("id", "")
        for node in root.iter("node")
        if float(node.get("lat", "")) in lats or float(node.get("lon", "")) in lons
    }
