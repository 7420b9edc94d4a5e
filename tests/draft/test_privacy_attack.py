"""Who has fifty published tracks from one home does not find it, and a hundred do not help.

Streets, homes, rides and secrets are invented (`rides_from_home`). Every figure is the median
over homes and secrets, in radii of the zone.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import chain

import numpy as np
import pytest

from rides_from_home import (
    ATTACKERS,
    LAT,
    LON,
    RADIUS_M,
    fitted_circle,
    grid,
    knows_the_method,
    mean_start,
    miss,
    published,
    rides_from,
    robust_headings,
    straight_rides,
    zone_at,
)
from softpedal.draft.privacy import MARGIN_M
from softpedal.library.private_zones import LEAST_OFFSET, MOST_OFFSET, Circle, Zones
from softpedal.library.track import WGS84, local_metres

HOMES, SECRETS = 30, 3
COUNTS = (25, 50, 100)
NEEDED = 0.25
#: So much the medians of these homes differ by chance from one number of rides to the next.
TOLERANCE = 0.05


@dataclass(frozen=True)
class Centred(Zones):
    """Zones as one would think of them first: the home is in the middle of its circle."""

    def circles(self) -> tuple[Circle, ...]:
        return tuple(Circle(z.lat, z.lon, z.radius_m) for z in self.zones)


def _secret(*numbers: int) -> bytes:
    return np.random.default_rng([1, *numbers]).bytes(32)


@pytest.fixture(scope="module")
def towns():
    """For each home: where it is, and the rides from it."""
    found = []
    for home in range(HOMES):
        rng = np.random.default_rng([0, home])
        found.append(rides_from(rng, grid(rng), max(COUNTS)))
    return found


@pytest.fixture(scope="module")
def cut(towns):
    """For each home and secret: the home, and for each ride the ends that are published."""
    return [
        (home, [published(ride, zones) for ride in rides])
        for number, (home, rides) in enumerate(towns)
        for secret in range(SECRETS)
        for zones in [Zones((), _secret(number, secret)).with_zone(zone_at(home))]
    ]


def _median(attack, cut, count: int = 50) -> float:
    """Return the median miss where the first `count` rides of each home are published."""
    guesses = [(attack(list(chain.from_iterable(ends[:count]))), home) for home, ends in cut]
    return float(np.median([miss(guess, home) for guess, home in guesses]))


@pytest.mark.parametrize("count", COUNTS)
@pytest.mark.parametrize("name", ATTACKERS)
def test_nobody_comes_within_a_quarter_of_the_radius(name, count, cut):
    assert _median(ATTACKERS[name], cut, count) >= NEEDED


@pytest.mark.parametrize("name", ["mean of starts", "circle through starts", "headings drawn back"])
def test_more_rides_bring_nobody_closer(name, cut):
    few, many = (_median(ATTACKERS[name], cut, count) for count in (50, 100))
    assert many >= few - TOLERANCE


def test_headings_point_less_and_less_at_nothing_but_stay_far_off(cut):
    """The scatter of few lines shrinks; where many of them meet is still twice as far off."""
    assert _median(robust_headings, cut, 100) >= 1.5 * NEEDED


def test_a_circle_round_the_home_gives_it_away(towns):
    """The test has teeth: what is not moved is found, if less closely than the circle's own rim.

    Ends at the next turn blur the circle; without them it is found to a few metres.
    """
    found = [
        (home, [published(ride, Centred((zone_at(home),), b"")) for ride in rides[:50]])
        for home, rides in towns
    ]
    assert _median(fitted_circle, found) < NEEDED / 2


def test_an_offset_drawn_for_each_ride_gives_the_home_away(towns):
    found = []
    for number, (home, rides) in enumerate(towns):
        zones = Zones((zone_at(home),))
        anew = [replace(zones, secret=_secret(number, 100 + i)) for i in range(len(rides))]
        found.append((home, [published(r, z) for r, z in zip(rides, anew, strict=True)]))
    assert _median(fitted_circle, found, 100) < NEEDED
    assert _median(mean_start, found, 100) < 0.7 * NEEDED


def test_without_the_cut_to_the_next_turn_headings_lead_closer(towns, cut, monkeypatch):
    monkeypatch.setattr("softpedal.draft.privacy.TURN_DEGREES", 360.0)
    straight = [
        (home, [published(ride, zones) for ride in rides[:50]])
        for number, (home, rides) in enumerate(towns)
        for zones in [Zones((), _secret(number, 0)).with_zone(zone_at(home))]
    ]
    with_turns = _median(robust_headings, cut)
    assert _median(robust_headings, straight) < 0.75 * with_turns


def test_zones_do_not_help_where_every_way_leads_straight_out_of_the_door():
    """What zones cannot do, so that nobody claims it: the guide says so too."""
    found = []
    for number in range(10):
        home, rides = straight_rides(np.random.default_rng([2, number]), 25)
        zones = Zones((), _secret(number)).with_zone(zone_at(home))
        found.append((home, [published(ride, zones) for ride in rides]))
    assert _median(robust_headings, found) < 0.1


def test_who_knows_the_method_is_as_far_off_after_fifty_rides(cut):
    assert _median(knows_the_method, cut) >= NEEDED


def test_the_home_is_inside_its_circle_and_no_published_point_is(towns):
    for number, (home, rides) in enumerate(towns[:5]):
        zones = Zones((), _secret(number)).with_zone(zone_at(home))
        (circle,), (zone,) = zones.circles(), zones.zones
        off = WGS84.inv(circle.lon, circle.lat, zone.lon, zone.lat)[2]
        assert LEAST_OFFSET * RADIUS_M <= off <= MOST_OFFSET * RADIUS_M
        centre = local_metres(np.array([circle.lat]), np.array([circle.lon]), LAT, LON)
        for end in chain.from_iterable(published(ride, zones) for ride in rides[:20]):
            nearest = np.hypot(*(end - np.array(centre).T).T).min()
            assert nearest > RADIUS_M + MARGIN_M - 0.5
