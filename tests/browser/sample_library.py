"""A small invented library in which each route fits other filters."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from building import crossing, leg, line_east, make_route, notes
from site_building import build_site

if TYPE_CHECKING:
    from pathlib import Path

#: A zone that is far from the browser's own.
ZONE = "Pacific/Auckland"

_LIT = leg("start", "filtered street", "Netmakers’ Quay", closed_by="posts", lit="yes")

#: Route → its notes, metres and latitude. Easier ones first, as the list has them.
ROUTES: dict[str, tuple[dict[str, Any], float, float]] = {
    "cafe": (
        notes(
            title="Café Row to Kiln Top",
            area=["Claypits", "Old Harbour"],
            start="Café Row",
            finish="Kiln Top",
            legs=[leg("start", "back street", "Firing Lane", speed_limit="20 mph", lit="yes")],
            barriers=[{"at": "1 km", "what": "three steps", "steps": True}],
            dismounts=[{"at": "2 km", "why": "no entry"}],
            who={"child": "with care"},
        ),
        3000,
        50.02,
    ),
    "quay": (
        notes(
            title="Ferry Steps to Weir Mill",
            area=["Old Harbour"],
            finish="Weir Mill",
            legs=[_LIT],
            landmarks=[{"at": "900 m", "what": "Grain silo", "side": "left"}],
            who={"child": "with an adult", "cargo": "yes"},
        ),
        2000,
        50.0,
    ),
    "path": (
        notes(
            title="Meadow path",
            area=["Meadows"],
            start="Meadow gate",
            finish="Alder Lock",
            legs=[leg("start", "traffic-free path", "Bargemen's Path", lit="no")],
            closed=["Mo-Su 21:00-06:00"],
            who={"cargo": "with care"},
        ),
        1500,
        50.06,
    ),
    "dock": (
        notes(
            title="Along Dock Road",
            area=["Docks"],
            start="Dock gate",
            finish="Grain Road",
            legs=[leg("start", "painted lane", "Dock Road", lit="yes")],
            crossings=[crossing("3 km", "none", "Swing Road", busy=True)],
        ),
        9000,
        50.04,
    ),
}


def write_library(folder: Path) -> None:
    """Write the routes, a draft and a withdrawn one, and settings."""
    for name, (text, metres, lat) in ROUTES.items():
        make_route(folder, text, line_east(metres, lat=lat), id=name)
    make_route(folder, notes(title="Unfinished", status="draft"), id="draft")
    gone = notes(title="Gone", status="withdrawn", withdrawn={"why": "The gate is shut for good."})
    make_route(folder, gone, id="gone")
    (folder / "softpedal.yml").write_text(f"time_zone: {ZONE}\n", encoding="utf-8")


def build_library(folder: Path, **changes: Any) -> Path:
    """Write and build the library; return the folder of the site."""
    write_library(folder)
    return build_site(folder, **changes).folder
