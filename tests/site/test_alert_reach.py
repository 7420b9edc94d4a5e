"""No alert that reaches a route is told not to, anywhere on Earth."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from softpedal.library.library_alerts import LibraryAlert
from softpedal.library.track import WGS84
from softpedal.site.alert_reach import Box, near


def alert_at(lat: float, lon: float, radius: str) -> LibraryAlert:
    place = {"at": f"{lat:.6f}, {lon:.6f}", "radius": radius}
    return LibraryAlert.model_validate({**place, "from": "2026-05-01", "text": "Shut."})


@given(st.floats(-89, 89), st.floats(-180, 180), st.floats(0, 360), st.integers(1, 5000), st.data())
def test_whatever_comes_within_the_radius_may_reach_it(lat, lon, azimuth, radius, data) -> None:
    """The circle is geodesic on WGS84, as the library measures alerts."""
    away = data.draw(st.floats(0, radius - 0.5))
    other_lon, other_lat, _ = WGS84.fwd(lon, lat, azimuth, away)
    assume(abs(other_lat) < 89.9)
    box = Box(lat, lon, lat, lon)
    assert near(box, [alert_at(other_lat, other_lon, f"{radius} m")])


@pytest.mark.parametrize(("north_m", "reached"), [(95, True), (120, False), (-95, True)])
def test_far_alerts_are_left_out(north_m, reached) -> None:
    box = Box(50.0, -20.0, 50.0, -19.9)
    alert = alert_at(50 + north_m / 111_229, -19.95, "100 m")
    assert bool(near(box, [alert])) is reached
    assert near(None, [alert]) == (alert,)


def test_a_route_over_the_180th_meridian_is_reached_on_either_side() -> None:
    lon = np.array([179.99, -179.99])
    box = Box(10.0, float(lon.min()), 10.0, float(lon.max()))
    assert near(box, [alert_at(10.0, 179.995, "50 m"), alert_at(10.0, -179.995, "50 m")])
