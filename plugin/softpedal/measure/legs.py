"""What each stretch of a line is, in one direction and at one time of the week."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.library.note_values import DRAFTED
from softpedal.library.notes import OTHERWISE

if TYPE_CHECKING:
    from collections.abc import Mapping

    from softpedal.library.notes import Direction, Item, Kind, Leg, Source
    from softpedal.library.route import Line, Placed

#: Kinds that count as quiet: filtered or separated infrastructure (a filtered street only with
#: evidence).
QUIET: frozenset[Kind] = frozenset({"protected track", "traffic-free path", "filtered street"})


@dataclass(frozen=True, slots=True)
class Stretch:
    """One leg as it is met.

    Attributes:
        from_m: chainage of its start.
        to_m: chainage of its end.
        kind: the kind that it is measured as.
        noted: the kind that the notes say.
        placed: the leg.
    """

    from_m: float
    to_m: float
    kind: Kind
    noted: Kind
    placed: Placed[Leg]

    @property
    def leg(self) -> Leg:
        """The leg's notes."""
        return self.placed.item

    @property
    def length_m(self) -> float:
        """Metres."""
        return self.to_m - self.from_m

    @property
    def is_quiet(self) -> bool:
        """Whether it counts into the quietness index."""
        return self.kind in QUIET


def stretches(line: Line, direction: Direction, is_open: Mapping[str, bool]) -> list[Stretch]:
    """Return the legs of a line as they are met, in riding order.

    Args:
        line: the line in riding order.
        direction: which way it is ridden.
        is_open: which opening_hours expressions are open at the time.
    """
    met = []
    for placed in line.legs:
        noted = noted_kind(placed.item, direction, is_open)
        met.append(
            Stretch(placed.at_m, placed.to_m, measured_kind(placed.item, noted), noted, placed)
        )
    return met


def noted_kind(leg: Leg, direction: Direction, is_open: Mapping[str, bool]) -> Kind:
    """Return what the notes say a leg is; of its hours, the first that is open wins."""
    kinds = leg.kind
    if leg.hours is not None:
        current = (h for h in leg.hours if h != OTHERWISE and is_open.get(h, False))
        kinds = leg.hours[next(current, OTHERWISE)]
    kind = kinds.get(direction) if kinds else None
    if kind is None:
        raise ValueError(f"leg {leg.street!r} has no kind {direction}")
    return kind


def measured_kind(leg: Leg, noted: Kind) -> Kind:
    """Return the kind that a leg counts as: filtered without evidence counts as a back street."""
    return "back street" if noted == "filtered street" and not has_evidence(leg) else noted


def has_evidence(leg: Leg) -> bool:
    """Whether it is known what closes a street to through traffic.

    The notes say it, or the map analysis is sure. What a draft marks as check or guess is not known
    until somebody has confirmed it: `source: ridden`, or the mark taken out. What was only said on
    the ride is never sure.
    """
    if is_doubted(leg):
        return False
    is_sure = leg.confidence == "sure" and "said" not in _sources(leg)
    return leg.closed_by is not None or (is_sure and leg.evidence is not None)


def is_doubted(leg: Leg) -> bool:
    """Whether a draft is not sure of a leg that nobody has confirmed."""
    return is_drafted(leg) and leg.confidence in ("check", "guess")


def is_drafted(item: Item) -> bool:
    """Whether something was drafted, in a direction at least, and nobody has confirmed it."""
    return bool(DRAFTED & _sources(item))


def _sources(item: Item) -> set[Source | None]:
    return {item.source.outbound, item.source.return_}


def pushed_runs(met: list[Stretch]) -> list[tuple[float, float]]:
    """Return each maximal pushed stretch as (from, to) in metres."""
    runs: list[tuple[float, float]] = []
    for stretch in met:
        if stretch.kind != "on foot":
            continue
        if runs and runs[-1][1] == stretch.from_m:
            runs[-1] = (runs[-1][0], stretch.to_m)
        else:
            runs.append((stretch.from_m, stretch.to_m))
    return runs
