"""Opening a map extract (.osm, .osm.pbf, .osm.bz2): one place for what can be wrong with it."""

from __future__ import annotations

import hashlib
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from softpedal.problems import CannotDoError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

Box = tuple[float, float, float, float]


class ExtractError(CannotDoError):
    """An extract that cannot be read."""


@contextmanager
def opened(path: Path) -> Iterator[Any]:
    """Give the library osmium for reading an extract; what it raises comes out as ExtractError.

    Raises:
        ExtractError: osmium is not installed, or the file is missing, cut short or no extract.
    """
    try:
        import osmium  # noqa: PLC0415 - an extra that only libraries with an extract need
    except ImportError as error:
        raise ExtractError(
            "Reading an extract needs the library osmium, which is not installed.",
            "Install it with `pip install 'softpedal[streets]'`.",
        ) from error
    if not path.is_file():
        raise ExtractError("there is no such file", "Write its path as seen from softpedal.yml.")
    try:
        yield osmium
    except (RuntimeError, ValueError, OSError) as error:
        reason = str(error).replace(str(path), path.name)
        raise ExtractError(
            f"it is cut short or no extract ({reason})",
            "It is read as .osm, .osm.pbf or .osm.bz2; fetch it anew if it was cut short.",
        ) from error


def header_box(path: Path, osmium: Any) -> Box | None:
    """Return west, south, east and north as the file's header says, None where it says nothing."""
    with osmium.io.Reader(str(path), osmium.osm.NOTHING) as reader:
        box = reader.header().box()
    if not box.valid():
        return None
    low, high = box.bottom_left, box.top_right
    return (low.lon, low.lat, high.lon, high.lat) if low.lon < high.lon else None


def digest(path: Path) -> str:
    """Return the first 16 hex digits of a file's SHA-256."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()[:16]
