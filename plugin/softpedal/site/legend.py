"""The key to the looks, as swatches with their names."""

from __future__ import annotations

from typing import TYPE_CHECKING

from markupsafe import escape

from softpedal.site._strip_marks import stroke_attributes
from softpedal.site.language import tr
from softpedal.site.looks import CASING, LOOKS, look_of

if TYPE_CHECKING:
    from collections.abc import Iterable

from softpedal.site.looks import Look

_BAND = 10


def looks_key(kinds: Iterable[str]) -> str:
    """Return an HTML list of the looks that these kinds of legs have, in the table's order.

    Raises:
        ValueError: if a kind is not known.
    """
    used = {look_of(kind).slug for kind in kinds}
    rows = (
        f"<li>{swatch(look)} {escape(tr(look.name))}</li>" for look in LOOKS if look.slug in used
    )
    return f'<ul class="sp-key">{"".join(rows)}</ul>'


def swatch(look: Look) -> str:
    """Return a piece of line in that look as SVG, 44 by 14 px, hidden from screen readers."""
    stroke = look.stroke(_BAND)
    line = f'<path d="M3 7h38"{stroke_attributes(stroke)}/>'
    if stroke.centre:
        line += f'<path d="M3 7h38" stroke="{CASING}" stroke-width="{stroke.centre:g}"/>'
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" width="44" height="14" aria-hidden="true">'
        f'<rect width="44" height="14" fill="{CASING}"/>{line}</svg>'
    )
