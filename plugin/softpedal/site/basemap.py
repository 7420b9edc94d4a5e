"""The background of the maps: what lies within a few hundred metres of a route.

Read once for a site, from a GeoJSON file or from what is kept of a map extract; each route takes
its corridor from it as a classic script, so that a page needs no map server, and works from a file.
"""

from __future__ import annotations

import gzip
import json
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely
from shapely.errors import ShapelyError
from shapely.geometry import shape

from softpedal.site.map_data import script_json
from softpedal.streets.ground_layers import AREA_LAYERS, LAYERS
from softpedal.streets.ground_shapes import METRES_PER_DEGREE, Plane, fit_for_drawing
from softpedal.streets.ground_store import load_ground
from softpedal.streets.store import StoreError

if TYPE_CHECKING:
    from pathlib import Path

    from numpy.typing import NDArray

    from softpedal.streets.ground_shapes import Ground

__all__ = ["AREA_LAYERS", "LAYERS", "SCALE", "Background", "pack"]

#: Coordinates are integers of 1e-5 degrees, about a metre: enough for a background.
SCALE = 100_000

#: What a kilometre of corridor may weigh, compressed, in bytes; a short route counts as one.
BYTES_PER_KM = 5000

_ROUTE_TOLERANCE_M = 20.0
_POLYGON, _LINE = 3, 1


@dataclass(frozen=True, slots=True)
class _Detail:
    """How much is drawn: half width of the corridor, buildings from which area on, how fine."""

    half_width: float
    building_m2: float
    tolerance_m: float


#: Tried in turn until the corridor is light enough; a dense town is narrowed, then loses its sheds.
_DETAILS = (
    _Detail(1.0, 0, 0),
    _Detail(0.6, 0, 0),
    _Detail(0.6, 60, 2),
    _Detail(0.4, 90, 3),
    _Detail(0.3, 150, 4),
    _Detail(0.3, float("inf"), 4),
)


@dataclass(frozen=True, slots=True)
class Background:
    """All background of a site.

    Attributes:
        shapes: polygons and lines in WGS84 degrees, longitude first, (N,).
        layers: index into `LAYERS` of each, (N,).
        names: of each, "" where it has none, (N,).
        tree: over the shapes.
    """

    shapes: NDArray[np.object_]
    layers: NDArray[np.intp]
    names: NDArray[np.object_]
    tree: shapely.STRtree

    @classmethod
    def read(cls, path: Path) -> Background:
        """Read what is kept of an extract (.npz), or a GeoJSON FeatureCollection.

        A collection is in WGS84, and its features have a `layer`, and perhaps a `name`.

        Raises:
            ValueError: if the file is no such collection, naming the feature at fault.
            OSError: if it cannot be read.
        """
        if path.suffix == ".npz":
            try:
                ground = load_ground(path)
            except StoreError as error:
                raise ValueError(str(error)) from error
        else:
            ground = _read_collection(path)
        return cls(ground.shapes, ground.layers, ground.names, shapely.STRtree(ground.shapes))

    @classmethod
    def of(cls, path: Path) -> Background:
        """Return what `read` does; a file that has not changed is read once in a process."""
        return _read_once(path, path.stat().st_mtime_ns)

    def corridor(
        self, lat: NDArray[np.float64], lon: NDArray[np.float64], half_width_m: float = 500
    ) -> str:
        """Return a classic script with what lies along a line, "" if nothing does.

        It enters itself in `window.softpedalGround` under its own address. Shapes that reach
        into the corridor are cut at the box around the corridor. Where it would weigh more than
        `BYTES_PER_KM`, small buildings go, and the corridor is narrowed.

        Args:
            lat: of the line in WGS84 degrees, (N,).
            lon: as `lat`.
            half_width_m: of the corridor where little lies in it, in metres.
        """
        line = Plane(float(lat.mean())).metres(shapely.linestrings(np.c_[lon, lat]))
        most = BYTES_PER_KM * max(1.0, line.length / 1000)
        script = ""
        for detail in _DETAILS:
            script = self._cut(lat, lon, half_width_m, detail)
            if len(gzip.compress(script.encode())) < most:
                break
        return script

    def _cut(
        self,
        lat: NDArray[np.float64],
        lon: NDArray[np.float64],
        half_width_m: float,
        detail: _Detail,
    ) -> str:
        corridor = _corridor(lat, lon, half_width_m * detail.half_width)
        found = np.sort(self.tree.query(corridor, predicate="intersects"))
        shapes, layers = self.shapes[found], self.layers[found]
        plane = Plane(float(lat.mean()))
        if detail.building_m2:
            large = shapely.area(plane.metres(shapes)) >= detail.building_m2
            kept = large | (layers != LAYERS.index("building"))
            found, shapes, layers = found[kept], shapes[kept], layers[kept]
        if not len(found):
            return ""
        if detail.tolerance_m:
            shapes = plane.degrees(shapely.simplify(plane.metres(shapes), detail.tolerance_m))
        west, south, east, north = corridor.bounds
        # numpy has no object array of geometries in its types
        pieces: Any = shapely.clip_by_rect(shapes, west, south, east, north)
        origin = (round(south, 5), round(west, 5))
        names = self.names[found]
        packed = {}
        for index, layer in enumerate(LAYERS):
            chosen = np.flatnonzero(layers == index)
            content = pack(pieces[chosen], names[chosen], layer in AREA_LAYERS, origin)
            if content:
                packed[layer] = content
        return ground_script(packed, origin, north, east)


def ground_script(
    packed: dict[str, Any], origin: tuple[float, float], north: float, east: float
) -> str:
    """Return packed layers as a classic script, "" without any; `origin` is the south-west."""
    if not packed:
        return ""
    size = (round((north - origin[0]) * SCALE), round((east - origin[1]) * SCALE))
    data = script_json({"scale": SCALE, "at": origin, "size": size, "layers": packed})
    return (
        "window.softpedalGround = window.softpedalGround || {};\n"
        f"softpedalGround[document.currentScript.src] = {data};\n"
    )


@lru_cache(maxsize=1)
def _read_once(path: Path, _changed_ns: int) -> Background:
    return Background.read(path)


def _read_collection(path: Path) -> Ground:
    try:
        collection = json.loads(path.read_text(encoding="utf-8"))
    except ValueError as error:
        raise ValueError(f"{path.name}: not readable as GeoJSON: {error}") from error
    features = collection.get("features") if isinstance(collection, dict) else None
    if not isinstance(features, list):
        raise ValueError(  # noqa: TRY004 - the fault is in the file, not in the call
            f"{path.name}: expected a GeoJSON FeatureCollection"
        )
    read = [
        _read_feature(feature, f"{path.name}: feature {number}")
        for number, feature in enumerate(features, start=1)
    ]
    return fit_for_drawing([r[0] for r in read], [r[1] for r in read], [r[2] for r in read])


def _read_feature(feature: Any, where: str) -> tuple[Any, int, str]:
    properties = feature.get("properties") if isinstance(feature, dict) else None
    if not isinstance(properties, dict):
        raise ValueError(f"{where}: expected a feature with properties")  # noqa: TRY004
    layer = properties.get("layer")
    if layer not in LAYERS:
        raise ValueError(f"{where}: layer {layer!r} is none of {', '.join(LAYERS)}")
    try:
        geometry = shape(feature["geometry"])
    except (KeyError, TypeError, ValueError, AttributeError, ShapelyError) as error:
        raise ValueError(f"{where}: not a readable geometry: {error}") from error
    return geometry, LAYERS.index(layer), str(properties.get("name") or "")


def _corridor(lat: NDArray[np.float64], lon: NDArray[np.float64], half_width_m: float) -> Any:
    scale = np.array([METRES_PER_DEGREE * np.cos(np.radians(lat.mean())), METRES_PER_DEGREE])
    line = shapely.LineString(np.c_[lon, lat] * scale)
    thin = shapely.simplify(line, _ROUTE_TOLERANCE_M, preserve_topology=False)
    wide = shapely.buffer(thin, half_width_m, quad_segs=3)
    return shapely.transform(wide, lambda points: points / scale)


def pack(
    pieces: Any, names: NDArray[np.object_], is_area: bool, origin: tuple[float, float]
) -> dict[str, Any]:
    """Return the shapes of a layer in integers.

    `d` holds differences of latitude and longitude in turn, over all rings; `n` the number of
    points of each ring, negative for a hole; `names` those that there are, by number of shape.
    """
    parts, owner = shapely.get_parts(pieces, return_index=True)
    parts, inner = shapely.get_parts(parts, return_index=True)
    owner = owner[inner]
    fits = (shapely.get_type_id(parts) == (_POLYGON if is_area else _LINE)) & ~shapely.is_empty(
        parts
    )
    parts, owner = parts[fits], owner[fits]
    if not len(parts):
        return {}
    rings, part_of = (
        shapely.get_rings(parts, return_index=True)
        if is_area
        else (
            parts,
            np.arange(len(parts)),
        )
    )
    points, ring_of = shapely.get_coordinates(rings, return_index=True)
    whole = np.rint((points[:, ::-1] - origin) * SCALE).astype(np.int64)
    is_new = np.ones(len(whole), dtype=bool)
    is_new[1:] = (np.diff(whole, axis=0) != 0).any(axis=1) | (np.diff(ring_of) != 0)
    if is_area:  # the last point repeats the first
        is_new[np.r_[ring_of[1:] != ring_of[:-1], True]] = False
    counts = np.bincount(ring_of[is_new], minlength=len(rings))
    is_hole = np.r_[False, part_of[1:] == part_of[:-1]][: len(rings)]
    least = 3 if is_area else 2
    shell_kept = (counts >= least)[np.searchsorted(part_of, part_of)]
    kept = (counts >= least) & shell_kept
    whole = whole[is_new & kept[ring_of]]
    if not len(whole):
        return {}
    content: dict[str, Any] = {
        "d": np.diff(whole, axis=0, prepend=[[0, 0]]).ravel().tolist(),
        "n": np.where(is_hole, -counts, counts)[kept].tolist(),
    }
    shells = owner[part_of[kept & ~is_hole]]
    named = {str(i): name for i, name in enumerate(names[shells].tolist()) if name}
    if named:
        content["names"] = named
    return content
