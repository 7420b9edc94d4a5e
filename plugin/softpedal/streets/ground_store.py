"""The ground of an extract, kept between builds: arrays in .npz, words in JSON, never a pickle."""

from __future__ import annotations

import contextlib
import json
import zipfile
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely

from softpedal.streets.extract import digest
from softpedal.streets.ground import read_ground
from softpedal.streets.ground_layers import AREA_LAYERS, LAYERS
from softpedal.streets.ground_shapes import Ground
from softpedal.streets.store import StoreError, drop_others, write_kept

if TYPE_CHECKING:
    from pathlib import Path

#: Changed whenever an extract would be read otherwise, so that what is kept is made anew.
VERSION = 1

_NAME = "ground-{key}"
_ARRAYS = ("layers", "area_points", "area_rings", "area_shells", "line_points", "line_ends")


def keep_ground(extract: Path, folder: Path) -> Path:
    """Return the file that holds the ground of an extract, made if it is not there yet.

    Args:
        extract: the extract.
        folder: where it is kept; what is there of other extracts goes.

    Raises:
        ExtractError: the extract cannot be read.
        OSError: the folder cannot be written to.
    """
    key = _key(extract) if extract.is_file() else ""
    path = folder / f"{_NAME.format(key=key)}.npz"
    if key and path.is_file() and path.with_suffix(".json").is_file():
        with contextlib.suppress(StoreError):
            load_ground(path)
            return path
    ground = read_ground(extract)
    folder.mkdir(parents=True, exist_ok=True)
    _save(ground, path)
    drop_others(path, _NAME.format(key="*"))
    return path


def load_ground(path: Path) -> Ground:
    """Return what is kept in a file of `keep_ground`.

    Raises:
        StoreError: it is none, or damaged.
    """
    try:
        words = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))
        if words["layers"] != list(LAYERS):
            raise StoreError(f"{path.name} was made for other layers")
        with np.load(path, allow_pickle=False) as kept:
            layers, *parts = (kept[name] for name in _ARRAYS)
        names = np.array(words["names"], dtype=object)
        areas = shapely.from_ragged_array(
            shapely.GeometryType.POLYGON, parts[0], (parts[1], parts[2])
        )
        lines = shapely.from_ragged_array(shapely.GeometryType.LINESTRING, parts[3], (parts[4],))
        shapes: Any = np.concatenate([areas, lines])
    except (OSError, ValueError, KeyError, TypeError, EOFError, zipfile.BadZipFile) as error:
        raise StoreError(f"{path.name} cannot be read: {error}") from error
    if not len(shapes) == len(layers) == len(names):
        raise StoreError(f"{path.name} is damaged")
    return Ground(shapes, layers, names)


def _save(ground: Ground, path: Path) -> None:
    is_area = ground.layers < len(AREA_LAYERS)  # areas stand first
    area_points, *area_ends = _ragged(ground.shapes[is_area], offsets=2)
    line_points, *line_ends = _ragged(ground.shapes[~is_area], offsets=1)
    arrays = (ground.layers, area_points, *area_ends, line_points, *line_ends)
    words = {"layers": list(LAYERS), "names": ground.names.tolist()}
    write_kept(path, dict(zip(_ARRAYS, arrays, strict=True)), words)


def _ragged(shapes: Any, offsets: int) -> list[Any]:
    """Return the points of shapes, (N, 2), and where each ring, and each shape, ends."""
    if not len(shapes):  # shapely cannot tell of which type nothing is
        return [np.empty((0, 2)), *(np.zeros(1, dtype=np.int64) for _ in range(offsets))]
    _, points, ends = shapely.to_ragged_array(shapes)
    return [points, *ends]


def _key(extract: Path) -> str:
    return f"{digest(extract)}-{VERSION}"
