"""A network from a literal, and rides along lines in its metres."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from softpedal.draft.ride import Ride
from softpedal.streets.network_reader import read_network
from streets.small_extract import degrees, extract

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from softpedal.draft.chain import Chain
    from softpedal.streets.network import Network

Point = tuple[float, float]
STREET = {"highway": "residential"}
ROAD = {"highway": "secondary"}
FOOTWAY = {"highway": "footway"}


def network(folder: Path, ways: Sequence[tuple[Sequence[Point], Mapping[str, str]]]) -> Network:
    """Return the network of ways, numbered from 1 in their order."""
    return read_network(extract(folder / "small.osm", ways))


def ridden(
    line: Sequence[Point],
    speed_m_s: float | Sequence[float] = 5.0,
    *,
    timed: bool = True,
    seed: int | None = None,
    noise_m: float = 3.0,
) -> Ride:
    """Return a ride along a line, a fix a second; with a seed, with correlated noise.

    Args:
        line: points in metres.
        speed_m_s: of the whole ride, or of each stretch of the line.
        timed: whether it has times.
        seed: of the noise.
        noise_m: standard deviation on each axis.
    """
    points = np.array(line, dtype=float)
    hops = np.hypot(*np.diff(points, axis=0).T)
    speeds = np.broadcast_to(np.asarray(speed_m_s, dtype=float), hops.shape)
    ends = np.concatenate([[0.0], np.cumsum(hops / speeds)])
    seconds = np.append(np.arange(0.0, ends[-1], 1.0), ends[-1])
    x, y = (np.interp(seconds, ends, points[:, k]) for k in (0, 1))
    if seed is not None:
        rng = np.random.default_rng(seed)
        noise = np.zeros((len(x), 2))
        noise[0] = rng.normal(0, noise_m, 2)
        for i in range(1, len(x)):
            noise[i] = 0.96 * noise[i - 1] + rng.normal(0, noise_m * 0.28, 2)
        x, y = x + noise[:, 0], y + noise[:, 1]
    return points_ride(x, y, time_s=1.7e9 + seconds if timed else None)


def points_ride(
    x: Sequence[float] | np.ndarray,
    y: Sequence[float] | np.ndarray,
    time_s: np.ndarray | None = None,
    part: Sequence[int] | None = None,
) -> Ride:
    """Return a ride over points in metres."""
    lon, lat = degrees(np.asarray(x, dtype=float), np.asarray(y, dtype=float))  # type: ignore[arg-type]
    n = len(np.atleast_1d(x))
    parts = np.zeros(n, dtype=np.intp) if part is None else np.array(part, dtype=np.intp)
    return Ride(np.asarray(lat), np.asarray(lon), np.full(n, np.nan), parts, time_s)


def ways_of(network: Network, chain: Chain, least_m: float = 5.0) -> list[int]:
    """Return the ways ridden, by number, one after the other; specks are left out."""
    found: list[int] = []
    for piece in chain.pieces:
        way = int(network.way_id[network.edge_way[piece.edge]])
        if piece.length_m >= least_m and found[-1:] != [way]:
            found.append(way)
    return found


def assert_whole(network: Network, chain: Chain) -> None:
    """Pieces and breaks must cover the track, and pieces hang together in the network."""
    spans = sorted([(p.from_m, p.to_m) for p in chain.pieces] + list(chain.breaks))
    assert spans[0][0] == 0.0
    assert abs(spans[-1][1] - chain.length_m) < 1e-6
    for (_, end), (start, _) in pairwise(spans):
        assert abs(end - start) < 1e-6
    for a, b in pairwise(chain.pieces):
        if any(abs(a.to_m - start) < 1e-6 for start, _ in chain.breaks):
            continue
        assert a.to_m == b.from_m
        if a.edge == b.edge and abs(a.edge_to_m - b.edge_from_m) < 0.02:
            continue  # on along the same edge, or turned on it
        left = network.edge_to[a.edge] if a.forward else network.edge_from[a.edge]
        entered = network.edge_from[b.edge] if b.forward else network.edge_to[b.edge]
        assert left == entered, (a, b)
        whole = network.edge_m[[a.edge, b.edge]]
        assert abs(a.edge_to_m - (whole[0] if a.forward else 0.0)) < 0.02, a
        assert abs(b.edge_from_m - (0.0 if b.forward else whole[1])) < 0.02, b
    for piece in chain.pieces:
        assert (piece.edge_to_m >= piece.edge_from_m) == piece.forward or (
            piece.edge_to_m == piece.edge_from_m
        )
        assert piece.to_m >= piece.from_m
