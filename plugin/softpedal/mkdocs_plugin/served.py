"""What `mkdocs serve` keeps from one rebuild to the next, so that an author sees a save at once."""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

from mkdocs.structure.files import File

from softpedal.library.load import ROUTES
from softpedal.mkdocs_plugin.served_pages import KeptPages, KeptTemplates, can_be_kept
from softpedal.site.kept import Kept

if TYPE_CHECKING:
    import jinja2
    from mkdocs.config.defaults import MkDocsConfig
    from mkdocs.structure.files import Files
    from mkdocs.structure.nav import Navigation

#: In the folder of the site: MkDocs does not clean away what is hidden.
_ASIDE = ".softpedal"
#: Of a file that lies in the site: its size, and when it was written.
_Seen = tuple[int, int, int]


class Served:
    """Kept over the rebuilds of one `serve`.

    Attributes:
        library: what was made of the library.
        is_whole: whether the site's folder and pages are kept too, in this rebuild.
    """

    def __init__(self) -> None:
        self.library = Kept()
        self.is_whole = False
        self._pages = KeptPages()
        self._templates = KeptTemplates()
        self._noted: dict[str, tuple[bytes, _Seen]] = {}

    def begin(self, config: MkDocsConfig) -> None:
        """Put the routes' files where MkDocs does not clean them away."""
        self.is_whole = can_be_kept(config)
        there, aside = _places(config)
        if self.is_whole and there.is_dir():
            shutil.rmtree(aside, ignore_errors=True)
            aside.parent.mkdir(exist_ok=True)
            there.rename(aside)

    def take_back(self, config: MkDocsConfig, files: Files) -> None:
        """Put those files back that would be copied again as they are, and drop all others."""
        there, aside = _places(config)
        if self.is_whole and aside.is_dir():
            aside.rename(there)
            ours = [file for file in files if isinstance(file, ServedFile)]
            paths = {f.abs_dest_path for f in ours if self.has(f.abs_dest_path, f.holds)}
            _drop_all_but(paths, there)
        shutil.rmtree(aside.parent, ignore_errors=True)

    def has(self, path: str, content: bytes) -> bool:
        """Whether a file lies there as it was noted, with this very content."""
        noted, seen = self._noted.get(path, (None, None))
        return noted == content and seen == _seen(path)

    def note(self, path: str, content: bytes) -> None:
        """Note what was written into a file."""
        seen = _seen(path)
        if seen is not None:
            self._noted[path] = (content, seen)

    def take(self, files: Files, nav: Navigation, config: MkDocsConfig) -> None:
        """Give our pages what their Markdown became the last time."""
        if self.is_whole:
            self._pages.keep_for(config)
            ours = [file for file in files if isinstance(file, ServedFile)]
            self._pages.take(ours, nav, config)

    def hook(self, env: jinja2.Environment) -> None:
        """Keep the compiled templates, and the pages that they make."""
        env.bytecode_cache = env.bytecode_cache or self._templates
        if self.is_whole:
            self._pages.hook(env)


class ServedFile(File):
    """A generated file that is not copied again where it lies already."""

    served: Served
    holds: bytes

    def copy_file(self, dirty: bool = False) -> None:
        """Copy the file into the site."""
        if not self.served.has(self.abs_dest_path, self.holds):
            super().copy_file(dirty)
            self.served.note(self.abs_dest_path, self.holds)


def _places(config: MkDocsConfig) -> tuple[Path, Path]:
    """Return where the routes' files lie, and where they are put aside."""
    site = Path(config.site_dir)
    return site / ROUTES, site / _ASIDE / ROUTES


def _seen(path: str) -> _Seen | None:
    try:
        found = os.lstat(path)
    except FileNotFoundError:
        return None
    return found.st_size, found.st_mtime_ns, found.st_ino


def _drop_all_but(kept: set[str], folder: Path) -> None:
    """Delete all files in a folder but these, and the folders that are left empty."""
    for here, _, names in os.walk(folder, topdown=False):
        paths = {os.path.join(here, name) for name in names}  # noqa: PTH118 - 3,000 files
        for path in paths - kept:
            os.unlink(path)  # noqa: PTH108
        if not os.listdir(here):  # noqa: PTH208
            os.rmdir(here)  # noqa: PTH106
