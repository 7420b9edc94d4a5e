"""The line of a drawn map: a white casing, and on it each leg in the look of its kind."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely

from softpedal.site._strip_marks import stroke_attributes
from softpedal.site.looks import CASING, LOOKS, look_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.track import Floats
    from softpedal.site._picture_frame import Frame
    from softpedal.site.map_data import MapLeg, MapLine

#: A second pass along the same street is drawn this far to the right of the first, in bands.
_SECOND_PASS = 1.8
_SIMPLER_PX = 0.4


class DrawnLine:
    """A line in pixels, with the chainage of its points; `shape` is the whole of it, thinned."""

    def __init__(self, line: MapLine, frame: Frame, band: float) -> None:
        self.at, self.band = line.chainage, band
        self.points = frame.place(np.c_[line.lon, line.lat])
        ends = [*line.part_starts[1:], len(self.at)]
        self.parts = [(a, b) for a, b in zip(line.part_starts, ends, strict=True) if b - a > 1]
        self.shape: Any = shapely.simplify(shapely.linestrings(self.points), 1.0)
        self.again = [(start / 10, end / 10) for start, end in line.again]

    def spot(self, at_m: float) -> tuple[float, float]:
        """Return the pixel at a chainage."""
        x, y = (np.interp(at_m, self.at, self.points[:, axis]) for axis in (0, 1))
        return float(x), float(y)

    def pieces(self, from_m: float, to_m: float) -> list[Floats]:
        """Return the pieces of the line between two chainages, none of them across a gap."""
        cuts = {from_m, to_m}
        cuts |= {cut for run in self.again for cut in run if from_m < cut < to_m}
        found = []
        stops = sorted(cuts)
        for start, end in itertools.pairwise(stops):
            is_again = any(a <= (start + end) / 2 <= b for a, b in self.again)
            for first, last in self.parts:
                piece = self._piece(first, last, start, end)
                if piece is not None:
                    found.append(_beside(piece, self.band * _SECOND_PASS) if is_again else piece)
        return found

    def _piece(self, first: int, last: int, start: float, end: float) -> Floats | None:
        at, points = self.at[first:last], self.points[first:last]
        low, high = max(start, float(at[0])), min(end, float(at[-1]))
        if high <= low:
            return None
        stops = np.concatenate(([low], at[(at > low) & (at < high)], [high]))
        piece = np.c_[np.interp(stops, at, points[:, 0]), np.interp(stops, at, points[:, 1])]
        simple: Floats = shapely.get_coordinates(
            shapely.simplify(shapely.linestrings(piece), _SIMPLER_PX)
        )
        return simple


def line_svg(line: DrawnLine, legs: Sequence[MapLeg], ink: str) -> str:
    """Return the legs on their casing; each look is one path, which begins anew for each leg.

    Raises:
        ValueError: if a kind is not known.
    """
    band = line.band
    paths: dict[str, str] = {}
    whole = ""
    for leg in legs:
        path = path_data(line.pieces(leg.from_m, leg.to_m))
        slug = look_of(leg.kind).slug
        paths[slug] = paths.get(slug, "") + path
        whole += path
    wide = band + 4
    parts = [
        f'<path d="{whole}" stroke="{ink}" stroke-opacity=".4" stroke-width="{wide + 1.6:g}"/>',
        f'<path d="{whole}" stroke="{CASING}" stroke-width="{wide:g}"/>',
    ]
    for look in reversed(LOOKS):  # dots first: what follows cuts them where their leg ends
        path = paths.get(look.slug, "")
        if path:
            stroke = look.stroke(band)
            parts.append(f'<path d="{path}"{stroke_attributes(stroke)}/>')
            if stroke.centre:
                centre = f' stroke="{CASING}" stroke-width="{stroke.centre:g}"'
                parts.append(f'<path d="{path}"{centre}/>')
    return f'<g fill="none" stroke-linejoin="round">{"".join(parts)}</g>'


def path_data(pieces: Sequence[Floats]) -> str:
    """Return path data of pieces in pixels, to a tenth."""
    return "".join(
        "M" + "L".join(f"{x:g} {y:g}" for x, y in np.round(piece, 1).tolist()) for piece in pieces
    )


def _beside(piece: Floats, offset: float) -> Floats:
    """Return a piece shifted to the right of travel."""
    along = np.gradient(piece, axis=0)
    along /= np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-9)[:, None]
    shifted: Floats = piece + np.c_[-along[:, 1], along[:, 0]] * offset
    return shifted
