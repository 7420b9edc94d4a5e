"""The strip: to scale, escaped, without styles, small where it must be."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import numpy as np
import pytest

from browser.sample_page import sample_strip, sample_track
from softpedal.site.looks import AMONG, look_of
from softpedal.site.strip import Strip, StripLeg, StripMark, large_strip, small_strip, strip_text

SVG = "{http://www.w3.org/2000/svg}"


def make_strip(*legs: tuple[float, float, str], **more) -> Strip:
    made = tuple(StripLeg(a, b, kind, 1) for a, b, kind in legs)
    return Strip(made[-1].to_m, made, **more)


def draw(text: str) -> ET.Element:
    return ET.fromstring(text)


def percent(element: ET.Element, name: str) -> float:
    return float(element.attrib[name].removesuffix("%"))


def leg_lines(svg: ET.Element, index: int) -> list[ET.Element]:
    (group,) = [g for g in svg.iter(f"{SVG}g") if g.get("data-leg") == str(index)]
    return list(group.iter(f"{SVG}line"))


def test_legs_are_drawn_to_scale_and_in_their_look() -> None:
    strip = make_strip((0, 250, "on foot"), (250, 1000, "bus lane"))
    svg = draw(large_strip(strip))
    first, second = leg_lines(svg, 0)[0], leg_lines(svg, 1)[0]
    width = percent(second, "x2") - percent(first, "x1")
    assert percent(first, "x2") - percent(first, "x1") == pytest.approx(width / 4, abs=0.02)
    assert percent(first, "x2") == percent(second, "x1")
    assert second.get("stroke") == AMONG.colour
    assert second.get("stroke-dasharray")


@pytest.mark.parametrize("draw_strip", [large_strip, small_strip])
def test_no_styles_ids_or_unescaped_text(draw_strip) -> None:
    strip = make_strip(
        (0, 900, "filtered street"),
        marks=(StripMark(400, "landmark", word='<script>"&'),),
        text='5 < 6 & "quoted"',
    )
    text = draw_strip(strip)
    assert not re.search(r"style|<script|\bid=", text)
    svg = draw(text)
    assert svg.get("role") == "img"
    assert svg.get("aria-label") == '5 < 6 & "quoted"'


def test_word_is_drawn_as_text() -> None:
    strip = make_strip((0, 900, "on foot"), marks=(StripMark(400, "landmark", word="<b>Silo"),))
    assert "<b>Silo" in [t.text for t in draw(large_strip(strip)).iter(f"{SVG}text")]


def test_words_that_would_collide_are_left_out_and_hazards_go_first() -> None:
    marks = (
        StripMark(480, "landmark", word="Grain silo of the port"),
        StripMark(500, "hazard", word="speed humps in both lanes"),
    )
    words = [t.text for t in draw(large_strip(make_strip((0, 900, "on foot"), marks=marks))).iter()]
    assert "speed humps in both lanes" in words
    assert "Grain silo of the port" not in words


def test_words_without_room_on_a_phone_are_marked() -> None:
    marks = tuple(StripMark(at, "landmark", word="Harbour baths") for at in (2000, 4500, 7000))
    svg = draw(large_strip(make_strip((0, 9000, "on foot"), marks=marks)))
    wide = [g for g in svg.iter(f"{SVG}g") if g.get("class") == "sp-wide"]
    shown = [t.text for t in svg.iter(f"{SVG}text") if t.text == "Harbour baths"]
    hidden = [t.text for g in wide for t in g.iter(f"{SVG}text") if t.text == "Harbour baths"]
    assert len(shown) == 3
    assert len(hidden) == 1


def test_busy_ties_are_taller_than_quiet_ones() -> None:
    def top(sort: str) -> float:
        plain = make_strip((0, 900, "bus lane"))
        tied = make_strip((0, 900, "bus lane"), marks=(StripMark(450, sort),))
        old = {ET.tostring(line) for line in draw(large_strip(plain)).iter(f"{SVG}line")}
        new = draw(large_strip(tied)).iter(f"{SVG}line")
        return min(float(line.attrib["y1"]) for line in new if ET.tostring(line) not in old)

    assert top("busy crossing") < top("crossing") - 5


def test_lamp_for_signals_bars_for_a_zebra_and_nothing_across_at_a_bridge() -> None:
    def svg(control: str) -> str:
        marks = (StripMark(450, "busy crossing", control),)
        return large_strip(make_strip((0, 900, "bus lane"), marks=marks))

    assert "<circle" in svg("signals")
    assert "<circle" not in svg("zebra")
    assert svg("zebra").count("stroke-dasharray") == svg("none").count("stroke-dasharray") + 1
    assert svg("bridge").count('stroke="#000"') == svg("none").count('stroke="#000"') - 1


def test_worst_leg_carries_a_flag_with_its_level() -> None:
    svg = draw(large_strip(make_strip((0, 900, "bus lane"), worst=(700, 900, 3))))
    bold = [t.text for t in svg.iter(f"{SVG}text") if t.get("font-weight") == "bold"]
    assert bold == ["3"]


def test_flat_profile_is_drawn_flat() -> None:
    def rise(heights: list[float]) -> int:
        strip = make_strip((0, 900, "on foot"), profile=np.array(heights))
        path = next(p.attrib["d"] for p in draw(large_strip(strip)).iter(f"{SVG}path"))
        ys = [int(y) for y in re.findall(r"L\d+ (\d+)", path)]
        return max(ys[:-1]) - min(ys)

    assert rise([10, 11, 10, 11, 10]) <= 2
    assert rise([0, 50, 100]) > 90


@pytest.mark.parametrize("profile", [None, np.full(5, np.nan), np.array([3.0])])
def test_no_heights_no_profile(profile) -> None:
    assert "fill-opacity" not in large_strip(make_strip((0, 900, "on foot"), profile=profile))


def test_axis_carries_miles_where_asked() -> None:
    text = large_strip(make_strip((0, 8046.72, "on foot"), units="imperial"))
    assert "5.0 mi" in text
    assert "km" not in text


def test_small_strip_is_small_and_wordless() -> None:
    text = small_strip(sample_strip(sample_track()))
    assert len(text.encode()) <= 1500
    assert "<text" not in text
    assert draw(text).get("width") == "240"


def test_drawing_is_deterministic() -> None:
    track = sample_track()
    assert large_strip(sample_strip(track)) == large_strip(sample_strip(sample_track()))


def test_text_alternative_reads_in_riding_order() -> None:
    legs = (StripLeg(0, 310, "on foot", 1), StripLeg(310, 1200, "filtered street", 1))
    marks = (
        StripMark(1180, "busy crossing", "signals"),
        StripMark(600, "hazard", word="speed humps"),
    )
    text = strip_text(1200, legs, marks, (310, 1200, 2))
    assert text == (
        "1.2 km: 0.3 km on foot, 0.9 km filtered street, busy crossing with signals; "
        "hardest from 0.3 km to 1.2 km, level 2."
    )


def test_text_alternative_tells_neighbours_of_one_kind_as_one() -> None:
    legs = (StripLeg(0, 300, "bus lane", 3), StripLeg(300, 600, "bus lane", 3))
    assert strip_text(600, legs) == "0.6 km: 0.6 km bus lane."
    assert strip_text(600, legs, units="imperial") == "0.4 mi: 0.4 mi bus lane."


def test_unknown_kind_is_refused() -> None:
    with pytest.raises(ValueError, match="no look"):
        large_strip(make_strip((0, 100, "motorway")))
    assert look_of("on foot")
