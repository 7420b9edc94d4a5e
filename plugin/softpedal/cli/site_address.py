"""Where the published site is: from an option, or from the site's own mkdocs.yml."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any, Literal

import click
import yaml

from softpedal.site.plain_pages import Addresses

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

MKDOCS = ("mkdocs.yml", "mkdocs.yaml")

Style = Literal["directory", "file"]

BASE = click.option(
    "--base",
    default="",
    help="Address of the published site. Default: `site_url` in mkdocs.yml beside softpedal.yml.",
)
ADDRESSES = click.option(
    "--addresses",
    type=click.Choice(["directory", "file"]),
    default=None,
    help="How the site addresses its pages, as for `softpedal pages`. Default: as mkdocs.yml says.",
)


def site_addresses(library: Path, base: str, style: Style | None) -> Addresses:
    """Return how the published site addresses its pages; `base` is "" where nothing says it."""
    config = _config(library) if not base or style is None else {}
    url = base or config.get("site_url") or ""
    plain = config.get("use_directory_urls", True) is False
    found: Style = style or ("file" if plain else "directory")
    return Addresses(found, url if isinstance(url, str) else "")


def _config(library: Path) -> dict[str, Any]:
    """Return what mkdocs.yml says, without running anything that it names."""
    for name in MKDOCS:
        path = library / name
        if not path.is_file():
            continue
        try:
            config = yaml.load(path.read_bytes(), Loader=_Loader)  # noqa: S506 - a safe loader
        except yaml.YAMLError as error:
            click.echo(f"{name} cannot be read, so give --base: {error}", err=True)
            return {}
        return config if isinstance(config, dict) else {}
    return {}


class _Loader(yaml.SafeLoader):
    """Reads plain data; of tags only !ENV, which MkDocs knows, and others as nothing."""


def _environment(loader: _Loader, node: yaml.Node) -> Any:
    """Return the first of the variables that is set, else the last item as the default."""
    if not isinstance(node, yaml.SequenceNode):
        return os.environ.get(str(node.value))
    *names, last = loader.construct_sequence(node)
    for name in names or [last]:
        if str(name) in os.environ:
            return os.environ[str(name)]
    return last if names else None


def _nothing(_loader: _Loader, _tag: str, _node: yaml.Node) -> None:
    return None


_add: Callable[..., None] = _Loader.add_constructor
_add("!ENV", _environment)
_add_all: Callable[..., None] = _Loader.add_multi_constructor
_add_all("", _nothing)
