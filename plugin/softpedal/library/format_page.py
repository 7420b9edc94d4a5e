"""The pages of the guide that tell the files' formats, filled in from the models."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

from softpedal import settings
from softpedal.library import library_alerts, notes, reports
from softpedal.library.format_keys import (
    block,
    example_of,
    hints_of,
    keys,
    list_block,
    model_in,
    name_of,
    smallest,
)
from softpedal.library.note_items import Conditional, Item

if TYPE_CHECKING:
    from pydantic import BaseModel

#: The files whose keys are told, and the page that tells them.
PAGES: dict[str, tuple[type[BaseModel], ...]] = {
    "notes": (notes.Notes,),
    "settings": (settings.Settings, library_alerts.LibraryAlert, reports.Report),
}
_PROSE = Path(__file__).parent / "format"
_SLOT = re.compile(r"^\{(keys|example) (\w+)(?: (\w+))?\}$", re.MULTILINE)
_HEADING = re.compile(r"^#+ (.+)$", re.MULTILINE)
#: Keys that several items share are told once.
_SHARED = (Item, Conditional)


def format_page(what: str) -> str:
    """Return a page of `PAGES` as Markdown: prose, with each model's keys and an example.

    Raises:
        ValueError: the prose names a model that is not there, or leaves one out.
    """
    models = models_below(PAGES[what])
    prose = (_PROSE / f"{what}.md").read_text(encoding="utf-8")
    anchors = _anchors(prose, models)
    told = set()

    def filled(slot: re.Match[str]) -> str:
        sort, name, part = slot.groups()
        if name not in models:
            raise ValueError(f"{what}.md names {name}, which is no part of the format")
        model = models[name]
        if sort == "example":
            if part is None:
                return list_block(smallest(model))
            key = name_of(part, model.model_fields[part])
            return block(key, example_of(model, part))
        told.add(name)
        if part == "heading":
            return keys(model, [notes.LineNotes], anchors)
        shared = [Item] if part == "own" else [each for each in _SHARED if each is not model]
        return keys(model, shared, anchors)

    page = _SLOT.sub(filled, prose)
    if left := models.keys() - told:
        raise ValueError(f"{what}.md tells nothing of {', '.join(sorted(left))}")
    return page


def models_below(roots: tuple[type[BaseModel], ...]) -> dict[str, type[BaseModel]]:
    """Return the models that a format is made of, by name, with those that share their keys."""
    found: dict[str, type[BaseModel]] = {}
    waiting = list(roots)
    while waiting:
        model = waiting.pop()
        if model.__name__ in found:
            continue
        found[model.__name__] = model
        waiting += [shared for shared in _SHARED if issubclass(model, shared)]
        inner = (model_in(hint) for hint in hints_of(model).values())
        waiting += [each for each in inner if each]
    return found


def _anchors(
    prose: str, models: dict[str, type[BaseModel]]
) -> dict[tuple[type[BaseModel], str], str]:
    """Return the anchor of the section for each key that has keys of its own.

    It is the section that shows the key's example, else the one that tells the keys.
    """
    shown: dict[tuple[str, str | None], str] = {}
    told: dict[str, str] = {}
    for slot in _SLOT.finditer(prose):
        sort, name, part = slot.groups()
        (*_, heading) = _HEADING.findall(prose, 0, slot.start())
        if sort == "example":
            shown[name, part] = _slug(heading)
        else:
            told[name] = _slug(heading)
    return {
        (model, field): shown.get((name, field)) or told[inner.__name__]
        for name, model in models.items()
        for field, hint in hints_of(model).items()
        if (inner := model_in(hint)) and inner.__name__ in told
    }


def _slug(heading: str) -> str:
    """Return a heading's anchor, as Python-Markdown makes it."""
    return re.sub(r"[-\s]+", "-", re.sub(r"[^\w\s-]", "", heading).strip().lower())
