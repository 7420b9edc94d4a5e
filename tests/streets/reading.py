"""Reads single ways as a rider would: a small network from a literal, and verdicts as given."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from softpedal.streets.country import country_of
from softpedal.streets.kinds import Reader, Reading
from softpedal.streets.network_reader import read_network
from streets.small_extract import extract

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.streets.network import Network

Line = list[tuple[float, float]]

#: Due east, 200 m.
ROAD: Line = [(0.0, 0.0), (200.0, 0.0)]


@dataclass
class Grades:
    """Verdicts as a test wants them: one grade for all edges."""

    grade: str = "through"
    closed_by: dict[int, str] = field(default_factory=dict)
    evidence: dict[int, str] = field(default_factory=dict)

    def of(self, edge: int) -> str:
        assert edge >= 0
        return self.grade


def tags_of(text: str) -> dict[str, str]:
    """Return the tags that a text such as "highway=path; foot=no" writes down."""
    return dict(part.split("=", 1) for part in text.split("; ")) if text else {}


def network_of(folder: Path, *ways: tuple[Line, str]) -> Network:
    return read_network(
        extract(folder / "streets.osm", [(line, tags_of(text)) for line, text in ways])
    )


def edge_of(network: Network, way: int) -> int:
    """Return the first edge of a way by its number, from 0."""
    return int((network.way_id[network.edge_way] == way + 1).argmax())


def read(
    folder: Path,
    text: str,
    *others: tuple[Line, str],
    line: Line = ROAD,
    forward: bool = True,
    country: str = "GB",
    grade: str = "through",
) -> Reading:
    """Return the reading of a way with these tags, among other ways."""
    network = network_of(folder, (line, text), *others)
    return Reader(network, Grades(grade), country_of(country)).read(edge_of(network, 0), forward)
