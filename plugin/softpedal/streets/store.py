"""Keeping what was worked out of an extract: arrays in .npz, words in JSON, never a pickle."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import numpy as np

from softpedal.library.whole_file import beside, write_whole
from softpedal.problems import CannotDoError

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from numpy.typing import ArrayLike


class StoreError(CannotDoError):
    """What is kept cannot be read."""


def write_kept(path: Path, arrays: Mapping[str, ArrayLike], words: Mapping[str, Any]) -> None:
    """Write arrays as `path` (.npz) and words beside it, under the same name with .json.

    Each file is whole or not there. The words come first: where there are arrays, all is there.
    """
    write_whole(path.with_suffix(".json"), json.dumps(words, ensure_ascii=False).encode())
    with beside(path) as partial, partial.open("wb") as file:
        np.savez(file, **arrays)  # type: ignore[arg-type]  # of numpy's own options none is meant


def drop_others(path: Path, pattern: str) -> None:
    """Remove what is kept beside `path` of other extracts, but not what is just being written."""
    for old in path.parent.glob(pattern):
        if old.stem != path.stem and ".part" not in old.name:
            old.unlink(missing_ok=True)
