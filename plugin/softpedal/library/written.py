"""How each value of a YAML file stands in its lines, for who is to write another in its place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import yaml

from softpedal.library.plain_text import LINE_END, NotText, read_text
from softpedal.library.yaml_source import read_yaml

if TYPE_CHECKING:
    from softpedal.library.yaml_source import Path

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True, slots=True)
class Written:
    """A value in its line.

    Attributes:
        line: the first of its lines, 1-based.
        before: what stands before it in that line: indentation, keys, an opening quote.
        value: as typed; a value over several lines holds line ends.
        after: what stands behind it: a closing quote or bracket, further keys, a comment.
    """

    line: int
    before: str
    value: str
    after: str


def written_values(content: bytes) -> dict[Path, Written]:
    """Return every scalar of a YAML document by its path; nothing of a file that is not read."""
    source, _ = read_yaml(content, "")
    try:
        text = read_text(content)
    except NotText:
        return {}
    if source is None:
        return {}
    lines = LINE_END.split(text)
    events: list[Any] = [
        event for event in yaml.parse(text, Loader=_Loader) if isinstance(event, yaml.ScalarEvent)
    ]
    scalars = {(e.start_mark.line + 1, e.start_mark.column + 1): e for e in events}
    # a mapping begins where its first key does, which is a scalar, too
    around = {path[:-1] for path in source.marks}
    return {
        path: _written(scalars[mark], lines)
        for path, mark in source.marks.items()
        if mark in scalars and path not in around
    }


def _written(event: Any, lines: list[str]) -> Written:
    first, start = event.start_mark.line, event.start_mark.column
    last, end = event.end_mark.line, event.end_mark.column
    # a block (`>` or `|`) ends where the next thing begins
    while last > first and not lines[last][:end].strip():
        last -= 1
        end = len(lines[last])
    if event.style in ("'", '"'):
        start, end = start + 1, end - 1
    whole = "\n".join(lines[first : last + 1])
    behind = len(lines[last]) - end
    value = whole[start : len(whole) - behind]
    bare = value.rstrip() if not event.style else value
    return Written(first + 1, whole[:start], bare, whole[start + len(bare) :])
