"""Fills the templates: autoescape on, and nothing is computed in them."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from softpedal.site.language import tr, trn


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
    return _environment().get_template(template).render(**values)
