"""Matching the demo town's published tracks and practice rides, of which the true way is known."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from draft.small_network import assert_whole
from softpedal.draft.matching import match
from softpedal.draft.ride import Ride, read_ride
from softpedal.streets.country import country_of
from softpedal.streets.network_reader import read_network

if TYPE_CHECKING:
    from softpedal.streets.network import Network

ROOT = Path(__file__).resolve().parents[2]
BUILT = ROOT / "site_demo" / "town" / "built"
#: Ways as far as this from a change of street are near both.
CHANGE_M = 8.0


@cache
def _truth() -> dict[str, Any]:
    truth: dict[str, Any] = json.loads((BUILT / "truth.json").read_text(encoding="utf-8"))
    return truth


@cache
def _town() -> Network:
    return read_network(BUILT / "lindenferry.osm")


@pytest.mark.parametrize("backward", [False, True])
@pytest.mark.parametrize("key", sorted(_truth()["rides"]))
def test_right_street(key: str, backward: bool) -> None:
    net, truth = _town(), _truth()
    ride = _ride(key)
    if backward:
        ride = _turned(ride)
    chain = match(net, ride, country_of("GB"))
    assert_whole(net, chain)
    if backward:
        chain = chain.turned()
    ways = {name: set(street["ways"]) for name, street in truth["streets"].items()}
    right = ridden = 0.0
    for leg in truth["rides"][key]["outbound"]["legs"]:
        true_ways = set().union(*(ways.get(street, set()) for street in leg["streets"]))
        if not true_ways:
            continue  # over a square, where nothing is mapped
        start, end = leg["from"] + CHANGE_M, leg["to"] - CHANGE_M
        middles = np.arange(start, end, 1.0)
        ridden += len(middles)
        for piece in chain.pieces:
            if net.way_id[net.edge_way[piece.edge]] in true_ways:
                right += int(((middles >= piece.from_m) & (middles < piece.to_m)).sum())
    assert right >= 0.99 * ridden, f"{right / ridden:.4f}"


def _ride(key: str) -> Ride:
    """Return a published track, or a practice ride, which is a drawn line without times."""
    if not key.endswith("/line"):
        return read_ride(ROOT / "routes" / key)
    lat, lon = np.array(_truth()["rides"][key]["line"]).T.copy()
    return Ride(lat, lon, np.full(len(lat), np.nan), np.zeros(len(lat), dtype=np.intp), None)


def _turned(ride: Ride) -> Ride:
    time = ride.time_s
    return replace(
        ride,
        lat=ride.lat[::-1].copy(),
        lon=ride.lon[::-1].copy(),
        height=ride.height[::-1].copy(),
        part=(ride.part[-1] - ride.part[::-1]).copy(),
        time_s=None if time is None else (time[-1] - time[::-1]).copy(),
    )
