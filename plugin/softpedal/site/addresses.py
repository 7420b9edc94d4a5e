"""Where each page lies: source paths, which are the same for every site generator."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from softpedal.measure.difficulty import Grade

ALL_ROUTES = "routes/index.md"
AREAS = "areas/index.md"
DIFFICULTY = "difficulty/index.md"
HOW_WE_MEASURE = "how-we-measure/index.md"


def route_path(route_id: str) -> str:
    """Return the path of a route's page."""
    return f"routes/{route_id}/index.md"


def area_path(area: str) -> str:
    """Return the path of an area's page."""
    words = "".join(c if c.isalnum() else " " for c in area.lower()).split()
    return f"areas/{'-'.join(words) or 'area'}/index.md"


def grade_path(grade: Grade) -> str:
    """Return the path of a grade's page."""
    return f"difficulty/{grade}/index.md"
