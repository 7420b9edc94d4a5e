"""What is known about through traffic, kept beside the network: arrays in .npz, words in JSON."""

from __future__ import annotations

import contextlib
import json
import zipfile
from typing import TYPE_CHECKING

import numpy as np

from softpedal.streets.network_store import VERSION as NETWORK_VERSION
from softpedal.streets.store import StoreError, drop_others, write_kept
from softpedal.streets.through_traffic import GRADES, Verdicts, through_traffic

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.streets.network import Network

#: Changed whenever a verdict or its words would come out otherwise.
VERSION = 2

_NAME = "through-{key}"


def keep_verdicts(network: Network, folder: Path) -> Verdicts:
    """Return the verdicts on a network, read from `folder` where they are kept, else kept there.

    A network that was read from no file, and so has no digest, is never kept.

    Raises:
        OSError: the folder cannot be written to.
    """
    if not network.digest:
        return through_traffic(network)
    key = f"{network.digest}-{NETWORK_VERSION}-{VERSION}"
    path = folder / f"{_NAME.format(key=key)}.npz"
    if path.is_file():
        with contextlib.suppress(StoreError):
            return load_verdicts(path, network.n_edges)
    verdicts = through_traffic(network)
    folder.mkdir(parents=True, exist_ok=True)
    save_verdicts(verdicts, path)
    drop_others(path, _NAME.format(key="*"))
    return verdicts


def save_verdicts(verdicts: Verdicts, path: Path) -> None:
    """Write verdicts as `path` (.npz) and, beside it, the same name with .json."""
    words = {"closed_by": verdicts.closed_by, "evidence": verdicts.evidence}
    write_kept(path, {"grade": verdicts.grade, "rank_s": verdicts.rank_s}, words)


def load_verdicts(path: Path, n_edges: int) -> Verdicts:
    """Return what `save_verdicts` wrote for a network of so many edges.

    Raises:
        StoreError: it is none, damaged, or of another network.
    """
    try:
        words = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))
        with path.open("rb") as file, np.load(file, allow_pickle=False) as kept:
            grade, rank_s = kept["grade"].astype(np.int8), kept["rank_s"].astype(float)
        closed_by, evidence = (
            {int(edge): str(text) for edge, text in words[name].items()}
            for name in ("closed_by", "evidence")
        )
    except (
        OSError,
        ValueError,
        KeyError,
        TypeError,
        AttributeError,
        EOFError,
        zipfile.BadZipFile,
    ) as error:
        raise StoreError(f"{path.name} cannot be read: {error}") from error
    shapes = grade.shape == rank_s.shape == (n_edges,)
    if not shapes or not ((grade >= 0) & (grade < len(GRADES))).all():
        raise StoreError(f"{path.name} is damaged")
    return Verdicts(grade, closed_by, evidence, rank_s)
