"""The MkDocs plugin: a thin door to site/."""

from __future__ import annotations

import os
import time
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Literal
from urllib.parse import urljoin

from mkdocs.config import config_options
from mkdocs.config.base import Config
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger
from mkdocs.structure.files import File, InclusionLevel
from mkdocs.utils import get_relative_url

from softpedal.library.library_alerts import FILE_NAME as ALERTS
from softpedal.library.load import ROUTES
from softpedal.library.private_zones import PrivateZonesError, read_zones
from softpedal.library.reports import FILE_NAME as REPORTS
from softpedal.mkdocs_plugin.served import Served, ServedFile
from softpedal.problems import CannotDoError
from softpedal.settings import FILE_NAME
from softpedal.site.background_file import CACHE
from softpedal.site.language import LANGUAGES
from softpedal.site.loaded import ASSETS, AUTHOR_SCRIPTS, SCRIPTS, STYLE_SHEETS
from softpedal.site.publish import Published, publish

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    import jinja2
    from mkdocs.config.defaults import MkDocsConfig
    from mkdocs.structure.files import Files
    from mkdocs.structure.nav import Navigation
    from mkdocs.structure.pages import Page as MkDocsPage
    from mkdocs.utils.templates import TemplateContext

    from softpedal.problems import Problem
    from softpedal.site.published import Page

_log = get_plugin_logger("softpedal")

#: So many routes of a rebuild are named.
_MOST_NAMED = 5


class SoftpedalConfig(Config):  # type: ignore[no-untyped-call]
    """The plugin's only option."""

    settings = config_options.Type(str, default=FILE_NAME)


class SoftpedalPlugin(BasePlugin[SoftpedalConfig]):  # type: ignore[no-untyped-call]
    """Adds a page for each route folder, and the pages by which readers find them."""

    def __init__(self) -> None:
        self.author = False
        self.pages: dict[str, Page] = {}
        self.head = ""
        self.served: Served | None = None
        self.is_dirty = False

    def on_startup(
        self,
        *,
        command: Literal["build", "gh-deploy", "serve"],
        dirty: bool,
    ) -> None:
        """Keep this instance over the rebuilds of `serve`, and note whether it is one."""
        self.author = command == "serve"
        self.is_dirty = dirty
        self.served = None

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Watch the library, and load our style sheets and scripts on every page."""
        library = self._library(config)
        if not (library / ROUTES).is_dir():
            raise PluginError(
                f"softpedal: there is no folder {ROUTES}/ beside {self.config.settings} in "
                f"{library}. Make it, and put a folder in it for each route."
            )
        settings = library / Path(self.config.settings).name
        if self.config.settings != FILE_NAME and not settings.is_file():
            raise PluginError(f"softpedal: there is no settings file {self.config.settings}.")
        _say_who_is_called(config)
        beside = [library / name for name in (ALERTS, REPORTS, LANGUAGES)]
        watched = [library / ROUTES, settings, *beside]
        config.watch.extend(str(p) for p in watched if p.exists() and str(p) not in config.watch)
        scripts = (*SCRIPTS, *(AUTHOR_SCRIPTS if self.author else ()))
        for listed, names in (
            (config.extra_css, STYLE_SHEETS),
            (config.extra_javascript, scripts),
        ):
            ours = [f"{ASSETS}/{name}" for name in names]
            listed.extend(name for name in ours if name not in listed)
        return config

    def on_pre_build(self, *, config: MkDocsConfig) -> None:
        """Put aside what was kept of the site, before MkDocs cleans it."""
        if self.author and not self.is_dirty:
            self.served = self.served or Served()
            self.served.begin(config)

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Publish the library, as generated files backed by a cache beside the configuration."""
        links = _Links(config.use_directory_urls, config.site_url or "")
        try:
            zones = read_zones()
        except PrivateZonesError as error:
            raise PluginError(f"softpedal: {error} {error.hint}".strip()) from error
        # Given back when all went well, so that a fault leaves nothing that is half done.
        served, self.served = self.served, None
        start = time.perf_counter()
        try:
            published = publish(
                self._library(config),
                links,
                author=self.author,
                settings_file=Path(self.config.settings).name,
                zones=zones,
                kept=served.library if served is not None else None,
            )
        except CannotDoError as error:
            raise PluginError(f"softpedal: {error} {error.hint}".strip()) from error
        if self.author:
            _log.info("%s", _made_words(published.made, time.perf_counter() - start))
        # An empty site_url says that there is no address; `serve` has one of its own.
        unsaid = not self.author and config.site_url is None
        for problem in published.problems:
            _report(problem, problem.route in published.left_out, unsaid)
        self.pages = {page.path: page for page in published.pages}
        self.head = published.head
        beside = Path(config.config_file_path or ".").parent.resolve() / CACHE
        _write(beside / ".gitignore", b"*\n")
        sources = beside / ("served" if self.author else "built")
        for file in _generated(published, config, sources, served):
            if existing := files.get_file_from_path(file.src_uri):
                if existing.generated_by is None:
                    _log.info("%s of the docs stands in place of the generated page", file.src_uri)
                    self.pages.pop(file.src_uri, None)
                    continue
                files.remove(existing)
            page = self.pages.get(file.src_uri)
            if page is not None and page.edit is not None:
                file.edit_uri = _edit_uri(page.edit, config)
            files.append(file)
        if served is not None:
            served.take_back(config, files)
        self.served = served
        return files

    def on_nav(self, nav: Navigation, *, config: MkDocsConfig, files: Files) -> Navigation:
        """Give our pages what is kept of them."""
        if self.served is not None:
            self.served.take(files, nav, config)
        return nav

    def on_env(
        self,
        env: jinja2.Environment,
        *,
        config: MkDocsConfig,  # noqa: ARG002
        files: Files,  # noqa: ARG002
    ) -> jinja2.Environment:
        """Let the templates take what is kept of finished pages."""
        if self.served is not None:
            self.served.hook(env)
        return env

    # The tables go in after the search has read the page (its priority is 0): they are found by
    # the page's sentence of streets and places, and would only make the index large.
    @event_priority(-100)
    def on_page_context(
        self,
        context: TemplateContext,
        *,
        page: MkDocsPage,
        config: MkDocsConfig,  # noqa: ARG002
        nav: object,  # noqa: ARG002
    ) -> TemplateContext:
        """Fill the slots of our pages."""
        ours = self.pages.get(page.file.src_uri)
        if ours is not None and page.content is not None:
            page.content = ours.with_late(page.content)
        return context

    # After the theme has made the page: what stands in its head is for programs, and no theme has a
    # place for it that another theme has too.
    def on_post_page(
        self,
        output: str,
        *,
        page: MkDocsPage,
        config: MkDocsConfig,  # noqa: ARG002
    ) -> str:
        """Put what programs read at the end of the head; an author's own page names the feed."""
        ours = self.pages.get(page.file.src_uri)
        head = ours.head if ours is not None else self.head
        return output.replace("</head>", f"{head}</head>", 1)

    def _library(self, config: MkDocsConfig) -> Path:
        base = Path(config.config_file_path or "mkdocs.yml").parent
        return (base / self.config.settings).resolve().parent


@dataclass(frozen=True)
class _Links:
    """Addresses of pages and files as MkDocs will write them; can be sent to other processes."""

    use_directory_urls: bool
    site_url: str = ""

    def __call__(self, target: str, source: str) -> str:
        return _relative(self._url(target), self._url(source))

    def absolute(self, target: str) -> str:
        """Return the whole address of a page or file, "" without a `site_url`."""
        return urljoin(self.site_url, self._url(target)) if self.site_url else ""

    def _url(self, path: str) -> str:
        return _url_of(path, self.use_directory_urls)


@cache
def _url_of(path: str, use_directory_urls: bool) -> str:
    return File(path, "", "", use_directory_urls).url


@lru_cache(maxsize=1 << 17)
def _relative(url: str, other: str) -> str:
    return get_relative_url(url, other)


def _generated(
    published: Published, config: MkDocsConfig, folder: Path, served: Served | None
) -> Iterator[File]:
    contents = [(page.path, page.markdown.encode(), True) for page in published.pages]
    contents += [(static.path, static.content, False) for static in published.files]
    for path, content, is_page in contents:
        source = str(folder / path)
        inclusion = InclusionLevel.NOT_IN_NAV if is_page else InclusionLevel.UNDEFINED
        kind = File if served is None else ServedFile
        file = kind.generated(config, path, abs_src_path=source, inclusion=inclusion)
        if served is None or not isinstance(file, ServedFile):
            _write(Path(source), content)
        else:
            file.served, file.holds = served, content
            if not served.has(source, content):
                _write(Path(source), content)
                served.note(source, content)
        yield file


def _made_words(made: Sequence[str], seconds: float) -> str:
    """Return which routes a rebuild has made anew, and how long the library took."""
    named = f": {', '.join(made)}" if 0 < len(made) <= _MOST_NAMED else ""
    routes = "1 route" if len(made) == 1 else f"{len(made)} routes"
    return f"{routes} recomputed{named}, {seconds:.1f} s"


def _write(path: Path, content: bytes) -> None:
    """Write a cached file only when it has changed, so that `serve` does not run in circles."""
    if path.is_file() and path.read_bytes() == content:
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)


def _edit_uri(path: Path, config: MkDocsConfig) -> str:
    return Path(os.path.relpath(path.resolve(), Path(config.docs_dir).resolve())).as_posix()


def _say_who_is_called(config: MkDocsConfig) -> None:
    """Advise on what the theme would fetch from other hosts: our pages call nobody."""
    if config.theme.name == "material" and config.theme.get("font") is not False:
        _log.info(
            "The theme fetches fonts from another host; `font: false` in its settings stops it"
        )
    if config.theme.name == "mkdocs" and config.theme.get("highlightjs"):
        _log.info("The theme fetches a script from another host. `highlightjs: false` stops it")


def _report(problem: Problem, left_out: bool, no_address: bool) -> None:
    """Report a problem; that the address is missing is a warning where nobody said so."""
    if problem.is_error or (no_address and problem.code == "site-address"):
        words = f"Route {problem.route} is left out. " if left_out else ""
        _log.warning("%s%s", words, problem)
    else:
        _log.info("%s", problem)
