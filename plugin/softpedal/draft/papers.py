"""Fills the templates of the pages that an author prints or opens at home; autoescape is on."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any

from jinja2 import Environment, PackageLoader, StrictUndefined

if TYPE_CHECKING:
    from softpedal.settings import Settings

#: Who made the map, where the owner of the library says nothing else.
SOURCE = "Map data © OpenStreetMap contributors, Open Database License."
#: What every paper ends with: it is made from a map, by a machine.
CAUTION = (
    "This is drawn from a map that may be wrong or out of date, and is no statement about a road.",
    "Signs, signals, local law and what you see come first; where riding is not allowed, push.",
    "Ride to your own judgement, and stop before you read or write.",
    "Quiet is not a promise of safety.",
)


def source_of(settings: Settings) -> str:
    """Return who made the map."""
    return settings.background_attribution or SOURCE


@lru_cache(maxsize=1)
def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("softpedal.draft"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def fill(template: str, **values: Any) -> str:
    """Return a template filled with values."""
    return _environment().get_template(template).render(**values)
