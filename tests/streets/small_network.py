"""A network written down in few words: "residential Mill Lane; oneway=yes"."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from streets.drawn_network import drawn, node_at

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from softpedal.streets.network import Network, Tags

Point = tuple[float, float]


def tags_of(text: str) -> Tags:
    """Return the tags of a street: its class, its name, and other tags."""
    first, *rest = text.split("; ")
    kind, _, name = first.partition(" ")
    return {"highway": kind} | ({"name": name} if name else {}) | node_tags_of("; ".join(rest))


def node_tags_of(text: str) -> Tags:
    """Return the tags of a node such as "barrier=bollard; bicycle=yes"."""
    return dict(part.split("=", 1) for part in text.split("; ") if part)


def network(
    streets: Sequence[tuple[Sequence[Point], str]],
    nodes: Mapping[Point, str] | None = None,
    cut: Iterable[Point] = (),
    turns: Sequence[tuple[int, Point, int, str]] = (),
) -> Network:
    """Return a network of streets and nodes with their tags, and where the extract cuts it.

    Every point of a street is a node: edges are numbered in the order in which they are written.
    A turn is a street by its number, a node, another street, and "no" or "only".
    """
    found = drawn(
        [(line, tags_of(text)) for line, text in streets],
        turns,
        nodes={at: node_tags_of(text) for at, text in (nodes or {}).items()},
    )
    at_cut = np.zeros(found.n_nodes, dtype=bool)
    at_cut[[node_at(found, *point) for point in cut]] = True
    return replace(found, node_cut=at_cut)
