"""Published vectors for climbing, climb severity and gradients."""

from __future__ import annotations

import numpy as np
import pytest

from softpedal.measure.height import (
    FLAT_M_PER_KM,
    SEVERITY_FLAG,
    SEVERITY_NOTE,
    STEEP_FLAG,
    STEEP_NOTE,
    STEEP_OVER_M,
    Climb,
    climb_severity,
    climbed,
)

HEIGHTS = np.array([12, 17, 15, 20, 22, 18, 15, 16, 14, 12], dtype=float)


def test_climbing_without_smoothing_or_threshold():
    """The usual textbook vector: 5 + 5 + 2 + 1 m up, 2 + 7 + 4 m down."""
    assert climbed(HEIGHTS, threshold_m=0) == (13.0, 13.0)


def test_a_reversal_counts_only_beyond_the_threshold():
    """By hand: the dips of 2 m and the bump of 1 m vanish at 3 m, as does none at 1.5 m but it."""
    assert climbed(HEIGHTS, threshold_m=3) == (10.0, 10.0)
    assert climbed(HEIGHTS, threshold_m=1.5) == (12.0, 12.0)


@pytest.mark.parametrize(
    ("gradient", "metres", "severity"), [(0.05, 30, 0.075), (0.03, 80, 0.072), (0.05, 100, 0.25)]
)
def test_climb_severity_of_crow(gradient, metres, severity):
    """CROW, Design manual for bicycle traffic: S = H²/L."""
    rise = gradient * metres
    assert climb_severity(rise, metres) == pytest.approx(severity, abs=1e-12)
    assert Climb(100, 100 + metres, rise).severity == pytest.approx(severity, abs=1e-12)


def test_climb_severity_limits_of_crow():
    """CROW: note above 0.075, flag above 0.200."""
    assert (SEVERITY_NOTE, SEVERITY_FLAG) == (0.075, 0.200)


def test_gradient_limits_of_active_travel_england():
    """Active Travel England: ideally under 3 %, no more than 5 %; our window is 50 m."""
    assert (STEEP_NOTE, STEEP_FLAG, STEEP_OVER_M) == (0.03, 0.05, 50)


def test_flat_is_under_2_metres_a_kilometre():
    """Our own limit."""
    assert FLAT_M_PER_KM == 2
