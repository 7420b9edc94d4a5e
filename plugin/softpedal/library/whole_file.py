"""Writes a file in one go, so that a crash or a full disk leaves the old one."""

from __future__ import annotations

import os
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@contextmanager
def beside(path: Path) -> Iterator[Path]:
    """Give a place to write a file at, which becomes `path` when all went well.

    Until then the old one stays as it was, and nothing is left beside it.
    """
    partial = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        yield partial
        partial.replace(path)
    finally:
        partial.unlink(missing_ok=True)


def write_whole(path: Path, content: bytes) -> None:
    """Write a file in one go.

    Raises:
        OSError: it cannot be written; the old one is as it was.
    """
    with beside(path) as partial:
        partial.write_bytes(content)
