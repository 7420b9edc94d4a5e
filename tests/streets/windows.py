"""Cuts windows out of a map extract, as a person would who downloads a part of a town."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import osmium

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.streets.extract import Box


@dataclass
class Extract:
    """The nodes (longitude, latitude, tags) and ways (id, tags, nodes) of an extract."""

    nodes: dict[int, tuple[float, float, dict[str, str]]] = field(default_factory=dict)
    ways: list[tuple[int, dict[str, str], list[int]]] = field(default_factory=list)


def read_extract(path: Path) -> Extract:
    """Return what an extract holds, relations left out."""
    found = Extract()
    for thing in osmium.FileProcessor(str(path), osmium.osm.NODE | osmium.osm.WAY):
        if thing.is_node():
            found.nodes[thing.id] = (thing.lon, thing.lat, dict(thing.tags))
        else:
            refs = [node.ref for node in thing.nodes]
            found.ways.append((thing.id, dict(thing.tags), refs))
    return found


def cut_window(extract: Extract, box: Box, path: Path, *, whole_ways: bool) -> Path:
    """Write what lies in a box to `path`, and return it.

    Args:
        extract: the larger extract.
        box: west, south, east and north in degrees.
        path: the file to write.
        whole_ways: also write the nodes outside the box of ways that touch it, and name the box
            in the header. Without, the ways refer to nodes that the file does not have, and the
            header names no box.
    """
    west, south, east, north = box
    inside = {
        node
        for node, (lon, lat, _) in extract.nodes.items()
        if west <= lon <= east and south <= lat <= north
    }
    kept = [way for way in extract.ways if not inside.isdisjoint(way[2])]
    written = set(inside)
    if whole_ways:
        written.update(ref for _, _, refs in kept for ref in refs if ref in extract.nodes)
    header = osmium.io.Header()
    if whole_ways:
        header.add_box(osmium.osm.Box(west, south, east, north))
    path.unlink(missing_ok=True)
    with osmium.SimpleWriter(str(path), header=header) as writer:
        for node in sorted(written):
            lon, lat, tags = extract.nodes[node]
            writer.add_node(osmium.osm.mutable.Node(id=node, location=(lon, lat), tags=tags))
        for way, tags, refs in kept:
            writer.add_way(osmium.osm.mutable.Way(id=way, nodes=refs, tags=tags))
    return path
