"""A way proposed from the map: its line and chain, what it is like by the map, and its name."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from softpedal.library.gpx_writer import write_gpx
from softpedal.measure.legs import QUIET

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.draft.chain import Chain, Confidence
    from softpedal.draft.town import Town
    from softpedal.library.notes import Kind
    from softpedal.library.track import Track
    from softpedal.measure.route_measures import Measures

#: A file's points are at most so far apart: matched again, a long bare step says little.
_SPACING_M = 10.0
#: So many of a way's longest streets are tried in pairs to tell it from the others.
_NAMED_BY = 6


@dataclass(frozen=True, slots=True)
class Stretch:
    """Where a way keeps to one street and kind, in metres along it."""

    street: str
    kind: Kind
    confidence: Confidence
    from_m: float
    to_m: float

    @property
    def length_m(self) -> float:
        """Metres from start to end."""
        return self.to_m - self.from_m

    @property
    def is_quiet(self) -> bool:
        """Whether it surely counts as quiet."""
        return self.kind in QUIET and self.confidence == "sure"


@dataclass(frozen=True, eq=False, slots=True)
class Candidate:
    """A way that an author may go and ride.

    Attributes:
        number: from 1, by cost: length, kinds of street, getting off, busy crossings.
        name: by a street that it alone takes.
        is_direct: whether it is the shortest way that one may ride.
        track: its line, without heights.
        chain: its edges, by chainage along the track.
        stretches: what it is like by the map, in riding order.
        cost: what it costs in metres of quiet street.
        detour: its length over that of the direct road, None where there is no such road.
        measures: its full measures, if they were asked for.
    """

    number: int
    name: str
    is_direct: bool
    track: Track
    chain: Chain
    stretches: tuple[Stretch, ...]
    cost: float
    detour: float | None
    measures: Measures | None = None

    @property
    def quiet_share(self) -> float:
        """Share of the length that is surely quiet by the map."""
        return sum(s.length_m for s in self.stretches if s.is_quiet) / self.track.length_m


def candidate_gpx(candidate: Candidate, source: str) -> str:
    """Return a candidate as GPX for the ride; `source` says whose map it comes from."""
    track = candidate.track
    at = np.union1d(track.chainage_m, np.arange(0.0, track.length_m, _SPACING_M))
    lat, lon = (np.interp(at, track.chainage_m, degrees) for degrees in (track.lat, track.lon))
    comment = f"Proposed from a map and not ridden yet: signs and what you see come first. {source}"
    name = f"{candidate.number}: {candidate.name}"
    flat = np.full(len(at), np.nan), np.zeros(len(at), dtype=np.int64)
    return write_gpx(lat, lon, *flat, name, comment=comment)


def stretches_of(town: Town, chain: Chain) -> tuple[Stretch, ...]:
    """Return what a chain is like by the map: streets and kinds in riding order."""
    found: list[Stretch] = []
    for piece in chain.pieces:
        read = town.reader.read(piece.edge, piece.forward)
        loud = (kind for _, kind in read.hours if kind not in QUIET)
        kind = next(loud, read.kind)  # what is quiet at some hours only is not called quiet
        new = Stretch(
            town.network.name(piece.edge), kind, read.confidence, piece.from_m, piece.to_m
        )
        if found and replace(found[-1], from_m=0, to_m=0) == replace(new, from_m=0, to_m=0):
            found[-1] = replace(found[-1], to_m=new.to_m)
        else:
            found.append(new)
    return tuple(found)


def named(candidates: Sequence[Candidate]) -> list[Candidate]:
    """Name each candidate by a street, or two together, that no other one takes."""
    streets = [_streets_of(candidate) for candidate in candidates]
    result = []
    for i, candidate in enumerate(candidates):
        others = [set(by) for j, by in enumerate(streets) if j != i]
        singles = [{street} for street in streets[i]]
        pairs = [set(pair) for pair in combinations(streets[i][:_NAMED_BY], 2)]
        alone = (s for s in (*singles, *pairs) if not any(s <= other for other in others))
        chosen = next(alone, set())
        name = " and ".join(street for street in streets[i] if street in chosen)
        if candidate.is_direct:
            name = f"the direct road, by {name}" if name else "the direct road"
        else:
            name = f"by {name}" if name else f"way {candidate.number}"
        result.append(replace(candidate, name=name))
    return result


def _streets_of(candidate: Candidate) -> list[str]:
    """Return the names of the streets that a candidate takes, the longest first."""
    metres: dict[str, float] = defaultdict(float)
    for stretch in candidate.stretches:
        if stretch.street:
            metres[stretch.street] += stretch.length_m
    return sorted(metres, key=lambda street: (-metres[street], street))
