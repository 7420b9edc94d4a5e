"""What the plugin publishes for taking along, and the addresses on paper."""

from __future__ import annotations

import re

import pytest

from building import make_route, notes
from site_building import build_site

FERRY = "ferry-steps-to-chapel-green"


@pytest.fixture
def library(tmp_path):
    make_route(tmp_path)
    (tmp_path / "softpedal.yml").write_text(
        "cards: true\nbackground_attribution: Map by the town, CC0\n"
    )
    return tmp_path


def sheet(page: str) -> str:
    return re.search(r'<div class="sp-sheet">.*?</div>', page, re.DOTALL)[0]


def test_every_file_that_is_offered_is_there(library) -> None:
    site = build_site(library)
    page, files = site.text(f"routes/{FERRY}/index.html"), site.files()
    offered = re.findall(r'<a href="([^"]+)" download', page)
    assert offered == [
        f"{FERRY}.gpx",
        f"{FERRY}-back.gpx",
        f"{FERRY}.geojson",
        "map.svg",
        f"{FERRY}-cues.txt",
        f"{FERRY}-cues.md.txt",
        "card.png",
    ]
    for name in [*offered, *re.findall(r'<img class="sp-[^"]+" src="([^"]+)"', page)]:
        assert f"routes/{FERRY}/{name}" in files, name


@pytest.mark.parametrize(
    ("site_url", "directories", "address"),
    [
        ("https://lindenferry.example/rides/", True, f"routes/{FERRY}/"),
        ("https://lindenferry.example/rides/", False, f"routes/{FERRY}/index.html"),
    ],
)
def test_paper_carries_the_page_s_whole_address(library, site_url, directories, address) -> None:
    site = build_site(library, site_url=site_url, use_directory_urls=directories)
    text = sheet(site.text(f"routes/{FERRY}/index.html"))
    assert f"<b>{site_url}{address}</b>" in text
    assert 'src="qr.svg"' in text
    assert f"<title>{site_url}{address}</title>" in site.text(f"routes/{FERRY}/qr.svg")


def test_without_a_known_address_there_is_no_code(library) -> None:
    site = build_site(library, site_url="")
    text = sheet(site.text(f"routes/{FERRY}/index.html"))
    assert "qr.svg" not in text
    assert "<b>" not in text
    assert f"routes/{FERRY}/qr.svg" not in site.files()


def test_the_licence_stands_on_page_paper_drawing_and_in_every_file(library) -> None:
    site = build_site(library)
    page = site.text(f"routes/{FERRY}/index.html")
    words = "Map by the town, CC0"
    assert words in sheet(page)
    assert words in page.replace(sheet(page), "")
    for name in ("map.svg", "map-sheet.svg", "map.js", f"{FERRY}.gpx", f"{FERRY}.geojson"):
        assert words in site.text(f"routes/{FERRY}/{name}"), name


def test_a_library_may_do_without_cards(library) -> None:
    (library / "softpedal.yml").write_text("cards: false\n")
    site = build_site(library)
    assert not [path for path in site.files() if path.endswith("card.png")]
    assert "card.png" not in site.text(f"routes/{FERRY}/index.html")


def test_a_withdrawn_route_offers_nothing_to_follow(library) -> None:
    make_route(library, notes(status="withdrawn", withdrawn={"why": "The bridge is gone."}))
    site = build_site(library)
    assert " download" not in site.text(f"routes/{FERRY}/index.html")
    gone = {f"routes/{FERRY}/{name}" for name in (f"{FERRY}.gpx", f"{FERRY}.geojson", "card.png")}
    assert not gone & set(site.files())
