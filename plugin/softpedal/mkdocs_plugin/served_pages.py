"""Pages that `mkdocs serve` need not make again: their Markdown, and their finished HTML.

A page is made again unless all that it is made of is as it was the last time. Only themes and
plugins of which that is known take part; a theme's own templates, hooks or another plugin may
look at anything, and with them each page is made anew.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import jinja2
from mkdocs.structure.pages import Page

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from jinja2.bccache import Bucket
    from mkdocs.config.defaults import MkDocsConfig
    from mkdocs.structure import StructureItem
    from mkdocs.structure.files import File, Files
    from mkdocs.structure.nav import Navigation
    from mkdocs.structure.toc import AnchorLink

#: Their pages show what MkDocs gives to a template of the page itself and of the navigation, and
#: nothing else of other pages.
_THEMES = ("material", "mkdocs", "readthedocs")
#: They change no page, and no file of the site.
_PLUGINS = ("search", "material/search", "softpedal")
#: Extensions whose HTML follows from the Markdown and their settings; others may read files.
_EXTENSIONS = (
    "abbr", "admonition", "attr_list", "codehilite", "def_list", "extra", "fenced_code",
    "footnotes", "md_in_html", "meta", "nl2br", "sane_lists", "smarty", "tables", "toc",
    "pymdownx.betterem", "pymdownx.caret", "pymdownx.details", "pymdownx.highlight",
    "pymdownx.inlinehilite", "pymdownx.keys", "pymdownx.mark", "pymdownx.smartsymbols",
    "pymdownx.superfences", "pymdownx.tabbed", "pymdownx.tasklist", "pymdownx.tilde",
)  # fmt: skip
#: What MkDocs itself gives to a template.
_CONTEXT = frozenset(
    {
        "nav", "pages", "base_url", "extra_css", "extra_javascript", "mkdocs_version",
        "build_date_utc", "config", "page",
    }
)  # fmt: skip
#: Settings that cannot be compared; files and navigation, which can, are what comes of them.
_UNLIKE = frozenset({"plugins", "hooks", "theme", "exclude_docs", "draft_docs", "not_in_nav"})


def can_be_kept(config: MkDocsConfig) -> bool:
    """Whether all that takes part in a site's pages is known to look at nothing but its own."""
    extensions = (name.removeprefix("markdown.extensions.") for name in config.markdown_extensions)
    return (
        config.theme.name in _THEMES
        and config.theme.custom_dir is None
        and not config.hooks
        and all(name in _PLUGINS for name in config.plugins)
        and all(name in _EXTENSIONS for name in extensions)
    )


@dataclass
class KeptPages:
    """What was made of Markdown and of templates, by the page's path.

    Attributes:
        settings: of the site, to be compared.
        nav: the navigation, to be compared.
        rendered: from what, and the attributes that a page got by it.
        finished: from what, and the HTML.
    """

    settings: str = ""
    nav: str = ""
    rendered: dict[str, tuple[str, dict[str, Any]]] = field(default_factory=dict)
    finished: dict[str, tuple[object, str]] = field(default_factory=dict)
    _items: Sequence[StructureItem] = ()

    def keep_for(self, config: MkDocsConfig) -> None:
        """Forget what was made with other settings."""
        theme = (config.theme.name, config.theme.dirs, dict(config.theme))
        plugins = [(name, dict(plugin.config)) for name, plugin in config.plugins.items()]
        others = {name: value for name, value in config.items() if name not in _UNLIKE}
        settings = repr((theme, plugins, others))
        if settings != self.settings:
            self.rendered.clear()
            self.finished.clear()
        self.settings = settings

    def take(self, files: Iterable[File], nav: Navigation, config: MkDocsConfig) -> None:
        """Give our own pages that are not in the navigation what their Markdown became before."""
        self._items = nav.items
        in_nav = {page.file.src_uri for page in nav.pages}
        for file in files:
            if file.page is not None and file.src_uri not in in_nav:
                _KeptPage(file, config, self)

    def hook(self, env: jinja2.Environment) -> None:
        """Have the templates of pages ask here before they are filled."""
        # Only now that their Markdown was read do the pages of the navigation have titles.
        self.nav = repr([_shown(item) for item in self._items])
        env.extend(softpedal_kept=self)
        env.template_class = _Template

    def finish(self, name: str, context: dict[str, Any], template: _Template) -> str:
        """Return the HTML of a page: the one that was kept, if it was made of the same."""
        page = context["page"]
        made_of = (
            *(name, self.nav, context["base_url"], context["extra_css"]),
            [str(script) for script in context["extra_javascript"]],
            *(page.url, page.title, page.content, repr(page.meta), _contents(page.toc)),
            *(page.edit_url, page.canonical_url),
            *(_named(page.previous_page), _named(page.next_page)),
        )
        kept = self.finished.get(page.file.src_uri)
        if kept is None or kept[0] != made_of:
            kept = (made_of, template.fill(context))
            self.finished[page.file.src_uri] = kept
        return kept[1]


class KeptTemplates(jinja2.BytecodeCache):
    """Compiled templates; Jinja compares them with their source."""

    def __init__(self) -> None:
        self._compiled: dict[str, bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        """Hand out what was compiled of a template."""
        if bucket.key in self._compiled:
            bucket.bytecode_from_string(self._compiled[bucket.key])

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep what was compiled of a template."""
        self._compiled[bucket.key] = bucket.bytecode_to_string()


class _KeptPage(Page):
    """A page that does not render the same Markdown twice."""

    def __init__(self, file: File, config: MkDocsConfig, kept: KeptPages) -> None:
        super().__init__(None, file, config)
        self._kept = kept

    def render(self, config: MkDocsConfig, files: Files) -> None:
        """Convert the Markdown, or take what it became the last time."""
        markdown = self.markdown or ""
        kept = self._kept.rendered.get(self.file.src_uri)
        if kept is not None and kept[0] == markdown:
            vars(self).update(kept[1])
            return
        before = dict(vars(self))
        super().render(config, files)
        made = {
            name: value
            for name, value in vars(self).items()
            if name not in before or before[name] is not value
        }
        # A link to another file is looked up in the files of this very build.
        if not self.links_to_anchors:
            self._kept.rendered[self.file.src_uri] = (markdown, made)


class _Template(jinja2.Template):
    """A template that asks for the kept page first."""

    def render(self, *args: Any, **kwargs: Any) -> str:
        """Fill the template, or take the page that it made of the same before."""
        context = dict(*args, **kwargs)
        page = context.get("page")
        # The home page may show when the site was built.
        if page is None or page.is_homepage or context.keys() - _CONTEXT:
            return self.fill(context)
        kept: KeptPages = self.environment.softpedal_kept  # type: ignore[attr-defined]
        return kept.finish(self.name or "", context, self)

    def fill(self, context: dict[str, Any]) -> str:
        """Fill the template."""
        return super().render(context)


def _shown(item: StructureItem) -> tuple[object, ...]:
    """Return what may be shown of an item of the navigation."""
    children = [_shown(child) for child in getattr(item, "children", None) or ()]
    meta = item.meta if isinstance(item, Page) else None
    return (type(item).__name__, item.title, getattr(item, "url", None), meta, children)


def _contents(links: Iterable[AnchorLink]) -> list[tuple[object, ...]]:
    return [(link.title, link.id, link.level, _contents(link.children)) for link in links]


def _named(page: Page | None) -> tuple[object, ...]:
    return (page.url, page.title) if page is not None else ()
