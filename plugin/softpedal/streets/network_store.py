"""The network of an extract, kept between runs: arrays in .npz, words in JSON, never a pickle."""

from __future__ import annotations

import contextlib
import json
import zipfile
from dataclasses import asdict
from typing import TYPE_CHECKING

import numpy as np

from softpedal.streets.extract import digest
from softpedal.streets.network import Network, Place, TurnRule
from softpedal.streets.network_reader import read_network
from softpedal.streets.store import StoreError, drop_others, write_kept

if TYPE_CHECKING:
    from pathlib import Path

#: Changed whenever an extract would be read otherwise, so that what is kept is made anew.
VERSION = 2

_NAME = "network-{key}"
_ARRAYS_WORDS = (
    "node_id lat lon node_cut edge_from edge_to edge_way edge_m point_lat point_lon "
    "point_start edge_across way_id"
)
_ARRAYS = tuple(_ARRAYS_WORDS.split())


def keep_network(extract: Path, folder: Path) -> Network:
    """Return the network of an extract, read from `folder` where it is kept, else kept there.

    Raises:
        ExtractError: the extract cannot be read.
        OSError: the folder cannot be written to.
    """
    key = digest(extract) if extract.is_file() else ""
    path = folder / f"{_NAME.format(key=f'{key}-{VERSION}')}.npz"
    if key and path.is_file():
        with contextlib.suppress(StoreError):
            return load_network(path)
    network = read_network(extract)
    folder.mkdir(parents=True, exist_ok=True)
    save_network(network, path)
    drop_others(path, _NAME.format(key="*"))
    return network


def save_network(network: Network, path: Path) -> None:
    """Write a network as `path` (.npz) and, beside it, the same name with .json."""
    words = {
        "ways": network.way_tags,
        "nodes": [[node, tags] for node, tags in network.node_tags.items()],
        "turns": [list(asdict(rule).values()) for rule in network.turns],
        "places": [list(asdict(place).values()) for place in network.places],
        "box": network.box,
        "date": network.date,
        "digest": network.digest,
    }
    write_kept(path, {name: getattr(network, name) for name in _ARRAYS}, words)


def load_network(path: Path) -> Network:
    """Return what `save_network` wrote.

    Raises:
        StoreError: it is none, or damaged.
    """
    try:
        words = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))
        with path.open("rb") as file, np.load(file, allow_pickle=False) as kept:
            arrays = {name: kept[name] for name in _ARRAYS}
        network = Network(
            **arrays,
            way_tags=words["ways"],
            node_tags={node: tags for node, tags in words["nodes"]},  # noqa: C416 - says what it is
            turns=tuple(TurnRule(*rule) for rule in words["turns"]),
            places=tuple(Place(*place) for place in words["places"]),
            box=tuple(words["box"]) if words["box"] else None,
            date=words["date"],
            digest=words["digest"],
        )
    except (OSError, ValueError, KeyError, TypeError, EOFError, zipfile.BadZipFile) as error:
        raise StoreError(f"{path.name} cannot be read: {error}") from error
    if len(network.way_tags) != len(network.way_id) or len(network.edge_way) != len(network.edge_m):
        raise StoreError(f"{path.name} is damaged")
    return network
