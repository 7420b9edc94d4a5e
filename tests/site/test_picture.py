"""The drawn map: true to scale, north up, each leg in its look, and nothing that clashes."""

from __future__ import annotations

import json
import re
from pathlib import Path
from xml.etree import ElementTree as ET

import numpy as np
import pytest

import softpedal.site
from building import crossing, leg, line_east, line_north, notes, route_of
from softpedal.measure.route_measures import measure
from softpedal.settings import Settings
from softpedal.site import _picture_signs as signs
from softpedal.site._picture_frame import Frame, round_words
from softpedal.site._picture_line import DrawnLine
from softpedal.site._picture_route import picture_of
from softpedal.site.basemap import Background
from softpedal.site.looks import LOOK_OF_KIND, LOOKS
from softpedal.site.map_data import MapLine
from softpedal.site.picture import map_picture

SVG = "{http://www.w3.org/2000/svg}"
FIVE = ["protected track", "filtered street", "back street", "busy road", "on foot"]
LEGS = [
    leg(
        "start" if index == 0 else f"{index * 0.4:.1f} km",
        kind,
        **({"closed_by": "bollards"} if kind == "filtered street" else {}),
    )
    for index, kind in enumerate(FIVE)
]


def drawing(changed=None, points=None, settings=Settings(), background=None, **more):  # noqa: B008
    route = route_of(notes(**({"legs": LEGS} | (changed or {}))), points)
    picture = picture_of(route, measure(route, settings), settings)
    return ET.fromstring(map_picture(picture, background, **more))


def coloured(root, colour: str) -> np.ndarray:
    """Return the points of the path of a colour, (N, 2)."""
    (path,) = [p for p in root.iter(f"{SVG}path") if p.get("stroke") == colour]
    return np.array(re.findall(r"[ML]([-\d.]+) ([-\d.]+)", path.get("d")), dtype=float)


def test_every_leg_has_its_colour_and_pattern_where_it_lies() -> None:
    root = drawing()
    dashes = set()
    for index, kind in enumerate(FIVE):
        look = LOOK_OF_KIND[kind]
        x = coloured(root, look.colour)[:, 0]
        assert x.min() == pytest.approx(40 + index * 128, abs=0.6), kind
        assert x.max() == pytest.approx(40 + (index + 1) * 128, abs=0.6), kind
        (path,) = [p for p in root.iter(f"{SVG}path") if p.get("stroke") == look.colour]
        dashes.add((path.get("stroke-dasharray"), path.get("stroke-width"), look.centre))
    assert len(dashes) == len(LOOKS)


def test_north_is_up_and_the_scale_bar_is_true() -> None:
    root = drawing({"legs": [leg("start", "protected track")]}, line_north(1000))
    points = coloured(root, LOOK_OF_KIND["protected track"].colour)
    assert points[-1, 1] < points[0, 1]
    assert points[:, 0] == pytest.approx(points[0, 0], abs=0.2)
    bar = next(p.get("d") for p in root.iter(f"{SVG}path") if "v4h" in (p.get("d") or ""))
    pixels = float(re.search(r"v4h([\d.]+)", bar)[1])
    assert (points[0, 1] - points[-1, 1]) / 1000 == pytest.approx(pixels / 200, rel=0.005)
    assert "200 m" in [t.text for t in root.iter(f"{SVG}text")]


@pytest.mark.parametrize(
    ("metres", "units", "words"),
    [
        (200, "metric", "200 m"),
        (1000, "metric", "1 km"),
        (804.672, "imperial", "0.5 mi"),
        (182.88, "imperial", "200 yd"),
    ],
)
def test_the_scale_is_told_in_the_library_s_units(metres, units, words) -> None:
    assert round_words(metres, units) == words
    frame = Frame(720, 480, 50.0, -20.0, 360, 240, 100 / metres)
    length, pixels = frame.scale_bar(101, units)
    assert length == pytest.approx(metres)
    assert pixels == pytest.approx(100)


def test_there_are_no_ids_styles_or_scripts_and_texts_are_escaped() -> None:
    hostile = '<b id="x">Quay</b> & "Steps"'
    root = drawing(
        {"title": hostile, "start": hostile, "finish": "Tar Lane"},
        settings=Settings(background_attribution="<script>x</script> & Sons"),
    )
    for element in root.iter():
        assert element.tag.removeprefix(SVG) in {
            "svg",
            "title",
            "g",
            "path",
            "rect",
            "circle",
            "text",
        }
        assert not {"id", "style", "class"} & set(element.attrib)
    assert root.get("role") == "img"
    assert hostile in root.get("aria-label")
    assert root.find(f"{SVG}title").text == root.get("aria-label")
    texts = [text.text for text in root.iter(f"{SVG}text")]
    assert {hostile, "Tar Lane", "<script>x</script> & Sons"} <= set(texts)


def test_a_second_pass_is_drawn_beside_the_first() -> None:
    out = line_east(600)
    route = route_of(notes(), [*out, *[(lat + 1e-6, lon) for lat, lon in out[::-1]]])
    line = MapLine.of(route.along.track)
    frame = Frame.around(line.lat, line.lon, (720, 480), (40, 40, 40, 40))
    drawn = DrawnLine(line, frame, 6)
    (first,), (second,) = drawn.pieces(100, 200), drawn.pieces(1000, 1100)
    apart = abs(np.median(first[:, 1]) - np.median(second[:, 1]))
    assert apart == pytest.approx(6 * 1.8, abs=0.5)


def test_nothing_is_drawn_across_a_gap() -> None:
    line = line_east(1000)
    lat, lon = np.array(line)[:, :2].T
    at = np.linspace(0, 990, len(lat))
    whole = MapLine(lat, lon, at, (0, 50))
    frame = Frame.around(lat, lon, (720, 480), (40, 40, 40, 40))
    pieces = DrawnLine(whole, frame, 6).pieces(0, 990)
    assert len(pieces) == 2
    assert pieces[1][0, 0] - pieces[0][-1, 0] > 2


def test_signs_are_those_of_the_live_map_and_do_not_overlap() -> None:
    assets = Path(softpedal.site.__file__).parent / "assets"
    script = "".join(path.read_text() for path in sorted(assets.glob("softpedal-map*.js")))
    for name, shape in {**signs.SIGNS, "ROAD": signs.ROAD, "LAMP": signs.LAMP}.items():
        assert shape in script, name
    at = [f"{0.8 + i / 1000:.3f} km" for i in range(6)]
    root = drawing({"crossings": [crossing(place, "zebra") for place in at]})
    places = [
        tuple(float(v) for v in re.search(r"\(([\d.]+) ([\d.]+)\)", g.get("transform")).groups())
        for g in root.iter(f"{SVG}g")
        if g.find(f"{SVG}circle") is not None
    ]
    assert len(places) >= 8
    gaps = [np.hypot(*np.subtract(a, b)) for i, a in enumerate(places) for b in places[:i]]
    assert min(gaps) >= 2 * signs.RADIUS_PX - 1.2


def test_the_background_lies_under_the_route_and_ends_at_the_frame(tmp_path) -> None:
    (south, west), (north, east) = (49.99, -20.02), (50.0, 20.0)
    water = [[[west, south], [east, south], [east, north], [west, north], [west, south]]]
    road = [[-20.5, 50.002], [-19.0, 50.002]]
    features = [
        {
            "type": "Feature",
            "properties": {"layer": layer, "name": name},
            "geometry": {"type": kind, "coordinates": where},
        }
        for layer, name, kind, where in (
            ("water", "River <Lin>", "Polygon", water),
            ("main_road", "Grain Road", "LineString", road),
        )
    ]
    path = tmp_path / "town.geojson"
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}))
    root = drawing(background=Background.read(path))
    (area,) = [p for p in root.iter(f"{SVG}path") if p.get("fill") == "#D5DFE4"]
    numbers = [int(n) for n in re.findall(r"-?\d+", area.get("d"))]
    corners = np.cumsum(np.array(numbers).reshape(-1, 2), axis=0) / 10
    assert corners[:, 0].min() == pytest.approx(-6, abs=0.2)
    assert corners[:, 0].max() == pytest.approx(726, abs=0.2)
    route_y = coloured(root, LOOKS[0].colour)[0, 1]
    assert corners[:, 1].min() == pytest.approx(route_y, abs=0.5)  # its bank is the route's line
    names = {text.text for text in root.iter(f"{SVG}text")}
    assert {"River <Lin>", "Grain Road"} <= names
