"""Recordings by other people (recordings/SOURCES.md) keep their shape when they are cleaned."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import shapely

from softpedal.draft.cleaning import spikes_of
from softpedal.draft.ride import cleaned, line_of
from softpedal.draft.thinning import SHAPE_TOLERANCE_M
from softpedal.library.track import local_metres

RECORDINGS = sorted((Path(__file__).parent / "recordings").glob("*.gpx"))


def _line(ride, lat0, lon0):
    xy = np.column_stack(local_metres(ride.lat, ride.lon, lat0, lon0))
    parts = [xy[ride.part == part] for part in np.unique(ride.part)]
    return xy, shapely.MultiLineString(parts)


@pytest.mark.parametrize("recording", RECORDINGS, ids=lambda path: path.stem)
def test_shape_is_kept_both_ways(recording) -> None:
    """Greatest distance to the input in both directions, spikes and stops aside."""
    raw = line_of(recording.read_bytes(), recording.name)
    ride = cleaned(raw)
    lat0, lon0 = float(raw.lat.mean()), float(raw.lon.mean())
    raw_xy, raw_line = _line(raw, lat0, lon0)
    xy, line = _line(ride, lat0, lon0)
    aside = spikes_of(raw)
    assert aside.sum() == 0
    stood = np.zeros(len(xy)) if ride.stood_s is None else ride.stood_s
    if ride.time_s is not None:
        for i in np.flatnonzero(stood):
            aside |= (raw.time_s >= ride.time_s[i]) & (raw.time_s <= ride.time_s[i] + stood[i])
    assert aside.mean() < 0.2
    assert shapely.distance(shapely.points(raw_xy[~aside]), line).max() <= SHAPE_TOLERANCE_M
    back = shapely.distance(shapely.points(xy[stood == 0]), raw_line)
    assert back.max() <= SHAPE_TOLERANCE_M
