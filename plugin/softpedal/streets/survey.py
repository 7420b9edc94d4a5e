"""A town at a glance: its streets in figures, and the verdicts on through traffic as GeoJSON."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from softpedal.streets.access import cycle_access, road_class
from softpedal.streets.motor_graph import motor_graph, read_roads
from softpedal.streets.through_traffic import GRADES, TAGGED

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from softpedal.streets.country import Country
    from softpedal.streets.network import Network
    from softpedal.streets.through_traffic import Grade, Verdicts

#: So many short cuts are listed.
LISTED = 10
_MINOR_GRADES = tuple(g for g in GRADES if g not in ("main", "no motor traffic"))
#: Decimal places of a coordinate: 0.1 m.
_PLACES = 6


@dataclass(frozen=True, slots=True)
class ShortCut:
    """A street that saves time against the main roads.

    Attributes:
        street: its name.
        drive: from which main road to which.
        seconds: what it saves; unvalidated.
        metres: how long the street is.
    """

    street: str
    drive: str
    seconds: float
    metres: float


@dataclass(frozen=True)
class Survey:
    """Figures of an extract.

    Attributes:
        ways, nodes, edges: how many there are.
        date: of the newest data, "" where unknown.
        km_by_class: kilometres of way by road class, the longest first.
        km_to_ride: kilometres on which one may ride in at least one direction.
        main_roads: names of the main roads, sorted.
        portals: places where a minor street meets the main network.
        cut_ends: ends of the extract from which a minor street goes on.
        km_by_grade: kilometres of minor street by grade, in the order of GRADES.
        short_cuts: the streets that save most, the worst first.
    """

    ways: int
    nodes: int
    edges: int
    date: str
    km_by_class: dict[str, float]
    km_to_ride: float
    main_roads: tuple[str, ...]
    portals: int
    cut_ends: int
    km_by_grade: dict[Grade, float]
    short_cuts: tuple[ShortCut, ...]

    @property
    def share_by_grade(self) -> dict[Grade, float]:
        """Share of the length of the minor streets, by grade; of nothing, 0."""
        total = sum(self.km_by_grade.values())
        return {g: km / total if total else 0.0 for g, km in self.km_by_grade.items()}

    def lines(self) -> list[str]:
        """Return the survey as lines of text."""
        share = self.share_by_grade
        dated = f", data of {self.date}" if self.date else ""
        found = [
            f"{self.ways} ways, {self.nodes} nodes, {self.edges} edges{dated}",
            f"{self.km_to_ride:.1f} km on which one may ride",
            "",
            "Kilometres by class",
            *(f"  {kind:<16}{km:8.1f}" for kind, km in self.km_by_class.items()),
            "",
            f"Main roads ({len(self.main_roads)} names), met at {self.portals} places:",
            f"  {', '.join(self.main_roads) or 'none with a name'}",
            f"Ends where the extract is cut: {self.cut_ends}",
            "",
            "Through traffic on minor streets, km",
            *(f"  {g:<16}{km:8.1f} {share[g]:6.0%}" for g, km in self.km_by_grade.items()),
            "Only 'sure' is filtered whatever opens; check the rest on a ride.",
        ]
        if self.short_cuts:
            found += [
                "",
                "Short cuts that would save most (a guess from lengths, never checked)",
                *(f"  {c.street}: {c.drive}, {c.seconds:.0f} s" for c in self.short_cuts),
            ]
        return found


def survey(network: Network, verdicts: Verdicts, country: Country, listed: int = LISTED) -> Survey:
    """Return the figures of a network; `listed` short cuts are named."""
    km = network.edge_m / 1000.0
    km = np.where(network.edge_across, 0.0, km)
    roads = read_roads(network)
    graph = motor_graph(network, roads, TAGGED)
    touched = np.zeros(len(graph.portal), dtype=bool)
    touched[graph.tail] = touched[graph.head] = True
    on_main = np.zeros(len(graph.portal), dtype=bool)
    main = roads.main & (roads.forward | roads.backward)
    on_main[network.edge_from[main]] = on_main[network.edge_to[main]] = True
    rides = np.array(
        ["ride" in (a.forward, a.backward) for a in _accesses(network, country)], dtype=bool
    )
    names = {network.tags(e).get("name", "") for e in np.flatnonzero(main).tolist()} - {""}
    return Survey(
        ways=len(network.way_id),
        nodes=network.n_nodes,
        edges=network.n_edges,
        date=network.date,
        km_by_class=_by_class(network, km),
        km_to_ride=float(km[rides[network.edge_way]].sum()),
        main_roads=tuple(sorted(names)),
        portals=int((graph.portal & touched & on_main).sum()),
        cut_ends=int((graph.portal & touched & ~on_main).sum()),
        km_by_grade={g: float(km[verdicts.grade == GRADES.index(g)].sum()) for g in _MINOR_GRADES},
        short_cuts=tuple(_short_cuts(network, verdicts)[:listed]),
    )


def verdicts_geojson(network: Network, verdicts: Verdicts) -> dict[str, Any]:
    """Return the verdicts as GeoJSON (RFC 7946), one feature for each way and what is said of it.

    Properties: `way` (OpenStreetMap id), `name`, `grade`, and where known `closed_by`,
    `evidence` and `seconds_saved` (unvalidated). Ways on which motor traffic never goes are left
    out; what is drawn over a square is no way.
    """
    groups: dict[tuple[Any, ...], list[int]] = defaultdict(list)
    for edge in range(network.n_edges):
        grade = verdicts.of(edge)
        if grade == "no motor traffic" or network.edge_across[edge]:
            continue
        said = grade, verdicts.closed_by.get(edge, ""), verdicts.evidence.get(edge, "")
        groups[(int(network.edge_way[edge]), *said)].append(edge)
    return {
        "type": "FeatureCollection",
        "features": [_feature(network, verdicts, edges) for edges in groups.values()],
    }


def _feature(network: Network, verdicts: Verdicts, edges: list[int]) -> dict[str, Any]:
    """Return the feature of edges of one way of which the same is said."""
    edge = edges[0]
    saved = [verdicts.rank_s[e] for e in edges if np.isfinite(verdicts.rank_s[e])]
    properties: dict[str, Any] = {
        "way": int(network.way_id[network.edge_way[edge]]),
        "name": network.name(edge),
        "grade": verdicts.of(edge),
        "closed_by": verdicts.closed_by.get(edge, ""),
        "evidence": verdicts.evidence.get(edge, ""),
        "seconds_saved": round(float(max(saved))) if saved else None,
    }
    return {
        "type": "Feature",
        "properties": {key: value for key, value in properties.items() if value not in ("", None)},
        "geometry": {"type": "MultiLineString", "coordinates": _joined(network, edges)},
    }


def _joined(network: Network, edges: list[int]) -> list[list[list[float]]]:
    """Return the lines of a way's edges, those joined that follow each other."""
    lines: list[list[list[float]]] = []
    last = -1
    for edge in edges:
        a, b = network.point_start[edge], network.point_start[edge + 1]
        at = np.column_stack([network.point_lon[a:b], network.point_lat[a:b]]).round(_PLACES)
        follows = last == edge - 1 and network.edge_to[last] == network.edge_from[edge]
        if lines and follows:
            lines[-1] += at[1:].tolist()
        else:
            lines.append(at.tolist())
        last = edge
    return lines


def _accesses(network: Network, country: Country) -> list[Any]:
    return [cycle_access(tags, country) for tags in network.way_tags]


def _by_class(network: Network, km: NDArray[np.float64]) -> dict[str, float]:
    by_way = np.bincount(network.edge_way, weights=km, minlength=len(network.way_id))
    found: dict[str, float] = defaultdict(float)
    for tags, length in zip(network.way_tags, by_way.tolist(), strict=True):
        found[road_class(tags) or tags.get("route", "")] += length
    return dict(sorted(found.items(), key=lambda pair: (-pair[1], pair[0])))


def _short_cuts(network: Network, verdicts: Verdicts) -> list[ShortCut]:
    """Return the named streets that save time, each name once with the drive that saves most."""
    groups: dict[str, list[int]] = defaultdict(list)
    for edge in np.flatnonzero(np.nan_to_num(verdicts.rank_s, nan=-1.0) > 0).tolist():
        if verdicts.of(edge) == "through" and network.name(edge):
            groups[network.name(edge)].append(edge)
    found = []
    for name, edges in groups.items():
        best = min(edges, key=lambda e: (-verdicts.rank_s[e], verdicts.evidence[e]))
        metres = float(network.edge_m[edges].sum())
        saved = float(verdicts.rank_s[best])
        found.append(ShortCut(name, verdicts.evidence[best], saved, metres))
    return sorted(found, key=lambda cut: (-cut.seconds, cut.street))
