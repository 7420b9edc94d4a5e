from __future__ import annotations

import html
import re
from xml.etree import ElementTree as ET

import pytest

from building import crossing, leg, measures_of, notes
from draft.scouted_town import ENDS, SETTINGS, town, town_of
from softpedal.draft.scout import scout
from softpedal.draft.scout_map import PATTERNS, draw
from softpedal.draft.scout_page import scout_files, scout_page
from softpedal.settings import Settings

HOSTILE = '"><script>alert(1)</script></svg>'
NAMES = ("Ferry Steps", "Chapel Green")


def page_of(network=None, settings=SETTINGS, **more):
    network = network or town()
    return scout_page(scout(town_of(network), settings, *ENDS, **more), network, settings, NAMES)


def svg(page):
    return ET.fromstring(re.search(r"<svg.*?</svg>", page, re.DOTALL)[0])


def test_one_file_for_the_page_and_one_for_each_way():
    network = town()
    files = scout_files(scout(town_of(network), SETTINGS, *ENDS), network, SETTINGS, NAMES)
    assert list(files) == ["scout.html", "way-1.gpx", "way-2.gpx", "way-3.gpx", "way-4.gpx"]
    for name in list(files)[1:]:
        assert f'href="{name}"' in files["scout.html"]


def test_each_way_has_a_line_of_its_own_pattern_and_a_number():
    drawing = svg(page_of())
    ways = [e for e in drawing.iter() if e.get("class") == "way" and e.get("d")[:3] != "M20"]
    looks = {(e.get("stroke-width"), e.get("stroke-dasharray")) for e in ways}
    assert (len(ways), len(looks)) == (4, 4)
    assert [e.text for e in drawing.iter("text")] == ["1", "2", "3", "4", "A", "B", "200 m"]


def test_patterns_differ():
    assert len(set(PATTERNS)) == len(PATTERNS)


def test_north_is_up_and_the_scale_is_true():
    network = town()
    drawn = draw(network, scout(town_of(network), SETTINGS, *ENDS))
    assert drawn.start[0] < drawn.finish[0]
    assert drawn.start[1] == pytest.approx(drawn.finish[1], abs=0.2)
    assert drawn.finish[0] - drawn.start[0] == pytest.approx(
        1000 / drawn.bar_m * drawn.bar, rel=0.01
    )
    labels = {way.number: way.label for way in drawn.ways}
    assert labels[1][1] < drawn.start[1]  # Sailmaker Row bows to the north
    assert labels[3][1] > drawn.start[1]  # Mill Lane to the south


def test_hostile_names_are_shown_as_text():
    network = town(row={"name": HOSTILE}, dock={"name": HOSTILE + "2"})
    found = scout(town_of(network), SETTINGS, *ENDS)
    page = scout_page(found, network, SETTINGS, (HOSTILE, "x"), source=HOSTILE)
    assert "<script" not in page
    assert html.escape(HOSTILE).replace("&quot;", "&#34;") in page


def test_it_asks_nobody_for_anything():
    page = page_of()
    assert not re.search(r'(?:src|href|url)\s*[=(]\s*["\']?\s*(?:https?:)?//', page)
    assert "default-src 'none'" in page
    assert "<script" not in page


def test_figures_by_the_map_are_never_flattered():
    network = town()
    found = scout(town_of(network), SETTINGS, *ENDS)
    page = scout_page(found, network, SETTINGS, NAMES)
    assert "<dd>1.05 times as long</dd>" in page  # 1.0440
    assert page.count("times as long") == 3  # not the direct road against itself
    assert "<dd>100 %</dd>" in page
    assert "Dock Road: busy road, 1.0 km" in page


def test_figures_of_drafted_notes_stand_instead():
    data = notes(
        legs=[
            leg("start", "filtered street", closed_by="planters"),
            leg("1.2 km", "on foot", "Quay"),
            leg("1.3 km", "busy road", "Dock Road"),
        ],
        crossings=[crossing("1 km", road="Weir Road", road_class="primary")],
    )
    page = page_of(notes_of=lambda *_: measures_of(data))
    assert "<dd>60 %</dd>" in page
    assert "<dd>1, 1 with nothing to help</dd>" in page
    assert "<dd>1 time, 100 m pushed</dd>" in page
    assert "Dock Road: busy road, 700 m, level 4" in page
    assert "Weir Road: nothing to help, level" in page


def test_a_way_that_is_shut_by_day_says_so():
    shut = notes(closed=["00:00-24:00"])
    page = page_of(notes_of=lambda *_: measures_of(shut))
    assert "not passable" in page


def test_no_superlatives_and_the_usual_caution():
    page = page_of()
    assert not re.search(r"\b(best|safest|fastest|easiest|shortest)\b", page, re.IGNORECASE)
    assert "Quiet is not a promise of safety." in page
    assert "OpenStreetMap contributors" in page


def test_units_are_the_library_s():
    assert "0.6 mi" in page_of(settings=Settings(units="imperial"))


def test_the_same_again():
    assert page_of() == page_of()


def test_a_way_alone_on_the_map_has_its_number_in_the_middle():
    network = town()
    one = scout(town_of(network), SETTINGS, *ENDS)[:1]
    drawn = draw(network, one)
    assert drawn.ways[0].label[0] == pytest.approx((drawn.start[0] + drawn.finish[0]) / 2, abs=1)
