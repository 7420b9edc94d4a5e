"""A picture of what cleaning did: the raw recording under the cleaned line, as a PNG."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from softpedal.draft.cleaning import spikes_of, stops_of
from softpedal.library.track import local_metres

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from numpy.typing import NDArray

    from softpedal.draft.ride import Ride

#: Paul Tol's vibrant scheme.
RAW, CLEANED, STOP = "#CC3311", "#0077BB", "#EE7733"
SIZE, MARGIN, LEGEND_WIDTH = 1200, 60, 520
_TIMES = 2  # drawn larger, then made smaller, for smooth lines
_BARS_M = (50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000, 50_000)
_MOST_LISTED = 30


def write_plot(before: Sequence[Ride], after: Ride, path: Path) -> None:
    """Write a picture of recordings before cleaning, and of the one line after it.

    Nothing but the points of the two is drawn: what was cut from both is not in it.

    Raises:
        OSError: it cannot be written.
    """
    picture = Image.new("RGB", ((SIZE + LEGEND_WIDTH) * _TIMES, SIZE * _TIMES), "white")
    draw = ImageDraw.Draw(picture)
    lat, lon = float(after.lat.mean()), float(after.lon.mean())
    xy = _plane(after, lat, lon)
    low, high = xy.min(axis=0), xy.max(axis=0)
    scale = (SIZE - 2 * MARGIN) * _TIMES / max(float((high - low).max()), 1.0)

    def placed(ride: Ride) -> NDArray[np.float64]:
        found: NDArray[np.float64] = (_plane(ride, lat, lon) - low) * scale + MARGIN * _TIMES
        found[:, 1] = SIZE * _TIMES - found[:, 1]
        return found.clip(-SIZE * _TIMES, 2 * SIZE * _TIMES)

    clean = placed(after)
    for ride in before:
        _lines(draw, placed(ride), ride.part, RAW, 2)
    _lines(draw, clean, after.part, CLEANED, 3)
    spikes = [placed(ride)[spikes_of(ride)] for ride in before]
    for x, y in np.concatenate(spikes).tolist():
        reach = 7 * _TIMES
        draw.line([x - reach, y - reach, x + reach, y + reach], RAW, 2 * _TIMES)
        draw.line([x - reach, y + reach, x + reach, y - reach], RAW, 2 * _TIMES)
    stood = np.zeros(len(clean)) if after.stood_s is None else after.stood_s
    for number, (x, y) in enumerate(clean[stood > 0].tolist(), start=1):
        reach = 10 * _TIMES
        draw.ellipse([x - reach, y - reach, x + reach, y + reach], STOP, "white", _TIMES)
        draw.text((x, y), str(number), "black", _font(12), anchor="mm")
    draw.rectangle([SIZE * _TIMES, 0, picture.width, picture.height], "white")
    _bar(draw, scale)
    _legend(draw, after)
    picture.resize((SIZE + LEGEND_WIDTH, SIZE), Image.Resampling.LANCZOS).save(path, "PNG")


def _plane(ride: Ride, lat: float, lon: float) -> NDArray[np.float64]:
    return np.column_stack(local_metres(ride.lat, ride.lon, lat, lon))


def _lines(
    draw: ImageDraw.ImageDraw,
    xy: NDArray[np.float64],
    part: NDArray[np.intp],
    colour: str,
    width: int,
) -> None:
    for number in np.unique(part):
        points = [(float(x), float(y)) for x, y in xy[part == number]]
        draw.line(points, colour, width * _TIMES)


def _bar(draw: ImageDraw.ImageDraw, scale: float) -> None:
    fits = [metres for metres in _BARS_M if metres * scale <= SIZE * _TIMES / 3] or [_BARS_M[0]]
    x, y = MARGIN * _TIMES, (SIZE - MARGIN / 3) * _TIMES
    end = x + fits[-1] * scale
    draw.line([x, y, end, y], "black", 3 * _TIMES)
    words = f"{fits[-1]} m" if fits[-1] < 1000 else f"{fits[-1] // 1000} km"
    draw.text((end + 8 * _TIMES, y), words, "black", _font(16), anchor="lm")


def _legend(draw: ImageDraw.ImageDraw, after: Ride) -> None:
    x, y = (SIZE + 10) * _TIMES, MARGIN * _TIMES
    for colour, words in (
        (RAW, "as recorded; crosses: left out, far out of the line"),
        (CLEANED, "cleaned"),
        (STOP, "stops, numbered"),
    ):
        draw.line([x, y, x + 40 * _TIMES, y], colour, 6 * _TIMES)
        draw.text((x + 50 * _TIMES, y), words, "black", _font(16), anchor="lm")
        y += 28 * _TIMES
    lines = [line for remark in after.remarks for line in _wrapped(remark)]
    stops = stops_of(after)
    lines += [""] + [
        f"{number}: stood {stop.seconds:.0f} s at {stop.at_m / 1000:.2f} km"
        for number, stop in enumerate(stops[:_MOST_LISTED], start=1)
    ]
    if len(stops) > _MOST_LISTED:
        lines.append(f"and {len(stops) - _MOST_LISTED} more")
    draw.text((x, y + 10 * _TIMES), "\n".join(lines), "black", _font(15), spacing=8 * _TIMES)


def _wrapped(remark: str, width: int = 62) -> list[str]:
    lines = [""]
    for word in remark.split():
        if lines[-1] and len(lines[-1]) + len(word) >= width:
            lines.append("  ")
        lines[-1] += word if not lines[-1].strip() else f" {word}"
    return lines


def _font(size: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    return ImageFont.load_default(size * _TIMES)
