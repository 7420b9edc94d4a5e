"""The page on which an author compares proposed ways: one file that asks nobody for anything."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.draft.papers import CAUTION, SOURCE, fill
from softpedal.draft.scout_map import WIDTH, draw
from softpedal.draft.scouted import candidate_gpx
from softpedal.library.plain_text import counted
from softpedal.measure.stress import DEFAULT_LEVEL
from softpedal.measure.units import distance

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.draft.scouted import Candidate, Stretch
    from softpedal.measure.units import Units
    from softpedal.settings import Settings
    from softpedal.streets.network import Network

PAGE = "scout.html"


@dataclass(frozen=True, slots=True)
class Row:
    """What the page says of one way: (what, value) pairs, and its streets in order."""

    number: int
    name: str
    file: str
    facts: tuple[tuple[str, str], ...]
    streets: tuple[tuple[str, str, str], ...]


def scout_files(
    candidates: Sequence[Candidate],
    network: Network,
    settings: Settings,
    names: tuple[str, str],
    source: str = SOURCE,
) -> dict[str, str]:
    """Return the page and the GPX file of each way, by name of the file."""
    files = {PAGE: scout_page(candidates, network, settings, names, source)}
    return files | {gpx_name(c): candidate_gpx(c, source) for c in candidates}


def gpx_name(candidate: Candidate) -> str:
    """Return the name of a candidate's file."""
    return f"way-{candidate.number}.gpx"


def scout_page(
    candidates: Sequence[Candidate],
    network: Network,
    settings: Settings,
    names: tuple[str, str],
    source: str = SOURCE,
) -> str:
    """Return the page.

    Args:
        candidates: the ways, at least one.
        network: the streets to draw around them.
        settings: the units and the language.
        names: what start and finish are called.
        source: who made the map.
    """
    drawn = draw(network, candidates)
    return fill(
        "scout.html",
        names=names,
        width=WIDTH,
        map=drawn,
        bar=distance(drawn.bar_m, "metric"),
        rows=[_row(c, settings.units) for c in candidates],
        caution=CAUTION,
        source=source,
        map_date=network.date,
    )


def _row(candidate: Candidate, units: Units) -> Row:
    facts = [("length", distance(candidate.track.length_m, units))]
    if candidate.detour is not None and not candidate.is_direct:
        facts.append(("against the direct road", f"{_up(candidate.detour)} times as long"))
    facts += _measured(candidate, units) or _by_map(candidate, units)
    streets = tuple(
        (distance(s.from_m, units), s.street or "without a name", _kind(s))
        for s in candidate.stretches
    )
    return Row(candidate.number, candidate.name, gpx_name(candidate), tuple(facts), streets)


def _kind(stretch: Stretch) -> str:
    return stretch.kind if stretch.confidence == "sure" else f"{stretch.kind}, to be checked"


def _measured(candidate: Candidate, units: Units) -> list[tuple[str, str]]:
    """Return the figures of the drafted notes, none where nothing was measured."""
    if candidate.measures is None:
        return []
    state = candidate.measures.outbound.leading
    figures = state.figures
    if figures is None:
        return [("quiet share", "not passable at most times of the day")]
    times = counted(figures.dismounts, "time")
    found = [
        ("quiet share", _percent(figures.quietness)),
        ("busy crossings", f"{figures.busy}, {figures.busy_uncontrolled} with nothing to help"),
        ("getting off", f"{times}, {distance(figures.pushed_m, units)} pushed"),
        ("minutes with waits", f"{math.ceil(figures.ride_s / 60)}"),
    ]
    if (worst := state.worst_leg) is not None:
        stretch, level = worst
        length = distance(stretch.length_m, units)
        text = f"{stretch.leg.street}: {stretch.kind}, {length}, level {level.level}"
        found.append(("worst leg", text))
    if (crossing := state.worst_crossing) is not None:
        road, control = crossing.crossing.road, crossing.crossing.control
        how = "nothing to help" if control == "none" else control
        found.append(("worst crossing", f"{road}: {how}, level {crossing.level.level}"))
    return found


def _by_map(candidate: Candidate, units: Units) -> list[tuple[str, str]]:
    pushed = sum(s.length_m for s in candidate.stretches if s.kind == "on foot")
    worst = max(candidate.stretches, key=lambda s: (DEFAULT_LEVEL[s.kind], s.length_m))
    length = distance(worst.length_m, units)
    return [
        ("quiet share", _percent(candidate.quiet_share)),
        ("pushed", distance(pushed, units)),
        ("worst leg", f"{worst.street or 'without a name'}: {worst.kind}, {length}"),
    ]


def _percent(share: float) -> str:
    """Return a share rounded down: it is never flattered."""
    return f"{math.floor(share * 100 + 1e-9)} %"


def _up(factor: float) -> str:
    return f"{math.ceil(factor * 100 - 1e-9) / 100:.2f}"
