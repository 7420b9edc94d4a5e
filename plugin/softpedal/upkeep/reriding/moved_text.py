"""Moves written into the text of a notes.yml: comments and order stay, nothing is dropped."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from softpedal.draft.notes_edit import Edit, NotesEditor
from softpedal.library.folder_files import NOTES
from softpedal.library.yaml_source import read_yaml
from softpedal.problems import CannotDoError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from softpedal.library.yaml_source import Path
    from softpedal.upkeep.reriding.moved_notes import Gone, Moves


def moved_text(text: str, under: Path, found: Moves, why: str) -> str:
    """Return notes with positions moved, legs put in, and what has no place made comments.

    Args:
        text: the notes.
        under: () for the outbound line, ("return",) for the other.
        found: what becomes of them.
        why: said in a comment above what has no place.

    Raises:
        CannotDoError: the notes cannot be read.
    """
    if not (found.texts or found.gone or found.legs):
        return text
    text = _editor(text).with_positions(found.texts)
    for gone in sorted(found.gone, key=_place, reverse=True):
        text = _editor(text).commented_out(gone, f"{why}:")
    left = sorted(int(gone.path[-1]) for gone in found.gone if gone.path[:-1] == (*under, "legs"))
    inserts = [
        Edit(
            "insert",
            (*under, "legs", leg.before - sum(index < leg.before for index in left)),
            leg.value,
            comments={("street",): leg.comment} if leg.comment else {},
        )
        for leg in found.legs
    ]
    return _editor(text).edited(inserts) if inserts else text


def with_edits(text: str, edits: Sequence[Edit]) -> str:
    """Return notes with plain changes made.

    Raises:
        CannotDoError: the notes cannot be read.
    """
    return _editor(text).edited(edits) if edits else text


def data_of(text: str) -> dict[str, Any]:
    """Return what notes say.

    Raises:
        CannotDoError: they cannot be read.
    """
    source, problems = read_yaml(text.encode(), NOTES)
    if source is None or not isinstance(source.data, dict):
        raise CannotDoError(str(problems[0]) if problems else f"{NOTES} says nothing.")
    return source.data


def _place(gone: Gone) -> tuple[str, int]:
    index = gone.path[-1]
    return str(gone.path[:-1]), index if isinstance(index, int) else -1


def _editor(text: str) -> _Editor:
    return _Editor(text, data_of(text))


class _Editor(NotesEditor):
    """Changes that drafting does not make."""

    def with_positions(self, texts: Mapping[Path, str]) -> str:
        """Return the text with positions written otherwise, in the quotes that they had."""
        changes = []
        for path, new in texts.items():
            node = self._node(path)
            quote = node.style if node.style in ("'", '"') else ""
            if not quote and "," in new and self._outermost_braces(path) is not None:
                quote = '"'
            span = node.start_mark.index, self._end(node)
            changes.append((*span, f"{quote}{new}{quote}"))
        return self._with(changes)

    def commented_out(self, gone: Gone, why: str) -> str:
        """Return the text with an item, or a key, as lines of comment."""
        path = gone.path
        key = path[-1]
        braces = self._outermost_braces(path)
        if braces is not None:
            return self._out_of_braces(path, braces, why)
        if isinstance(key, int):
            sequence = self._node(path[:-1])
            if len(sequence.value) > 1:
                start = self._line_start(self._dash(sequence, key))
                return self._as_comment(start, self._end(sequence.value[key]), why)
            path = path[:-1]  # a list of which nothing is left
        name, value = self._pair(path)
        return self._as_comment(self._line_start(name.start_mark.index), self._end(value), why)

    def _as_comment(self, start: int, last: int, why: str) -> str:
        end = self._next_line(last)
        lines = self.source[start:end].splitlines(keepends=True)
        column = len(lines[0]) - len(lines[0].lstrip(" "))
        pad = " " * column
        said = [f"{pad}# {' '.join(why.split())}{self.break_}"]
        for line in lines:
            inside = line[column:] if line.startswith(pad) else line.lstrip(" ")
            said.append(f"{pad}# {inside}" if inside.strip() else f"{pad}#{self.break_}")
        if self.source[end:].lstrip(" ")[:1] not in ("", "\r", "\n"):
            said.append(self.break_)  # else the comment would be taken for one on what follows
        return self._with([(start, end, "".join(said))])

    def _out_of_braces(self, path: Path, braces: Path, why: str) -> str:
        """Take an item out of a list in brackets; what it said stands above the list's line."""
        node = self._node(path)
        what = " ".join(self.source[node.start_mark.index : node.end_mark.index].split())
        key = self._node(braces).start_mark.index
        at = self._line_start(key)
        pad = " " * (len(self.source[at:]) - len(self.source[at:].lstrip(" ")))
        items = self._node(path[:-1]).value
        index = path[-1]
        if not isinstance(index, int):
            raise CannotDoError(
                f"{'.'.join(map(str, path))} stands in braces with all else.",
                "Write it on a line of its own.",
            )
        if index + 1 < len(items):
            start, end = node.start_mark.index, items[index + 1].start_mark.index
        else:
            start = items[index - 1].end_mark.index if index else node.start_mark.index
            end = node.end_mark.index
        said = f"{pad}# {' '.join(why.split())}{self.break_}{pad}# {what}{self.break_}"
        return self._with([(at, at, said), (start, end, "")])

    def _with(self, changes: Sequence[tuple[int, int, str]]) -> str:
        parts, done = [], 0
        for start, end, new in sorted(changes):
            parts += [self.source[done:start], new]
            done = max(done, end)
        text = "".join([self.mark, *parts, self.source[done:]])
        return text if self.ends else text.removesuffix("\n").removesuffix("\r")
