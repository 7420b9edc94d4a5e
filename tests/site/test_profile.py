"""The height profile: honest about flat ground, silent without heights."""

from __future__ import annotations

import re

import numpy as np
import pytest

from browser.sample_page import sample_track
from softpedal.site.profile import Climb, profile_svg, profile_text

AT = np.linspace(0, 4800, 400)


def _rise(svg: str) -> int:
    path = re.search(r'd="M(\d[^"]*)" fill="none"', svg)
    assert path
    ys = [int(y) for y in re.findall(r"\d+ (\d+)", path[1])]
    return max(ys) - min(ys)


def test_two_metres_look_flat_and_a_hundred_fill_the_drawing() -> None:
    wave = np.sin(AT / 500)
    assert _rise(profile_svg(AT, 20 + wave)) < 50
    assert _rise(profile_svg(AT, 20 + 50 * wave)) > 850


def test_size_is_at_most_3_kb_and_nothing_is_styled() -> None:
    track = sample_track()
    svg = profile_svg(track.chainage_m, track.height, [Climb(2900, 3250, 0.05)])
    assert len(svg.encode()) <= 3000
    assert not re.search(r"style|\bid=", svg)


def test_heights_that_are_missing_are_bridged() -> None:
    height = np.linspace(0, 100, len(AT))
    holed = height.copy()
    holed[100:200] = np.nan
    assert profile_svg(AT, holed) == profile_svg(AT, height)


@pytest.mark.parametrize("height", [np.full(len(AT), np.nan), np.r_[3.0, np.full(399, np.nan)]])
def test_without_heights_there_is_no_drawing(height) -> None:
    assert profile_svg(AT, height) == ""
    assert profile_text(AT, height) == ""


def test_text_tells_ends_extremes_and_climbs() -> None:
    height = np.interp(AT, [0, 2400, 4800], [5, 61, 12])
    text = profile_text(AT, height, [Climb(500, 2400, 0.04)])
    assert text == (
        "Height along 4.8 km: from 5 m to 12 m, lowest 5 m at 0 m, highest 61 m at 2.4 km; "
        "climbs at 4 % from 0.5 km to 2.4 km."
    )
    assert "200 ft" in profile_text(AT, height, units="imperial")


def test_text_of_the_drawing_is_escaped() -> None:
    assert 'aria-label="a &lt; b"' in profile_svg(AT, AT / 100, text="a < b")
