"""A library with an extract, routes that meet, a variant and gaps becomes a site."""

from __future__ import annotations

import json
import re

import pytest

from building import crossing, gpx_text, leg, line_east, make_route, notes
from site_building import build_site
from streets.small_extract import extract

FERRY, SALT = "ferry-steps-to-chapel-green", "salt-road"


@pytest.fixture
def library(tmp_path):
    """Two routes of which the second joins the first; the first has a variant."""
    out = line_east(2000)
    first, last = out[70], out[130]
    aside = [first, (first[0] + 0.001, first[1]), (last[0] + 0.001, last[1]), last]
    variant = {
        "file": "variant-quay.gpx",
        "leave": "0.7 km",
        "rejoin": "1.3 km",
        "why": "Level and *lit*.",
        "legs": [leg("start", "traffic-free path", "Quay <i>")],
    }
    make_route(
        tmp_path,
        notes(
            legs=[leg("start", "mixed street", "Dock Road")],
            variants=[variant],
            wishes=[{"at": "1 km", "what": "a gate"}],
        ),
        out,
        id=FERRY,
        files={"variant-quay.gpx": gpx_text(aside)},
    )
    make_route(
        tmp_path,
        notes(
            title="Salt Road",
            legs=[leg("start", "busy road", "Dock Road")],
            crossings=[crossing("400 m", "none", "Mill Lane", busy=True)],
        ),
        line_east(1000, lon=out[150][1]),
        id=SALT,
    )
    return tmp_path


def page_of(site, route) -> str:
    return site.text(f"routes/{route}/index.html")


def test_routes_say_what_they_meet_and_where(library) -> None:
    page = page_of(build_site(library), FERRY)
    shares = page[page.index("Shares a stretch with") :]
    assert re.search(r'href="../salt-road/">Salt Road</a>, from 1\.\d\d km to 2\.00 km', shares)
    assert "Crosses</strong>" not in page


def test_the_variant_stands_beside_the_route(library) -> None:
    site = build_site(library)
    page = page_of(site, FERRY)
    assert re.search(r"<h2[^>]*>Another line for a stretch", page)
    table = page[page.index('<table class="sp-compare">') :]
    table = table[: table.index("</table>")]
    assert "By Quay &lt;i&gt;" in table
    rows = re.findall(r'<th scope="row">([^<]+)</th><td>([^<]*)</td><td>([^<]*)</td>', table)
    assert [row[0] for row in rows[:3]] == ["Length", "Quiet share", "Busy crossings"]
    assert rows[0][1:] == ("2.0 km", "2.2 km")
    assert rows[1][1] == "0 %"
    assert rows[1][2] in ("36 %", "37 %")
    data = site.text(f"routes/{FERRY}/map.js")
    assert '"variants":[{' in data
    assert "By Quay \\u003ci\\u003e" in data
    assert "Another line for a stretch" not in page_of(site, SALT)


def test_the_gaps_are_a_page_and_a_table(library) -> None:
    site = build_site(library)
    page = site.text("gaps/index.html")
    assert "Where the quiet network breaks" in page
    assert 'href="gaps.csv"' in page
    assert 'href="../routes/salt-road/#outbound-0-leg-0"' in page
    assert 'id="outbound-0-leg-0"' in page_of(site, SALT)
    assert 'id="return-0-leg-0"' in page_of(site, SALT)
    table = site.text("gaps/gaps.csv").splitlines()
    assert [line.split(",")[4] for line in table[1:]] == ["Dock Road", "Mill Lane"]
    assert table[1].split(",")[8] == f"{FERRY} {SALT}"  # one street, two routes, one entry
    assert "a gate" in page
    (indexed,) = [doc for doc in site.search_index() if doc["location"] == "gaps/"]
    assert len(indexed["text"]) < 300
    assert site.warnings == []


def test_the_ground_comes_from_the_extract_with_its_licence(library) -> None:
    north = 50 + 0.001
    # the builder of extracts works at 60 degrees north: its places in metres lie where we ask
    ways = [([(0, 0), (60, 0)], {"highway": "residential", "name": "Reed Lane"})]
    path = extract(library / "town.osm", ways)
    text = path.read_text().replace('lat="60.0000000"', f'lat="{north:.7f}"')
    path.write_text(text)
    (library / "softpedal.yml").write_text("extract: town.osm\n")
    site = build_site(library)
    assert "Reed Lane" in site.text(f"routes/{FERRY}/background.js")
    assert "© OpenStreetMap contributors" in site.text(f"routes/{FERRY}/map.js")
    assert any("background_attribution" in info for info in site.infos)
    assert site.warnings == []


def test_an_extract_that_is_not_there_is_advice(library) -> None:
    (library / "softpedal.yml").write_text("extract: nowhere.osm.pbf\n")
    site = build_site(library)
    assert any("nowhere.osm.pbf cannot be read" in info for info in site.infos)
    assert site.warnings == []
    assert not (site.folder / "routes" / FERRY / "background.js").exists()


def test_tiles_of_the_owners_choice_stand_in_place_of_a_background(library) -> None:
    (library / "softpedal.yml").write_text(
        'tiles: {url: "https://tiles.example/{z}/{x}/{y}.png", attribution: "© A maker of tiles"}\n'
    )
    data = build_site(library).text(f"routes/{FERRY}/map.js")
    content = json.loads(data.split("] = ", 1)[1].removesuffix(";\n"))
    assert content["tiles"] == {"url": "https://tiles.example/{z}/{x}/{y}.png", "maxZoom": 19}
    assert content["attribution"] == "© A maker of tiles"
