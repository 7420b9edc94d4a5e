"""Writes a track as GPX 1.1 that carries where a route goes, and nothing about the ride."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
from gpxpy.gpx import GPX, GPXTrack, GPXTrackSegment, GPXWaypoint

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import ArrayLike

    from softpedal.library.gpx_reader import Waypoint

DEGREE_DECIMALS = 7  # 1 cm on the ground
_METRE_DECIMALS = 1
_POINT = '\n      <trkpt lat="%r" lon="%r">\n        <ele>%r</ele>\n      </trkpt>'
_EMPTY_SEGMENT = "    <trkseg>\n    </trkseg>"

Floats = npt.NDArray[np.float64]


def write_gpx(  # noqa: PLR0917 - a track's arrays stand in this order everywhere
    lat: ArrayLike,
    lon: ArrayLike,
    height: ArrayLike,
    part: ArrayLike,
    name: str,
    waypoints: Sequence[Waypoint] = (),
    comment: str = "",
) -> str:
    """Return a GPX 1.1 document with one track; the same values give the same text.

    Args:
        lat: latitude, WGS84 degrees, shape (n,).
        lon: longitude, WGS84 degrees, shape (n,).
        height: metres, nan where not known, shape (n,).
        part: a number that is the same for points of one uninterrupted stretch, shape (n,).
        name: name of the track; characters that XML does not allow are left out.
        waypoints: named places beside the track.
        comment: conditions, sources and licence, as an XML comment: a description would be taken
            for something private when the file is read again.

    Raises:
        ValueError: a coordinate is out of range or not finite, or the shapes differ.
    """
    lats, lons, heights = (np.asarray(values, dtype=np.float64) for values in (lat, lon, height))
    parts = np.asarray(part)
    if not lats.shape == lons.shape == heights.shape == parts.shape or lats.ndim != 1:
        raise ValueError(
            f"lat, lon, height and part differ in shape or are not flat: "
            f"{lats.shape}, {lons.shape}, {heights.shape}, {parts.shape}"
        )
    document = GPX()
    document.creator = "softpedal"
    document.waypoints = [
        GPXWaypoint(*_degrees(place.lat, place.lon), name=_allowed(place.name) or None)
        for place in waypoints
    ]
    track = GPXTrack(name=_allowed(name) or None)
    document.tracks.append(track)
    _refuse_elsewhere(lats, lons)
    pieces = np.split(np.arange(len(lats)), np.flatnonzero(np.diff(parts)) + 1)
    track.segments += [GPXTrackSegment() for _ in pieces]
    # gpxpy writes the document; its points, at some 9 µs each, would cost more than all else
    # that is done for a route, so they are put in here, in the same form.
    text = str(document.to_xml(version="1.1"))
    if comment:
        text = text.replace("?>\n", f"?>\n<!-- {_in_comment(comment)} -->\n", 1)
    head, *tails = text.split(_EMPTY_SEGMENT)
    filled = [head]
    for indices, tail in zip(pieces, tails, strict=True):
        points = _points(lats[indices], lons[indices], heights[indices])
        filled += [f"    <trkseg>{points}\n    </trkseg>", tail]
    return "".join(filled)


def _points(lats: Floats, lons: Floats, heights: Floats) -> str:
    # Adding zero makes -0.0 plain 0.0.
    columns = [
        np.round(lats, DEGREE_DECIMALS) + 0.0,
        np.round(lons, DEGREE_DECIMALS) + 0.0,
        np.round(heights, _METRE_DECIMALS) + 0.0,
    ]
    if np.isfinite(heights).all() and not _has_exponent(*columns[:2]):
        return (_POINT * len(lats)) % tuple(np.stack(columns, axis=1).ravel().tolist())
    return "".join(
        f'\n      <trkpt lat="{_number(lat)}" lon="{_number(lon)}">'
        + (f"\n        <ele>{height}</ele>" if math.isfinite(height) else "")
        + "\n      </trkpt>"
        for lat, lon, height in zip(*(column.tolist() for column in columns), strict=True)
    )


def _has_exponent(*columns: Floats) -> bool:
    """Whether Python would write any of the numbers with an exponent, which GPX forbids."""
    return any(bool(((column != 0) & (np.abs(column) < 1e-4)).any()) for column in columns)


def _number(value: float) -> str:
    text = repr(value)
    return f"{value:.{DEGREE_DECIMALS}f}".rstrip("0") if "e" in text else text


def _refuse_elsewhere(lats: Floats, lons: Floats) -> None:
    bad = np.flatnonzero(~((np.abs(lats) <= 90) & (np.abs(lons) <= 180)))
    if bad.size:
        _degrees(float(lats[bad[0]]), float(lons[bad[0]]))


def _degrees(lat: float, lon: float) -> tuple[float, float]:
    if not (abs(lat) <= 90 and abs(lon) <= 180):
        raise ValueError(f"not a place on earth: latitude {lat}, longitude {lon}")
    return round(lat, DEGREE_DECIMALS) + 0.0, round(lon, DEGREE_DECIMALS) + 0.0


def _allowed(text: str) -> str:
    """Return text on one line without the characters that XML 1.0 does not allow (its Char)."""
    kept = (
        character if character >= " " else " " if character in "\t\n\r" else ""
        for character in text
        if not ("\ud800" <= character <= "\udfff" or character in "\ufffe\uffff")
    )
    return " ".join("".join(kept).split())


def _in_comment(text: str) -> str:
    """Return text on one line in which no comment ends: two hyphens may not stand in one."""
    return re.sub(r"-(?=-)", "- ", _allowed(text)).rstrip("-")
