"""Pictures in few colours: every look stays itself, in colour and in grey, on every machine."""

from __future__ import annotations

import hashlib
import io
import itertools
import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from building import leg, load, notes, route_of
from softpedal.measure.route_measures import measure
from softpedal.settings import Settings
from softpedal.site import raster
from softpedal.site.basemap import Background
from softpedal.site.looks import LOOK_OF_KIND
from softpedal.site.pictures import has_card, picture_files

ROOT = Path(__file__).parents[2]
FIVE = ["protected track", "filtered street", "back street", "busy road", "on foot"]
LEGS = [
    leg(
        "start" if index == 0 else f"{index * 0.4:.1f} km",
        kind,
        **({"closed_by": "bollards"} if kind == "filtered street" else {}),
    )
    for index, kind in enumerate(FIVE)
]
#: Where the strip's band lies on the card, and from where to where the route runs in it.
STRIP_Y, STRIP_FROM, STRIP_TO = 525, 70, 1130


def no_address(target: str, source: str) -> str:  # noqa: ARG001 - a link's signature
    return target


def made(changed=None, settings=Settings(cards=True), cache=None) -> dict[str, bytes]:  # noqa: B008
    route = route_of(notes(**({"legs": LEGS} | (changed or {}))))
    measures = measure(route, settings)
    found = picture_files(route, measures, settings, no_address, background=None, cache=cache)
    return {file.path.rpartition("/")[2]: file.content for file in found}


@pytest.fixture(scope="module")
def card() -> Image.Image:
    return Image.open(io.BytesIO(made()["card.png"]))


def test_a_card_has_the_size_for_sharing_and_is_small(card) -> None:
    assert card.size == (1200, 630)
    assert card.mode == "P"
    assert len(made()["card.png"]) < 60_000


@pytest.mark.parametrize("kind", FIVE)
def test_every_leg_s_colour_survives_unchanged(card, kind) -> None:
    colour = tuple(bytes.fromhex(LOOK_OF_KIND[kind].colour[1:]))
    pixels = (np.array(card.convert("RGB")) == colour).all(axis=2)
    strip, drawn_map = pixels[STRIP_Y - 16 : STRIP_Y + 16], pixels[:430, 580:]
    assert strip.sum() > 500
    # the thin black dashes of the map have few pixels that are wholly inside
    assert drawn_map.sum() > 60
    across = np.flatnonzero(strip.any(axis=0))
    place = STRIP_FROM + (FIVE.index(kind) + np.array([0, 1])) * (STRIP_TO - STRIP_FROM) / 5
    if kind != "back street":  # black is the colour of ties and words too
        assert across.min() >= place[0] - 3
        assert across.max() <= place[1] + 3


def test_words_stay_grey_on_paper_whatever_else_is_drawn() -> None:
    # A route among traffic all along, on the demo's map: red and the map's tints took the palette.
    folder = ROOT / "routes" / "northgate-to-tannery-road"
    route, settings = load(folder), Settings(cards=True)
    ground = Background.of(ROOT / "site_demo" / "town" / "built" / "background.geojson")
    measures = measure(route, settings)
    files = picture_files(route, measures, settings, no_address, background=ground)
    [content] = [file.content for file in files if file.path.endswith("card.png")]
    column = np.array(Image.open(io.BytesIO(content)).convert("RGB"))[:430, :560].astype(int)
    assert tuple(column[5, 5]) == (0xF7, 0xF5, 0xF0)
    assert (abs(column - 0x5B) <= 4).all(axis=2).sum() > 500
    assert np.ptp(column, axis=2).max() <= 32


def test_the_ground_of_the_map_is_paper_and_that_of_the_strip_white(card) -> None:
    pixels = np.array(card.convert("RGB"))
    assert tuple(pixels[5, 5]) == (0xF7, 0xF5, 0xF0)
    assert tuple(pixels[625, 5]) == (255, 255, 255)


def test_legs_are_told_apart_in_grey_by_their_pattern(card) -> None:
    grey = np.array(card.convert("L")).astype(float)
    seen = []
    for index in range(len(FIVE)):
        start = STRIP_FROM + index * (STRIP_TO - STRIP_FROM) / 5
        band = grey[STRIP_Y - 14 : STRIP_Y + 15, round(start) + 12 : round(start) + 200]
        dark = band < 200
        along = dark[14]  # the middle of the band
        seen.append(
            (
                round(dark[3].mean(), 1),  # near the edge: how much is inked
                round(along.mean(), 1),  # on the middle line
                round(dark.mean(axis=0).max(), 1),  # how much of the band is inked at most
                int((np.diff(along.astype(int)) == 1).sum()) > 3,  # broken into pieces
            )
        )
    for one, other in itertools.combinations(seen, 2):
        apart = sum(abs(a - b) for a, b in zip(one, other, strict=True))
        assert apart >= 0.2, seen


def test_words_are_set_in_the_bundled_font_alone() -> None:
    text = '<text x="10" y="60" font-size="48" font-family="{}">Quay</text>'
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="200" height="90">'
    ours, other, none = (
        raster._drawn(f"{head}{words}</svg>").tobytes()
        for words in (text.format(raster.FAMILY), text.format("DejaVu Sans"), "")
    )
    assert ours != none
    assert other == none  # what is on the machine is not used
    width = raster.text_px("Quay", 48)
    inked = np.array(raster._drawn(f"{head}{text.format(raster.FAMILY)}</svg>").convert("L")) < 128
    columns = np.flatnonzero(inked.any(axis=0))
    assert columns.max() - columns.min() == pytest.approx(width, abs=6)


def test_a_card_is_made_once_and_anew_when_it_changes(tmp_path) -> None:
    first = made(cache=tmp_path)["card.png"]
    (kept,) = tmp_path.iterdir()
    kept.write_bytes(b"kept")
    assert made(cache=tmp_path)["card.png"] == b"kept"
    assert made({"title": "Another"}, cache=tmp_path)["card.png"] not in {b"kept", first}
    assert made()["card.png"] == first


def test_a_folder_that_cannot_be_written_to_stops_nothing(tmp_path) -> None:
    (tmp_path / "file").write_text("")
    assert made(cache=tmp_path / "file")["card.png"] == made()["card.png"]


def test_there_is_no_card_where_none_is_wanted_or_can_be_set() -> None:
    assert "card.png" not in made(settings=Settings(cards=False))
    assert "card.png" not in made({"title": "Набережная"})
    assert "card.png" in made({"title": "Łąka, Škola, Çarşı — “Ångström”"})
    withdrawn = {"why": "The bridge is gone."}
    route = route_of(notes(status="withdrawn", withdrawn=withdrawn))
    assert not has_card(route, Settings())


def test_a_long_title_stays_on_the_card() -> None:
    title = (
        "From the old grain wharf behind the harbour baths to the far end of the long meadow " * 2
    )
    with_long, blank = (
        np.array(Image.open(io.BytesIO(made({"title": words})["card.png"])).convert("L"))
        for words in (title[:120], "A")
    )
    differs = np.argwhere(abs(with_long.astype(int) - blank) > 90)
    assert differs[:, 1].max() < 540  # left of the map
    assert differs[:, 0].max() < 298  # above the figures


def test_the_font_is_the_one_that_is_listed_with_its_licence() -> None:
    manifest = json.loads((raster.FONTS / "manifest.json").read_text())
    there = {path.name for path in raster.FONTS.iterdir()}
    assert there == {*manifest["files"], "manifest.json"}
    for name, digest in manifest["files"].items():
        assert hashlib.sha256((raster.FONTS / name).read_bytes()).hexdigest() == digest
    assert "SIL OPEN FONT LICENSE" in (raster.FONTS / manifest["licence_file"]).read_text()
