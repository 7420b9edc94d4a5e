"""The measures of routes as a table for the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.table import Table

from softpedal.library.notes import DIRECTIONS
from softpedal.measure.quietness import SHORT_ROUTE_M, whole_percent
from softpedal.measure.units import distance
from softpedal.measure.week import hours_text

if TYPE_CHECKING:
    from collections.abc import Iterable

    from softpedal.library.route import Route
    from softpedal.measure.direction import Figures
    from softpedal.measure.route_measures import Measures


def _quiet(figures: Figures, length_m: float) -> str:
    """Return the quiet share; a short route has metres and no percentage."""
    if length_m < SHORT_ROUTE_M:
        return distance(int(figures.quietness * length_m), "metric")
    return f"{whole_percent(figures.quietness)} %"


def measures_table(good: Iterable[tuple[Route, Measures]]) -> Table:
    """Return a row for each route, direction and state of the week."""
    table = Table(box=None, pad_edge=False)
    left = ("route", "direction", "when")
    right = ("length", "quiet", "busy", "dismounts", "minutes")
    for name in (*left, *right, "worst", "grade"):
        table.add_column(name, justify="right" if name in right else "left", overflow="fold")
    for route, measures in good:
        for direction in DIRECTIONS:
            along = measures.of(direction)
            for state in along.states:
                figures = state.figures
                table.add_row(
                    route.id,
                    direction,
                    hours_text(state.spans),
                    distance(along.length_m, "metric"),
                    *(
                        (
                            _quiet(figures, along.length_m),
                            str(figures.busy),
                            str(figures.dismounts),
                            f"{figures.ride_s / 60:.0f}",
                            f"level {figures.level}",
                        )
                        if figures
                        else ("shut", "", "", "", "")
                    ),
                    measures.difficulty.overall,
                )
    return table
