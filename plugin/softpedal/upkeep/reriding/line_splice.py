"""A published GPX with stretches of another line put in; every other point stays as written."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from softpedal.library.gpx_reader import Limits, read_gpx
from softpedal.library.gpx_writer import DEGREE_DECIMALS
from softpedal.library.track import Track
from softpedal.problems import CannotDoError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.gpx_reader import Gpx
    from softpedal.library.track import Floats, Ints
    from softpedal.upkeep.reriding.line_cover import Stretch

_POINT = re.compile(
    rb"<(?P<prefix>(?:[\w.-]+:)?)(?P<name>trkpt|rtept)\b[^>]*?(?:/>|>.*?</(?P=prefix)(?P=name)\s*>)",
    re.DOTALL,
)
_DECIMALS = re.compile(rb"""\blat\s*=\s*["']-?\d+\.(\d+)""")


@dataclass(frozen=True, eq=False, slots=True)
class Spliced:
    """A line with stretches of another.

    Attributes:
        content: of the GPX file.
        track: the new line.
        stretches: in order, as they were adopted.
        new_from_m, new_to_m: where each of them is along the new line, metres, (k,).
        shift_m: by how much what lies before, between and beyond them has moved along, (k + 1,).
    """

    content: bytes
    track: Track
    stretches: tuple[Stretch, ...]
    new_from_m: Floats
    new_to_m: Floats
    shift_m: Floats


def spliced(
    content: bytes, published: Track, ridden: Track, stretches: Sequence[Stretch], limits: Limits
) -> Spliced:
    """Return a published file with stretches of a ride put in.

    Heights of a stretch are shifted so that its ends meet those of the line, since two recordings
    may differ by some metres throughout; without a height at both ends they are as recorded.

    Args:
        content: the file's bytes.
        published: its line.
        ridden: the ride in the order of the line.
        stretches: what to take from it, in order.
        limits: for reading what comes out.

    Raises:
        CannotDoError: the file is written in a way that nothing can be put in.
    """
    points = list(_POINT.finditer(content))
    if len(points) != len(published.lat):
        raise CannotDoError(
            f"The track has {len(published.lat)} points, but {len(points)} stand in its file.",
            "Write it anew with `softpedal bare`, then compare again.",
        )
    parts: list[bytes] = []
    kept: list[tuple[int, int, int]] = []
    done, at, now = 0, 0, 0
    for stretch in stretches:
        first, after = _left_out(published, stretch)
        new = _points(published, ridden, stretch, points, (first, after))
        start = points[first - 1].end() if first else points[0].start()
        end = points[after].start() if after < len(points) else points[-1].end()
        gap = _gap(content, points)
        text = gap.join(new)
        text = text + gap if not first else gap + text + (gap if after < len(points) else b"")
        parts += [content[done:start], text]
        kept.append((at, now, first))
        now += first - at + len(new)
        done, at = end, after
    parts.append(content[done:])
    kept.append((at, now, len(points)))
    made = b"".join(parts)
    gpx, problems = read_gpx(made, "track.gpx", limits)
    if gpx is None:
        raise CannotDoError(f"The new line cannot be put into the track: {problems[0].message}")
    return _placed(made, gpx, published, tuple(stretches), np.array(kept))


def _left_out(published: Track, stretch: Stretch) -> tuple[int, int]:
    """Return which points a stretch replaces: from the first to before the second index."""
    along = published.chainage_m
    first = 0 if stretch.from_m <= 0 else int(np.searchsorted(along, stretch.from_m, "right"))
    is_end = stretch.to_m >= along[-1]
    after = len(along) if is_end else int(np.searchsorted(along, stretch.to_m, "left"))
    return first, max(first, after)


def _points(
    published: Track,
    ridden: Track,
    stretch: Stretch,
    points: Sequence[re.Match[bytes]],
    ends: tuple[int, int],
) -> list[bytes]:
    """Return the points of a ride's stretch as they are written in the published file."""
    along, a, b = ridden.chainage_m, stretch.ride_from_m, stretch.ride_to_m
    inside = np.flatnonzero((along > a + 1.0) & (along < b - 1.0))
    at = np.concatenate([[a], along[inside], [b] if b - a > 1.0 else []])
    lat, lon, height = (
        np.interp(at, along, values) for values in (ridden.lat, ridden.lon, ridden.height)
    )
    height = height + _lift(published, height, at, ends)
    whole = _DECIMALS.search(points[0][0])
    digits = min(DEGREE_DECIMALS, max(6, len(whole[1]))) if whole else DEGREE_DECIMALS
    prefix, name = points[0]["prefix"].decode(), points[0]["name"].decode()
    texts = []
    for y, x, z in zip(lat.tolist(), lon.tolist(), height.tolist(), strict=True):
        tag = f'<{prefix}{name} lat="{y:.{digits}f}" lon="{x:.{digits}f}"'
        ele = f"><{prefix}ele>{z:.1f}</{prefix}ele></{prefix}{name}>"
        texts.append(f"{tag}{ele if np.isfinite(z) else '/>'}".encode())
    return texts


def _lift(published: Track, height: Floats, at: Floats, ends: tuple[int, int]) -> Floats:
    """Return by how much to raise the heights of a stretch, (n,), so that its ends meet."""
    first, after = ends
    left = published.height[first - 1] - height[0] if first else np.nan
    right = published.height[after] - height[-1] if after < len(published.lat) else np.nan
    known = [v for v in (left, right) if np.isfinite(v)]
    if not known or not np.isfinite(published.height).any():
        return np.full(len(at), 0.0 if np.isfinite(published.height).any() else np.nan)
    lift: Floats = np.interp(at, [at[0], max(at[-1], at[0] + 1e-6)], [known[0], known[-1]])
    return lift


def _gap(content: bytes, points: Sequence[re.Match[bytes]]) -> bytes:
    """Return what stands between two points of one part: a line's end and spaces."""
    for one, other in pairwise(points):
        between = content[one.end() : other.start()]
        if not between.strip():
            return between
    return b"\n"


def _placed(
    content: bytes, gpx: Gpx, published: Track, stretches: tuple[Stretch, ...], firsts: Ints
) -> Spliced:
    """Return the new line with what has moved on it.

    Args:
        content: of the new file.
        gpx: what is read from it.
        published: the line as it was.
        stretches: what was put in.
        firsts: of each piece that was kept, the index of its first point in the old line, in the
            new one, and the index behind its last in the old one, (k + 1, 3).
    """
    track = Track(gpx.lat, gpx.lon, gpx.height, gpx.part)
    if len(track.lat) != firsts[-1, 1] + firsts[-1, 2] - firsts[-1, 0]:
        raise CannotDoError(
            "The new line cannot be put into the track: points are lost on the way."
        )
    old, new = published.chainage_m, track.chainage_m
    shift = np.zeros(len(firsts))
    for number, (was, now, end) in enumerate(firsts.tolist()):
        if end > was:
            shift[number] = new[now] - old[was]
        elif number:  # nothing of the line is left beyond the last stretch
            shift[number] = new[-1] - old[-1]
    new_from = np.array([s.from_m for s in stretches]) + shift[:-1]
    new_to = np.array([s.to_m for s in stretches]) + shift[1:]
    return Spliced(content, track, stretches, new_from, np.maximum(new_from, new_to), shift)
