"""Drafting again: the new draft goes into the notes without touching what a person wrote."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from softpedal.draft.changes import Change
from softpedal.draft.item_pairs import NAMES, plain_chainages, same
from softpedal.draft.merge_items import ListMerge, is_list_of_items, under
from softpedal.draft.merge_legs import LegMerge
from softpedal.draft.notes_edit import Edit, NotesEditor, edited_document
from softpedal.draft.notes_text import plain
from softpedal.library.yaml_source import read_yaml
from softpedal.problems import CannotDoError

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from softpedal.library.yaml_source import Path

#: A mapping as it was drafted, as the author has it, and as it is drafted now.
Sides = tuple[dict[str, Any], dict[str, Any], dict[str, Any]]

#: A line end that YAML takes for one and most editors do not.
_ODD_BREAK = re.compile("\r(?!\n)|[\x85\u2028\u2029]")
#: Stands for a key that is not there.
_MISSING = "\0"

_TAKEN = "nobody has touched it since it was drafted"
_OWN = "you wrote it"
_OUT = "you took it out"


class MergeError(CannotDoError):
    """Notes into which nothing can be merged; the message says why."""


@dataclass(frozen=True)
class Merged:
    """The notes after drafting again.

    Attributes:
        text: of notes.yml; the very text that was given if nothing changes.
        changes: what was changed, and what differs and was kept.
    """

    text: str
    changes: tuple[Change, ...]


def merge(
    base: dict[str, Any],
    mine_text: str,
    theirs: dict[str, Any],
    length_m: float,
    *,
    chainage_of: Callable[[str], float | None] | None = None,
    return_chainage_of: Callable[[str], float | None] | None = None,
    comments: Mapping[Path, str] | None = None,
) -> Merged:
    """Merge a new draft into the notes of an author, by way of what both began with.

    What the author has changed, confirmed, added or taken out stays as it is; what nobody has
    touched follows the new draft. Every line that is not changed stays to the letter.

    Args:
        base: the document that was drafted last; empty if that is not known.
        mine_text: the author's notes.yml as it is now.
        theirs: the document drafted now.
        length_m: length of the outbound track, metres.
        chainage_of: places a position's text along the outbound track, None where it cannot; by
            default only `start`, `finish` and chainages are known.
        return_chainage_of: the same for the positions under `return:`.
        comments: what stands behind the values of the new draft, by path.

    Raises:
        MergeError: the notes cannot be read.
    """
    source, problems = read_yaml(mine_text.encode(), "notes.yml")
    if source is None or not isinstance(source.data, dict):
        why = "\n".join(str(p) for p in problems) or "notes.yml: no mapping of keys and values."
        raise MergeError(f"Nothing can be drafted into these notes until they are mended.\n{why}")
    if _ODD_BREAK.search(mine_text):
        raise MergeError("notes.yml has line ends of an unusual kind: save it with plain ones.")
    work = _Merge(NotesEditor(mine_text, source.data), comments or {})
    place = chainage_of or plain_chainages(length_m)
    sides = (plain(base), source.data, plain(theirs))
    work.section((), sides, place)
    if inner := work.way_back(sides):
        work.section(("return",), inner, return_chainage_of or place)
    if not work.edits:
        return Merged(mine_text, tuple(work.changes))
    text = work.editor.edited(work.edits)
    after, problems = read_yaml(text.encode(), "notes.yml")
    if after is None or not same(after.data, edited_document(source.data, work.edits)):
        raise MergeError(
            "The new draft could not be written into these notes without doing harm, and nothing "
            "was changed. Write each key and each item on a line of its own, and draft again."
        )
    return Merged(text, tuple(work.changes))


class _Merge:
    """Collects the edits and the changes."""

    def __init__(self, editor: NotesEditor, comments: Mapping[Path, str]) -> None:
        self.editor, self.comments = editor, comments
        self.edits: list[Edit] = []
        self.changes: list[Change] = []

    def section(self, path: Path, sides: Sides, chainage_of: Callable[[str], float | None]) -> None:
        """Merge the keys of the notes, or those under `return:`."""
        base, mine, theirs = sides
        for key in dict.fromkeys([*mine, *theirs, *base]):
            if key == "return" and not path:
                continue
            if key in NAMES and all(is_list_of_items(side.get(key, [])) for side in sides):
                self._list((*path, key), sides, chainage_of)
            else:
                self._field((*path, key), sides)

    def way_back(self, sides: Sides) -> Sides | None:
        """Return what is under `return:` if it is to be merged key by key; else merge it whole."""
        base, mine, theirs = (side.get("return") for side in sides)
        if isinstance(mine, dict) and isinstance(theirs, dict):
            return (base if isinstance(base, dict) else {}, mine, theirs)
        self._field(("return",), sides)
        return None

    def _field(self, path: Path, sides: Sides) -> None:
        """Merge one key by the three-way rule."""
        key = str(path[-1])
        base, mine, theirs = (side.get(key, _MISSING) for side in sides)
        place = ": ".join(str(part) for part in path)
        was, now = (None if v == _MISSING else v for v in (mine, theirs))
        if same(theirs, base) or same(theirs, mine):
            return
        if not same(mine, base):
            reason = _OUT if mine == _MISSING else _OWN
            self.changes.append(Change("kept", place, key, was, now, reason))
        elif theirs == _MISSING:
            self.edits.append(Edit("remove", path))
            self.changes.append(Change("removed", place, key, was, now, "the map has it no more"))
        elif mine == _MISSING:
            self._add(path, theirs, sides, under(path, self.comments))
            self.changes.append(Change("added", place, key, was, now, "the map has it now"))
        else:
            self.edits.append(Edit("set", path, theirs, comments=under(path, self.comments)))
            self.changes.append(Change("changed", place, key, was, now, _TAKEN))

    def _list(self, path: Path, sides: Sides, chainage_of: Callable[[str], float | None]) -> None:
        """Merge one list of items."""
        name = str(path[-1])
        lists = [side.get(name, []) for side in sides]
        mine = lists[1]
        remarks = self.editor.comments_in(path) if mine else []
        sort = LegMerge if name == "legs" else ListMerge
        done = sort(path, lists, remarks, self.comments, chainage_of)
        done.run()
        self.changes += done.changes
        inserts = [edit for edit in done.edits if edit.sort == "insert"]
        new = [edit.value for edit in inserts]
        gone = [e for e in done.edits if e.sort == "remove" and len(e.path) == len(path) + 1]
        if mine and (new or len(gone) < len(mine)):
            self.edits += done.edits
        elif mine:
            self.edits.append(Edit("remove", path))
        elif new and name in sides[1]:
            self.edits.append(Edit("set", path, new))
        elif new:
            comments = {(n, *p): c for n, e in enumerate(inserts) for p, c in e.comments.items()}
            self._add(path, new, sides, comments)

    def _add(self, path: Path, value: Any, sides: Sides, comments: Mapping[Path, str]) -> None:
        _, mine, theirs = (list(side) for side in sides)
        before = theirs[: theirs.index(str(path[-1]))]
        after = next((key for key in reversed(before) if key in mine), None)
        self.edits.append(Edit("add", path, value, after, comments))
