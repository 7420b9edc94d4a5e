"""Writing a folder whole or not at all."""

from __future__ import annotations

import contextlib
import shutil
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping


def write_new_folder(folder: Path, files: Mapping[str, str]) -> list[Path]:
    """Write files of text, by name, into a folder that is not there yet, and return their paths.

    They are written beside it and moved there together: nothing half-written is ever left.

    Raises:
        FileExistsError: the folder is there.
        OSError: it cannot be written.
    """
    if folder.exists():
        raise FileExistsError(folder)
    above = [path for path in (folder.parent, *folder.parent.parents) if not path.exists()]
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        _write_beside(folder, files)
    except BaseException:
        for path in above:
            with contextlib.suppress(OSError):
                path.rmdir()
        raise
    return [folder / name for name in files]


def _write_beside(folder: Path, files: Mapping[str, str]) -> None:
    partial = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
    try:
        for name, text in files.items():
            (partial / name).write_text(text, encoding="utf-8", newline="\n")
        partial.chmod(0o755)
        partial.rename(folder)
    finally:
        shutil.rmtree(partial, ignore_errors=True)
