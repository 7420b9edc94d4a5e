"""The table of looks: complete, apart from each other, and readable on its casing."""

from __future__ import annotations

from typing import get_args

import pytest

from softpedal.library.notes import Kind
from softpedal.site.legend import looks_key
from softpedal.site.looks import CASING, LOOK_OF_KIND, LOOKS, look_of, looks_for_map


def _luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_every_kind_of_the_notes_has_a_look() -> None:
    assert set(LOOK_OF_KIND) == set(get_args(Kind))
    assert set(LOOK_OF_KIND.values()) == set(LOOKS)


def test_looks_differ_without_colour() -> None:
    patterns = {(look.width, look.dash, look.cap, look.centre) for look in LOOKS}
    assert len(patterns) == len(LOOKS)


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.slug)
def test_contrast_on_the_casing_is_at_least_3_wcag_1_4_11(look) -> None:
    light, dark = _luminance(CASING), _luminance(look.colour)
    assert (light + 0.05) / (dark + 0.05) >= 3


def test_strokes_scale_with_the_band() -> None:
    for look in LOOKS:
        small, large = look.stroke(5), look.stroke(10)
        assert large.width == pytest.approx(2 * small.width, abs=0.02)
        assert large.dash == pytest.approx([2 * part for part in small.dash], abs=0.02)


def test_map_has_the_same_table() -> None:
    table = looks_for_map()
    assert [entry["colour"] for entry in table.values()] == [look.colour for look in LOOKS]
    assert table["among"]["dash"] == list(look_of("bus lane").stroke(6).dash)


def test_unknown_kind_names_the_known_ones() -> None:
    with pytest.raises(ValueError, match=r"motorway.*protected track"):
        look_of("motorway")


def test_key_lists_only_the_looks_in_use_in_order() -> None:
    key = looks_key(["on foot", "bus lane", "busy road"])
    assert key.count("<li>") == 2
    assert key.index("among traffic") < key.index("on foot")
