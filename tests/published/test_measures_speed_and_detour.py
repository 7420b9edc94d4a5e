"""Riding speed after Parkin & Rotheram, directness after CROW."""

from __future__ import annotations

import pytest

from softpedal.measure.directness import directness_word
from softpedal.measure.riding_time import speed_kmh


@pytest.mark.parametrize(
    ("percent", "kmh"),
    [
        (0, 15.0),
        (1, 13.56),
        (2.5, 11.4),
        (6, 6.36),
        (6.25, 6.0),
        (12, 6.0),
        (-1, 15.86),
        (-5, 19.3),
        (-5.9, 20.0),
        (-12, 20.0),
    ],
)
def test_speed_on_a_gradient_after_parkin_and_rotheram_slopes_from_memory(percent, kmh):
    """Parkin & Rotheram (2010), Transport Policy; 1.44 and 0.86 km/h for 1 % are from memory.

    The bounds of 6 km/h and 5 km/h above cruising are ours.
    """
    assert float(speed_kmh(percent / 100, 15.0)) == pytest.approx(kmh, abs=1e-9)


def test_a_cruise_of_22_gives_25_km_h_on_3_percent_down_as_parkin_and_rotheram_found():
    """Parkin & Rotheram (2010): 85th percentile 22 km/h on the flat, 25 km/h on 3 % downhill.

    The slope from memory, 0.86 km/h for 1 %, gives 24.6.
    """
    assert float(speed_kmh(-0.03, 22.0)) == pytest.approx(25, abs=0.5)


@pytest.mark.parametrize(
    ("factor", "word"),
    [(1.0, "good"), (1.2, "good"), (1.201, "fair"), (1.4, "fair"), (1.401, "poor"), (3.0, "poor")],
)
def test_directness_of_crow(factor, word):
    """CROW: up to 1.2 good, 1.2 to 1.4 fair, above poor."""
    assert directness_word(factor) == word
