"""Fills the templates: autoescape on, and nothing is computed in them."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined, Template

from softpedal.site.language import own_text, tr, trn


@lru_cache(maxsize=1)
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("softpedal.site"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.globals.update(tr=tr, trn=trn)
    return environment


def render(template: str, **values: Any) -> str:
    """Return a template filled with values."""
    return _template(template, own_text(template)).render(**values)


@lru_cache(maxsize=64)
def _template(name: str, own: str | None) -> Template:
    """Return a template, or the one that the language has in its place."""
    if own is not None:
        return _environment().from_string(own)
    return _environment().get_template(name)
