"""Changes to the text of a notes.yml that leave every other character as it stands.

The text is parsed only to know where each value is; what is changed is spliced in.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal

import yaml

from softpedal.draft.notes_text import SECTIONS, entry_lines, flow, item_lines, plain, scalar

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from softpedal.library.yaml_source import Path

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
#: A comment that holds nothing but the coordinates of what stands before it.
COORDINATES = re.compile(r"-?\d{1,2}\.\d+,\s*-?\d{1,3}\.\d+")
_BEHIND = re.compile(rf"[ \t]+#\s*{COORDINATES.pattern}[ \t]*(?=\r?\n)")


@dataclass(frozen=True)
class Edit:
    """One change.

    Attributes:
        sort: `set` a key's value, `add` a key, `remove` a key or an item, `insert` an item.
        path: of the value in the document as it stands; an item is inserted before this index.
        value: the new one.
        after: for `add`: the key behind which it stands, None for the beginning.
        comments: what stands behind values, by the path inside `value`.
    """

    sort: Literal["set", "add", "remove", "insert"]
    path: Path
    value: Any = None
    after: str | None = None
    comments: Mapping[Path, str] = field(default_factory=dict)


def edited_document(document: Any, edits: Iterable[Edit], path: Path = ()) -> Any:
    """Return the data with the changes made."""
    edits = list(edits)
    here = [edit for edit in edits if edit.path[:-1] == path and len(edit.path) == len(path) + 1]
    changed = {(e.sort, e.path[-1]): e for e in here if e.sort in ("set", "remove")}

    def inner(key: str | int, value: Any) -> Any:
        if ("set", key) in changed:
            return changed["set", key].value
        return edited_document(value, edits, (*path, key))

    if isinstance(document, dict):
        kept = {k: inner(k, v) for k, v in document.items() if ("remove", k) not in changed}
        return kept | {str(e.path[-1]): e.value for e in here if e.sort == "add"}
    if isinstance(document, list):
        items: list[Any] = []
        for index in range(len(document) + 1):
            items += [e.value for e in here if e.sort == "insert" and e.path[-1] == index]
            if index < len(document) and ("remove", index) not in changed:
                items.append(inner(index, document[index]))
        return items
    return document


class NotesEditor:
    """The text of well-formed notes, with the place of each value in it.

    Args:
        text: the notes.
        document: what `read_yaml` reads from them.
    """

    def __init__(self, text: str, document: Any) -> None:
        self.ends = text.endswith("\n")
        self.mark = "\ufeff" if text.startswith("\ufeff") else ""  # of byte order
        text = text.removeprefix(self.mark)
        self.source, self.document = text if self.ends else f"{text}\n", document
        self.root = yaml.compose(self.source, Loader=_Loader)
        self.break_ = "\r\n" if "\r\n" in text else "\n"
        self.splices: list[tuple[int, int, int, str]] = []

    def comments_in(self, path: Path) -> list[tuple[str, ...]]:
        """Return the comments in each item of a list or straight above it, without their `#`."""
        sequence = self._node(path)
        if sequence.flow_style:
            return [()] * len(sequence.value)
        found = []
        for index, item in enumerate(sequence.value):
            start = self._with_lines_above(self._dash(sequence, index))
            end = self._next_line(self._end(item))
            rest, at = [], start
            for first, last in sorted(self._scalars(item)):
                rest.append(self.source[at:first])
                at = last
            text = "".join([*rest, self.source[at:end]])
            found.append(tuple(m.strip() for m in re.findall(r"#(.*)", text)))
        return found

    def edited(self, edits: Iterable[Edit]) -> str:
        """Return the text with changes made, none inside a value that another sets or removes."""
        edits = list(edits)
        self.splices = []
        in_braces: set[Path] = set()
        for edit in edits:
            braces = self._outermost_braces(edit.path)
            if braces is not None:
                in_braces.add(braces)
            else:
                getattr(self, f"_{edit.sort}")(edit)
        for path in sorted(in_braces, key=str):
            node, value = self._node(path), edited_document(self._data(path), edits, path)
            self._splice(node.start_mark.index, node.end_mark.index, flow(value))
        parts, done = [], 0
        for start, end, _, new in sorted(self.splices):
            parts += [self.source[done:start], new]
            done = max(done, end)
        text = "".join([self.mark, *parts, self.source[done:]])
        return text if self.ends else text.removesuffix("\n").removesuffix("\r")

    def _splice(self, start: int, end: int, new: str) -> None:
        self.splices.append((start, end, len(self.splices), new))

    # -- the four changes, in block style ------------------------------------------------------

    def _set(self, edit: Edit) -> None:
        key, value = self._pair(edit.path)
        start, end = value.start_mark.index, self._end(value)
        old_is_short = isinstance(value, yaml.ScalarNode) and value.style not in ("|", ">")
        if old_is_short and not isinstance(edit.value, dict | list):
            new = scalar(edit.value)
            new = new if start < end else f" {new}"
        else:
            start = key.start_mark.index
            lines = entry_lines(key.value, edit.value, {}, edit.path, key.start_mark.column)
            new = self._joined(lines, key.start_mark.column, first="").rstrip("\r\n")
        if rest := _BEHIND.match(self.source, end):
            end = rest.end()  # they were those of the old value
        comment = " ".join(plain(edit.comments.get((), "")).split())
        if comment and self.source[end:].startswith(("\n", "\r\n")):
            new += f"   # {comment}"
        self._splice(start, end, new)

    def _add(self, edit: Edit) -> None:
        name = str(edit.path[-1])
        mapping = self._node(edit.path[:-1])
        first = mapping.value[0][0].start_mark
        comments = {(name, *path): text for path, text in edit.comments.items()}
        lines = entry_lines(name, edit.value, comments, (name,), first.column)
        if edit.after is None:
            new = self._joined(lines, first.column, first="")
            self._splice(first.index, first.index, new + " " * first.column)
            return
        at = self._next_line(self._end(self._pair((*edit.path[:-1], edit.after))[1]))
        apart = len(edit.path) == 1 and name in SECTIONS
        follows = self.source[at:].lstrip(" ")[:1] not in ("", "\r", "\n")
        new = self._joined(lines, first.column)
        if apart:
            new = self.break_ + new + (self.break_ if follows else "")
        self._splice(at, at, new)

    def _remove(self, edit: Edit) -> None:
        if isinstance(edit.path[-1], int):
            sequence = self._node(edit.path[:-1])
            start = self._line_start(self._dash(sequence, edit.path[-1]))
            end = self._next_line(self._end(sequence.value[edit.path[-1]]))
            self._splice(start, self._without_gap(start, end), "")
            return
        mapping = self._node(edit.path[:-1])
        key, value = self._pair(edit.path)
        start = self._line_start(key.start_mark.index)
        end = self._next_line(self._end(value))
        if self.source[start : key.start_mark.index].strip():  # it stands behind a hyphen
            later = [k.start_mark.index for k, _ in mapping.value if k.start_mark.index > start]
            later = [index for index in later if index >= end]
            self._splice(key.start_mark.index, min(later, default=end - 1), "")
            return
        self._splice(start, self._without_gap(start, end), "")

    def _insert(self, edit: Edit) -> None:
        index = int(edit.path[-1])
        sequence = self._node(edit.path[:-1])
        column = sequence.start_mark.column
        name = next(str(part) for part in reversed(edit.path) if isinstance(part, str))
        lines = item_lines(name, edit.value, edit.comments, (), column)
        spaced = len(sequence.value) > 1 and self._is_gap(sequence, 1)
        if index == 0:
            at = self._line_start(self._dash(sequence, 0))
            new = self._joined(lines, column) + (self.break_ if spaced else "")
        else:
            at = self._next_line(self._end(sequence.value[index - 1]))
            new = (self.break_ if spaced else "") + self._joined(lines, column)
        self._splice(at, at, new)

    # -- where things are ----------------------------------------------------------------------

    def _node(self, path: Path) -> Any:
        node: Any = self.root
        for part in path:
            if isinstance(part, int):
                node = node.value[part]
            else:
                node = next(value for key, value in node.value if key.value == part)
        return node

    def _pair(self, path: Path) -> tuple[Any, Any]:
        mapping = self._node(path[:-1])
        return next((key, value) for key, value in mapping.value if key.value == path[-1])

    def _data(self, path: Path) -> Any:
        data = self.document
        for part in path:
            data = data[part]
        return data

    def _outermost_braces(self, path: Path) -> Path | None:
        """Return the path of the outermost container in braces or brackets around a path."""
        for length in range(len(path)):
            node = self._node(path[:length])
            if not isinstance(node, yaml.ScalarNode) and node.flow_style:
                return path[:length]
        return None

    def _end(self, node: Any) -> int:
        """Return the index behind the last character of a value."""
        if isinstance(node, yaml.ScalarNode):
            end = int(node.end_mark.index)
            if node.style in ("|", ">"):
                end = len(self.source[:end].rstrip())
            return end
        if node.flow_style or not node.value:
            return int(node.end_mark.index)
        last = node.value[-1]
        return self._end(last[1] if isinstance(last, tuple) else last)

    def _scalars(self, node: Any) -> Iterator[tuple[int, int]]:
        """Yield the span of every scalar inside a value, keys too."""
        if isinstance(node, yaml.ScalarNode):
            yield node.start_mark.index, self._end(node)
            return
        for inner in node.value:
            for each in inner if isinstance(inner, tuple) else (inner,):
                yield from self._scalars(each)

    def _dash(self, sequence: Any, index: int) -> int:
        """Return the index of the hyphen before an item."""
        at = sequence.value[index].start_mark.index
        while True:
            at = self.source.rindex("-", 0, at)
            before = self.source[self._line_start(at) : at]
            if len(before) == sequence.start_mark.column and not before.strip(" -?"):
                return at

    def _with_lines_above(self, index: int) -> int:
        """Return the start of a line, or of the lines of comments straight above it."""
        start = self._line_start(index)
        while start:
            above = self._line_start(start - 1)
            if not self.source[above:start].lstrip().startswith("#"):
                break
            start = above
        return start

    def _is_gap(self, sequence: Any, index: int) -> bool:
        """Whether a blank line stands before an item."""
        start = self._next_line(self._end(sequence.value[index - 1]))
        between = self.source[start : self._dash(sequence, index)]
        return any(
            not line.strip() for line in between.splitlines()[:-1] or between.split("\n")[:-1]
        )

    def _without_gap(self, start: int, end: int) -> int:
        """Return the end of a span of lines to take out; one of two blank lines around goes too."""
        before = self.source[:start].endswith(("\n\n", "\n\r\n"))
        after = re.compile(r"[ \t]*\r?\n").match(self.source, end)
        return after.end() if before and after else end

    def _line_start(self, index: int) -> int:
        return self.source.rfind("\n", 0, index) + 1

    def _next_line(self, index: int) -> int:
        return self.source.index("\n", index) + 1

    def _joined(self, lines: list[str], column: int, first: str | None = None) -> str:
        pad = " " * column
        head = pad if first is None else first
        body = f"{self.break_}{pad}".join(lines)
        return f"{head}{body}{self.break_}"
