"""Notes with line numbers that a test can name, and the faults that can be made in them.

Everything is invented and lies in the open Atlantic near 50° N 20° W.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from building import gpx_text, line_east, make_route

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path

#: The id of the route in which the fault is, between two that are good.
BROKEN = "mill-lane-to-north-quay"
GOOD = ("chapel-green-to-weir-mill", "seed-lane-to-tar-yard")

#: Line 16 is the first after the end.
NOTES = """\
title: Mill Lane to North Quay
area: [Old Harbour, Chapel Side]
start: Mill Lane
finish: North Quay
summary: A level way along the water.
status: published
ridden:
  - {on: 2026-05-16, direction: both}
legs:
  - from: start
    street: Netmakers' Quay
    kind: back street
  - from: 1.00 km
    street: Sailmaker Row
    kind: traffic-free path
"""

RETURN = """\
return:
  legs:
    - from: start
      street: Kiln Road
      kind: back street
"""


@dataclass(frozen=True)
class Fault:
    """One fault in a route folder, and the one problem that it must lead to.

    Attributes:
        name: what is wrong, for the test's name.
        code: of the problem.
        place: its line and column.
        hint: words that the hint must hold.
        make: writes the folder into a library.
        says: words that the message must hold.
        file: in which the problem lies.
        severity: of the problem.
        route: in which the problem lies.
    """

    name: str
    code: str
    place: tuple[int, int]
    hint: str
    make: Callable[[Path], object]
    says: str = ""
    file: str = "notes.yml"
    severity: str = "error"
    route: str = BROKEN


def changed(old: str, new: str) -> str:
    """Return the notes with one piece of text exchanged."""
    assert NOTES.count(old) == 1, old
    return NOTES.replace(old, new)


def broken(notes: str | bytes = NOTES, **more: object) -> Callable[[Path], Path]:
    """Return what writes the broken route's folder into a library."""
    files = dict(more.pop("files", {}))  # type: ignore[call-overload]
    if isinstance(notes, bytes):
        files["notes.yml"], notes = notes, NOTES

    def make(library: Path) -> Path:
        return make_route(library, notes, id=BROKEN, files=files, **more)

    return make


def in_notes(  # noqa: PLR0917 - as faults are told
    name: str,
    code: str,
    place: tuple[int, int],
    hint: str,
    notes: str | bytes,
    files: Mapping[str, str | bytes] = {},
    **more: str,
) -> Fault:
    """Return a fault that lies in the text of the notes, or that they name."""
    return Fault(name, code, place, hint, broken(notes, files=files), **more)


def out_and_back() -> str:
    """Return a track of 2 km that goes 1 km east and comes back 5 m further north."""
    out = line_east(1000)
    back = line_east(1000, lat=50.000045)[::-1]
    return gpx_text([*out, *back], waypoints={"Weir gate": (50.00002, -19.9944)})
