"""A drafted document → the text of a notes.yml that reads as if a person had written it."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING, Any

from softpedal.library.plain_text import UNPRINTABLE

if TYPE_CHECKING:
    from collections.abc import Mapping

    from softpedal.library.yaml_source import Path

HEADER = "# Drafted from a ride: what is marked `source: map` or `said`, nobody has confirmed yet."
#: Lists whose items stand one key a line, and which are set apart by blank lines.
SECTIONS = ("legs", "crossings", "dismounts", "hazards", "landmarks", "barriers", "steep", "return")
#: Of these, the items may stand in braces.
_BLOCK_ITEMS = {*SECTIONS, "variants"} - {"steep"}
#: A mapping in braces or a list in brackets is at most so long, in characters.
WIDTH = 100

_BREAK = re.compile("[ \t]*(?:\r\n|[\n\r\x0b\x0c\x1c-\x1e\x85\u2028\u2029])\\s*")
#: Characters with which a value does not begin without quotes; a minus may lead a number.
_ODD_START = re.compile(r"-(?!\d)|[?:,\[\]{}#&*!|>'\"%@`=~<]|\.\.\.")
#: What other readers of YAML take for something else than text; dates are read as text here.
_NOT_TEXT = re.compile(
    r"(?i:true|false|null|yes|no|on|off|y|n)"
    r"|[-+]?(?:[\d_]+(?:\.[\d_]*)?|\.[\d_]+)(?:e[-+]?\d+)?"
    r"|[-+]?0[xob][\da-f_]+|[-+]?\.(?:inf|nan)"
    r"|[-+]?\d+(?::\d+)+(?:\.\d*)?",
    re.IGNORECASE,
)


def notes_text(document: Mapping[str, Any], comments: Mapping[Path, str]) -> str:
    """Return the text of notes.yml for a document.

    Args:
        document: dicts, lists, str, numbers and booleans, in the order in which they are written.
        comments: what stands behind a value as a comment, by the value's path in the document.

    Returns:
        YAML that `read_yaml` reads back as `plain(document)`.
    """
    lines = [HEADER]
    before = ""
    for key, value in plain(dict(document)).items():
        if before and (key in SECTIONS or before in SECTIONS):
            lines.append("")
        lines += entry_lines(key, value, comments, (key,))
        before = key
    return "\n".join(lines) + "\n"


def plain(value: Any) -> Any:
    """Return a value as it is read back: texts in one line, without what cannot be shown."""
    if isinstance(value, str):
        return UNPRINTABLE.sub("", _BREAK.sub(" ", value))
    if isinstance(value, dict):
        return {plain(str(key)): plain(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [plain(inner) for inner in value]
    return value


def scalar(value: Any, *, in_flow: bool = False) -> str:
    """Return a text, a number, a truth value or None as YAML, in quotes only where it must be."""
    if not isinstance(value, str):
        return json.dumps(value)
    text: str = plain(value)
    if not _needs_quotes(text, in_flow=in_flow) and not _NOT_TEXT.fullmatch(text):
        return text
    return _quoted(text)


def _key(key: str, *, in_flow: bool = False) -> str:
    """Return a key: it is always text, so that `on` needs no quotes."""
    text: str = plain(key)
    return _quoted(text) if _needs_quotes(text, in_flow=in_flow) else text


def _quoted(text: str) -> str:
    inside = text.replace("\\", "\\\\").replace('"', '\\"').replace("\t", "\\t")
    return f'"{inside}"'


def flow(value: Any) -> str:
    """Return a value in one line: mappings in braces, lists in brackets."""
    if isinstance(value, dict):
        pairs = (f"{_key(str(k), in_flow=True)}: {flow(v)}" for k, v in value.items())
        return f"{{{', '.join(pairs)}}}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(flow(inner) for inner in value)}]"
    return scalar(value, in_flow=True)


def entry_lines(
    key: str, value: Any, comments: Mapping[Path, str], path: Path, indent: int = 0
) -> list[str]:
    """Return the lines of one key of a block mapping, not indented.

    Args:
        key: the key.
        value: its value.
        comments: by path.
        path: of the value.
        indent: columns that the caller will put before each line.
    """
    name = _key(str(key))
    if not isinstance(value, dict | list | tuple):
        return [_commented(f"{name}: {scalar(value)}", comments, path)]
    short = f"{name}: {flow(value)}"
    is_block = key in SECTIONS and bool(value)
    if not value or (
        not is_block
        and indent + len(short) <= WIDTH
        and _is_simple(value)
        and not _has_comments(comments, path)
    ):
        return [_commented(short, comments, path)]
    lines = [_commented(f"{name}:", comments, path)]
    if isinstance(value, dict):
        for inner, its in value.items():
            inside = entry_lines(inner, its, comments, (*path, inner), indent + 2)
            lines += [f"  {line}" for line in inside]
        return lines
    for index, item in enumerate(value):
        inside = item_lines(str(key), item, comments, (*path, index), indent + 2)
        lines += [f"  {line}" for line in inside]
    return lines


def item_lines(
    name: str, item: Any, comments: Mapping[Path, str], path: Path, indent: int = 0
) -> list[str]:
    """Return the lines of one item of a block list, not indented; `name` is the list's key."""
    short = f"- {flow(item)}"
    if (
        not isinstance(item, dict)
        or not item
        or (
            name not in _BLOCK_ITEMS
            and indent + len(short) <= WIDTH
            and _is_simple(item)
            and not _has_comments(comments, path)
        )
    ):
        return [_commented(short, comments, path)]
    lines: list[str] = []
    for key, value in item.items():
        lines += entry_lines(key, value, comments, (*path, key), indent + 2)
    lines[0] = _commented(lines[0], comments, path)
    return [("  " if number else "- ") + line for number, line in enumerate(lines)]


def _commented(line: str, comments: Mapping[Path, str], path: Path) -> str:
    comment = " ".join(plain(comments.get(path, "")).split())
    return f"{line}   # {comment}" if comment else line


def _has_comments(comments: Mapping[Path, str], path: Path) -> bool:
    return any(len(at) > len(path) and at[: len(path)] == path for at in comments)


def _is_simple(value: Any) -> bool:
    """Whether nothing inside is nested again."""
    inner = value.values() if isinstance(value, dict) else value
    return not any(isinstance(each, dict | list | tuple) for each in inner)


def _needs_quotes(text: str, *, in_flow: bool) -> bool:
    return bool(
        not text
        or text != text.strip()
        or "\t" in text
        or ": " in text
        or " #" in text
        or text.endswith(":")
        or (in_flow and re.search(r"[,\[\]{}:?]", text))
        or _ODD_START.match(text)
    )
